#pragma once

#include <optional>

#include "files/map_reader.h"
#include "shop/machine_description.h"
#include "shop/shop.h"

namespace stripwright {

/// Reads the `passes` of a machine; nothing if it has none. Where they leave the rough
/// strip out it is a plain one, higher than the section by the shop's rough allowance.
std::optional<Passes> read_passes(files::MapReader const& machine, RoughAllowance const& rough);

}  // namespace stripwright
