#pragma once

#include "files/key_spec.h"
#include "page/drafted_file.h"

namespace stripwright::page {

/// What a form is made from: a file's tables of keys, the file, and what is wrong with it.
struct FormOf {
  files::MapSpec const& spec;
  DraftedFile const& file;
  std::vector<DraftChange> const& changes;
  Problems const& problems;                      ///< those of other files are passed over
  std::vector<std::string_view> leave_out = {};  ///< keys of the top that the page shows elsewhere
};

/// The fields for all keys, each with its meaning, its range, what is taken if it is left out, the
/// unit of a bare number, and what is wrong with it. Values are texts as the file has them: any
/// unit, any fraction that it takes. Says so where the file cannot be read as YAML.
std::string form_html(FormOf const& of);

/// What is wrong, by the id of the field or group that it belongs to: for a script that leaves the
/// fields as they are. `{"f.unit": {"text": ..., "wrong": true}}`.
Order form_mistakes(FormOf const& of);

/// The id of the field for a path: letters, digits, hyphens, dots and `_` with hex digits.
std::string field_id(std::vector<std::string> const& path);

/// A key, or a meaning in which keys are named, in words: `strip_at` is `strip at`.
std::string in_words(std::string_view text);

}  // namespace stripwright::page
