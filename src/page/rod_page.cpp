#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <nlohmann/json.hpp>

#include "cli/setup_output.h"
#include "page/form.h"
#include "page/frame.h"
#include "page/rod_view.h"
#include "report/plot.h"
#include "sheet/taper_figure.h"
#include "taper/taper_keys.h"
#include "taper/write_taper.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::page {
namespace {

using report::Html;

/// The keys of the file that the table of stations does not have.
FormOf other_keys(RodView const& view) {
  return {taper_file_keys(), view, view.order.changes, view.problems, {"taper"}};
}

void add_taper(Html& html, RodView const& view) {
  html.open("section", {{"class", "taper"}}).element("h2", "Taper");
  add_part(html, "taper-table", taper_rows(view));
  html.open("p", {{"class", "field add"}})
      .element("label", "Another station at", {{"for", "new-station"}})
      .single("input", {{"id", "new-station"}, {"inputmode", "decimal"}, {"autocomplete", "off"}})
      .element("label", "across flats", {{"for", "new-flats"}})
      .single("input", {{"id", "new-flats"}, {"inputmode", "decimal"}, {"autocomplete", "off"}})
      .element("button", "Put in", {{"type", "button"}, {"id", "put-in"}})
      .close();
  html.close();
}

Response rod(Desk const& desk, Request const& request) {
  Problems problems;
  const auto view = view_rod(desk, rod_order(desk, request), problems);
  if (!view) return problem_page(request, problems);
  const auto title = view->taper ? view->taper->name : view->order.file;
  Html html;
  open_draft(html, "/rod", *view);
  html.element("h1", title);
  if (view->taper && !view->taper->about.empty()) html.element("p", view->taper->about);
  html.element("p", view->order.file, {{"class", "file"}});
  add_draft_bar(html);
  html.element("a", "Sheets to print",
               {{"id", "sheet"},
                {"class", "button"},
                {"href", rod_address("/rod/sheet", view->order)},
                {"target", "_blank"}})
      .close();
  add_part(html, "clashes", {});
  add_part(html, "problems", problems_html(view->problems));
  html.open("div", {{"class", "columns"}}).open("div");
  add_taper(html, *view);
  html.open("details", {{"id", "other-keys"}})
      .element("summary", "Name, sections, ferrules and the like");
  add_part(html, "form", form_html(other_keys(*view)));
  html.close();
  add_earlier_states(html);
  html.close().open("div");
  html.open("section").element("h2", "Curve");
  html.element("p",
               "Touch a station to see its ledger; drag it, or use the arrow keys in the table, to "
               "change it.",
               {{"class", "meaning"}});
  add_part(html, "curve", curve(*view), "the taper drawn");
  html.close();
  add_part(html, "ledger", ledger(*view), "ledger");
  html.close().close();
  html.open("section").element("h2", "Shop and machine");
  add_part(html, "choices", choices(*view, desk.folder.names(FileKind::shop)));
  html.close();
  html.open("section").element("h2", "Set-up");
  add_part(html, "figures", figures(*view), "set-up");
  html.close();
  html.open("section").element("h2", "Files");
  html.element(
      "p",
      "Tables as CSV, the sheet, and for the machines that take them a pattern's drawing or "
      "a router's program.",
      {{"class", "meaning"}});
  html.open("p")
      .element("button", "Write the files", {{"type", "button"}, {"id", "write-files"}})
      .close();
  add_part(html, "files", {});
  html.close();
  html.close();
  return framed({title, "/", "/rod.js"}, request, html.str());
}

/// Everything that depends on the draft; with `whole` its fields too, which else stay under the
/// hand that types in them.
Response parts_of(Desk const& desk, RodView const& view, bool whole, bool choose) {
  Parts parts;
  if (view.draft) {
    if (whole) {
      parts.html.emplace_back("taper-table", taper_rows(view));
      parts.html.emplace_back("form", form_html(other_keys(view)));
    } else {
      add_rises(view, parts);
    }
    parts.html.emplace_back("curve", curve(view));
    parts.html.emplace_back("ledger", ledger(view));
    if (choose)
      parts.html.emplace_back("choices", choices(view, desk.folder.names(FileKind::shop)));
    parts.html.emplace_back("figures", figures(view));
  }
  parts.html.emplace_back("problems", problems_html(view.problems));
  parts.html.emplace_back("clashes", clashes(view.draft));
  auto json = parts.json();
  json["seen"] = tag_of(view);
  json["wrong"] = form_mistakes(other_keys(view));
  json["wrong"].update(station_mistakes(view));
  json["address"] = rod_address("/rod", view.order);
  json["sheet"] = rod_address("/rod/sheet", view.order);
  return json_response(json);
}

Response show_figures(Desk const& desk, Request const& request, Order const& sent) {
  auto order = rod_order(request, sent);
  if (!order) return refusal("what was sent cannot be read");
  Problems problems;
  const auto view = view_rod(desk, std::move(*order), problems);
  if (!view) return refusal(problems, 404);
  return parts_of(desk, *view, yes_in(sent, "whole"), yes_in(sent, "choose"));
}

/// A number of an order that is finite; nothing else.
std::optional<double> number_in(Order const& order, char const* key) {
  const auto found = order.find(key);
  if (found == order.end() || !found->is_number()) return std::nullopt;
  const auto value = found->get<double>();
  return std::isfinite(value) ? std::optional(value) : std::nullopt;
}

/// The steps by which a hand on the curve or an arrow key changes flats.
Length step_of(Unit unit) {
  return unit == Unit::inch ? Length::inches(0.001) : Length::millimetres(0.02);
}

/// No hand means more than this.
constexpr Length kThickest = Length::inches(10);

/// Which point of the taper lies nearest to a spot of the drawing, along the rod.
std::size_t nearest_point(Taper const& taper, Unit unit, double x) {
  std::size_t out = 0;
  double best = std::numeric_limits<double>::max();
  for (std::size_t i = 0; i < taper.points.size(); ++i) {
    const double off = std::fabs(in_unit(taper.points[i].at.from_zero(), unit) - x);
    if (off < best) {
      best = off;
      out = i;
    }
  }
  return out;
}

/// What a spot of the drawing stands for, across flats. While a hand draws, the picture's own axis
/// follows what it draws; what counts is the axis it began with, `low` to `high`, and nothing
/// beyond the frame.
std::optional<double> drawn_to(report::PlotScale scale, Order const& sent) {
  const auto y = number_in(sent, "y");
  const auto low = number_in(sent, "low");
  const auto high = number_in(sent, "high");
  if (!yes_in(sent, "drag") || !y || !low || !high || *low >= *high) return std::nullopt;
  scale.least.y = *low;
  scale.most.y = *high;
  return scale.values_at({0, std::clamp(*y, scale.upper_left.y, scale.lower_right.y)}).y;
}

/// A hand on the curve, at `x` and `y` of its drawing: tells which station is meant and, with
/// `drag`, what its flats become. Or a key: `steps` for the station `at`.
Response hand(Desk const& desk, Request const& request, Order const& sent) {
  auto order = rod_order(request, sent);
  if (!order) return refusal("what was sent cannot be read");
  Problems problems;
  const auto view = view_rod(desk, std::move(*order), problems);
  if (!view) return refusal(problems, 404);
  if (!view->taper || !view->tree) return refusal(view->problems);
  auto const* stations = node_at(*view->tree, {"taper"});
  if (!stations || stations->entries.size() != view->taper->points.size())
    return refusal("the taper's stations are not plain to see", 422);
  const auto unit = view->unit();
  const auto scale = report::scale_of(sheet::taper_figure(*view->taper, unit));
  const auto x = number_in(sent, "x");
  const auto steps = number_in(sent, "steps");
  std::optional<std::size_t> index;
  for (std::size_t i = 0; i < stations->entries.size(); ++i)
    if (stations->entries[i].key.text == view->order.at) index = i;
  if (x && !yes_in(sent, "drag"))
    index = nearest_point(*view->taper, unit, scale.values_at({*x, 0}).x);
  if (!index) return refusal("no such station", 404);
  auto const& entry = stations->entries[*index];
  Order out = {{"at", entry.key.text},
               {"field", fmt::format("flats-{}", *index)},
               {"low", scale.least.y},
               {"high", scale.most.y}};
  const auto step = step_of(view->taper->unit);
  std::optional<Length> flats;
  if (const auto value = drawn_to(scale, sent)) {
    const auto wanted = *value * (unit == Unit::inch ? Length::inches(1) : Length::millimetres(1));
    flats = std::round(wanted / step) * step;
  } else if (steps && std::fabs(*steps) <= 1000) {
    flats = view->taper->points[*index].flats + *steps * step;
  }
  if (flats && *flats >= step && *flats <= kThickest)
    out["now"] = taper_number(*flats, view->taper->unit, true);
  return json_response(out);
}

Response sheet(Desk const& desk, Request const& request) {
  Problems problems;
  const auto view = view_rod(desk, rod_order(desk, request), problems);
  if (view) problems.add_all(view->problems);
  if (!view || view->setups.empty()) return problem_page(request, problems, view ? 422 : 404);
  const cli::SetupResult result{*view->inputs, *view->machine, view->gauge, view->setups, "", {}};
  for (auto const& file : cli::setup_files(result))
    if (file.name == "sheet.html") return sheet_response(file.bytes);
  return problem_page(request, problems, 500);
}

}  // namespace

std::vector<Route> rod_routes() {
  return {{"/rod", rod, nullptr},
          {"/rod/figures", nullptr, show_figures},
          {"/rod/hand", nullptr, hand},
          {"/rod/sheet", sheet, nullptr}};
}

}  // namespace stripwright::page
