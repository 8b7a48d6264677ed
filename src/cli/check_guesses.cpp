#include <fmt/format.h>

#include <array>
#include <cmath>
#include <limits>

#include "cli/check.h"
#include "inspection/column_guess.h"

namespace stripwright::cli {
namespace {

using inspection::ReadingKind;
using inspection::Stage;

/// Readings looked at: a guess needs no more.
constexpr std::size_t kMostLookedAt = 5000;
/// A stage or a pass is asked about where the readings are off by more than so many tolerances, and
/// where they are off its targets by no more than so small a share of that.
constexpr double kFarOff = 2;
constexpr double kFits = 1.0 / 3;

double far_off_mm(CheckBench const& bench) {
  auto const& tolerance = bench.tolerance();
  return kFarOff * std::max(tolerance.over, tolerance.under).in_millimetres();
}

/// Root mean square of what the readings are off the targets of a stage, in millimetres.
double off_stage(CheckBench const& bench, inspection::Readings const& readings, Stage stage) {
  std::vector<inspection::StageTargets> targets;
  for (auto const* each : bench.of_stage)
    targets.emplace_back(std::make_shared<const section::StripProfile>(each->profile()), stage,
                         bench.inputs->shop,
                         stage == Stage::milled ? std::nullopt : bench.moisture_now);
  double squares = 0;
  std::size_t n = 0;
  for (auto const& piece : readings.pieces)
    for (auto const& place : piece.places) {
      const auto wanted = targets[piece.section].at(place.at);
      for (std::size_t h = 0; h < inspection::kMostHeights; ++h) {
        if (!place.heights[h].read() || !wanted[h]) continue;
        squares += std::pow((place.heights[h].mean - wanted[h]->value).in_millimetres(), 2);
        if (++n == kMostLookedAt) return std::sqrt(squares / static_cast<double>(n));
      }
    }
  return n == 0 ? 0 : std::sqrt(squares / static_cast<double>(n));
}

/// The stage whose targets the readings fit much better, where they are far off those of the
/// check's own.
std::optional<Stage> likelier_stage(CheckBench const& bench, inspection::Readings const& readings) {
  if (bench.kind() == ReadingKind::groove) return std::nullopt;
  const double now = off_stage(bench, readings, bench.stage);
  if (now < far_off_mm(bench)) return std::nullopt;
  std::optional<Stage> best;
  double least = kFits * now;
  for (const Stage stage :
       {Stage::milled, Stage::ready, Stage::glued, Stage::bare, Stage::varnished}) {
    if (stage == bench.stage || inspection::kind_of(stage) != bench.kind()) continue;
    const double off = off_stage(bench, readings, stage);
    if (off >= least) continue;
    best = stage;
    least = off;
  }
  return best;
}

/// Root mean square of what a groove's readings are off the targets of a pass, in millimetres;
/// endless where its gauge could not have read one of them.
double off_pass(CheckBench const& bench, inspection::Readings const& readings, std::size_t pass) {
  double squares = 0;
  std::size_t n = 0;
  for (auto const& piece : readings.pieces)
    for (auto const& place : piece.places) {
      const auto wanted = bench.passes[pass][piece.section]->at(place.at)[0];
      if (!wanted) return std::numeric_limits<double>::infinity();
      squares += std::pow((place.heights[0].mean - wanted->value).in_millimetres(), 2);
      ++n;
    }
  return n == 0 ? 0 : std::sqrt(squares / static_cast<double>(n));
}

/// The pass of the form that the readings fit much better than the last, counted from 0. Who names
/// a pass means it, however far off the form is set.
std::optional<std::size_t> likelier_pass(CheckBench const& bench,
                                         inspection::Readings const& readings) {
  if (bench.passes.size() < 2 || bench.pass_named) return std::nullopt;
  const double now = off_pass(bench, readings, bench.pass);
  if (now < far_off_mm(bench)) return std::nullopt;
  std::optional<std::size_t> best;
  double least = kFits * now;
  for (std::size_t pass = 0; pass < bench.passes.size(); ++pass) {
    const double off = off_pass(bench, readings, pass);
    if (pass == bench.pass || off >= least) continue;
    best = pass;
    least = off;
  }
  return best;
}

}  // namespace

std::vector<BetterExplanation> better_explanations(CheckBench const& bench,
                                                   inspection::Readings const& readings,
                                                   inspection::ReadingColumns const& columns) {
  std::vector<BetterExplanation> out;
  if (const auto stage = likelier_stage(bench, readings))
    out.push_back(
        {fmt::format("as a whole these readings are off, but fit {} measured {}: were they? then "
                     "call with --stage {}",
                     bench.kind() == ReadingKind::strips ? "strips" : "sections",
                     stage_words(*stage), inspection::word(*stage)),
         true});
  if (const auto pass = likelier_pass(bench, readings))
    out.push_back({fmt::format("as a whole the groove is off pass {}, but these readings fit pass "
                               "{}: is it set for that? then call with --pass {}",
                               bench.pass + 1, *pass + 1, *pass + 1),
                   true});
  if (!out.empty()) return out;
  if (const auto height = inspection::likelier_height_a(readings, bench.judge))
    out.push_back({fmt::format("as a whole height a is off against the others, but what stands "
                               "under {} fits a: are the columns a and {} swapped?",
                               inspection::word(*height), inspection::word(*height)),
                   false});
  if (const auto from =
          inspection::likelier_place(readings, columns, bench.order().choice.sections)) {
    const bool end = *from == inspection::PlaceFrom::strip_end;
    out.push_back({fmt::format("as a whole these strips are off, but fit if their places were "
                               "counted from {}: were they? then name the column {}",
                               end ? "the uncut strip's own tip end" : "the rod's tip end",
                               end ? "from_end" : "at"),
                   false});
  }
  return out;
}

}  // namespace stripwright::cli
