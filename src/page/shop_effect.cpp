#include <fmt/format.h>

#include <algorithm>

#include "cli/setup_output.h"
#include "page/frame.h"
#include "page/ledger_part.h"
#include "page/shop_view.h"
#include "report/table.h"
#include "section/strip_profile.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::page {
namespace {

using report::Html;
using section::Step;

section::StripProfile strip_of(std::shared_ptr<const TaperCurve> const& curve, Taper const& taper,
                               RodSection const& section, Shop const& shop) {
  return {curve, section, section::LedgerRules(taper.measured, shop.allowances)};
}

/// The stations of all sections, each once.
std::vector<Station> all_stations(Taper const& taper) {
  std::vector<Station> out;
  for (auto const& section : taper.sections)
    for (const auto at : section::table_stations(taper, section))
      if (out.empty() || at > out.back() + kSamePlace) out.push_back(at);
  return out;
}

std::string station_words(Station at, Unit unit) { return format_short(at.from_zero(), unit); }

/// The station that was asked for, or the first.
Station chosen_station(ShopView const& view) {
  auto const& taper = *view.taper;
  const auto stations = all_stations(taper);
  const auto asked = parse_length(view.order.at, taper.unit);
  const auto found = std::find_if(stations.begin(), stations.end(), [&](Station at) {
    return asked && abs(at.from_zero() - *asked.value) < kSamePlace;
  });
  return found == stations.end() ? stations.front() : *found;
}

/// The strip's height a as milled, at all stations of a section.
report::Table heights(ShopView const& view, RodSection const& section, bool changed) {
  auto const& taper = *view.taper;
  const auto curve = std::make_shared<const TaperCurve>(taper);
  report::Table table;
  table.columns = {{"", "station", true}};
  if (changed) table.columns.push_back({"", "strip a, as the file is", true});
  table.columns.push_back({"", changed ? "strip a, with the changes" : "strip a", true});
  if (changed) table.columns.push_back({"", "difference", true});
  const auto after = strip_of(curve, taper, section, *view.after);
  for (const auto at : section::table_stations(taper, section)) {
    const auto height = after.ledger(at)[Step::strip_milled];
    std::vector<report::Cell> row = {report::Place{at.from_zero()}};
    if (changed) {
      const auto old = strip_of(curve, taper, section, *view.before).ledger(at)[Step::strip_milled];
      // A digit more than the heights have: it is the exact one's, not that of rounded heights.
      const report::Number off{in_unit(height - old, view.unit()), file_decimals(view.unit()),
                               bench_decimals(view.unit()) + 1};
      row.insert(row.end(), {report::Cell(old), report::Cell(height), report::Cell(off)});
    } else {
      row.emplace_back(height);
    }
    table.rows.push_back(std::move(row));
  }
  return table;
}

void add_heights(Html& html, ShopView const& view, RodSection const& section, bool changed) {
  const auto curve = std::make_shared<const TaperCurve>(*view.taper);
  Problems problems;
  section::check_section(strip_of(curve, *view.taper, section, *view.after),
                         section::table_stations(*view.taper, section), view.unit(), problems);
  add_problems(html, problems);
  const auto caption = fmt::format("Section {}: the strip as milled", section.name);
  html.open("div",
            {{"class", "wide"}, {"tabindex", "0"}, {"role", "region"}, {"aria-label", caption}});
  html.table(heights(view, section, changed), view.unit(), caption, "plain").close();
}

void add_why(Html& html, ShopView const& view, bool changed) {
  auto const& taper = *view.taper;
  const auto at = chosen_station(view);
  const auto section =
      std::find_if(taper.sections.begin(), taper.sections.end(), [&](RodSection const& each) {
        return at >= each.from - kSamePlace && at <= each.to + kSamePlace;
      });
  if (section == taper.sections.end()) return;
  const auto curve = std::make_shared<const TaperCurve>(taper);
  const auto after = strip_of(curve, taper, *section, *view.after);
  std::optional<section::StripProfile> before;
  if (changed) before = strip_of(curve, taper, *section, *view.before);
  html.element("h3", fmt::format("Why, at station {}", station_words(at, view.unit())));
  add_ledger(html, after, before ? &*before : nullptr, at, view.unit(),
             fmt::format("Section {}", section->name));
}

}  // namespace

Unit ShopView::unit() const {
  if (order.unit) return *order.unit;
  return taper ? taper->unit : Unit::inch;
}

std::string effect_choices(ShopView const& view, std::vector<std::string> const& taper_files) {
  Html html;
  std::vector<Option> rods = {{"", "none"}};
  for (auto const& file : taper_files) rods.push_back({file, file});
  add_select(html, "rod", "Shown on the rod", rods, view.order.rod);
  if (!view.taper) return html.str();
  std::vector<Option> stations;
  for (const auto at : all_stations(*view.taper))
    stations.push_back({station_words(at, view.taper->unit), station_words(at, view.unit())});
  add_select(html, "at", "Ledger at station", stations,
             station_words(chosen_station(view), view.taper->unit));
  return html.str();
}

std::string effect(ShopView const& view) {
  Html html;
  add_problems(html, view.rod_problems);
  if (view.order.rod.empty()) {
    html.element("p", "Choose a rod to see what the allowances make of its strips.");
    return html.str();
  }
  if (!view.after || !view.taper) {
    html.element("p", "There are no figures until what is wrong is put right.");
    return html.str();
  }
  if (const auto assumed = cli::assumed_line(*view.after); !assumed.empty())
    html.element("p", assumed, {{"class", "remarks"}});
  const bool changed = view.before && !view.order.changes.empty();
  for (auto const& section : view.taper->sections) add_heights(html, view, section, changed);
  add_why(html, view, changed);
  return html.str();
}

}  // namespace stripwright::page
