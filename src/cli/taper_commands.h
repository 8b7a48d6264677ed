#pragma once

#include "cli/command.h"
#include "cli/options.h"

namespace stripwright::cli {

/// The commands below `taper` that have files of their own.
void add_taper_derive(CLI::App& group, Run& run);
void add_taper_import(CLI::App& group, Run& run);
void add_taper_compare(CLI::App& group, Run& run);
void add_taper_list(CLI::App& group, Run& run);

}  // namespace stripwright::cli
