#include <fmt/format.h>

#include <array>
#include <cmath>

#include "cli/check.h"

namespace stripwright::cli {
namespace {

using inspection::ReadingKind;
using inspection::Stage;

/// Readings looked at: a guess needs no more.
constexpr std::size_t kMostLookedAt = 5000;
/// A stage is asked about where the readings are off by more than so many tolerances, and where
/// they are off that stage's targets by no more than so small a share of that.
constexpr double kFarOff = 2;
constexpr double kFits = 1.0 / 3;

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

}  // namespace

std::optional<Stage> likelier_stage(CheckBench const& bench, inspection::Readings const& readings) {
  if (bench.kind() == ReadingKind::groove) return std::nullopt;
  auto const& tolerance = bench.tolerance();
  const double now = off_stage(bench, readings, bench.stage);
  if (now < kFarOff * std::max(tolerance.over, tolerance.under).in_millimetres())
    return std::nullopt;
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

std::string stage_guess(CheckBench const& bench, inspection::Stage likelier) {
  return fmt::format(
      "as a whole these readings are off, but fit {} measured {}: were they? then call with "
      "--stage {}",
      bench.kind() == ReadingKind::strips ? "strips" : "sections", stage_words(likelier),
      inspection::word(likelier));
}

}  // namespace stripwright::cli
