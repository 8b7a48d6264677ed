#pragma once

#include <string>
#include <vector>

namespace stripwright::files {

/// Those of the names that there is something of in a folder, in their order.
std::vector<std::string> present_in(std::string const& folder,
                                    std::vector<std::string> const& names);

}  // namespace stripwright::files
