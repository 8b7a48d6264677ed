#pragma once

#include <optional>
#include <string>
#include <vector>

#include "report/html.h"

namespace stripwright::sheet {

/// One thing that is set: `set` is read from a metre away, `beside` stands small under it.
struct BigValue {
  std::string set;
  std::string beside;
};

/// A row of settings: what is set (a screw, a zero point), the values, and whether there is
/// something to measure and write down.
struct SettingRow {
  BigValue what;
  std::vector<BigValue> values;
  std::string label;  ///< for those who hear it: `screw 3`
};

/// Settings in the order in which they are made, each row with a blank for what was measured and a
/// box to tick. It knows nothing of machines.
struct SettingRows {
  std::string caption;
  std::string note;  ///< small under the caption: what must be known where the rows are used
  std::string what_heading;
  std::vector<std::string> headings;  ///< of the values
  std::vector<SettingRow> rows;
  /// The value beside which there is a blank for what was measured; none where nothing is.
  std::optional<std::size_t> measured = {};
  std::string key;                ///< tells the fields of this table from all others of the sheet
  std::string look = "settings";  ///< the table\'s classes in the style sheet
};

void add_setting_rows(report::Html& html, SettingRows const& rows);

}  // namespace stripwright::sheet
