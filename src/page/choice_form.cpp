#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <nlohmann/json.hpp>

#include "cli/choose.h"
#include "inspection/reading_columns.h"
#include "page/choice_view.h"
#include "page/frame.h"
#include "shop/read_shop.h"
#include "taper/read_taper.h"

namespace stripwright::page {
namespace {

using report::Html;

/// Fields of the form, and the options of the command that they stand for.
struct Named {
  std::string_view field;
  std::string_view option;  ///< "" where messages never name one
  std::string_view label;
};
// (An option that begins another's name stands behind it.)
constexpr std::array<Named, 18> kFields = {{{"file", "", "Rod"},
                                            {"shop", "--shop", "Shop"},
                                            {"readings", "", "Readings of strips"},
                                            {"nodes", "--nodes", "Nodes"},
                                            {"gauge", "--gauge", "Gauge"},
                                            {"section", "--section", "Section"},
                                            {"stage", "--stage", "Measured"},
                                            {"readings-unit", "--readings-unit", "Readings are in"},
                                            {"moisture-now", "--moisture-now", "Moisture now"},
                                            {"culm-diameter", "--culm-diameter", "Culm diameter"},
                                            {"moisture", "--moisture", "Moisture at milling"},
                                            {"shift-step", "--shift-step", "Moved by steps of"},
                                            {"rings", "--rings", "Rings"},
                                            {"min-gap", "--min-gap", "Nodes of neighbours apart"},
                                            {"keep-clear", "--keep-clear", "Nodes clear of ends"},
                                            {"clear-at", "--clear-at", "Places kept clear"},
                                            {"all", "--all", "Strips that are not right too"},
                                            {"time", "--time", "Seconds at the most"}}};

std::string_view label_of(std::string_view field) {
  const auto found = std::find_if(kFields.begin(), kFields.end(),
                                  [&](auto const& each) { return each.field == field; });
  return found->label;
}

std::string const& value_of(ChoiceOrder const& order, std::string_view field) {
  static const std::string none;
  const auto found = order.find(field);
  return found == order.end() ? none : found->second;
}

std::string in_words(std::string text) {
  const auto call = [&](std::string_view option, std::string_view label) {
    for (auto at = text.find(option); at != std::string::npos; at = text.find(option))
      text.replace(at, option.size(), fmt::format("“{}”", label));
  };
  for (auto const& each : kFields)
    if (!each.option.empty()) call(each.option, each.label);
  call("--force", "Replace them");
  return text;
}

std::vector<Option> files_as_options(std::vector<std::string> const& names) {
  std::vector<Option> out;
  for (auto const& name : names) out.push_back({name, name});
  return out;
}

void add_labelled_select(Html& html, ChoiceOrder const& order, std::string_view field,
                         std::vector<Option> const& options) {
  add_select(html, field, label_of(field), options, value_of(order, field));
}

void add_labelled_field(Html& html, ChoiceOrder const& order, std::string_view field,
                        std::string meaning) {
  add_field(html, {std::string(field), std::string(label_of(field)), value_of(order, field),
                   std::move(meaning)});
}

/// The files of a kind; none is chosen until somebody does.
void add_file_select(Html& html, ChoiceOrder const& order, std::string_view field,
                     std::string const& question, std::vector<std::string> const& names) {
  auto options = files_as_options(names);
  if (std::find(names.begin(), names.end(), value_of(order, field)) == names.end())
    options.insert(options.begin(), {"", question});
  add_labelled_select(html, order, field, options);
}

}  // namespace

std::string choice_gauges(Desk const& desk, ChoiceOrder const& order) {
  Html html;
  Problems told_later;
  auto const& name = value_of(order, "shop");
  const auto source =
      name.empty() ? std::optional(embedded_shop_source()) : desk.folder.read(name, told_later);
  const auto shop = source ? read_shop(*source, told_later) : std::nullopt;
  if (!shop || shop->gauges.size() < 2) return {};
  std::vector<Option> gauges;
  if (value_of(order, "gauge").empty()) gauges.push_back({"", "which gauge?"});
  for (auto const& gauge : shop->gauges) gauges.push_back({gauge.name, gauge.name});
  add_labelled_select(html, order, "gauge", gauges);
  return html.str();
}

std::string choice_sections(Desk const& desk, ChoiceOrder const& order) {
  Html html;
  Problems told_later;
  const auto source = desk.folder.read(value_of(order, "file"), told_later);
  const auto taper = source ? read_taper(*source, told_later) : std::nullopt;
  std::vector<Option> sections = {{"", "all that strips were measured of"}};
  if (taper)
    for (auto const& section : taper->sections) sections.push_back({section.name, section.name});
  add_labelled_select(html, order, "section", sections);
  return html.str();
}

namespace {

void add_more(Html& html, ChoiceOrder const& order) {
  html.open("details").element("summary", "More: nodes, moving, moisture, time");
  html.open("div", {{"class", "fields"}});
  std::vector<Option> rings = {{"", "as many as the taper makes"}};
  for (std::size_t n = 1; n <= cli::kMostRings; ++n)
    rings.push_back({std::to_string(n), std::to_string(n)});
  add_labelled_select(html, order, "rings", rings);
  add_labelled_field(html, order, "shift-step",
                     "strips may be moved within their spare by multiples of this; left empty: "
                     "1/4 in or 5 mm where nodes are known, else not at all; 0 moves none");
  add_labelled_field(html, order, "min-gap", "left empty: as the nodes' file has it, or 25 mm");
  add_labelled_field(html, order, "keep-clear",
                     "nodes from tip end, joints and places of your own; left empty: as the "
                     "nodes' file has it, or 25 mm");
  add_labelled_field(html, order, "clear-at",
                     "stations of your own, commas between; left empty: those of the nodes' file");
  add_labelled_field(html, order, "moisture-now",
                     "percent, when the strips were measured, if not as milled; for strips that "
                     "are ready to glue");
  add_labelled_field(html, order, "moisture",
                     "percent, at milling of this batch, instead of the shop's");
  add_labelled_field(html, order, "culm-diameter", "of this batch, instead of the shop's");
  add_labelled_select(
      html, order, "readings-unit",
      {{"", "the unit that their columns name"}, {"in", "inch"}, {"mm", "millimetre"}});
  add_labelled_field(html, order, "time",
                     "for each section; then the best found so far is taken, unproven; 0 to 120");
  html.close().close();
}

void add_all(Html& html, ChoiceOrder const& order) {
  html.open("p", {{"class", "field tick"}});
  if (value_of(order, "all").empty())
    html.single("input", {{"type", "checkbox"}, {"id", "all"}, {"name", "all"}});
  else
    html.single("input",
                {{"type", "checkbox"}, {"id", "all"}, {"name", "all"}, {"checked", "checked"}});
  html.element("label", label_of("all"), {{"for", "all"}})
      .element("span",
               "thick, thin and unsure ones may be chosen, and moved farther than they "
               "stay right",
               {{"class", "meaning"}})
      .close();
}

}  // namespace

ChoiceOrder choice_order(Desk const& desk, Request const& request) {
  ChoiceOrder out;
  for (auto const& each : kFields) {
    const std::string name(each.field);
    if (request.query.contains(name)) out[name] = request.value(name);
  }
  const auto first = [&](char const* field, std::vector<std::string> const& names) {
    if (!out.contains(field) && !names.empty()) out[field] = names.front();
  };
  // Of several rods and readings none is guessed: the wrong one would seem to fit.
  const auto only = [&](char const* field, std::vector<std::string> const& names) {
    if (names.size() == 1) first(field, names);
  };
  only("file", desk.folder.names(FileKind::taper));
  first("shop", desk.folder.names(FileKind::shop));
  only("readings", strip_readings(desk.folder));
  if (!out.contains("time")) out["time"] = "5";
  return out;
}

ChoiceOrder choice_order(Order const& sent) {
  ChoiceOrder out;
  for (auto const& each : kFields) {
    const std::string name(each.field);
    const auto found = sent.find(name);
    if (found == sent.end()) continue;
    if (found->is_string()) out[name] = found->get<std::string>();
    if (found->is_boolean() && found->get<bool>()) out[name] = "yes";
  }
  return out;
}

std::string choice_address(ChoiceOrder const& order) {
  std::vector<std::pair<std::string_view, std::string>> query;
  for (auto const& each : kFields)
    if (each.field != "shop") query.emplace_back(each.field, value_of(order, each.field));
  // An empty shop is the built-in one, and has to be said: the folder's first would serve else.
  query.emplace_back("choice", value_of(order, "choice"));
  auto out = address("/choose", query);
  return fmt::format("{}{}shop={}", out, out.find('?') == std::string::npos ? '?' : '&',
                     in_address(value_of(order, "shop")));
}

std::vector<std::string> strip_readings(Folder const& folder) {
  std::vector<std::string> out;
  for (auto& name : folder.names(FileKind::readings)) {
    Problems ignored;
    const auto file = folder.read(name, ignored);
    if (!file) continue;
    for (const std::optional<Unit> unit : {std::optional<Unit>(), std::optional(Unit::inch)}) {
      const auto columns = inspection::read_columns(*file, unit, ignored);
      if (!columns) continue;
      if (columns->kind == inspection::ReadingKind::strips) out.push_back(std::move(name));
      break;
    }
  }
  return out;
}

std::string choice_fields(Desk const& desk, ChoiceOrder const& order) {
  Html html;
  html.open("div", {{"class", "fields"}});
  add_file_select(html, order, "file", "which rod?", desk.folder.names(FileKind::taper));
  add_file_select(html, order, "readings", "which readings?", strip_readings(desk.folder));
  add_labelled_select(html, order, "stage", {{"milled", "as milled"}, {"ready", "ready to glue"}});
  html.open("div", {{"id", "of-rod"}}).markup(choice_sections(desk, order)).close();
  auto shops = files_as_options(desk.folder.names(FileKind::shop));
  shops.push_back({"", "the built-in shop"});
  add_labelled_select(html, order, "shop", shops);
  auto culms = files_as_options(desk.folder.names(FileKind::culms));
  culms.insert(culms.begin(), {"", "not known"});
  add_labelled_select(html, order, "nodes", culms);
  html.open("div", {{"id", "of-shop"}}).markup(choice_gauges(desk, order)).close();
  html.close();
  add_all(html, order);
  add_more(html, order);
  return html.str();
}

Problems in_page_words(Problems const& problems) {
  // As on the terminal: nobody reads past the first twenty.
  constexpr std::size_t kMost = 20;
  Problems out;
  auto const& list = problems.list();
  for (std::size_t i = 0; i < list.size() && i < kMost; ++i) {
    auto problem = list[i];
    problem.what = in_words(problem.what);
    problem.remedy = in_words(problem.remedy);
    out.add(std::move(problem));
  }
  if (list.size() > kMost)
    out.add({list.back().severity, {}, fmt::format("and {} more", list.size() - kMost), {}, {}});
  return out;
}

}  // namespace stripwright::page
