#pragma once

#include <array>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "inspection/ring.h"
#include "inspection/stage.h"
#include "section/strip_profile.h"

namespace stripwright::inspection {

/// What finished sections teach, first what enters the strip's height.
enum class Allowance : unsigned char {
  cleanup_less_glue_line,  ///< c - g
  glue_line,               ///< g
  cleanup,                 ///< c
  varnish,                 ///< v
};
inline constexpr std::array kAllowances = {Allowance::cleanup_less_glue_line, Allowance::glue_line,
                                           Allowance::cleanup, Allowance::varnish};
/// `clean-up less glue line`, as tables and messages have it.
std::string_view words(Allowance allowance);

/// Height a of a strip where it was measured: the station that place has on a strip that
/// is not shifted.
struct HeightReading {
  Station at;
  Length a;
};

inline constexpr std::size_t kPairsOfFlats = 3;

/// Across flats of a section at a station, as far as they were read.
struct SectionReading {
  Station at;
  std::array<std::optional<Length>, 3> f;
};

/// What was measured of one ring.
struct RingReadings {
  std::shared_ptr<const section::StripProfile> profile;
  std::array<Length, kStripsInARing> shifts;
  bool marked = true;
  Stage heights_at = Stage::ready;                                 ///< or milled
  std::array<std::vector<HeightReading>, kStripsInARing> heights;  ///< in the ring's order
  std::map<Stage, std::vector<SectionReading>> flats;              ///< glued, bare, varnished
  std::map<Stage, double> percent_moisture;
};

/// One allowance at one station of one ring.
struct AllowanceValue {
  Allowance allowance = Allowance::cleanup_less_glue_line;
  std::size_t ring = 0;
  Station at;
  std::optional<std::size_t> pair;  ///< f1, f2, f3 are 0, 1, 2; none for a mean over all three
  Length value;
};

/// The values of one ring, and what had to be left out or taken for granted.
struct RingValues {
  std::vector<AllowanceValue> values;  ///< by allowance, station and pair
  /// Stations of the section where no strips' heights were measured that face each other.
  std::vector<Station> without_heights;
  /// Stages between which the moisture may have changed, but one of the two is not known.
  std::vector<Stage> moisture_unknown;
  /// True if enamel that came off between mill and glue was taken off by the ledger.
  bool enamel_by_ledger = false;
};

/// The allowances at each station of a ring. A glue line g moves each of two opposite strips
/// outwards by g (see the ledger), so that the flats of the glued section are f = h_i + h_j + 2 g;
/// cleaning takes c off each flat and varnish puts v on each. With the heights h of the strips that
/// face each other,
///   g     = (f_glued - h_i - h_j) / 2
///   c     = (f_glued - f_bare) / 2 - E
///   c - g = (h_i + h_j - f_bare) / 2 - E
///   v     = (f_varnished - f_bare) / 2
/// where E is what the face loses when it is made flat only after gluing, 0 otherwise. c - g needs
/// no glued readings, in which a film of glue on a flat would go into c and g alike.
///
/// f1 crosses strips 1 and 4, f2 2 and 5, f3 3 and 6. Where that is not known, each station gives
/// one value, from the means of the three flats and the six heights, if all were read.
///
/// A height h is a, and the apex relief that is gone from it since the mill. Where strips were
/// measured as they left the machine, the enamel that came off before gluing is taken off as the
/// ledger has it. A strip shifted by s towards the tip shows at x its height at x + s: the reading
/// nearest to that place counts, no farther from it than s, moved there along the target's course.
/// So an unshifted strip counts only where strip and section were measured at the same stations,
/// and no reading counts for two stations.
///
/// Readings taken at other moistures are brought to that of the later stage: divided by
/// 1 + K (M_then - M_later). Where one of the two is not said they are left as they are.
RingValues allowance_values(RingReadings const& ring, std::size_t index,
                            Allowances const& allowances);

}  // namespace stripwright::inspection
