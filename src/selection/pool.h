#pragma once

#include <array>
#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "units/length.h"

namespace stripwright::selection {

/// Aims are compared as whole nanometres, so that no double's rounding decides between two
/// rings: what differs by less than a nanometre is alike.
using Nanometres = std::int64_t;

Nanometres to_nanometres(Length length);
Length to_length(Nanometres nanometres);

inline constexpr std::size_t kRingSize = 6;
inline constexpr std::size_t kPairs = 3;
/// Sets of strips are kept as the bits of a word.
inline constexpr std::size_t kMostStrips = 64;

/// A measured strip that may be chosen.
struct PoolStrip {
  std::string name;
  /// Millionths of whatever unit the readings have it in, above 0; none if it was not measured.
  std::optional<std::int64_t> density;
};

/// A strip, moved along the taper by one of the shifts it may have.
struct Candidate {
  std::size_t strip = 0;                 ///< index into `Pool::strips`
  Length shift;                          ///< towards the tip
  std::vector<std::int32_t> deviation;   ///< nanometres of height over its target, a station each
  std::vector<Nanometres> nodes;         ///< within the section, from the tip end, increasing
  std::vector<Nanometres> nodes_beyond;  ///< cut off with the spare, near a place to be kept clear
  Nanometres own_shortfall = 0;          ///< of its nodes from the places that are to be kept clear
};

/// What rings are chosen from. Strips stand in the order of their names, candidates by strip and
/// then with the shift nearest to 0 first: of rings that are alike in all else the first by this
/// order is taken.
struct Pool {
  std::vector<PoolStrip> strips;  ///< at most kMostStrips
  std::vector<Candidate> candidates;
  std::size_t stations = 0;  ///< how many deviations each candidate has
  Nanometres min_gap = 0;    ///< that nodes of neighbours shall be apart, 0 or more

  /// True if all strips have a density: only then it is an aim to balance it.
  bool densities_known() const;
};

/// What a ring, or several, amount to; the aims in their order, each the smaller the better.
struct RingValue {
  Nanometres shortfall = 0;     ///< of nodes, summed over neighbours and places to keep clear
  Nanometres deviation = 0;     ///< of flats, the largest over three pairs and all stations
  Nanometres out_of_round = 0;  ///< the largest difference of the three flats at a station
  std::int64_t imbalance = 0;   ///< the largest difference of density between opposite strips

  auto operator<=>(RingValue const&) const = default;
};

/// Six candidates in their order round the section; opposite is three further on.
using Ring = std::array<std::size_t, kRingSize>;

/// By how much the nodes of two neighbours are too near each other: of every two nodes, one of
/// each strip, what they lack to the gap.
Nanometres gap_shortfall(std::vector<Nanometres> const& one, std::vector<Nanometres> const& other,
                         Nanometres min_gap);

/// What a ring amounts to, counted from its definition.
RingValue value_of(Pool const& pool, Ring const& ring);
/// Of several: shortfalls add up, of all else the worst counts.
RingValue value_of(Pool const& pool, std::vector<Ring> const& rings);

/// The same ring, turned or turned over so that it begins with the first strip and goes on with
/// the one of its two neighbours that comes first.
Ring in_order(Ring const& ring);

/// `s2` before `s10`: digits count as numbers.
bool name_before(std::string const& one, std::string const& other);

}  // namespace stripwright::selection
