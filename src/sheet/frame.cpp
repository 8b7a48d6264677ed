#include "sheet/frame.h"

#include <fmt/format.h>

#include "files/digest.h"
#include "report/canvas.h"
#include "report/print_rule.h"
#include "sheet/embedded_files.h"

namespace stripwright::sheet {
namespace {

/// Enough of a hash to tell two versions of a file apart at a glance.
constexpr std::size_t kShortHash = 12;

std::string shown(FileVersion const& file) {
  return fmt::format("{}, version {}", file.name, file.sha256.substr(0, kShortHash));
}

unsigned hex_digit(char c) { return static_cast<unsigned>(c <= '9' ? c - '0' : c - 'a' + 10); }

/// Bytes in hexadecimal as base64 (RFC 4648), which a Content-Security-Policy wants hashes in.
std::string base64_of_hex(std::string_view hex) {
  constexpr std::string_view kLetters =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string out;
  unsigned held = 0;
  unsigned bits = 0;
  for (const char c : hex) {
    held = held << 4U | hex_digit(c);
    bits += 4;
    if (bits < 6) continue;
    bits -= 6;
    out += kLetters[held >> bits & 63U];
  }
  if (bits > 0) out += kLetters[held << (6 - bits) & 63U];
  while (out.size() % 4 != 0) out += '=';
  return out;
}

std::string hash_source(std::string_view text) {
  return fmt::format("'sha256-{}'", base64_of_hex(files::sha256(text)));
}

std::string style() { return fmt::format("\n{}{}", report::Canvas::style(), kStyle); }
std::string script() { return fmt::format("\n{}", kScript); }

/// The same sheet made again finds what was written into it; one from other files does not.
std::string store_key(SheetHead const& head) {
  std::string all = head.taper_file.sha256 + head.machine;
  if (head.shop_file) all += head.shop_file->sha256;
  if (head.correction_file) all += head.correction_file->sha256;
  if (head.readings_file) all += head.readings_file->sha256;
  return files::sha256(all).substr(0, kShortHash);
}

void add_list(report::Html& html, std::vector<std::string> const& lines) {
  html.open("ul");
  for (auto const& line : lines) html.element("li", line);
  html.close();
}

}  // namespace

std::vector<std::pair<std::string, std::string>> title_lines(SheetHead const& head) {
  std::vector<std::pair<std::string, std::string>> out;
  out.emplace_back("Rod", head.rod);
  if (!head.machine.empty()) out.emplace_back("Machine", head.machine);
  if (!head.shop.empty()) out.emplace_back("Shop", head.shop);
  out.emplace_back("Date", head.date);
  out.emplace_back("Taper file", shown(head.taper_file));
  if (head.shop_file) out.emplace_back("Shop file", shown(*head.shop_file));
  if (head.correction_file) out.emplace_back("Correction", shown(*head.correction_file));
  if (head.readings_file) out.emplace_back("Readings", shown(*head.readings_file));
  out.emplace_back("Made by", head.program);
  return out;
}

void add_title_block(report::Html& html, SheetHead const& head) {
  html.open("table", {{"class", "title"}})
      .element("caption", "What this page is for")
      .open("tbody");
  for (auto const& [name, value] : title_lines(head))
    html.open("tr").element("th", name, {{"scope", "row"}}).element("td", value).close();
  html.close().close();
}

// A table's head is what browsers print again on each page that the table goes on to.
void open_part(report::Html& html, SheetHead const& head, std::string_view id,
               std::string_view part) {
  std::string first = fmt::format("{}, {}", head.rod, part);
  for (auto const* name : {&head.machine, &head.shop})
    if (!name->empty()) first += fmt::format(", {}", *name);
  for (auto const& flag : head.flags) first += fmt::format("; {}", flag);
  std::string second = fmt::format("{}; {}", head.date, shown(head.taper_file));
  for (auto const* file : {&head.shop_file, &head.correction_file, &head.readings_file})
    if (*file) second += fmt::format("; {}", shown(**file));
  html.open("section", {{"id", id}, {"class", "part"}})
      .open("div", {{"class", "part-head"}})
      .open("div")
      .element("p", first, {{"class", "whose"}})
      .element("p", second)
      .close()
      .close()
      .open("div", {{"class", "part-body"}});
}

void close_part(report::Html& html) { html.close().close(); }

void add_remarks(report::Html& html, std::vector<std::string> const& remarks) {
  if (remarks.empty()) return;
  html.open("div", {{"class", "remarks"}});
  for (auto const& remark : remarks) html.element("p", remark);
  html.close();
}

void add_cautions(report::Html& html, std::vector<std::string> const& cautions,
                  std::string_view heading_tag) {
  html.open("div", {{"class", "cautions"}}).element(heading_tag, "Cautions");
  add_list(html, cautions);
  html.close();
}

void add_print_rule(report::Html& html) {
  html.open("div", {{"class", "rule"}})
      .markup(report::print_rule().element_at_size(report::kPrintRuleUnits))
      .element("p",
               "On paper: hold a steel rule against this. If it is off, print again at 100 %, not "
               "fitted to the page.")
      .close();
}

std::string sheet_policy() {
  return fmt::format("default-src 'none'; style-src {}; script-src {}; img-src data:",
                     hash_source(style()), hash_source(script()));
}

std::string sheet_page(SheetHead const& head, std::string_view title, std::string const& body) {
  report::Html html;
  html.open("main", {{"data-sheet", store_key(head)}})
      .markup("<svg class=\"defs\" aria-hidden=\"true\" width=\"0\" height=\"0\">")
      .markup(report::Canvas::definitions())
      .markup("</svg>\n")
      .markup(body)
      .close();
  return report::html_page({title, style(), script(), sheet_policy(), html.str()});
}

std::string_view unit_words(Unit unit) { return unit == Unit::inch ? "inches" : "millimetres"; }

void add_blank(report::Html& html, std::string const& key, std::string const& label) {
  html.single("input", {{"class", "blank"},
                        {"type", "text"},
                        {"autocomplete", "off"},
                        {"id", key},
                        {"aria-label", label}});
}

void add_tick(report::Html& html, std::string const& key, std::string const& label) {
  html.single("input",
              {{"class", "tick"}, {"type", "checkbox"}, {"id", key}, {"aria-label", label}});
}

}  // namespace stripwright::sheet
