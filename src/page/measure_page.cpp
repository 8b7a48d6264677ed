#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "cli/check_sheet.h"
#include "cli/sheet_head.h"
#include "page/choice_view.h"
#include "page/frame.h"
#include "page/measure_view.h"
#include "sheet/frame.h"
#include "shop/read_shop.h"
#include "taper/read_taper.h"

namespace stripwright::page {
namespace {

using report::Html;

std::vector<Option> names_of(Desk const& desk, FileKind kind) {
  std::vector<Option> out;
  for (auto& name : desk.folder.names(kind)) out.push_back({name, name});
  return out;
}

/// Sections of all tapers of the folder, and machines of all its shops: those that go with the
/// chosen files are known when these are.
std::vector<Option> section_options(Desk const& desk) {
  std::vector<Option> out = {{"", "all"}};
  for (auto const& name : desk.folder.names(FileKind::taper)) {
    Problems ignored;
    const auto file = desk.folder.read(name, ignored);
    const auto taper = file ? read_taper(*file, ignored) : std::nullopt;
    if (!taper) continue;
    for (auto const& section : taper->sections)
      if (std::none_of(out.begin(), out.end(),
                       [&](auto const& each) { return each.value == section.name; }))
        out.push_back({section.name, section.name});
  }
  return out;
}

std::vector<Option> machine_options(Desk const& desk) {
  std::vector<Option> out = {{"", "no matter"}};
  for (auto const& name : desk.folder.names(FileKind::shop)) {
    Problems ignored;
    const auto file = desk.folder.read(name, ignored);
    const auto shop = file ? read_shop(*file, ignored) : std::nullopt;
    if (!shop) continue;
    for (auto const& machine : shop->machines) out.push_back({machine.name, machine.name});
  }
  return out;
}

/// Which rod, which file: a form that leads to the measuring itself.
Response begin(Desk const& desk, Request const& request, MeasureOrder const& order,
               Problems const& problems) {
  Html html;
  html.element("h1", "Measure").open("div", {{"id", "problems"}});
  add_problems(html, in_page_words(problems));
  html.close();
  const auto tapers = names_of(desk, FileKind::taper);
  if (tapers.empty()) {
    html.open("p")
        .text("There is no rod in this folder yet: ")
        .element("a", "begin with one", {{"href", "/"}})
        .close();
    return framed({"Measure", "/measure", ""}, request, html.str());
  }
  html.open("form", {{"method", "get"}, {"action", "/measure"}});
  add_select(html, "file", "Rod", tapers, order.file);
  auto shops = names_of(desk, FileKind::shop);
  shops.push_back({"", "the built-in shop"});
  add_select(html, "shop", "Shop", shops,
             request.query.contains("shop") ? order.shop : shops.front().value);
  add_select(html, "stage", "What is measured",
             {{"milled", "strips as they leave the machine"},
              {"ready", "strips ready to glue"},
              {"groove", "the groove, set for the strip"},
              {"glued", "a section, glued, its binding off"},
              {"bare", "a section, cleaned"},
              {"varnished", "a section, varnished"}},
             order.stage);
  add_select(html, "section", "Section", section_options(desk), order.section);
  add_field(html,
            {"strips", "Strips", order.strips,
             "how many, or their names with commas between; left empty: as many as the rod needs"});
  add_select(
      html, "heights", "At each station",
      {{"a", "height a, from the apex to the outer face"}, {"abc", "the heights a, b and c"}},
      order.heights);
  add_select(html, "machine", "Machine, where its groove is measured", machine_options(desk),
             order.machine);
  add_field(html, {"moisture-now", "Moisture now", order.moisture_now,
                   "percent, where it is known: of strips ready to glue, if not as milled; of a "
                   "section, if not as in service"});
  add_field(
      html,
      {"readings", "Readings go into",
       order.readings.empty() ? fmt::format("readings-{}.csv", cli::sheet_date()) : order.readings,
       "a file of this folder whose name ends in .csv; one that is there is gone on with"});
  html.element("button", "Begin", {{"class", "main"}}).close();
  return framed({"Measure", "/measure", ""}, request, html.str(), problems.any_error() ? 422 : 200);
}

/// Where a reading is typed.
void add_reading_field(Html& html, Unit unit) {
  html.open("form", {{"id", "reading-form"}})
      .element("label", fmt::format("Reading, {}", unit_name(unit)), {{"for", "reading"}})
      .single("input", {{"id", "reading"},
                        {"inputmode", "decimal"},
                        {"autocomplete", "off"},
                        {"enterkeyhint", "send"},
                        {"spellcheck", "false"}})
      .element("button", "Keep", {{"class", "main"}})
      .close();
}

void add_buttons(Html& html, MeasureOrder const& order) {
  html.open("div", {{"class", "bar"}});
  for (auto const& [what, words] :
       {std::pair<std::string_view, std::string_view>{"back", "Take back"},
        {"again", "Once more"},
        {"skip", "Leave out"},
        {"next", "Next strip"}})
    html.element("button", words, {{"type", "button"}, {"data-do", what}});
  html.element("a", "Judge all",
               {{"class", "button"},
                {"target", "_blank"},
                {"href", measure_address("/measure/sheet", order)}});
  html.close();
}

Response measuring_page(Request const& request, MeasureView const& view, Problems const& problems) {
  auto const& measuring = *view.measuring;
  auto const& order = view.order;
  const auto title =
      fmt::format("{}, {}", view.inputs->taper.name, cli::stage_words(measuring.bench().stage));
  Html html;
  html.open("div", {{"id", "measuring"},
                    {"data-mark", measuring.mark()},
                    {"data-now", fmt::format("{}", measuring.now())}});
  html.element("h1", title);
  add_part(html, "problems", problems_html(problems));
  add_part(html, "prompt", prompt(measuring));
  add_reading_field(html, measuring.place(0).typed_in);
  html.open("div", {{"id", "verdict"}, {"role", "status"}, {"aria-live", "assertive"}}).close();
  add_buttons(html, order);
  add_part(html, "piece-figure", piece_figure(measuring, measuring.now()));
  html.open("div", {{"class", "wide"}, {"id", "pieces"}})
      .markup(pieces_table(measuring, measuring.now()))
      .close();
  html.element(
      "p",
      fmt::format("Readings go into {}. {}", order.readings, cli::check_how(measuring.bench())),
      {{"class", "meaning"}});
  sheet::add_cautions(html, cli::check_cautions(measuring.bench()), "h3");
  html.close();
  return framed({title, "/measure", "/measure.js"}, request, html.str());
}

Response measure(Desk const& desk, Request const& request) {
  auto order = measure_order(request);
  Problems problems;
  if (order.file.empty() && !order.readings.empty())
    if (const auto note = desk.history.note(order.readings); note.starts_with("/measure?"))
      return go_on_at(note);
  if (order.file.empty() || order.readings.empty()) {
    if (!order.file.empty() && request.query.contains("readings"))
      problems.error("the file for the readings has no name", "tip.csv, say");
    return begin(desk, request, order, problems);
  }
  const auto view = view_measuring(desk, order, problems);
  if (!view || view->measuring->size() == 0) {
    if (view) problems.error("there is nothing to measure", "choose another section");
    return begin(desk, request, order, problems);
  }
  return measuring_page(request, *view, problems);
}

std::vector<std::size_t> indexes_in(Order const& order, char const* key) {
  std::vector<std::size_t> out;
  const auto found = order.find(key);
  if (found == order.end() || !found->is_array()) return out;
  for (auto const& each : *found)
    if (each.is_number_unsigned()) out.push_back(each.get<std::size_t>());
  return out;
}

/// What the maker did: a reading, or one of the buttons.
struct Deed {
  std::string word;
  std::string typed;
  std::string seen;
};

/// Does it; gives what is to be said, and the verdict where there is one.
cli::MeasuringAnswer act(cli::Measuring& measuring, Deed const& deed, Problems& problems) {
  cli::MeasuringAnswer said;
  said.outcome = cli::MeasuringOutcome::no_such_place;
  if (deed.word == "skip") {
    measuring.skip();
  } else if (deed.word == "next") {
    measuring.next_piece();
  } else if (deed.word == "again") {
    if (!measuring.go_to_last()) said.words = "nothing has been read yet";
  } else if (deed.word == "read" || deed.word == "back") {
    if (auto refused = measuring.hold(deed.seen, problems)) return *refused;
    said = deed.word == "back" ? measuring.take_back(problems)
                               : measuring.read(measuring.now(), deed.typed, problems);
    measuring.let_go();
  }
  return said;
}

Response deed(Desk const& desk, Request const& request, Order const& sent) {
  const std::lock_guard lock(desk.writing);
  Problems problems;
  auto order = measure_order(request, sent);
  auto view = view_measuring(desk, order, problems);
  if (!view || view->measuring->size() == 0) return refusal(problems);
  auto& measuring = *view->measuring;
  measuring.leave_out(indexes_in(sent, "left_out"));
  const auto now = sent.find("now");
  if (now != sent.end() && now->is_number_unsigned()) measuring.go_to(now->get<std::size_t>());
  const Deed what{text_in(sent, "do"), text_in(sent, "typed"), text_in(sent, "seen")};
  const auto said = act(measuring, what, problems);
  if (said.outcome == cli::MeasuringOutcome::kept)
    desk.history.keep_note(order.readings, measure_address("/measure", order));
  const auto left_out = measuring.left_out();
  const auto next = measuring.now();
  // What the file holds now, be it by this deed or by somebody else's.
  Problems again;
  view = view_measuring(desk, order, again);
  if (!view) return refusal(again);
  auto& shown = *view->measuring;
  shown.leave_out(left_out);
  shown.go_to(next);
  Parts parts;
  parts.html.emplace_back("prompt", prompt(shown));
  parts.html.emplace_back("verdict", verdict(shown, said));
  parts.html.emplace_back("piece-figure", piece_figure(shown, shown.now()));
  parts.html.emplace_back("pieces", pieces_table(shown, shown.now()));
  parts.html.emplace_back("problems", problems_html(problems));
  auto json = parts.json();
  json["mark"] = shown.mark();
  json["now"] = shown.now();
  json["left_out"] = left_out;
  json["kept"] = said.outcome == cli::MeasuringOutcome::kept;
  return json_response(json);
}

/// All readings judged: the page that `check` writes.
Response sheet(Desk const& desk, Request const& request) {
  Problems problems;
  const auto view = view_measuring(desk, measure_order(request), problems);
  if (!view) return problem_page(request, problems, 422);
  auto const& bench = view->measuring->bench();
  const auto headed = cli::read_header(view->options, problems);
  if (!headed) return problem_page(request, problems, 422);
  const auto readings =
      inspection::read_readings(headed->source, headed->columns, bench.order(), problems);
  if (!readings) return problem_page(request, problems, 422);
  return sheet_response(cli::check_sheet_page({bench, view->options, *readings}, headed->source));
}

}  // namespace

std::vector<Route> measure_routes() {
  return {{"/measure", measure, nullptr},
          {"/measure/deed", nullptr, deed},
          {"/measure/sheet", sheet, nullptr}};
}

}  // namespace stripwright::page
