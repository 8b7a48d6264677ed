#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "diagnostics/problem.h"
#include "page/exchange.h"
#include "report/html.h"
#include "units/unit.h"

namespace stripwright::page {

/// The unit that a person has chosen on this device; nothing where each file's own serves.
std::optional<Unit> chosen_unit(Request const& request);

/// What is around each page: its title, which entry of the menu it belongs to, its script.
struct Frame {
  std::string title;
  std::string menu;    ///< the path of the entry that is marked
  std::string script;  ///< `/rod.js`; none if empty
};

/// The whole page: menu, choice of unit, the place where the page speaks, and the body.
Response framed(Frame const& frame, Request const& request, std::string const& body,
                int status = 200);

/// A sheet as a page of its own, whoever wrote it: nothing runs in it but what this program's
/// sheets have, it sends nothing, and no other page shows it within itself.
Response sheet_response(std::string html);

/// What is wrong, as a list for people: words, place, way out. Nothing if there is nothing.
void add_problems(report::Html& html, Problems const& problems);
std::string problems_html(Problems const& problems);

/// A page that says only what is wrong, and leads back to the folder.
Response problem_page(Request const& request, Problems const& problems, int status = 404);

/// A label and a choice of one among several; each option's value and words.
struct Option {
  std::string value;
  std::string words;
};
void add_select(report::Html& html, std::string_view id, std::string_view label,
                std::vector<Option> const& options, std::string_view chosen);

/// A line to write into, with its label above and what it means below.
struct Field {
  std::string id;
  std::string label;
  std::string value;
  std::string meaning = {};
  std::string beside = {};  ///< the unit of a bare number
};
void add_field(report::Html& html, Field const& field);

/// An element whose content a script replaces.
void add_part(report::Html& html, std::string_view id, std::string const& content,
              std::string_view label = {});

}  // namespace stripwright::page
