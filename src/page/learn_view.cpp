#include "page/learn_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "cli/learn_words.h"
#include "page/choice_view.h"
#include "page/frame.h"
#include "shop/read_shop.h"

namespace stripwright::page {
namespace {

using report::Html;

std::string stages_words(Ring const& ring) {
  std::vector<std::string_view> stages;
  for (auto const& [stage, path] : ring.readings) stages.push_back(word(stage));
  return stages.empty() ? std::string("nothing measured yet")
                        : fmt::format("measured: {}", fmt::join(stages, ", "));
}

void add_tick(Html& html, FolderRing const& each, std::size_t number, bool ticked) {
  const auto id = fmt::format("ring-{}", number);
  html.open("li", {{"class", "tick"}});
  if (each.teaches()) {
    if (ticked)
      html.single(
          "input",
          {{"type", "checkbox"}, {"id", id}, {"data-ring", each.name}, {"checked", "checked"}});
    else
      html.single("input", {{"type", "checkbox"}, {"id", id}, {"data-ring", each.name}});
    html.open("label", {{"for", id}});
  } else {
    html.open("span");
  }
  if (each.ring) {
    auto const& ring = *each.ring;
    html.element("strong", fmt::format("{}, section {}", ring.rod.empty() ? ring.name : ring.rod,
                                       ring.piece.empty() ? ring.section : ring.piece));
    html.element("span", fmt::format(" {}", fmt::join(ring.strips, " ")))
        .element("span",
                 fmt::format("{}{}", stages_words(ring),
                             each.teaches() ? "" : "; too little to learn from yet"),
                 {{"class", "beside"}});
  } else {
    html.element("strong", "This ring file is to be put right");
  }
  html.close().element("span", each.name, {{"class", "file"}});
  add_problems(html, each.problems);
  html.close();
}

void add_sentences(Html& html, std::vector<std::string> const& sentences) {
  for (auto const& each : sentences) html.element("p", each);
}

void add_notes(Html& html, cli::LearnWords const& words) {
  const auto notes = words.notes();
  if (notes.empty()) return;
  html.open("dl", {{"class", "amounts"}});
  for (auto const& note : notes) html.element("dt", note.name).element("dd", note.text);
  html.close();
}

void add_odd(Html& html, cli::LearnWords const& words) {
  const auto odd = words.odd();
  if (odd.empty()) return;
  html.element("h3", "Readings that do not go with the others").open("ul");
  for (auto const& each : odd) html.element("li", each);
  html.close().element("p", cli::LearnWords::about_odd());
}

void add_proposals(Html& html, cli::LearnReport const& report, cli::LearnWords const& words,
                   LearnOrder const& order, std::string const& shop_tag) {
  if (report.proposals.empty()) return;
  html.open("section").element("h2", "For the shop file");
  add_wide_table(html, cli::proposal_table(report), report.shop.unit,
                 fmt::format("Allowances of {}", report.shop.name), "plain settings words",
                 "what the shop file should have");
  if (const auto impossible = words.impossible(); !impossible.empty())
    html.element("p", impossible, {{"class", "remarks"}});
  else if (!words.any_change())
    html.element("p", "Nothing needs to change.");
  else if (order.shop.empty())
    html.element("p",
                 "The built-in shop cannot be written to: choose your own shop file above, or copy "
                 "an example into the folder.",
                 {{"class", "remarks"}});
  else
    html.element("button", "Take over into the shop file",
                 {{"type", "button"}, {"class", "main"}, {"id", "take"}, {"data-seen", shop_tag}})
        .element("p",
                 fmt::format("Only these values of {} change, remarks and all else stay; the file "
                             "as it was stays in the page's history.",
                             order.shop),
                 {{"class", "meaning"}});
  html.close();
}

}  // namespace

std::vector<FolderRing> folder_rings(Folder const& folder) {
  std::vector<FolderRing> out;
  for (auto& name : folder.names(FileKind::ring)) {
    FolderRing each{std::move(name), {}, {}};
    const auto path = folder.path_of(each.name, each.problems);
    const auto source =
        path ? files::read_source(*path, each.problems) : std::optional<files::SourceText>();
    if (source) each.ring = read_ring(*source, each.problems);
    out.push_back(std::move(each));
  }
  return out;
}

std::string ring_ticks(std::vector<FolderRing> const& rings,
                       std::vector<std::string> const& ticked) {
  Html html;
  html.open("ul", {{"class", "entries ticks"}});
  for (std::size_t i = 0; i < rings.size(); ++i)
    add_tick(html, rings[i], i,
             std::find(ticked.begin(), ticked.end(), rings[i].name) != ticked.end());
  html.close();
  return html.str();
}

std::string learn_choices(Desk const& desk, LearnOrder const& order) {
  Html html;
  std::vector<Option> shops;
  for (auto& name : desk.folder.names(FileKind::shop)) shops.push_back({name, name});
  shops.push_back({"", "the built-in shop"});
  add_select(html, "shop", "Shop", shops, order.shop);
  Problems told_later;
  const auto source = order.shop.empty() ? std::optional(embedded_shop_source())
                                         : desk.folder.read(order.shop, told_later);
  const auto shop = source ? read_shop(*source, told_later) : std::nullopt;
  if (!shop || shop->gauges.size() < 2) return html.str();
  std::vector<Option> gauges;
  if (order.gauge.empty()) gauges.push_back({"", "which gauge?"});
  for (auto const& gauge : shop->gauges) gauges.push_back({gauge.name, gauge.name});
  add_select(html, "gauge", "Gauge", gauges, order.gauge);
  return html.str();
}

std::string learned_html(cli::Learning const& learning, LearnOrder const& order,
                         std::string const& shop_tag) {
  const auto report = learning.report();
  const cli::LearnWords words(report);
  const auto head = words.head();
  Html html;
  html.element("h2", head.front());
  for (std::size_t i = 1; i < head.size(); ++i) html.element("p", head[i], {{"class", "remarks"}});
  if (order.shop.empty())
    html.element("p", "Held against the built-in shop, whose allowances are not yours.",
                 {{"class", "remarks"}});
  add_wide_table(html, cli::allowance_table(report), report.unit,
                 "What the sections say (from, to: 95 % interval)", "plain settings",
                 "allowances as they were measured");
  add_sentences(html, words.samples());
  add_notes(html, words);
  add_odd(html, words);
  add_proposals(html, report, words, order, shop_tag);
  return html.str();
}

}  // namespace stripwright::page
