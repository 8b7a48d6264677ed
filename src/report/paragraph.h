#pragma once

#include "diagnostics/paragraph.h"

namespace stripwright::report {

using stripwright::paragraph;

}  // namespace stripwright::report
