#include "inspection/stage.h"

#include <algorithm>

namespace stripwright::inspection {
namespace {

constexpr std::array<std::string_view, 6> kStages = {"milled", "groove", "ready",
                                                     "glued",  "bare",   "varnished"};
constexpr std::array<std::string_view, 7> kHeights = {"a", "b", "c", "f1", "f2", "f3", "gauge"};
constexpr std::array kOfStrips = {Height::a, Height::b, Height::c};
constexpr std::array kOfSections = {Height::f1, Height::f2, Height::f3};
constexpr std::array kOfGroove = {Height::gauge};

}  // namespace

std::string_view word(Stage stage) { return kStages.at(static_cast<std::size_t>(stage)); }

std::string_view word(Height height) { return kHeights.at(static_cast<std::size_t>(height)); }

std::optional<Stage> stage_of(std::string_view word) {
  const auto found = std::find(kStages.begin(), kStages.end(), word);
  if (found == kStages.end()) return std::nullopt;
  return static_cast<Stage>(found - kStages.begin());
}

ReadingKind kind_of(Stage stage) {
  switch (stage) {
    case Stage::milled:
    case Stage::ready:
      return ReadingKind::strips;
    case Stage::groove:
      return ReadingKind::groove;
    case Stage::glued:
    case Stage::bare:
    case Stage::varnished:
      return ReadingKind::sections;
  }
  return ReadingKind::strips;
}

Stage usual_stage(ReadingKind kind) {
  switch (kind) {
    case ReadingKind::strips:
      return Stage::milled;
    case ReadingKind::sections:
      return Stage::glued;
    case ReadingKind::groove:
      return Stage::groove;
  }
  return Stage::milled;
}

std::span<const Height> heights_of(ReadingKind kind) {
  switch (kind) {
    case ReadingKind::strips:
      return kOfStrips;
    case ReadingKind::sections:
      return kOfSections;
    case ReadingKind::groove:
      return kOfGroove;
  }
  return {};
}

}  // namespace stripwright::inspection
