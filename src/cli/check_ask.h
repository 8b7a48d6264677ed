#pragma once

#include <iosfwd>

#include "cli/check.h"
#include "cli/command.h"

namespace stripwright::cli {

/// `check --ask`: goes through strips and stations and takes one number a line, as a caliper that
/// types sends it; tells each verdict at once, and keeps each reading in the file before that. At
/// the end, or at the end of the input, all readings of the file are judged and printed.
///
/// Besides numbers it takes the words back (take the last reading back), again (read the last place
/// once more; the mean counts), skip (leave this reading out), next (go on to the next strip) and
/// end. Started again it goes on behind the last reading of the file.
ExitStatus ask_readings(CheckOptions const& options, Inputs& inputs, Problems& problems,
                        std::istream& in, Streams streams);

}  // namespace stripwright::cli
