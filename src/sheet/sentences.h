#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "machine/section_setup.h"

namespace stripwright::sheet {

// What is said alike on the terminal and on sheets.

/// How the last pass's bars miss between the screws, where that is and what the gauge reads there;
/// "" for machines without.
std::string miss_sentence(machine::SectionSetup const& setup, Unit unit);

/// What to do about that at a form, as a step of its setting; "" where the miss is slight.
std::string between_screws_step(machine::SectionSetup const& setup, Unit unit);

/// How wide the cone of a form's depth gauge has to be; "" where it has none, the openings are not
/// known, or its flat alone is wider than they are.
///
/// Bars that are opened by w leave a slot of that width, and a cone of the groove's own angle, S
/// wide at its thick end, lies on each flank from where the groove is w wide to where it is S
/// wide: over (S - w)/(2 sin a), at 60° S - w.
std::string cone_sentence(machine::SectionSetup const& setup, Machine const& machine, Unit unit);

/// From where a mill's turns count; "" where it has none.
std::string turns_sentence(Machine const& machine, Unit unit);

/// Which readings prove a strip of the section right, `range` the words for them in the table; and
/// where none do, why.
std::string proven_sentence(machine::SectionSetup const& setup, Shop const& shop,
                            std::optional<Gauge> const& gauge, Unit unit, std::string_view range);

/// At which moisture `flats glued` and the strip's figures hold; "" if the shop knows of none.
std::string moisture_sentence(Shop const& shop);

}  // namespace stripwright::sheet
