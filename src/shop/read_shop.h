#pragma once

#include <optional>

#include "files/source_text.h"
#include "shop/shop.h"

namespace stripwright {

/// Reads a shop file. Mistakes are errors, all told at once, and give nothing.
std::optional<Shop> read_shop(files::SourceText const& source, Problems& problems);

/// The shop that serves where none is named: one planing form, built into the program
/// from profiles/shops/steel-form-inches.yaml.
files::SourceText embedded_shop_source();

}  // namespace stripwright
