#pragma once

#include <string>

#include "manuals/call_tree.h"

namespace stripwright::manuals {

/// What a shell needs to complete commands, options, the words that an option takes, names of
/// tapers and shops (asked of `stripwright taper list` and `shop list` while typing), and files.
std::string bash_completions(CallCommand const& program);
std::string zsh_completions(CallCommand const& program);
std::string fish_completions(CallCommand const& program);

}  // namespace stripwright::manuals
