#pragma once

#include <string>

#include "report/html.h"
#include "section/strip_profile.h"

namespace stripwright::page {

/// The ledger at one station as a table: what each step comes to, and why. With `before`, the same
/// strip by the file as it is, its figures and what they differ by stand there too.
void add_ledger(report::Html& html, section::StripProfile const& strip,
                section::StripProfile const* before, Station at, Unit unit,
                std::string const& caption);

}  // namespace stripwright::page
