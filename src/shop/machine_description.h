#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "units/position.h"

namespace stripwright {

/// Which end of the strip lies towards the machine's zero.
enum class Feeds { tip_first, butt_first };
/// How a bar set by screws runs between them.
enum class Bar { spring, straight };
/// Screws set to the taper itself, or so that the greatest miss is smallest.
enum class Fit { at_screws, best };

/// The rough strip that is started from.
struct RoughStart {
  enum class Kind {
    over_highest,  ///< plain: one height for a section, so much over its highest place
    height,        ///< plain: this height for every section
    over_taper     ///< tapered beforehand: so much over the milled strip everywhere
  };
  Kind kind = Kind::over_highest;
  Length amount;
};

/// Cuts from the rough strip down to the final one. Amounts are strip height.
struct PassesByCut {
  RoughStart rough;
  Length max_cut;
  Length last_cut;
};
/// Stages parallel to the final strip, so much over it; the last is 0.
struct PassesByStage {
  std::vector<Length> over;
};
using Passes = std::variant<PassesByStage, PassesByCut>;

/// The depth a form's groove has with its bars touching, linear between the first
/// and the last screw.
struct ClosedDepth {
  Length at_first_screw;
  Length at_last_screw;
};

enum class GaugeTip { sharp, flat, ball };
/// A gauge that stands on the bars and reaches into the groove. Cones have the
/// groove's angle; `diameter` is that of the flat or the ball.
struct DepthGauge {
  GaugeTip tip = GaugeTip::sharp;
  Length diameter;
};

struct PlaningForm {
  std::vector<MachinePosition> screws;  ///< increasing
  std::optional<ClosedDepth> closed_depth;
  std::optional<Length> screw_lead;  ///< opening a turn
  std::optional<DepthGauge> depth_gauge;
  Fit fit = Fit::at_screws;
};

/// dial = zero + sense · dial_per_offset · offset.
struct Dial {
  Length zero;
  double sense = 1;
  double dial_per_offset = 1;
  std::optional<Length> division;
  std::optional<Length> screw_lead;  ///< cutter offset a turn
  struct Range {
    Length lowest;
    Length highest;
  };
  std::optional<Range> range;
};

struct ScrewMill {
  std::vector<MachinePosition> screws;
  Bar bar = Bar::spring;
  Length cutter_radius;
  Dial dial;
  Fit fit = Fit::at_screws;
};

struct PatternMill {
  Length cutter_radius;
  Length follower_radius;
  double pattern_per_cutter = 1;  ///< negative: pattern under a lifted strip
  Length base;                    ///< pattern height where the cutter offset is 0
  Length outline_tolerance;
};

struct CncLimits {
  struct Travel {
    Length lowest;
    Length highest;
  };
  std::optional<Travel> x;
  std::optional<Travel> z;
  std::optional<Length> feed_per_minute;
  std::optional<double> spindle_rpm;
};

struct CncMill {
  Length cutter_radius;
  Length feed_per_minute;
  double spindle_rpm = 0;
  Length clear_height;
  CncLimits limits;
};

/// A machine of the shop: what all kinds share, and its kind.
struct Machine {
  std::string name;
  MachinePosition strip_at;  ///< where the strip's leading end lies
  Feeds feeds = Feeds::tip_first;
  std::vector<std::string> serves;  ///< sections it serves; empty for all
  std::optional<Passes> passes;
  std::variant<PlaningForm, ScrewMill, PatternMill, CncMill> kind;
};

/// The word for the machine's kind: planing-form, screw-mill, pattern-mill, cnc-mill.
std::string_view kind_word(Machine const& machine);

/// True if the machine serves a section of this name.
bool serves(Machine const& machine, std::string_view section);

}  // namespace stripwright
