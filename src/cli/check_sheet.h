#pragma once

#include <iosfwd>

#include "cli/check.h"
#include "files/source_text.h"

namespace stripwright::cli {

/// How far the reading is off that is off most.
Length farthest_off(inspection::JudgedPiece const& piece);

/// Judges the readings and prints them; then, but not with --summary, writes the sheet and its
/// record into the folder that the options name, or output/<taper>/checked/<readings>. wrong if
/// the sheet was edited since it was written, failed if the disk would not.
ExitStatus print_and_write_check(CheckReport const& report, files::SourceText const& source,
                                 std::ostream& out, Problems& problems);

/// The sheet alone, as `print_and_write_check` writes it.
std::string check_sheet_page(CheckReport const& report, files::SourceText const& source);

}  // namespace stripwright::cli
