#pragma once

#include "files/key_spec.h"

namespace stripwright {

/// The keys of a shop file.
files::MapSpec const& shop_file_keys();
/// The keys of a gauge.
files::MapSpec const& gauge_keys();
/// The keys of a machine of each kind.
std::span<const files::KindSpec> machine_kinds();

}  // namespace stripwright
