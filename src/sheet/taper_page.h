#pragma once

#include <string>

#include "report/table.h"
#include "sheet/frame.h"
#include "taper/taper.h"

namespace stripwright::sheet {

/// A taper alone as a page: its picture, and its table.
std::string taper_page(SheetHead const& head, Taper const& taper, report::Table const& table);

/// Its picture alone, as an SVG file.
std::string taper_picture(Taper const& taper, Unit unit);

}  // namespace stripwright::sheet
