#pragma once

#include "cli/choose.h"

namespace stripwright::cli {

/// A row a place of a ring: strip, opposite, shift, nodes.
report::Table ring_table(ChosenSection const& section, std::size_t ring, Unit unit);
/// A row a station: target, three flats, out of round, stiffness.
report::Table prediction_table(selection::RingReport const& ring);
/// A row an aim: what was found, and what is known that it cannot be below.
report::Table proof_table(ChosenSection const& section, Unit unit);
/// `0.25 in towards the tip`, or `not moved`.
std::string moved_words(Length shift, Unit unit);
/// A row a strip that is left over.
report::Table leftover_table(ChosenSection const& section);

}  // namespace stripwright::cli
