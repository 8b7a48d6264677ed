#pragma once

#include <functional>
#include <iosfwd>
#include <string>

#include "cli/exit_status.h"

namespace stripwright::cli {

class Command;

/// Where results and messages go.
struct Streams {
  std::ostream& out;
  std::ostream& err;
};

/// What a command leaves to be run once the whole line has been read.
using Run = std::function<ExitStatus(Streams)>;

/// Each command adds itself to the program and puts what is to be run into `run`.
void add_setup(Command program, Run& run);
void add_correct(Command program, Run& run);
void add_explain(Command program, Run& run);
void add_taper(Command program, Run& run);
void add_shop(Command program, Run& run);
void add_check(Command program, Run& run);
void add_learn(Command program, Run& run);
void add_bend(Command program, Run& run);
void add_choose(Command program, Run& run);
void add_culm(Command program, Run& run);
void add_open(Command program, Run& run);

}  // namespace stripwright::cli
