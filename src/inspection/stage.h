#pragma once

#include <array>
#include <optional>
#include <span>
#include <string_view>

namespace stripwright::inspection {

/// What was measured: strips, finished sections, or the groove of the set form.
enum class ReadingKind : unsigned char { strips, sections, groove };

/// When it was measured.
enum class Stage : unsigned char {
  milled,     ///< strip as it leaves the machine
  groove,     ///< the set form, before cane is cut
  ready,      ///< strip as it goes to the glue
  glued,      ///< section, binding off, not cleaned
  bare,       ///< section, cleaned and flat
  varnished,  ///< section, finished
};

/// A quantity that is read at a place: the three heights of a strip (a square to the outer
/// face, b and c square to a flank each), the three across flats of a section, or the depth
/// gauge over a groove.
enum class Height : unsigned char { a, b, c, f1, f2, f3, gauge };

inline constexpr std::size_t kMostHeights = 3;

/// The words of files and options: `milled`, `a`.
std::string_view word(Stage stage);
std::string_view word(Height height);
std::optional<Stage> stage_of(std::string_view word);

/// What is measured at a stage, and the stage that is meant where none is named.
ReadingKind kind_of(Stage stage);
Stage usual_stage(ReadingKind kind);

/// The heights of a kind in their order: a, b, c; f1, f2, f3; gauge.
std::span<const Height> heights_of(ReadingKind kind);

}  // namespace stripwright::inspection
