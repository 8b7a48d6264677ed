#pragma once

#include "bending/bend.h"

namespace stripwright::bending {

/// One stretch of deviations for each of the places (one or more, increasing): a millimetre thicker
/// there, running out straight to the places beside it, and level from the outermost places to
/// `from` and `to`, which lie no further in. Together they are a millimetre everywhere.
std::vector<std::vector<Deviation>> single_deviations(std::vector<Station> const& places,
                                                      Station from, Station to);

/// How far the bent rod's told places move down, tip first, for flats that are off by one of the
/// stretches: millimetres a millimetre; thicker is stiffer, so most are below 0. Central
/// differences of 0.01 mm about the rod as it is, deviations and all. Nothing where the rod cannot
/// be bent.
std::optional<std::vector<std::vector<double>>> sensitivities(
    Rod const& rod, Loading const& loading, std::vector<Station> const& stations,
    std::vector<std::vector<Deviation>> const& stretches);

}  // namespace stripwright::bending
