#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "report/table.h"

namespace stripwright::report {

using Json = nlohmann::ordered_json;

/// A list with an object a row, keys as in CSV; figures rounded as in files, empty
/// cells null.
Json to_json(Table const& table, Unit unit);

/// A length rounded as in files.
Json json_length(Length length, Unit unit);

/// Two blanks an indent, a line end at the end; text that is not UTF-8 is replaced.
std::string json_text(Json const& json);

}  // namespace stripwright::report
