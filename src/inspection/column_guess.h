#pragma once

#include "inspection/judge.h"
#include "inspection/reading_columns.h"

namespace stripwright::inspection {

/// The height whose column is likelier to hold height a than the one so named: `b` or `c`. On a
/// round face a differs from b and c everywhere in the same way, and after the apex was knocked off
/// too; on a flat one all three are the same, and nothing can be told. At each place the heights'
/// offs are taken from their mean, so that strips that are thick or thin as a whole say nothing; r
/// is the root of their squares' sum. Nothing where fewer than five places were read in both
/// heights, or the median of r is below 3 u, or it does not fall to a third with the two columns
/// swapped.
std::optional<Height> likelier_height_a(Readings const& readings, Judge const& judge);

/// From where the places are likelier to be counted than the column says: from the strip's own end
/// where it says from the rod's tip, and the other way round. Nothing where fewer than three
/// readings are there, where they are off by no more than the tolerance (the median of their
/// sizes), where a place would be off its strip, or where what they are off does not fall to a
/// quarter.
std::optional<PlaceFrom> likelier_place(Readings const& readings, ReadingColumns const& columns,
                                        std::vector<Targets const*> const& sections);

}  // namespace stripwright::inspection
