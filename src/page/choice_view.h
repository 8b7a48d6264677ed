#pragma once

#include <string>
#include <vector>

#include "page/choice_shelf.h"
#include "page/desk.h"
#include "report/html.h"

namespace stripwright::page {

/// What is asked about a choice, from the page's address or from what its script sends; what is
/// left out is as the page shows it first.
ChoiceOrder choice_order(Desk const& desk, Request const& request);
ChoiceOrder choice_order(Order const& sent);
/// The page's address for it.
std::string choice_address(ChoiceOrder const& order);

/// The readings files of the folder that hold readings of strips.
std::vector<std::string> strip_readings(Folder const& folder);

/// The content of the form: rod, shop, readings, and all that may be told beside them.
std::string choice_fields(Desk const& desk, ChoiceOrder const& order);
/// Those of them that depend on others, "of-rod" and "of-shop": the rod's sections, and the shop's
/// gauges where it has several.
std::string choice_sections(Desk const& desk, ChoiceOrder const& order);
std::string choice_gauges(Desk const& desk, ChoiceOrder const& order);

/// What was found: rings, what they amount to, how far they are proven, what is left. The caller
/// holds the choice's mutex.
std::string choice_html(Choice const& choice);

/// Where the rings of a taper are kept, from the folder on, as the command has it.
std::string choice_folder(std::string const& taper);
/// Keeps a choice that was shown: writes what the command would have written.
Response keep_choice(Desk const& desk, Request const& request, Order const& sent);
/// The page for the glue bench as it lies in the folder.
Response glue_sheet(Desk const& desk, Request const& request);
inline constexpr char kGlueSheet[] = "glue.html";

/// Problems in the page's words: an option of the command is called what its field is called.
Problems in_page_words(Problems const& problems);

/// A table that is as wide as it wants, in a region that scrolls sideways, by keys too.
void add_wide_table(report::Html& html, report::Table const& table, Unit unit,
                    std::string const& caption, std::string_view look, std::string const& label);

}  // namespace stripwright::page
