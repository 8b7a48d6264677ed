#include "report/html.h"

#include <fmt/format.h>

#include <algorithm>

#include "diagnostics/problem.h"
#include "report/markup.h"

namespace stripwright::report {

void Html::start(std::string_view tag, Attributes attributes) {
  out_ += '<';
  out_ += tag;
  for (auto const& [name, value] : attributes) {
    if (value.data() == nullptr) continue;
    out_ += ' ';
    out_ += name;
    out_ += "=\"";
    out_ += escaped(value);
    out_ += '"';
  }
  out_ += '>';
}

void Html::end(std::string_view tag) {
  out_ += "</";
  out_ += tag;
  out_ += ">\n";
}

Html& Html::element(std::string_view tag, std::string_view text, Attributes attributes) {
  start(tag, attributes);
  out_ += escaped(text);
  end(tag);
  return *this;
}

Html& Html::word(std::string_view tag, std::string_view text, Attributes attributes) {
  element(tag, text, attributes);
  out_.pop_back();
  return *this;
}

Html& Html::open(std::string_view tag, Attributes attributes) {
  start(tag, attributes);
  out_ += '\n';
  open_.emplace_back(tag);
  return *this;
}

Html& Html::close() {
  check_internal(!open_.empty(), "an element closed that was never opened");
  end(open_.back());
  open_.pop_back();
  return *this;
}

Html& Html::single(std::string_view tag, Attributes attributes) {
  start(tag, attributes);
  return *this;
}

Html& Html::text(std::string_view text) {
  out_ += escaped(text);
  return *this;
}

Html& Html::markup(std::string_view safe) {
  out_ += safe;
  return *this;
}

Html& Html::table(Table const& table, Unit unit, std::string_view caption, std::string_view look) {
  open("table", {{"class", look}}).element("caption", caption).open("thead").open("tr");
  for (auto const& column : table.columns)
    if (!column.heading.empty()) element("th", heading_text(column, unit), {{"scope", "col"}});
  close().close().open("tbody");
  for (auto const& row : table.rows) {
    open("tr");
    bool first = true;
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
      if (table.columns[c].heading.empty()) continue;
      const std::string cell = cell_text(row[c], unit);
      if (first)
        element("th", cell, {{"scope", "row"}});
      else
        element("td", cell);
      first = false;
    }
    close();
  }
  return close().close();
}

std::string Html::str() const {
  check_internal(open_.empty(), "an element left open");
  return out_;
}

std::string html_page(Page const& page) {
  std::string out = "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n";
  if (!page.policy.empty())
    out +=
        fmt::format("<meta http-equiv=\"Content-Security-Policy\" content=\"{}\">\n", page.policy);
  out += fmt::format(
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
      "<title>{}</title>\n<link rel=\"icon\" href=\"data:,\">\n",
      escaped(page.title));
  if (!page.style.empty()) out += fmt::format("<style>{}</style>\n", page.style);
  if (!page.style_sheet.empty())
    out += fmt::format("<link rel=\"stylesheet\" href=\"{}\">\n", escaped(page.style_sheet));
  if (!page.module.empty())
    out += fmt::format("<script type=\"module\" src=\"{}\"></script>\n", escaped(page.module));
  out += "</head>\n<body>\n";
  out += page.body;
  if (!page.script.empty()) out += fmt::format("<script>{}</script>\n", page.script);
  return out + "</body>\n</html>\n";
}

}  // namespace stripwright::report
