#pragma once

#include <ctime>
#include <optional>
#include <string>
#include <vector>

namespace stripwright::files {

/// Those of the names that there is something of in a folder, in their order.
std::vector<std::string> present_in(std::string const& folder,
                                    std::vector<std::string> const& names);

/// When a file was last written to; nothing if there is no plain file of that name.
std::optional<std::time_t> written_at(std::string const& path);

}  // namespace stripwright::files
