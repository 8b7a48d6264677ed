#pragma once

#include <initializer_list>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "report/table.h"

namespace stripwright::report {

/// HTML as it is built up: elements are opened and closed by one hand, all text is
/// escaped on its way in, so that a rod called `<script>` shows its name.
class Html {
 public:
  /// Names and values; one whose value is no text at all (`{}`) is left out.
  using Attributes = std::initializer_list<std::pair<std::string_view, std::string_view>>;

  /// An element with text in it.
  Html& element(std::string_view tag, std::string_view text, Attributes attributes = {});
  /// The same within a line: no blank stands behind it.
  Html& word(std::string_view tag, std::string_view text, Attributes attributes = {});
  /// An element that other calls fill until `close`.
  Html& open(std::string_view tag, Attributes attributes = {});
  /// Closes the element opened last; an internal error if there is none.
  Html& close();
  /// An element without content (`br`, `input`).
  Html& single(std::string_view tag, Attributes attributes = {});
  Html& text(std::string_view text);
  /// Markup that is already safe: a drawing.
  Html& markup(std::string_view safe);

  /// A table with a caption, column heads with their scope, figures to the right. The
  /// first column heads its row.
  Html& table(Table const& table, Unit unit, std::string_view caption, std::string_view look = {});

  /// What was built; an internal error if an element is still open.
  std::string str() const;

 private:
  void start(std::string_view tag, Attributes attributes);
  void end(std::string_view tag);

  std::string out_;
  std::vector<std::string> open_;
};

/// What a whole page is made from. Style, script, policy and body are markup of our own.
struct Page {
  std::string_view title;
  std::string_view style;
  std::string_view script;  ///< none if empty
  std::string_view policy;  ///< its Content-Security-Policy; none if empty
  std::string_view body;
  /// Paths that the browser asks the page's own server for, instead of style and script in the
  /// page; none if empty.
  std::string_view style_sheet = {};
  std::string_view module = {};
};

/// A whole page: HTML 5, its language, one style, one script, nothing from elsewhere. Between
/// their tags stand exactly the style and the script, so that a policy can name their hashes.
std::string html_page(Page const& page);

}  // namespace stripwright::report
