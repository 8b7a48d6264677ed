#pragma once

#include "cli/command.h"
#include "cli/options.h"

namespace stripwright::cli {

/// The commands below `taper` that have files of their own.
void add_taper_derive(Command group, Run& run);
void add_taper_import(Command group, Run& run);
void add_taper_compare(Command group, Run& run);
void add_taper_list(Command group, Run& run);

}  // namespace stripwright::cli
