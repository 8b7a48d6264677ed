#pragma once

#include <optional>
#include <string>
#include <vector>

#include "culm/culms.h"
#include "taper/taper.h"

namespace stripwright::cli {

class Command;

/// The options that say where nodes are unwelcome, as they were written.
struct NodeOptions {
  std::string min_gap;
  std::string keep_clear;
  std::vector<std::string> clear_at;
};

void add_node_options(Command command, NodeOptions& options);

/// The rules of a file, or the usual ones, with what the options say instead; bare numbers are of
/// the taper's unit. What is wrong is a problem: a place off the rod is an error where an option
/// names it, and a warning where a file does, for the file may serve other rods.
culm::NodeHabits node_habits(NodeOptions const& options, culm::NodeHabits rules, Taper const& taper,
                             Problems& problems);

/// Whether 0, which moves no strip, is an answer to the question.
enum class ZeroStep { moves_none, no_use };

/// The step of `--shift-step`: as it is written, bare numbers of `unit`; 1/4 in or 5 mm if it is
/// left out. Nothing, and a problem, if it is none or under 0.1 mm; 0 only if it is of use.
std::optional<Length> shift_step(std::string const& given, Unit unit, ZeroStep zero,
                                 Problems& problems);

}  // namespace stripwright::cli
