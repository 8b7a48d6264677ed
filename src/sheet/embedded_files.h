#pragma once

#include <string_view>

namespace stripwright::sheet {

/// sheet.css and sheet.js, compiled into the program.
extern const std::string_view kStyle;
extern const std::string_view kScript;

}  // namespace stripwright::sheet
