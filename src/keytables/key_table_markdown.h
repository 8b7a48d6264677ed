#pragma once

#include <string>

#include "files/key_spec.h"

namespace stripwright::keytables {

/// The keys of a file as Markdown: a table of the file's own keys, then for each map
/// in it a heading of the fourth level, the place where the map stands, and its table.
/// A map that stands in several places comes once, with all of them.
std::string key_table_markdown(files::MapSpec const& file);

}  // namespace stripwright::keytables
