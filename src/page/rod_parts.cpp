#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <nlohmann/json.hpp>

#include "cli/setup_output.h"
#include "files/slug.h"
#include "machine/cautions.h"
#include "machine/setup_tables.h"
#include "page/frame.h"
#include "page/ledger_part.h"
#include "page/rod_view.h"
#include "report/plot.h"
#include "sheet/frame.h"
#include "sheet/ledger_figure.h"
#include "sheet/sentences.h"
#include "sheet/strip_figure.h"
#include "sheet/taper_figure.h"
#include "taper/taper_curve.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::page {
namespace {

using report::Html;

/// The map of stations in a taper file's tree; null where there is none.
files::YamlNode const* stations_of(std::optional<files::YamlNode> const& tree) {
  auto const* node = tree ? node_at(*tree, {"taper"}) : nullptr;
  return node && node->kind == files::YamlNode::Kind::map ? node : nullptr;
}

/// The text of a station as its file had it before the page's changes.
std::optional<std::string> text_before(RodView const& view, std::string const& key) {
  for (auto const& change : view.order.changes)
    if (change.path.size() == 2 && change.path[0] == "taper" &&
        change.key.value_or(change.path[1]) == key)
      return change.was;
  return view.base ? text_at(*view.base, {"taper", key}) : std::nullopt;
}

std::string key_before(RodView const& view, std::string const& key) {
  for (auto const& change : view.order.changes)
    if (change.path.size() == 2 && change.path[0] == "taper" && change.key == key)
      return change.path[1];
  return key;
}

std::string rise(Taper const& taper, std::size_t i, Unit unit) {
  if (i + 1 >= taper.points.size()) return {};
  return format_number(taper.points[i + 1].flats - taper.points[i].flats, unit,
                       bench_decimals(unit));
}

void add_row(Html& html, RodView const& view, std::size_t i, files::YamlEntry const& entry) {
  auto const& key = entry.key.text;
  const auto path = path_text({"taper", key_before(view, key)});
  const auto was = text_before(view, key);
  const auto row = fmt::format("station-{}", i);
  html.open("tr",
            {{"data-row", path}, {"data-key", key}, {"class", key == view.order.at ? "here" : ""}});
  html.open("th", {{"scope", "row"}})
      .single("input", {{"id", row},
                        {"class", "station"},
                        {"inputmode", "decimal"},
                        {"data-path", path},
                        {"data-role", "key"},
                        {"value", key},
                        {"autocomplete", "off"},
                        {"aria-label", fmt::format("station {}", i + 1)}})
      .close();
  html.open("td");
  const auto id = fmt::format("flats-{}", i);
  const auto label = fmt::format("across flats at station {}", key);
  html.single("input", {{"id", id},
                        {"class", "flats"},
                        {"inputmode", "decimal"},
                        {"data-path", path},
                        {"data-role", "value"},
                        {"data-was", was ? std::string_view(*was) : std::string_view()},
                        {"value", entry.value.text},
                        {"autocomplete", "off"},
                        {"aria-label", label}});
  html.close();
  const bool known = view.taper && i < view.taper->points.size();
  html.element("td", known ? rise(*view.taper, i, view.unit()) : "",
               {{"id", fmt::format("rise-{}", i)}, {"class", "rise"}});
  html.open("td")
      .element("button", "×",
               {{"type", "button"},
                {"class", "out"},
                {"data-out", path},
                {"aria-label", fmt::format("take out station {}", key)}})
      .close()
      .close();
}

/// The point of the taper whose station is written so.
std::optional<std::size_t> point_at(RodView const& view, std::string const& key) {
  if (!view.taper) return std::nullopt;
  const auto at = parse_length(key, view.taper->unit);
  auto const& points = view.taper->points;
  for (std::size_t i = 0; at && i < points.size(); ++i)
    if (abs(points[i].at.from_zero() - *at.value) < kSamePlace) return i;
  return std::nullopt;
}

void add_section(Html& html, RodView const& view, machine::SectionSetup const& setup) {
  const Unit unit = view.unit();
  const auto passes = machine::pass_count(setup.settings);
  html.open("section", {{"id", "section-" + files::file_slug(setup.section.name)}})
      .element("h3", fmt::format("Section {}: {} to make, {} strips", setup.section.name,
                                 setup.section.make, 6 * setup.section.make));
  html.element("p",
               fmt::format("Cut the strip {} long; split it {} wide or wider.",
                           format_short(setup.placement.strip_length(), unit),
                           format_length(setup.rough.split_width, unit, bench_decimals(unit))));
  if (const auto miss = sheet::miss_sentence(setup, unit); !miss.empty()) html.element("p", miss);
  if (setup.in_passes) {
    html.open("div",
              {{"class", "wide"}, {"tabindex", "0"}, {"role", "region"}, {"aria-label", "passes"}});
    html.table(machine::pass_table(setup), unit, "Passes", "plain").close();
  }
  for (std::size_t pass = 0; pass < passes; ++pass) {
    const auto caption = passes > 1 ? fmt::format("What to set, pass {} of {}", pass + 1, passes)
                                    : std::string("What to set");
    html.open("div", {{"class", "wide"},
                      {"tabindex", "0"},
                      {"role", "region"},
                      {"aria-label", fmt::format("{}, section {}", caption, setup.section.name)}});
    html.table(machine::cutter_table(setup, pass), unit, caption, "plain settings").close();
  }
  html.open("div", {{"class", "wide"},
                    {"tabindex", "0"},
                    {"role", "region"},
                    {"aria-label",
                     fmt::format("what the strip shall measure, section {}", setup.section.name)}});
  html.table(machine::station_table(setup), unit, "What the strip shall measure", "plain").close();
  html.element("p", sheet::proven_sentence(setup, view.inputs->shop, view.gauge, unit,
                                           "in the proven range"));
  html.close();
}

}  // namespace

std::string taper_rows(RodView const& view) {
  Html html;
  const auto unit = view.taper ? unit_name(view.taper->unit) : std::string_view();
  html.open("table", {{"class", "plain edit"}}).element("caption", "The taper, tip end first");
  html.open("thead").open("tr");
  html.element("th", fmt::format("station{}{}", unit.empty() ? "" : ", ", unit),
               {{"scope", "col"}});
  html.element("th", fmt::format("across flats{}{}", unit.empty() ? "" : ", ", unit),
               {{"scope", "col"}});
  html.element("th", fmt::format("rise to the next, {}", unit_name(view.unit())),
               {{"scope", "col"}});
  html.open("th", {{"scope", "col"}}).element("span", "take out", {{"class", "unseen"}}).close();
  html.close().close().open("tbody");
  auto const* stations = stations_of(view.tree);
  for (std::size_t i = 0; stations && i < stations->entries.size(); ++i)
    add_row(html, view, i, stations->entries[i]);
  html.close().close();
  return html.str();
}

void add_rises(RodView const& view, Parts& parts) {
  auto const* stations = stations_of(view.tree);
  const auto rows = stations ? stations->entries.size() : 0;
  for (std::size_t i = 0; i < rows; ++i)
    parts.html.emplace_back(fmt::format("rise-{}", i), view.taper && i < view.taper->points.size()
                                                           ? rise(*view.taper, i, view.unit())
                                                           : std::string());
}

std::string curve(RodView const& view) {
  if (!view.taper) return {};
  auto plot = sheet::taper_figure(*view.taper, view.unit());
  if (const auto point = point_at(view, view.order.at))
    plot.x_marks.push_back({in_unit(view.taper->points[*point].at.from_zero(), view.unit()), ""});
  return report::draw(plot).element();
}

std::string ledger(RodView const& view) {
  Html html;
  if (view.setups.empty()) {
    html.element("p", "The ledger is shown when taper and shop can be read.");
    return html.str();
  }
  const Unit unit = view.unit();
  const auto point = point_at(view, view.order.at);
  const auto at = point ? view.taper->points[*point].at : view.setups.front().section.from;
  const auto holds = [&](machine::SectionSetup const& setup) {
    return at >= setup.section.from - kSamePlace && at <= setup.section.to + kSamePlace;
  };
  const auto setup = std::find_if(view.setups.begin(), view.setups.end(), holds);
  html.element("h3", fmt::format("Why, at station {}", format_short(at.from_zero(), unit)));
  if (setup == view.setups.end()) {
    html.element("p", "No section that is set up here holds this station.");
    return html.str();
  }
  add_ledger(html, *setup->strip, nullptr, at, unit,
             fmt::format("Section {}", setup->section.name));
  const auto figure =
      sheet::strip_figure(*setup->strip, view.inputs->shop.allowances, {at},
                          {fmt::format("station {}", format_short(at.from_zero(), unit))}, unit);
  html.open("figure")
      .element("figcaption", fmt::format("The strip as it is milled, about {} to 1", figure.scale))
      .markup(figure.drawing.element_at_size(sheet::kStripFigureUnits))
      .close();
  html.open("figure")
      .element("figcaption", "Where each hundredth goes: what is added to half the taper's flats")
      .markup(report::draw(sheet::ledger_figure(*setup->strip, unit)).element())
      .close();
  return html.str();
}

std::string choices(RodView const& view, std::vector<std::string> const& shop_files) {
  Html html;
  std::vector<Option> shops;
  for (auto const& file : shop_files) shops.push_back({file, file});
  shops.push_back({"", "the built-in shop"});
  add_select(html, "shop", "Shop", shops, view.order.shop);
  if (!view.shop) return html.str();
  std::vector<Option> machines;
  for (auto const& machine : view.shop->machines)
    machines.push_back({machine.name, fmt::format("{} ({})", machine.name, kind_word(machine))});
  add_select(html, "machine", "Machine", machines, view.order.machine);
  std::vector<Option> gauges;
  if (view.shop->gauges.size() != 1) gauges.push_back({"", "none"});
  for (auto const& gauge : view.shop->gauges) gauges.push_back({gauge.name, gauge.name});
  add_select(html, "gauge", "Gauge", gauges, view.order.gauge);
  if (!view.taper) return html.str();
  std::vector<Option> sections = {{"", "all that the machine serves"}};
  for (auto const& section : view.taper->sections) sections.push_back({section.name, section.name});
  add_select(html, "section", "Section", sections, view.order.section);
  return html.str();
}

std::string figures(RodView const& view) {
  Html html;
  if (view.setups.empty()) {
    html.element("p", "There are no figures until what is wrong above is put right.");
    return html.str();
  }
  if (const auto assumed = cli::assumed_line(view.inputs->shop); !assumed.empty())
    html.element("p", assumed, {{"class", "remarks"}});
  if (view.inputs->shop_is_built_in)
    html.element("p", "The built-in shop serves, with its allowances, not yours.",
                 {{"class", "remarks"}});
  for (auto const& setup : view.setups) add_section(html, view, setup);
  sheet::add_cautions(html, machine::cautions(*view.machine, view.inputs->shop.allowances), "h3");
  return html.str();
}

std::string clashes(Drafted const& draft) {
  Html html;
  if (draft.clashes.empty()) return {};
  html.element("p", "The file was changed outside this page where you changed it, too:",
               {{"class", "remarks"}});
  html.open("ul", {{"class", "clashes"}});
  for (auto const& clash : draft.clashes) {
    const auto path = path_text(clash.change.path);
    const auto where = fmt::format("{}", fmt::join(clash.change.path, ", "));
    const auto theirs = clash.keys ? "keys of its own" : clash.there.value_or("nothing");
    const auto mine = clash.change.now.value_or("nothing");
    html.open("li").element(
        "span", fmt::format("{}: the file has {} now, here stands {}. ", where, theirs, mine));
    if (!clash.keys)
      html.element("button", fmt::format("keep {}", mine),
                   {{"type", "button"},
                    {"data-keep", path},
                    {"data-there", clash.there.value_or("")},
                    {"data-missing", clash.there ? "" : "yes"}});
    html.element("button", fmt::format("take {}", theirs),
                 {{"type", "button"}, {"data-take", path}});
    html.close();
  }
  html.close();
  return html.str();
}

}  // namespace stripwright::page
