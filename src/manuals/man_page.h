#pragma once

#include <string>

#include "manuals/call_tree.h"

namespace stripwright::manuals {

/// The manual page of a command for man(7), section 1: what `--help` says, in the usual headings.
/// The same call tree and version give the same bytes.
std::string man_page(CallCommand const& command, std::string const& version);

/// The name of its file: "stripwright-taper-derive.1".
std::string man_page_name(CallCommand const& command);

}  // namespace stripwright::manuals
