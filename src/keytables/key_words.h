#pragma once

#include <string>
#include <string_view>

#include "files/key_spec.h"

namespace stripwright::keytables {

/// What a value may be, with its range: `a length, 0 to 2 mm, or a map`. `maps` is
/// said behind the kind that is a map, or has maps in it.
std::string what_it_may_be(files::KeySpec const& key, std::string_view maps = {});

/// A key in one line, for an editor to show: the meaning, what it may be, and what is
/// taken if it is left out.
std::string describe(files::KeySpec const& key);

/// Lower case, hyphens for blanks: what a heading's link is called.
std::string hyphened(std::string_view name);

}  // namespace stripwright::keytables
