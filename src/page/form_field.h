#pragma once

#include <optional>
#include <string>
#include <vector>

#include "files/key_spec.h"
#include "page/form_mistakes.h"
#include "report/html.h"

namespace stripwright::page {

/// One field of a form.
struct FormField {
  std::vector<std::string> path;  ///< as changes call it
  std::string label;
  std::string meaning;
  std::string beside;              ///< the unit of a bare number, or ""
  std::optional<std::string> was;  ///< in the file as it is
  std::optional<std::string> now;  ///< with the changes
  bool required = false;
  bool list = false;
  bool whole_line = false;  ///< text that may be long
  std::string standard;     ///< what is taken if it is left out
  /// Words to choose from; a line to write in where there are none.
  std::vector<std::string> choices;
  std::string wrong;  ///< what is said of it, or ""
  bool error = false;
};

void add_form_field(report::Html& html, FormField const& field);

/// What is said of an element, below it; the place for it is there even if it is nothing.
void add_wrong(report::Html& html, std::string_view id, std::string_view wrong);

/// The words of a key: what it means, its range, what is taken if it is left out.
std::string meaning_of(files::KeySpec const& key);

}  // namespace stripwright::page
