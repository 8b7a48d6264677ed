#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "report/html.h"
#include "units/unit.h"

namespace stripwright::sheet {

/// A file that a sheet was made from: its name without folders, and its SHA-256 in hexadecimal.
struct FileVersion {
  std::string name;
  std::string sha256;
};

/// What the title block of a sheet says.
struct SheetHead {
  std::string rod;
  std::string shop;     ///< empty, as its file, where no shop matters
  std::string machine;  ///< empty where the sheet is not about one
  FileVersion taper_file;
  std::optional<FileVersion> shop_file;
  std::optional<FileVersion> correction_file;
  std::optional<FileVersion> readings_file;
  std::string date;                  ///< `2026-01-01`
  std::string program;               ///< its name and version
  std::vector<std::string> remarks;  ///< what must be known first: ASSUMED, a built-in shop
  std::vector<std::string> flags;    ///< the same in a word or two, for the head of each page
  Unit unit = Unit::inch;
};

/// The lines of a title block: what, and its value.
std::vector<std::pair<std::string, std::string>> title_lines(SheetHead const& head);

/// The title block as a table.
void add_title_block(report::Html& html, SheetHead const& head);

/// A part of a sheet that is handed on, or hangs at the machine, without the others: until
/// `close_part` the html is within it. Each of its pages on paper begins with what the title block
/// says, in two lines, and the flags; `part` is its own name: `section tip`. On a screen that
/// stands once, at its beginning.
void open_part(report::Html& html, SheetHead const& head, std::string_view id,
               std::string_view part);
void close_part(report::Html& html);

/// Remarks and cautions, each a list in a box under its own heading.
void add_remarks(report::Html& html, std::vector<std::string> const& remarks);
void add_cautions(report::Html& html, std::vector<std::string> const& cautions,
                  std::string_view heading_tag);

/// Rules of 100 mm and 4 in to check the print's scale by.
void add_print_rule(report::Html& html);

/// The whole page. It forbids the browser every request; entries and ticks are kept under the
/// hash of what the sheet was made from.
std::string sheet_page(SheetHead const& head, std::string_view title, std::string const& body);

/// The Content-Security-Policy of every sheet: its one style and script, by their hashes, and
/// nothing from elsewhere. A sheet carries it; a server may send it along, too.
std::string sheet_policy();

/// `inches`, `millimetres`.
std::string_view unit_words(Unit unit);

/// A field to write into, on paper or on the screen, and a box to tick. `key` tells it from all
/// others of the sheet, `label` is its name for those who do not see it.
void add_blank(report::Html& html, std::string const& key, std::string const& label);
void add_tick(report::Html& html, std::string const& key, std::string const& label);

}  // namespace stripwright::sheet
