#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "machine/section_setup.h"

namespace stripwright::sheet {

// What is said alike on the terminal and on sheets.

/// How the last pass's bars miss between the screws; "" for machines without.
std::string miss_sentence(machine::SectionSetup const& setup, Unit unit);

/// Which readings prove a strip of the section right, `range` the words for them in the table; or
/// why none do.
std::string proven_sentence(machine::SectionSetup const& setup, Shop const& shop,
                            std::optional<Gauge> const& gauge, Unit unit, std::string_view range);

/// At which moisture `flats glued` and the strip's figures hold; "" if the shop knows of none.
std::string moisture_sentence(Shop const& shop);

}  // namespace stripwright::sheet
