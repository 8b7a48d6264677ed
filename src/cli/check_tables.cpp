#include <cmath>

#include "cli/check.h"
#include "inspection/impossible.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

using inspection::Judged;
using inspection::ReadingKind;
using inspection::Verdict;
using report::Cell;
using report::Number;
using report::Place;

constexpr int kShareDecimals = 4;
constexpr int kPercentDecimals = 3;

/// To two decimals at the bench, or as many more as it takes that a chance that proves nothing does
/// not read as one that does: 0.947, not 0.95.
Number chance(double conforms) {
  using inspection::kProven;
  int decimals = 2;
  while (decimals < kShareDecimals && conforms < kProven &&
         round_to_decimals(conforms, decimals) >= kProven)
    ++decimals;
  return {conforms, kShareDecimals, decimals};
}

}  // namespace

std::string_view verdict_word(ReadingKind kind, Verdict verdict) {
  return kind == ReadingKind::groove ? inspection::groove_word(verdict) : inspection::word(verdict);
}

report::Table readings_table(CheckBench const& bench, inspection::JudgedPiece const& piece,
                             bool only_faulty) {
  report::Table table{"readings",
                      {{"", "verdict"},
                       {"strip", ""},
                       {"at", bench.of_groove.empty() ? "station" : "machine at", true},
                       {"height", "height"},
                       {"measured", "measured", true},
                       {"target", "target", true},
                       {"deviation", "off", true},
                       {"low", "", true},
                       {"high", "", true},
                       {"verdict", ""},
                       {"conforms", "chance right"},
                       {"stiffness_pct", "EI %"}},
                      {}};
  for (auto const& place : piece.places)
    for (auto const& judged : place.heights) {
      if (!judged || (only_faulty && judged->verdict == Verdict::right)) continue;
      const std::string word(verdict_word(bench.kind(), judged->verdict));
      table.rows.push_back(
          {word, piece.name, Place{bench.place(piece.section, place.at)},
           std::string(inspection::word(judged->height)), judged->read.mean, judged->target.value,
           judged->deviation(), judged->target.limits.low, judged->target.limits.high, word,
           bench.judge.gauge ? Cell(chance(judged->conforms())) : Cell(std::monostate{}),
           Number{100 * judged->stiffness_change(), kPercentDecimals, 1}});
    }
  return table;
}

report::Table group_table(CheckBench const& bench, std::size_t section,
                          std::vector<inspection::StationDeviation> const& stations) {
  report::Table table{"stations",
                      {{"cause", "says"},
                       {"at", "station", true},
                       {"strips", "strips"},
                       {"mean", "mean off", true},
                       {"standard_error", "", true},
                       {"low", "from", true},
                       {"high", "to", true},
                       {"spread", "spread", true}},
                      {}};
  for (auto const& each : stations)
    table.rows.push_back({std::string(inspection::word(each.cause)),
                          Place{bench.place(section, each.at)}, each.strips, each.mean,
                          each.standard_error, each.low, each.high,
                          each.strips > 1 ? Cell(each.spread) : Cell(std::monostate{})});
  return table;
}

std::optional<TooCoarse> too_coarse(CheckBench const& bench) {
  if (!bench.judge.gauge || bench.judge.decide == Decide::plain) return std::nullopt;
  auto const& gauge = *bench.judge.gauge;
  const auto limits = inspection::limits_around({}, bench.tolerance());
  const Length would_do = inspection::coarsest_uncertainty(limits);
  if (inspection::standard_uncertainty(gauge) <= would_do) return std::nullopt;
  TooCoarse out{would_do, std::nullopt};
  // u_gauge² + (resolution²/12)/n <= u²: more readings help only as far as the first part lets
  // them.
  const double left_mm2 = std::pow(would_do.in_millimetres(), 2) -
                          std::pow(gauge.standard_uncertainty.in_millimetres(), 2);
  const double of_step_mm2 = std::pow(gauge.resolution.in_millimetres(), 2) / 12;
  constexpr double kPatience = 20;
  if (left_mm2 > 0 && of_step_mm2 / left_mm2 <= kPatience)
    out.readings_of_each = static_cast<long>(std::ceil(of_step_mm2 / left_mm2));
  return out;
}

Checker::Checker(CheckBench const& bench, inspection::Readings const& readings, bool angles,
                 bool whole)
    : bench_(bench), readings_(readings), lone_(readings), angles_(angles), whole_(whole) {
  totals_.groups.assign(bench.targets.size(), inspection::GroupSummary(bench.judge.gauge));
  totals_.left_out = readings.left_out;
}

CheckedPiece Checker::next(inspection::Piece const& piece) {
  CheckedPiece out{inspection::judge(piece, readings_, bench_.judge), {}, {}};
  const bool strips = bench_.kind() == ReadingKind::strips;
  if (strips && (angles_ || whole_))
    inspection::judge_angles(out.judged, bench_.of_stage[piece.section]->face(), bench_.judge);
  if (bench_.doubts_lone_readings()) lone_.mark(out.judged);
  if (whole_) {
    out.summary = inspection::sum_up(out.judged, bench_.judge);
    if (strips)
      inspection::sum_up_strip(out.summary, out.judged, *bench_.of_stage[piece.section],
                               bench_.inputs->shop.spare, bench_.judge);
    out.suspicion = suspicion(out.judged);
  } else {
    out.summary.counts = inspection::count(out.judged);
    out.summary.verdict = out.summary.counts.worst();
    out.summary.read_again = inspection::standing_alone(out.judged);
  }
  totals_.readings.add(out.summary.counts);
  totals_.pieces.add(out.summary.verdict);
  if (strips && angles_) totals_.angles.add(inspection::count_angles(out.judged));
  totals_.groups[piece.section].add(out.judged);
  return out;
}

std::string Checker::suspicion(inspection::JudgedPiece const& piece) const {
  std::vector<inspection::DoubtfulReading> readings;
  std::vector<inspection::Targets const*> sections;
  for (auto const& each : bench_.targets) sections.push_back(each.get());
  for (auto const& place : piece.places)
    for (std::size_t h = 0; h < inspection::kMostHeights; ++h)
      if (place.heights[h])
        readings.push_back({place.at,
                            h,
                            place.heights[h]->read.mean,
                            bench_.kind(),
                            {},
                            *bench_.targets[piece.section],
                            sections});
  return inspection::guess_about_strip(readings);
}

}  // namespace stripwright::cli
