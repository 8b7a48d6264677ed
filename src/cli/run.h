#pragma once

#include <iosfwd>
#include <string>
#include <vector>

namespace stripwright::cli {

/// Runs the program: arguments without its own name, results to `out`, messages to `err`.
/// Returns the exit status (see exit_status.h); never throws.
int run(std::vector<std::string> const& arguments, std::ostream& out, std::ostream& err);

}  // namespace stripwright::cli
