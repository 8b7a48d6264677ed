#include "page/choice_view.h"

#include <fmt/format.h>

#include "cli/choose_tables.h"
#include "cli/choose_words.h"
#include "machine/cautions.h"
#include "report/html.h"
#include "selection/pictures.h"
#include "sheet/frame.h"

namespace stripwright::page {
namespace {

using report::Html;

void add_items(Html& html, std::vector<cli::CheckItem> const& items) {
  html.open("dl", {{"class", "amounts"}});
  for (auto const& item : items) {
    if (!item.name.empty()) html.element("dt", item.name);
    html.element("dd", item.text);
  }
  html.close();
}

void add_pictures(Html& html, cli::ChooseReport const& report, cli::ChosenSection const& section,
                  std::size_t r) {
  const auto picture = selection::picture_of(
      fmt::format("{}, {}", report.inputs().taper.name, section.ring_name(r)), section.pool.pool,
      section.order, section.found.rings[r], report.unit());
  const auto label = fmt::format("ring {}, nodes strip by strip", section.ring_name(r));
  html.open("div", {{"class", "pictures"}});
  html.open("figure")
      .markup(selection::draw_ring(picture).element())
      .element("figcaption", "The section from its butt end")
      .close();
  if (section.nodes_known())
    html.open("figure")
        .open("div",
              {{"class", "wide"}, {"tabindex", "0"}, {"role", "region"}, {"aria-label", label}})
        .markup(selection::draw_unrolled(picture).element())
        .close()
        .element("figcaption", "Where the nodes come to lie, strip by strip")
        .close();
  html.close();
}

void add_ring(Html& html, cli::ChooseReport const& report, cli::ChosenSection const& section,
              cli::SectionWords const& words, std::size_t r) {
  const auto name = section.ring_name(r);
  html.element("h3", fmt::format("Ring {}", name));
  add_wide_table(
      html, cli::ring_table(section, r, report.unit()), report.unit(),
      "Strips round the section; moved towards the tip, with a minus sign towards the butt",
      "plain settings", fmt::format("ring {}, strips round the section", name));
  html.open("details").element("summary", "In words").open("ol");
  for (auto const& decision : words.decisions(r)) html.element("li", decision);
  html.close().close();
  add_pictures(html, report, section, r);
  add_items(html, words.amounts(r));
  add_wide_table(html, cli::prediction_table(section.rings[r]), report.unit(),
                 "Across flats when glued", "plain",
                 fmt::format("ring {}, across flats when glued", name));
  html.element("p", cli::SectionWords::about_flats(), {{"class", "meaning"}});
}

void add_leftovers(Html& html, cli::ChooseReport const& report, cli::ChosenSection const& section,
                   cli::SectionWords const& words) {
  const auto items = words.leftovers();
  if (items.empty()) return;
  report::Table table{"leftovers", {{"", "strip"}, {"", "what for"}}, {}};
  for (auto const& item : items) table.rows.push_back({item.name, item.text});
  html.element("h3", fmt::format("Left over of section {}", section.section.name));
  add_wide_table(html, table, report.unit(), "What they are still good for", "plain words",
                 fmt::format("strips left over of section {}", section.section.name));
  if (const auto rest = words.of_the_rest(); !rest.empty()) html.element("p", rest);
}

void add_section(Html& html, cli::ChooseReport const& report, cli::ChosenSection const& section) {
  const cli::SectionWords words(report, section);
  html.open("section").element("h2", fmt::format("Section {}", words.title()));
  for (auto const& fact : words.facts()) html.element("p", fact);
  for (std::size_t r = 0; r < section.rings.size(); ++r) add_ring(html, report, section, words, r);
  const auto proof = words.proof();
  html.element("p", proof.sentence,
               {{"class", section.rings.empty() || proof.table ? "remarks" : "proven"}});
  if (proof.table)
    add_wide_table(html, cli::proof_table(section, report.unit()), report.unit(),
                   "How far it is known", "plain words",
                   fmt::format("section {}, how far the best is known", section.section.name));
  if (!proof.afterwards.empty()) html.element("p", proof.afterwards);
  add_leftovers(html, report, section, words);
  html.close();
}

void add_keeping(Html& html, Choice const& choice, cli::ChooseReport const& report) {
  html.open("section")
      .element("h2", "Keep")
      .element("p",
               fmt::format("Writes ring files, pictures and the sheet for the glue bench into {}.",
                           report.folder));
  html.element("button", "Keep these rings",
               {{"type", "button"}, {"class", "main"}, {"data-keep", choice.id}});
  html.markup("<div id=\"kept\"></div>\n").close();
}

}  // namespace

void add_wide_table(Html& html, report::Table const& table, Unit unit, std::string const& caption,
                    std::string_view look, std::string const& label) {
  html.open("div",
            {{"class", "wide"}, {"tabindex", "0"}, {"role", "region"}, {"aria-label", label}})
      .table(table, unit, caption, look)
      .close();
}

std::string choice_html(Choice const& choice) {
  auto const& report = *choice.choosing->report;
  Html html;
  const auto head = cli::choose_head(report);
  html.element("h2", head.front(), {{"id", "found"}, {"tabindex", "-1"}});
  html.element("p", choice.choosing->readings->name(), {{"class", "file"}});
  html.element("p", "What is asked above was changed since: choose again to see what that gives.",
               {{"id", "stale"}, {"class", "remarks"}, {"hidden", "hidden"}});
  for (std::size_t i = 1; i < head.size(); ++i) html.element("p", head[i], {{"class", "remarks"}});
  bool any = false;
  for (auto const& section : report.sections) {
    add_section(html, report, section);
    any = any || !section.rings.empty();
  }
  if (!any) return html.str();
  add_keeping(html, choice, report);
  sheet::add_cautions(html, machine::glue_cautions(), "h3");
  return html.str();
}

}  // namespace stripwright::page
