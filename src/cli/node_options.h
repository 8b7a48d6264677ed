#pragma once

#include <optional>
#include <string>
#include <vector>

#include "culm/culms.h"

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
/// `unit`. What is wrong is a problem.
culm::NodeHabits node_habits(NodeOptions const& options, culm::NodeHabits rules, Unit unit,
                             Problems& problems);

/// The step of `--shift-step`: as it is written, bare numbers of `unit`; 1/4 in or 5 mm if it is
/// left out. Nothing, and a problem, if it is none or under 0.1 mm without being 0.
std::optional<Length> shift_step(std::string const& given, Unit unit, Problems& problems);

}  // namespace stripwright::cli
