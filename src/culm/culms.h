#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "files/source_text.h"
#include "shop/shop.h"
#include "taper/taper.h"

namespace stripwright::culm {

/// A length that was cut from a culm and split.
struct CulmPiece {
  std::string section;
  Length starts_at;  ///< where the strips' tip end was, from the culm's thin end
  std::vector<std::string> strips;
};

/// One culm as it was measured.
struct Culm {
  std::string name;
  std::optional<Length> diameter;
  std::optional<Length> wall;
  std::optional<Length> power_fibre;
  std::optional<Length> length;
  std::vector<Length> nodes;  ///< from the thin end, increasing
  std::vector<CulmPiece> pieces;
};

/// What was measured on a single strip.
struct StripNote {
  std::string name;
  std::optional<std::vector<Length>> nodes;  ///< from the strip's own tip end, increasing
  std::optional<double> density;
};

/// How far nodes shall be from each other and from other places.
struct NodeHabits {
  Length min_gap;
  Length keep_clear;
  std::vector<Station> places;
};

/// A culm file.
struct Culms {
  Unit unit = Unit::inch;
  NodeHabits rules;
  std::vector<Culm> culms;
  std::vector<StripNote> strips;
};

/// The rules where no file has others.
NodeHabits usual_node_habits();

/// Reads a culm file. Mistakes are errors, all told at once, and give nothing: besides what its
/// keys refuse, a node twice or beyond the culm's length, a wall that fills the culm or is
/// thinner than its power fibre, and a strip named twice.
std::optional<Culms> read_culms(files::SourceText const& source, Problems& problems);

/// The nodes of each strip that are known, as stations of the strip as it lies unmoved: its tip end
/// is the spare beyond the section's. For the strips of one section.
std::map<std::string, std::vector<Station>> nodes_of_strips(Culms const& culms,
                                                            RodSection const& section,
                                                            Spare const& spare);

}  // namespace stripwright::culm
