#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "cli/choose.h"
#include "page/choice_view.h"
#include "page/frame.h"
#include "page/yaml_paths.h"
#include "units/parse.h"

namespace stripwright::page {
namespace {

using report::Html;

/// The longest search that a page waits for, in seconds for each section.
constexpr double kLongest = 120;

std::string const& value_of(ChoiceOrder const& order, std::string_view field) {
  static const std::string none;
  const auto found = order.find(field);
  return found == order.end() ? none : found->second;
}

/// The path of a file of the folder that must be there; "" and a problem if it is not.
std::string path_in(Desk const& desk, std::string const& name, std::string_view what,
                    Problems& problems) {
  if (name.empty()) {
    problems.error(fmt::format("no {} is chosen", what), "choose one above");
    return {};
  }
  if (!desk.folder.read(name, problems)) return {};
  return desk.folder.path_of(name, problems).value_or("");
}

std::string seconds_for(std::string const& given, Problems& problems) {
  const auto parsed = parse_number(given);
  if (parsed && *parsed.value >= 0 && *parsed.value <= kLongest) return given;
  problems.error(fmt::format("{} is no number of seconds", quoted_for_message(given)),
                 fmt::format("0 to {:.0f} here; `stripwright choose` takes more", kLongest));
  return "0";
}

/// output/<taper>, as the command has it; "" and a problem where that leads out of the folder.
std::string folder_for(Desk const& desk, std::string const& taper, Problems& problems) {
  const auto path =
      desk.folder.path_of(fmt::format("{}/{}", choice_folder(taper), kGlueSheet), problems);
  return path ? std::filesystem::path(*path).parent_path().string() : std::string();
}

/// The options that the command would be given for the same.
cli::ChooseOptions options_of(Desk const& desk, ChoiceOrder const& order, std::optional<Unit> unit,
                              Problems& problems) {
  cli::ChooseOptions out;
  auto& common = out.check.common;
  common.taper = path_in(desk, value_of(order, "file"), "rod", problems);
  if (auto const& shop = value_of(order, "shop"); !shop.empty())
    common.shop = path_in(desk, shop, "shop", problems);
  out.check.readings = path_in(desk, value_of(order, "readings"), "readings file", problems);
  if (auto const& nodes = value_of(order, "nodes"); !nodes.empty())
    out.nodes = path_in(desk, nodes, "nodes' file", problems);
  common.gauge = value_of(order, "gauge");
  if (auto const& section = value_of(order, "section"); !section.empty())
    common.sections = {section};
  if (unit) common.units = unit_name(*unit);
  common.culm_diameter = value_of(order, "culm-diameter");
  common.moisture = value_of(order, "moisture");
  if (!common.taper.empty()) common.out = folder_for(desk, value_of(order, "file"), problems);
  out.check.stage = value_of(order, "stage");
  out.check.readings_unit = value_of(order, "readings-unit");
  out.check.moisture_now = value_of(order, "moisture-now");
  out.rules = {value_of(order, "min-gap"), value_of(order, "keep-clear"),
               split(value_of(order, "clear-at"))};
  out.shift_step = value_of(order, "shift-step");
  out.rings = value_of(order, "rings");
  out.all = !value_of(order, "all").empty();
  out.time = seconds_for(value_of(order, "time"), problems);
  out.words = {"“Strips that are not right too”", "“Nodes”", "“Seconds at the most”", "shop file"};
  return out;
}

Response run(Desk const& desk, Request const& request, Order const& sent) {
  auto order = choice_order(sent);
  Problems problems;
  auto options = options_of(desk, order, chosen_unit(request), problems);
  if (problems.any_error()) return refusal(in_page_words(problems));
  const auto turn = desk.choices.take_turn();
  if (!turn.owns_lock())
    return refusal("Another choosing is at work. Wait until it is done, then choose again.", 409);
  options.progress = [&](std::string_view doing, double share) {
    desk.choices.tell(fmt::format("{}, {:.0f} %", doing, 100 * share));
  };
  std::shared_ptr<cli::Choosing> choosing = cli::choose(std::move(options), problems);
  desk.choices.tell({});
  if (!choosing) return refusal(in_page_words(problems));
  choosing->options.progress = {};
  const auto choice = desk.choices.put(order, std::move(choosing));
  const std::lock_guard lock(choice->mutex);
  const bool well = cli::all_well(*choice->choosing->report);
  Parts parts;
  parts.html.emplace_back("problems", problems_html(in_page_words(problems)));
  parts.html.emplace_back("choice", choice_html(*choice));
  parts.say = well ? "Chosen, and proven best." : "Chosen; look at what is not proven or gives.";
  order["choice"] = choice->id;
  auto json = parts.json();
  json["address"] = choice_address(order);
  return json_response(json);
}

Response progress(Desk const& desk, Request const&) {
  return json_response({{"doing", desk.choices.doing()}});
}

/// What depends on rod and shop. (All other fields stay under the hand that changes them.)
Response form(Desk const& desk, Request const&, Order const& sent) {
  const auto order = choice_order(sent);
  Parts parts;
  parts.html = {{"of-rod", choice_sections(desk, order)}, {"of-shop", choice_gauges(desk, order)}};
  return json_response(parts.json());
}

/// Rings that were kept before, folder by folder, with their sheets.
void add_kept_before(Html& html, Folder const& folder) {
  std::vector<std::string> sheets;
  for (auto const& ring : folder.names(FileKind::ring)) {
    const auto lies_in = std::filesystem::path(ring).parent_path();
    auto name = (lies_in / kGlueSheet).generic_string();
    Problems ignored;
    if (std::find(sheets.begin(), sheets.end(), name) == sheets.end() && folder.read(name, ignored))
      sheets.push_back(std::move(name));
  }
  if (sheets.empty()) return;
  html.element("h2", "Kept before").open("ul", {{"class", "entries"}});
  for (auto const& name : sheets) {
    const auto href = address("/choose/sheet", {{"file", name}});
    html.open("li")
        .open("a", {{"href", href}, {"target", "_blank"}})
        .element("strong", "Sheet for the glue bench")
        .close()
        .element("span", name, {{"class", "file"}})
        .close();
  }
  html.close();
}

/// What there is to do first, where nothing can be chosen yet; "" where it can.
std::string what_is_missing(Desk const& desk) {
  Html html;
  if (desk.folder.names(FileKind::taper).empty())
    html.open("p")
        .text("No taper in this folder yet. ")
        .word("a", "Begin with one", {{"href", "/"}})
        .text(".")
        .close();
  else if (strip_readings(desk.folder).empty())
    html.open("p")
        .text("No strips are measured yet: it takes the readings of six or more. ")
        .word("a", "Measure some", {{"href", "/measure"}})
        .text(", or put a readings file into the folder.")
        .close();
  return html.str();
}

/// A choice that the address names, if it is of this person's unit.
std::string earlier_choice(Desk const& desk, Request const& request) {
  const auto choice = desk.choices.find(request.value("choice"));
  if (!choice) return {};
  const std::lock_guard lock(choice->mutex);
  const auto wanted = chosen_unit(request);
  const auto given = choice->choosing->options.check.common.units;
  return given == (wanted ? unit_name(*wanted) : std::string_view()) ? choice_html(*choice)
                                                                     : std::string();
}

Response choose(Desk const& desk, Request const& request) {
  const auto order = choice_order(desk, request);
  Html html;
  html.element("h1", "Choose six")
      .element("p",
               "Which six of the measured strips make a section, in which order round it, and how "
               "far each is moved.");
  html.markup("<div id=\"problems\" tabindex=\"-1\"></div>\n");
  if (const auto missing = what_is_missing(desk); !missing.empty()) {
    html.markup(missing);
    add_kept_before(html, desk.folder);
    return framed({"Choose six", "/choose", ""}, request, html.str());
  }
  const auto found = earlier_choice(desk, request);
  const bool again = found.empty() && !request.value("choice").empty();
  html.open("form", {{"id", "choose"}, {"data-again", again ? "yes" : ""}})
      .open("div", {{"id", "asked"}})
      .markup(choice_fields(desk, order))
      .close()
      .element("button", "Choose", {{"id", "go"}, {"class", "main"}})
      .element("p", "", {{"id", "busy"}})
      .close();
  html.open("div", {{"id", "choice"}}).markup(found).close();
  add_kept_before(html, desk.folder);
  return framed({"Choose six", "/choose", "/choose.js"}, request, html.str());
}

}  // namespace

std::vector<Route> choose_routes() {
  return {{"/choose", choose, nullptr},           {"/choose/form", nullptr, form},
          {"/choose/run", nullptr, run},          {"/choose/progress", progress, nullptr},
          {"/choose/keep", nullptr, keep_choice}, {"/choose/sheet", glue_sheet, nullptr}};
}

}  // namespace stripwright::page
