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
  if (const auto tapered = machine::tapered_beforehand(setup.rough, unit); !tapered.empty())
    html.element("p", tapered);
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
  if (const auto moisture = sheet::moisture_sentence(view.inputs->shop); !moisture.empty())
    html.element("p", moisture);
  html.close();
}

}  // namespace

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
