#pragma once

#include <optional>
#include <string>

#include "files/map_reader.h"
#include "shop/machine_description.h"
#include "shop/shop.h"

namespace stripwright {

/// Reads one machine of a shop file by its `kind`; nothing if the kind is unknown.
/// Passes whose rough strip is left out start from a plain one by the shop's rough allowance.
std::optional<Machine> read_machine(std::string const& name, files::YamlNode const& node,
                                    RoughAllowance const& rough, files::ReadContext const& context);

}  // namespace stripwright
