#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <utility>

#include "page/form_field.h"
#include "page/frame.h"
#include "page/rod_view.h"
#include "units/format.h"

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

/// What is wrong with a row's two fields.
struct RowMistakes {
  std::string station;
  std::string flats;
  bool station_error = false;
  bool flats_error = false;
};

/// A mistake belongs to the last row that begins at or before its place: to its station if it is
/// told of that, else to its flats.
std::vector<RowMistakes> row_mistakes(RodView const& view) {
  auto const* stations = stations_of(view.tree);
  std::vector<RowMistakes> out(stations ? stations->entries.size() : 0);
  if (out.empty()) return out;
  std::vector<Place> places;
  for (auto const& entry : stations->entries) places.push_back(view.text->place(entry.key.offset));
  for (auto const& mistake : mistakes_in(view, view.problems)) {
    if (mistake.path.size() < 2 || mistake.path[0] != "taper") continue;
    const auto begins_behind = [](Place const& place, Place const& other) {
      return std::pair(place.line, place.column) < std::pair(other.line, other.column);
    };
    const auto next = std::upper_bound(places.begin(), places.end(), mistake.place, begins_behind);
    if (next == places.begin()) continue;
    auto& row = out[static_cast<std::size_t>(next - places.begin()) - 1];
    auto& text = mistake.at_key ? row.station : row.flats;
    auto& error = mistake.at_key ? row.station_error : row.flats_error;
    text += (text.empty() ? "" : " ") + mistake.text;
    error = error || mistake.error;
  }
  return out;
}

std::string station_id(std::size_t i) { return fmt::format("station-{}", i); }
std::string flats_id(std::size_t i) { return fmt::format("flats-{}", i); }

void add_row(Html& html, RodView const& view, std::size_t i, files::YamlEntry const& entry,
             RowMistakes const& wrong) {
  auto const& key = entry.key.text;
  const auto path = path_text({"taper", key_before(view, key)});
  const auto was = text_before(view, key);
  html.open("tr",
            {{"data-row", path}, {"data-key", key}, {"class", key == view.order.at ? "here" : ""}});
  html.open("th", {{"scope", "row"}})
      .single("input", {{"id", station_id(i)},
                        {"class", "station"},
                        {"inputmode", "decimal"},
                        {"data-path", path},
                        {"data-role", "key"},
                        {"value", key},
                        {"autocomplete", "off"},
                        {"aria-invalid", wrong.station_error ? "true" : "false"},
                        {"aria-describedby", station_id(i) + "-wrong"},
                        {"aria-label", fmt::format("station {}", i + 1)}})
      .close();
  html.open("td");
  const auto label = fmt::format("across flats at station {}", key);
  html.single("input", {{"id", flats_id(i)},
                        {"class", "flats"},
                        {"inputmode", "decimal"},
                        {"data-path", path},
                        {"data-role", "value"},
                        {"data-was", was ? std::string_view(*was) : std::string_view()},
                        {"value", entry.value.text},
                        {"autocomplete", "off"},
                        {"aria-invalid", wrong.flats_error ? "true" : "false"},
                        {"aria-describedby", flats_id(i) + "-wrong"},
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
  // Not seen where nothing is wrong.
  html.open("tr", {{"class", "told"}}).open("td", {{"colspan", "4"}});
  add_wrong(html, station_id(i), wrong.station);
  add_wrong(html, flats_id(i), wrong.flats);
  html.close().close();
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
  const auto wrong = row_mistakes(view);
  for (std::size_t i = 0; i < wrong.size(); ++i)
    add_row(html, view, i, stations->entries[i], wrong[i]);
  html.close().close();
  return html.str();
}

Order station_mistakes(RodView const& view) {
  auto out = Order::object();
  const auto wrong = row_mistakes(view);
  const auto add = [&](std::string const& id, std::string const& text, bool error) {
    if (!text.empty()) out[id] = {{"text", text}, {"wrong", error}};
  };
  for (std::size_t i = 0; i < wrong.size(); ++i) {
    add(station_id(i), wrong[i].station, wrong[i].station_error);
    add(flats_id(i), wrong[i].flats, wrong[i].flats_error);
  }
  return out;
}

void add_rises(RodView const& view, Parts& parts) {
  auto const* stations = stations_of(view.tree);
  const auto rows = stations ? stations->entries.size() : 0;
  for (std::size_t i = 0; i < rows; ++i)
    parts.html.emplace_back(fmt::format("rise-{}", i), view.taper && i < view.taper->points.size()
                                                           ? rise(*view.taper, i, view.unit())
                                                           : std::string());
}

}  // namespace stripwright::page
