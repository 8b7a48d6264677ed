#include "inspection/judge.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace stripwright::inspection {

double Judged::conforms() const {
  return conformance_probability(read.mean, target.limits, uncertainty);
}

double Judged::stiffness_change() const {
  return std::pow(1 + target.flats_off(read.mean) / target.flats_bare, 4) - 1;
}

Verdict JudgedPlace::verdict() const {
  auto out = Verdict::right;
  for (auto const& each : heights)
    if (each) out = worse(out, each->verdict);
  return out;
}

void Counts::add(Counts const& others) {
  for (std::size_t i = 0; i < of.size(); ++i) of[i] += others.of[i];
}

std::size_t Counts::all() const { return std::accumulate(of.begin(), of.end(), std::size_t{0}); }

Verdict Counts::worst() const {
  for (std::size_t i = of.size(); i-- > 0;)
    if (of[i] > 0) return static_cast<Verdict>(i);
  return Verdict::right;
}

JudgedPlace judge(PlaceReadings const& place, PlaceTargets const& targets, ReadingKind kind,
                  Judge const& judge) {
  JudgedPlace out{place.at, place.targets, {}, {}};
  const auto heights = heights_of(kind);
  for (std::size_t h = 0; h < heights.size(); ++h) {
    auto const& read = place.heights[h];
    if (!read.read()) continue;
    check_internal(targets[h].has_value(), "a reading without a target");
    Judged judged{heights[h], read, *targets[h], {}, {}, {}, {}};
    if (judge.gauge) {
      judged.scatter = scatter_uncertainty(*judge.gauge, read);
      judged.uncertainty = root_of_squares(judge.gauge->standard_uncertainty, judged.scatter);
    }
    judged.verdict = verdict(read.mean, judged.target.limits, judged.uncertainty, judge.decide);
    out.heights[h] = judged;
  }
  return out;
}

JudgedPiece judge(Piece const& piece, Readings const& readings, Judge const& judge) {
  JudgedPiece out{piece.name, piece.section, {}};
  out.places.reserve(piece.places.size());
  for (auto const& place : piece.places)
    out.places.push_back(
        inspection::judge(place, readings.targets[place.targets], readings.kind, judge));
  return out;
}

void judge_angles(JudgedPiece& strip, FaceMeasured const& face, Judge const& judge) {
  for (auto& place : strip.places) {
    auto const& [a, b, c] = place.heights;
    if (!a || !b || !c || a->height != Height::a) continue;
    const MeasuredHeights heights{{a->read.mean, b->read.mean, c->read.mean},
                                  {a->uncertainty, b->uncertainty, c->uncertainty},
                                  judge.gauge ? judge.gauge->standard_uncertainty : Length{}};
    place.angles = judge_angles(heights, face, judge.angle_tolerance, judge.decide);
  }
}

Counts count(JudgedPiece const& piece) {
  Counts out;
  for (auto const& place : piece.places)
    for (auto const& each : place.heights)
      if (each) out.add(each->verdict);
  return out;
}

Counts count_angles(JudgedPiece const& piece) {
  Counts out;
  for (auto const& place : piece.places)
    if (place.angles)
      for (const auto verdict : place.angles->verdicts) out.add(verdict);
  return out;
}

}  // namespace stripwright::inspection
