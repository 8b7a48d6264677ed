#pragma once

#include <ostream>

#include "cli/check.h"

namespace stripwright::cli {

/// What the gauge says of a set form, and how far each screw is to be turned for it. The groove is
/// itself and no sample, so a single reading counts; nothing is turned where the 95 % interval that
/// the gauge leaves holds 0. Neither settings nor targets change: once the screws are turned the
/// gauge reads what `setup` says, so there is no correction to be kept.
ExitStatus correct_groove(CheckBench const& bench, inspection::Readings const& readings,
                          Format format, std::ostream& out);

}  // namespace stripwright::cli
