#pragma once

#include <string>
#include <string_view>

#include "files/key_spec.h"

namespace stripwright::keytables {

/// A JSON Schema (draft-07) of a file with these keys, as text with a line feed at its
/// end; editors check a file against it while it is typed.
///
/// It never refuses what the reader accepts, with three exceptions that nobody has a
/// reason to write: a zero with a minus sign, a count written as a fraction, and in
/// `for` a name that no section can have. It lets through what takes more than one value to judge:
/// limits of lengths with a unit (a plain number is held to what neither inches nor millimetres
/// could mean), keys of which exactly one may stand, the order of values. A YAML library's idea of
/// 010 or 1e3 is a number to it, too.
std::string json_schema(files::MapSpec const& file, std::string_view title);

}  // namespace stripwright::keytables
