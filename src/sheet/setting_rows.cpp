#include "sheet/setting_rows.h"

#include <fmt/format.h>

#include "sheet/frame.h"

namespace stripwright::sheet {
namespace {

void add_big(report::Html& html, BigValue const& value) {
  html.element("span", value.set, {{"class", "set"}});
  if (!value.beside.empty()) html.element("span", value.beside, {{"class", "beside"}});
}

void add_head(report::Html& html, SettingRows const& rows) {
  html.open("thead").open("tr").element("th", rows.what_heading, {{"scope", "col"}});
  for (std::size_t v = 0; v < rows.headings.size(); ++v)
    html.element("th", rows.headings[v] + (rows.measured == v ? ", and as measured" : ""),
                 {{"scope", "col"}});
  html.element("th", "done", {{"scope", "col"}}).close().close();
}

void add_row(report::Html& html, SettingRow const& row, std::string const& key,
             std::optional<std::size_t> measured) {
  html.open("tr").open("th", {{"scope", "row"}});
  add_big(html, row.what);
  html.close();
  for (std::size_t v = 0; v < row.values.size(); ++v) {
    html.open("td");
    if (measured == v) {
      html.open("div", {{"class", "pair"}}).open("div");
      add_big(html, row.values[v]);
      html.close();
      add_blank(html, key + "-read", fmt::format("measured, {}", row.label));
      html.close();
    } else {
      add_big(html, row.values[v]);
    }
    html.close();
  }
  html.open("td", {{"class", "box"}});
  add_tick(html, key + "-done", fmt::format("done, {}", row.label));
  html.close().close();
}

}  // namespace

void add_setting_rows(report::Html& html, SettingRows const& rows) {
  html.open("table", {{"class", rows.look}}).open("caption").text(rows.caption);
  if (!rows.note.empty()) html.element("span", rows.note, {{"class", "beside"}});
  html.close();
  add_head(html, rows);
  html.open("tbody");
  for (std::size_t i = 0; i < rows.rows.size(); ++i)
    add_row(html, rows.rows[i], fmt::format("{}-{}", rows.key, i + 1), rows.measured);
  html.close().close();
}

}  // namespace stripwright::sheet
