#include "inspection/column_guess.h"

#include <algorithm>
#include <boost/math/statistics/univariate_statistics.hpp>
#include <cmath>

namespace stripwright::inspection {
namespace {

using boost::math::statistics::median;

/// Places and readings looked at: a guess needs no more.
constexpr std::size_t kMostLookedAt = 5000;

/// How far the heights of a place are off their targets against each other, in millimetres, if the
/// value of one height is taken for another's and the other way round.
double against_each_other(PlaceReadings const& place, PlaceTargets const& targets,
                          std::size_t other) {
  std::vector<double> offs;
  for (std::size_t h = 0; h < kMostHeights; ++h) {
    const std::size_t from = h == 0 ? other : h == other ? 0 : h;
    if (place.heights[from].read() && targets[h])
      offs.push_back((place.heights[from].mean - targets[h]->value).in_millimetres());
  }
  double mean = 0;
  for (const double off : offs) mean += off / static_cast<double>(offs.size());
  double squares = 0;
  for (const double off : offs) squares += (off - mean) * (off - mean);
  return std::sqrt(squares);
}

/// The medians of that over all places where both heights were read: as they are, and swapped.
struct Medians {
  std::size_t places = 0;
  double now = 0;
  double swapped = 0;
};

Medians medians_of(Readings const& readings, std::size_t other) {
  std::vector<double> now;
  std::vector<double> swapped;
  for (auto const& piece : readings.pieces)
    for (auto const& place : piece.places) {
      if (!place.heights[0].read() || !place.heights[other].read()) continue;
      if (now.size() == kMostLookedAt) break;
      auto const& targets = readings.targets[place.targets];
      now.push_back(against_each_other(place, targets, 0));
      swapped.push_back(against_each_other(place, targets, other));
    }
  if (now.empty()) return {};
  return {now.size(), median(now), median(swapped)};
}

}  // namespace

std::optional<Height> likelier_height_a(Readings const& readings, Judge const& judge) {
  constexpr std::size_t kFewest = 5;
  constexpr double kFits = 1.0 / 3;
  if (readings.kind != ReadingKind::strips) return std::nullopt;
  const double u = judge.gauge ? standard_uncertainty(*judge.gauge).in_millimetres() : 0;
  std::optional<Height> best;
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t other = 1; other < kMostHeights; ++other) {
    const auto medians = medians_of(readings, other);
    if (medians.places < kFewest || medians.now <= std::max(3 * u, 1e-6)) continue;
    if (medians.swapped > kFits * medians.now || medians.swapped >= least) continue;
    least = medians.swapped;
    best = heights_of(ReadingKind::strips)[other];
  }
  return best;
}

std::optional<PlaceFrom> likelier_place(Readings const& readings, ReadingColumns const& columns,
                                        std::vector<Targets const*> const& sections) {
  constexpr std::size_t kFewest = 3;
  constexpr double kFits = 1.0 / 4;
  if (readings.kind != ReadingKind::strips) return std::nullopt;
  const bool from_tip = columns.place_from == PlaceFrom::rod_tip;
  std::vector<double> now;
  std::vector<double> then;
  Length tolerance;
  for (auto const& piece : readings.pieces) {
    auto const& targets = *sections[piece.section];
    const Length from_end = targets.first().from_zero();
    if (abs(from_end) < kSamePlace) return std::nullopt;
    for (auto const& place : piece.places) {
      const Station at = from_tip ? place.at + from_end : place.at - from_end;
      if (at < targets.first() - kSamePlace || at > targets.last() + kSamePlace)
        return std::nullopt;
      if (now.size() >= kMostLookedAt) continue;
      auto const& here = readings.targets[place.targets];
      const auto there = targets.at(at);
      for (std::size_t h = 0; h < kMostHeights; ++h) {
        if (!place.heights[h].read() || !here[h] || !there[h]) continue;
        auto const& limits = here[h]->limits;
        tolerance =
            std::max({tolerance, limits.high - here[h]->value, here[h]->value - limits.low});
        now.push_back(std::abs((place.heights[h].mean - here[h]->value).in_millimetres()));
        then.push_back(std::abs((place.heights[h].mean - there[h]->value).in_millimetres()));
      }
    }
  }
  if (now.size() < kFewest) return std::nullopt;
  const double off = median(now);
  if (off <= tolerance.in_millimetres() || median(then) > kFits * off) return std::nullopt;
  return from_tip ? PlaceFrom::strip_end : PlaceFrom::rod_tip;
}

}  // namespace stripwright::inspection
