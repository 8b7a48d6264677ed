#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "section/round_face.h"
#include "shop/shop.h"
#include "taper/taper.h"

namespace stripwright::section {

/// The rows of the ledger, in the order they are computed.
enum class Step {
  target,            ///< D, as the taper has it
  bare,              ///< D_bare
  glued,             ///< D_glued
  strip_glued,       ///< h_g
  strip_at_milling,  ///< h_w, the finished strip at the mill's moisture
  strip_milled,      ///< h_m, what the machine cuts
  side_milled,       ///< target of heights b and c at milling
  strip_ready,       ///< height a as the strip goes to the glue
  flats_glued,       ///< across flats when glued, before clean-up
};
inline constexpr std::size_t kSteps = 9;

/// The book-keeping of one station: a value a step.
struct Ledger {
  std::array<Length, kSteps> values;
  /// False where the strip is too thick for the culm; rows from the milled strip on
  /// are those of a flat face then.
  bool culm_carries = true;

  Length operator[](Step step) const { return values[static_cast<std::size_t>(step)]; }
  /// The first row at 0 or below, if any: such a strip cannot be made.
  std::optional<Step> row_at_or_below_zero() const;
};

/// A step as it reads: its name, its letter, the formula with the letters of the
/// method, and why it is there.
struct StepText {
  std::string_view name;
  std::string_view letter;
  std::string formula;
  std::string why;
};

/// From a target across flats to the strip, by one taper's basis and one shop's
/// allowances:
///
///   D_bare  = D, or D - 2 v over varnish v on both flats
///   D_glued = D_bare + 2 c, for c is scraped off each flat after gluing
///   h_g     = D_glued / 2 - g, for a glue line g moves each strip outwards by g:
///             six strips with apexes at r0 from the centre leave between neighbouring
///             flanks a gap 2 r0 sin 30° = r0
///   h_w     = h_g (1 + K (M_mill - M_service)), the Wood Handbook's dimension change
///   h_m     = h_w + E, with E what is still to come off the outer face
class LedgerRules {
 public:
  LedgerRules(Measured measured, Allowances const& allowances);

  Ledger at(Length target) const;
  /// The rows from h_g on, for the spare, where h_g is held up; the rows above are
  /// what such a strip would give.
  Ledger from_strip_glued(Length strip_glued) const;

  Length strip_glued(Length target) const;
  Length strip_milled(Length strip_glued) const;
  /// d(h_m)/d(h_g), a ratio.
  double milled_per_glued(Length strip_glued) const;
  /// True if h_m grows in proportion to h_g, so that straight tapers give straight strips.
  bool proportional() const { return !round_face_; }
  bool carries(Length strip_glued) const;

  std::optional<RoundFace> const& round_face() const { return round_face_; }
  StepText text(Step step) const;
  /// The letters of the formulas with this shop's values.
  std::vector<std::pair<std::string_view, std::string>> letters(Unit unit) const;

 private:
  Length flats_when_glued(Length flats_glued, Length crown) const;
  Length crown(Length strip_at_milling) const;
  void fill_from_strip_glued(Ledger& ledger, Length strip_glued) const;

  Measured measured_;
  Allowances allowances_;
  double swelling_ = 1;  // h_w / h_g
  std::optional<RoundFace> round_face_;
};

}  // namespace stripwright::section
