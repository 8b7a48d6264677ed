#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "cli/measuring.h"
#include "page/desk.h"

namespace stripwright::page {

/// What is measured: the same words in the address of the page and in what its script sends.
struct MeasureOrder {
  std::string file;     ///< the taper
  std::string shop;     ///< "" is the built-in one
  std::string machine;  ///< for a groove
  std::string gauge;
  std::string readings;  ///< the file of readings, there or not
  std::string stage;
  std::string section;       ///< "" is all
  std::string strips;        ///< how many, or their names with commas
  std::string heights;       ///< `a` or `abc`
  std::string moisture_now;  ///< percent; "" is that of the stage
  std::optional<Unit> unit;
};

MeasureOrder measure_order(Request const& request);
MeasureOrder measure_order(Request const& request, Order const& order);
std::string measure_address(std::string_view path, MeasureOrder const& order);

/// Measuring, opened for one request. What it refers to lives with it.
struct MeasureView {
  MeasureOrder order;
  cli::CheckOptions options;
  std::optional<cli::Inputs> inputs;
  std::optional<cli::Measuring> measuring;
};

/// Nothing, and problems, where a file or the order is wrong.
std::unique_ptr<MeasureView> view_measuring(Desk const& desk, MeasureOrder order,
                                            Problems& problems);

// The parts of the page.

/// "prompt": which reading is next, and between what it should lie.
std::string prompt(cli::Measuring const& measuring);
/// "verdict": the last reading's, in a shape, a word and a sentence; else what came of the deed.
std::string verdict(cli::Measuring const& measuring, cli::MeasuringAnswer const& answer);
/// "piece-figure": the piece from the side.
std::string piece_figure(cli::Measuring const& measuring, std::size_t index);
/// "pieces": each piece with the state of each place, to be gone to.
std::string pieces_table(cli::Measuring const& measuring, std::size_t index);

}  // namespace stripwright::page
