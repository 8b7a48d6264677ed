#pragma once

#include <functional>
#include <iosfwd>
#include <string>

#include "cli/exit_status.h"

namespace CLI {
class App;
}

namespace stripwright::cli {

/// Where results and messages go.
struct Streams {
  std::ostream& out;
  std::ostream& err;
};

/// What a command leaves to be run once the whole line has been read.
using Run = std::function<ExitStatus(Streams)>;

/// Each command adds itself to the program and puts what is to be run into `run`.
void add_setup(CLI::App& program, Run& run);
void add_correct(CLI::App& program, Run& run);
void add_explain(CLI::App& program, Run& run);
void add_taper(CLI::App& program, Run& run);
void add_shop(CLI::App& program, Run& run);
void add_check(CLI::App& program, Run& run);
void add_learn(CLI::App& program, Run& run);
void add_bend(CLI::App& program, Run& run);
void add_choose(CLI::App& program, Run& run);
void add_culm(CLI::App& program, Run& run);

}  // namespace stripwright::cli
