#pragma once

#include "report/canvas.h"

namespace stripwright::report {

/// Two rules to hold a print against, 100 mm and 4 in long; to be placed with
/// `element_at_size(kPrintRuleUnits)`.
Canvas print_rule();
inline constexpr double kPrintRuleUnits = 4;  ///< of the drawing, a millimetre

}  // namespace stripwright::report
