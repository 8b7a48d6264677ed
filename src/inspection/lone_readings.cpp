#include "inspection/lone_readings.h"

#include <algorithm>
#include <boost/math/statistics/univariate_statistics.hpp>
#include <cmath>

#include "inspection/rod_taper.h"

namespace stripwright::inspection {
namespace {

using boost::math::statistics::median;

/// The normal distribution's upper quartile: a median distance / 0.6745 is its standard deviation.
constexpr double kQuartile = 0.6745;
/// What jumps by this share of a reading's jump goes with it; what jumps by less than that stays.
constexpr double kGoesAlong = 0.5;
constexpr double kStays = 0.25;

/// One reading of a height along the piece, in millimetres.
struct Point {
  std::size_t place = 0;
  double x = 0;
  double off = 0;
  Judged const* judged = nullptr;
};

using Line = std::vector<Point>;
using Lines = std::array<Line, kMostHeights>;

Lines lines_of(JudgedPiece const& piece) {
  Lines out;
  for (std::size_t p = 0; p < piece.places.size(); ++p)
    for (std::size_t h = 0; h < kMostHeights; ++h)
      if (auto const& judged = piece.places[p].heights[h])
        out[h].push_back({p, piece.places[p].at.from_zero().in_millimetres(),
                          judged->deviation().in_millimetres(), &*judged});
  return out;
}

bool is_inner(Line const& line, std::size_t i) { return i > 0 && i + 1 < line.size(); }

/// What the neighbours say of the deviation at a point: straight between two, else as the one has
/// it. There is one at least.
double neighbours_say(Line const& line, std::size_t i) {
  if (i == 0) return line[1].off;
  if (i + 1 == line.size()) return line[i - 1].off;
  auto const& before = line[i - 1];
  auto const& behind = line[i + 1];
  const double share = (line[i].x - before.x) / (behind.x - before.x);
  return before.off + share * (behind.off - before.off);
}

/// The only neighbour of an end.
std::size_t beside_end(Line const& line, std::size_t end) { return end == 0 ? 1 : line.size() - 2; }

/// How far a point stands out of all its neighbours on one side: above 0 if it is over them, below
/// if under; 0 if it lies between.
double jump_of(Line const& line, std::size_t i) {
  const double off = line[i].off;
  const double one = i > 0 ? line[i - 1].off : line[i + 1].off;
  const double other = i + 1 < line.size() ? line[i + 1].off : one;
  if (off > std::max(one, other)) return off - std::max(one, other);
  return off < std::min(one, other) ? off - std::min(one, other) : 0;
}

/// The jump from which a reading may be misread. Its neighbours may be right at one limit and it at
/// the other, each read with its scatter; with a gauge that is coarse against the tolerance the
/// scatter alone must not do it, the difference of two readings having √2 u: 7 u are five of that.
double least_jump(Judged const& judged) {
  const double tolerance = (judged.target.limits.high - judged.target.limits.low).in_millimetres();
  const double u = judged.uncertainty.in_millimetres();
  return std::max(tolerance + 3 * u, 7 * u);
}

bool jumps_far(Point const& point, double jump) {
  if (std::abs(jump) <= least_jump(*point.judged)) return false;
  auto const& read = point.judged->read;
  const bool agree = read.count > 1 && kOddFrom * read.spread.in_millimetres() < std::abs(jump);
  return !agree;
}

/// How the piece scatters from place to place: of all points that lie between two the distance from
/// what these say, as of one reading.
double scatter_of(Lines const& lines) {
  std::vector<double> all;
  for (auto const& line : lines)
    for (std::size_t i = 1; i + 1 < line.size(); ++i) {
      const double share = (line[i].x - line[i - 1].x) / (line[i + 1].x - line[i - 1].x);
      const double noise = std::sqrt(1 + share * share + (1 - share) * (1 - share));
      all.push_back(std::abs(line[i].off - neighbours_say(line, i)) / noise);
    }
  return all.empty() ? 0 : median(all) / kQuartile;
}

/// What the other heights at a point's place do.
struct Company {
  std::size_t staying = 0;
  bool along = false;
};

Company company_of(Lines const& lines, std::size_t height, std::size_t place, double jump) {
  Company out;
  for (std::size_t h = 0; h < kMostHeights; ++h) {
    auto const& line = lines[h];
    if (h == height || line.size() < 2) continue;
    const auto here = std::find_if(line.begin(), line.end(),
                                   [&](Point const& point) { return point.place == place; });
    if (here == line.end()) continue;
    const auto i = static_cast<std::size_t>(here - line.begin());
    const double share = (line[i].off - neighbours_say(line, i)) / jump;
    if (share >= kGoesAlong) out.along = true;
    if (std::abs(share) < kStays) ++out.staying;
  }
  return out;
}

Lone lone_of(Line const& line, std::size_t i, Company const& company) {
  return {line[i].judged->target.value + Length::millimetres(neighbours_say(line, i)),
          company.staying == kMostHeights - 1};
}

/// A reading that may stand alone.
struct Candidate {
  std::size_t height = 0;
  std::size_t index = 0;  // in its line
  double jump = 0;
  double from_median = 0;
  Lone lone;
};

/// All that one piece by itself says stand alone, the farthest from their medians first.
std::vector<Candidate> candidates(Lines const& lines) {
  std::vector<Candidate> out;
  for (std::size_t h = 0; h < kMostHeights; ++h) {
    auto const& line = lines[h];
    if (line.size() < kLeastPlacesForLone) continue;
    for (std::size_t i = 0; i < line.size(); ++i) {
      const double jump = jump_of(line, i);
      if (!jumps_far(line[i], jump)) continue;
      const auto company = company_of(lines, h, line[i].place, jump);
      if (company.along) continue;
      if (!is_inner(line, i)) {
        const bool all_others_stay = company.staying == kMostHeights - 1;
        const bool neighbour_jumps =
            std::abs(jump_of(line, beside_end(line, i))) >= kStays * std::abs(jump);
        if (!all_others_stay || neighbour_jumps) continue;
      }
      Lines others = lines;
      others[h].erase(others[h].begin() + static_cast<std::ptrdiff_t>(i));
      if (std::abs(jump) <= kOddFrom * scatter_of(others)) continue;
      std::vector<double> offs;
      for (auto const& point : line) offs.push_back(point.off);
      out.push_back({h, i, jump, std::abs(line[i].off - median(offs)), lone_of(line, i, company)});
    }
  }
  std::stable_sort(out.begin(), out.end(), [](auto const& one, auto const& other) {
    return one.from_median > other.from_median;
  });
  return out;
}

/// Cheap for the pieces that have none, which are nearly all.
bool may_have_any(Lines const& lines) {
  for (auto const& line : lines) {
    if (line.size() < kLeastPlacesForLone) continue;
    for (std::size_t i = 0; i < line.size(); ++i)
      if (jumps_far(line[i], jump_of(line, i))) return true;
  }
  return false;
}

/// True if most of two or more others jump with it, by these jumps.
bool most_go_along(std::size_t along, std::size_t others) {
  return others >= 2 && 2 * along > others;
}

}  // namespace

void LoneReadings::mark(JudgedPiece& piece) {
  Lines lines = lines_of(piece);
  if (!may_have_any(lines)) return;
  std::array<std::size_t, kMostHeights> left{};
  for (std::size_t h = 0; h < kMostHeights; ++h) left[h] = lines[h].size() / 4;
  for (bool found = true; found;) {
    found = false;
    for (auto const& each : candidates(lines)) {
      auto& line = lines[each.height];
      const auto place = line[each.index].place;
      if (left[each.height] == 0 ||
          others_jump_too(piece.places[place].targets, each.height, each.jump))
        continue;
      piece.places[place].heights[each.height]->lone = each.lone;
      line.erase(line.begin() + static_cast<std::ptrdiff_t>(each.index));
      --left[each.height];
      found = true;
      break;
    }
  }
}

/// Once through all readings, and only where some reading may stand alone.
void LoneReadings::look_at_all() {
  jumps_mm_.resize(readings_.targets.size() * kMostHeights);
  for (auto const& piece : readings_.pieces)
    for (std::size_t h = 0; h < kMostHeights; ++h) {
      Line line;
      std::vector<std::uint32_t> targets;
      for (auto const& place : piece.places) {
        auto const& wanted = readings_.targets[place.targets][h];
        if (!place.heights[h].read() || !wanted) continue;
        line.push_back({0, place.at.from_zero().in_millimetres(),
                        (place.heights[h].mean - wanted->value).in_millimetres(), nullptr});
        targets.push_back(place.targets);
      }
      for (std::size_t i = 0; i < line.size() && line.size() > 1; ++i)
        jumps_mm_[targets[i] * kMostHeights + h].push_back(line[i].off - neighbours_say(line, i));
    }
}

bool LoneReadings::others_jump_too(std::uint32_t targets, std::size_t height, double jump_mm) {
  if (jumps_mm_.empty()) look_at_all();
  auto const& jumps = jumps_mm_[targets * kMostHeights + height];
  const auto along = static_cast<std::size_t>(std::count_if(
      jumps.begin(), jumps.end(), [&](double each) { return each / jump_mm >= kGoesAlong; }));
  // Its own is among them.
  return along > 0 && most_go_along(along - 1, jumps.size() - 1);
}

std::optional<Lone> lone_while_measuring(JudgedPiece const& piece, std::size_t place,
                                         std::size_t height, std::span<JudgedPiece const> others) {
  const auto point_at = [&](Line const& line, Station at) {
    return static_cast<std::size_t>(std::find_if(line.begin(), line.end(),
                                                 [&](Point const& point) {
                                                   return same_place(Length::millimetres(point.x),
                                                                     at.from_zero());
                                                 }) -
                                    line.begin());
  };
  const Station at = piece.places[place].at;
  const auto lines = lines_of(piece);
  auto const& line = lines[height];
  const auto i = point_at(line, at);
  if (i == line.size() || line.size() < 2) return std::nullopt;
  const double jump = jump_of(line, i);
  if (!jumps_far(line[i], jump)) return std::nullopt;
  const auto company = company_of(lines, height, place, jump);
  if (company.along) return std::nullopt;
  std::size_t read = 0;
  std::size_t along = 0;
  for (auto const& other : others) {
    const auto its = lines_of(other)[height];
    const auto there = point_at(its, at);
    if (there == its.size() || its.size() < 2) continue;
    ++read;
    if ((its[there].off - neighbours_say(its, there)) / jump >= kGoesAlong) ++along;
  }
  if (most_go_along(along, read)) return std::nullopt;
  return lone_of(line, i, company);
}

bool any_lone(JudgedPiece const& piece) {
  for (auto const& place : piece.places)
    for (auto const& each : place.heights)
      if (each && each->lone) return true;
  return false;
}

JudgedPiece without_lone(JudgedPiece piece) {
  for (auto& place : piece.places)
    for (auto& each : place.heights)
      if (each && each->lone) {
        each.reset();
        place.angles.reset();
      }
  std::erase_if(piece.places, [](JudgedPlace const& place) {
    return std::none_of(place.heights.begin(), place.heights.end(),
                        [](auto const& each) { return each.has_value(); });
  });
  return piece;
}

}  // namespace stripwright::inspection
