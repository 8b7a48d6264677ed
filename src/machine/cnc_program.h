#pragma once

#include "machine/gcode.h"
#include "machine/pattern_drawing.h"
#include "machine/section_setup.h"

namespace stripwright::machine {

/// The program of one section's passes: on top, in comments, what lies where, the zero points, the
/// cutter, the passes and the cautions. The set-up has to be a milling machine's that can run
/// (else std::logic_error).
Program cnc_program(SectionSetup const& setup, CncMill const& mill, SetupNames const& names,
                    std::vector<std::string> const& cautions, Unit unit);

}  // namespace stripwright::machine
