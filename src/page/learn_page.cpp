#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "cli/learn_words.h"
#include "files/keep_copy.h"
#include "page/choice_view.h"
#include "page/frame.h"
#include "page/learn_view.h"
#include "shop/read_shop.h"
#include "units/format.h"

namespace stripwright::page {
namespace {

using report::Html;

/// All rings that something can be learned from, unless the address names some.
LearnOrder learn_order(Desk const& desk, Request const& request,
                       std::vector<FolderRing> const& rings) {
  LearnOrder out{request.value("shop"), request.value("gauge"), {}, chosen_unit(request)};
  const auto shops = desk.folder.names(FileKind::shop);
  if (!request.query.contains("shop") && !shops.empty()) out.shop = shops.front();
  const auto [first, last] = request.query.equal_range("ring");
  for (auto each = first; each != last; ++each) out.rings.push_back(each->second);
  if (first == last)
    for (auto const& each : rings)
      if (each.teaches()) out.rings.push_back(each.name);
  return out;
}

LearnOrder learn_order(Request const& request, Order const& sent) {
  return {text_in(sent, "shop"), text_in(sent, "gauge"), texts_in(sent, "rings"),
          chosen_unit(request)};
}

std::string learn_address(LearnOrder const& order) {
  auto out = "/learn?shop=" + in_address(order.shop);
  if (!order.gauge.empty()) out += "&gauge=" + in_address(order.gauge);
  for (auto const& ring : order.rings) out += "&ring=" + in_address(ring);
  return out;
}

/// The options that the command would be given for the same.
cli::LearnOptions options_of(Desk const& desk, LearnOrder const& order, Problems& problems) {
  cli::LearnOptions out;
  if (!order.shop.empty() && desk.folder.read(order.shop, problems))
    out.common.shop = desk.folder.path_of(order.shop, problems).value_or("");
  out.may_read = [&](std::string const& path, Problems& found) {
    return desk.folder.may_read(path, found);
  };
  out.common.gauge = order.gauge;
  if (order.unit) out.common.units = unit_name(*order.unit);
  for (auto const& ring : order.rings)
    if (const auto path = desk.folder.path_of(ring, problems)) out.rings.push_back(*path);
  if (order.rings.empty())
    problems.error("no ring is ticked", "tick one or more that were measured when glued");
  return out;
}

std::optional<cli::Learning> learning_of(Desk const& desk, LearnOrder const& order,
                                         Problems& problems) {
  const auto options = options_of(desk, order, problems);
  if (problems.any_error()) return std::nullopt;
  return cli::learn_from_rings(options, problems);
}

std::string tag_of_shop(cli::Learning const& learning) { return tag_of(learning.shop_source); }

/// The content of "learned" and "problems".
struct Learned {
  std::string html;
  Problems problems;
};
Learned learned(Desk const& desk, LearnOrder const& order) {
  Learned out;
  const auto learning = learning_of(desk, order, out.problems);
  if (learning) out.html = learned_html(*learning, order, tag_of_shop(*learning));
  out.problems = in_page_words(out.problems);
  return out;
}

Response learn(Desk const& desk, Request const& request) {
  const auto rings = folder_rings(desk.folder);
  Html html;
  html.element("h1", "Learn")
      .element("p", "What glue line, clean-up and varnish really were, from finished sections.");
  if (rings.empty()) {
    html.markup("<div id=\"problems\"></div>\n")
        .open("p")
        .text("No ring files yet: ")
        .word("a", "choose six first", {{"href", "/choose"}})
        .text(". When they are glued, measure the section, and this page tells what it says.")
        .close();
    return framed({"Learn", "/learn", ""}, request, html.str());
  }
  const auto order = learn_order(desk, request, rings);
  const auto found = order.rings.empty() ? Learned() : learned(desk, order);
  html.open("div", {{"id", "problems"}}).markup(problems_html(found.problems)).close();
  html.open("form", {{"id", "learn"}})
      .open("div", {{"id", "given"}, {"class", "fields"}})
      .markup(learn_choices(desk, order))
      .close()
      .open("fieldset")
      .element("legend", "Rings to learn from")
      .open("div", {{"id", "rings"}})
      .markup(ring_ticks(rings, order.rings))
      .close()
      .close()
      .close();
  html.markup("<div id=\"taken\"></div>\n");
  html.open("div", {{"id", "learned"}});
  if (order.rings.empty())
    html.element("p",
                 "Nothing to learn from yet: enter what a glued section measures, at the same "
                 "stations as its strips.");
  html.markup(found.html).close();
  html.open("div", {{"id", "flats"}}).markup(flats_forms(desk.folder, rings)).close();
  return framed({"Learn", "/learn", "/learn.js"}, request, html.str());
}

Response figures(Desk const& desk, Request const& request, Order const& sent) {
  const auto order = learn_order(request, sent);
  const auto found = learned(desk, order);
  Parts parts;
  parts.html = {{"problems", problems_html(found.problems)},
                {"learned", found.html},
                {"given", learn_choices(desk, order)},
                {"taken", ""}};
  auto json = parts.json();
  json["address"] = learn_address(order);
  return json_response(json);
}

std::string taken_html(LearnOrder const& order, std::vector<std::string> const& changes) {
  Html html;
  html.element("p", fmt::format("Taken over into {}:", order.shop), {{"class", "remarks"}})
      .open("ul");
  for (auto const& change : changes) html.element("li", change);
  html.close();
  return html.str();
}

/// What `learn --write` does, with the file as it was in the history instead of beside it.
Response take(Desk const& desk, Request const& request, Order const& sent) {
  const auto order = learn_order(request, sent);
  Problems problems;
  if (order.shop.empty())
    return refusal("The built-in shop cannot be written to: choose your own shop file.", 422);
  const auto learning = learning_of(desk, order, problems);
  if (!learning) return refusal(in_page_words(problems), 422);
  const auto old = files::read_bytes(learning->shop_source.name(), problems);
  if (!old) return refusal(problems, 404);
  const auto seen = text_in(sent, "seen");
  if (tag_of_shop(*learning) != seen || tag_of(files::SourceText("", *old)) != seen)
    return refusal(fmt::format("{} was changed by somebody else in the meantime; look at the "
                               "figures again before you take them over.",
                               order.shop),
                   409);
  const auto changes = cli::shop_changes(*learning);
  if (changes.empty()) {
    const auto report = learning->report();
    const auto impossible = cli::LearnWords(report).impossible();
    return refusal(impossible.empty() ? "Nothing needs to change." : impossible, 422);
  }
  const auto changed = cli::changed_shop(order.shop, *old, changes, problems);
  if (!changed) return refusal(problems, 422);
  const auto saved = desk.history.save(order.shop, *old, *changed, problems);
  if (saved != Saved::done && saved != Saved::same)
    return refusal(problems, saved == Saved::failed ? 500 : 409);
  std::vector<std::string> told;
  for (auto const& row : cli::proposal_table(learning->report()).rows) {
    const auto unit = learning->shop.unit;
    const auto was = report::cell_text(row[1], unit);
    const auto now = report::cell_text(row[2], unit);
    if (!now.empty())
      told.push_back(fmt::format("{}: {} {}{}", report::cell_text(row[0], unit), now,
                                 unit_name(unit),
                                 was.empty() ? ", which was not there" : ", was " + was));
  }
  const auto now = learned(desk, order);
  Parts parts;
  parts.html = {{"problems", problems_html(now.problems)},
                {"learned", now.html},
                {"taken", taken_html(order, told)}};
  parts.say = fmt::format("Taken over into {}: {}.", order.shop, fmt::join(told, "; "));
  return json_response(parts.json());
}

}  // namespace

std::vector<Route> learn_routes() {
  return {{"/learn", learn, nullptr},
          {"/learn/figures", nullptr, figures},
          {"/learn/take", nullptr, take},
          {"/learn/flats", nullptr, keep_flats}};
}

}  // namespace stripwright::page
