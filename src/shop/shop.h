#pragma once

#include <optional>
#include <string>
#include <vector>

#include "shop/machine_description.h"
#include "units/angle.h"
#include "units/length.h"
#include "units/unit.h"

namespace stripwright {

/// When the enamel comes off.
enum class EnamelOff { before_milling, before_gluing, after_gluing };
/// The strip's outer face when it is milled: as the culm grew, or made flat.
enum class Face { round, flat };

struct Enamel {
  Length thickness;
  EnamelOff off = EnamelOff::before_gluing;
  std::optional<Face> face;  ///< as written; see `face_at_milling`
  std::optional<Length> culm_diameter;
};

/// Round where a culm diameter is given, unless the shop says otherwise.
Face face_at_milling(Enamel const& enamel);

/// Moisture content in percent of dry mass, and what a percent does.
struct Moisture {
  double swelling_per_percent = 0;
  double percent_at_milling = 0;
  double percent_in_service = 0;

  /// What a height is times that in service, at so many percent: 1 + K (M - M_service), form of the
  /// Wood Handbook's dimension change equation (FPL-GTR-282, equation 13-2).
  double swelling(double percent) const {
    return 1 + swelling_per_percent * (percent - percent_in_service);
  }
};

/// What work after the mill adds or takes. What the file leaves out is 0 and is named
/// in `assumed`.
struct Allowances {
  Length varnish;    ///< on each flat
  Length cleanup;    ///< scraped off each flat after gluing
  Length glue_line;  ///< between two flanks
  Enamel enamel;
  Length apex_relief;  ///< knocked off the apex before gluing
  std::optional<Moisture> moisture;
  std::vector<std::string> assumed;
};

/// How far from its target a value may be; both are amounts, 0 or more.
struct Tolerance {
  Length over;
  Length under;
};

struct Tolerances {
  Tolerance strip;
  Tolerance flats;
  Angle angle;
};

/// A measuring tool: the step of its reading and what its standard uncertainty is.
struct Gauge {
  std::string name;
  Length resolution;
  Length standard_uncertainty;
};

/// How readings are judged: with proof, or by the plain limits.
enum class Decide { guarded, plain };

/// The length left beyond the section's ends, cut off after gluing.
struct Spare {
  Length tip_end;
  Length butt_end;
};

/// Height left on the rough triangle, and width lost by each split.
struct RoughAllowance {
  Length over;
  Length split;
};

/// A shop's habits, gauges and machines.
struct Shop {
  std::string name;
  Unit unit = Unit::inch;
  Allowances allowances;
  Spare spare;
  RoughAllowance rough;
  Tolerances tolerances;
  std::vector<Gauge> gauges;
  Decide decide = Decide::guarded;
  std::vector<Machine> machines;
};

}  // namespace stripwright
