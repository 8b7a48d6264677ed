#pragma once

#include <ctime>
#include <string>

#include "cli/options.h"
#include "sheet/frame.h"

namespace stripwright::cli {

/// The title block of a sheet made from these inputs, today, for a machine (may be empty).
sheet::SheetHead sheet_head(Inputs const& inputs, std::string const& machine);

/// The title block of a page about a taper alone.
sheet::SheetHead taper_head(files::SourceText const& source, Taper const& taper, Unit unit);

/// A file as a sheet's title block names it.
sheet::FileVersion file_version(files::SourceText const& source);

/// The date on sheets, `2026-01-01`: that of SOURCE_DATE_EPOCH (seconds since 1970, UTC) where
/// it is set to a whole number, else today's, local time.
std::string sheet_date();

/// The date of a moment, local time, written alike.
std::string date_of(std::time_t moment);

}  // namespace stripwright::cli
