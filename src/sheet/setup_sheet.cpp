#include "sheet/setup_sheet.h"

#include <fmt/format.h>

#include "files/slug.h"
#include "machine/cautions.h"
#include "machine/setup_tables.h"
#include "sheet/bed_figure.h"
#include "sheet/measure_block.h"
#include "sheet/miss_figure.h"
#include "sheet/sentences.h"
#include "sheet/settings_block.h"
#include "sheet/taper_figure.h"
#include "sheet/why_block.h"
#include "units/format.h"

namespace stripwright::sheet {
namespace {

using machine::SectionSetup;

/// Low, so that a section's first page has room for cautions and steps.
constexpr double kMissHeight = 150;

std::vector<MachinePosition> screws_of(Machine const& machine) {
  if (auto const* form = std::get_if<PlaningForm>(&machine.kind)) return form->screws;
  if (auto const* mill = std::get_if<ScrewMill>(&machine.kind)) return mill->screws;
  return {};
}

class SetupSheet {
 public:
  explicit SetupSheet(SetupOrder const& order)
      : order_(order),
        unit_(order.head.unit),
        cautions_(machine::cautions(order.machine, order.shop.allowances)) {}

  std::string page() {
    cover();
    for (auto const& setup : order_.setups) section(setup);
    return sheet_page(order_.head,
                      fmt::format("{} on the {}", order_.taper.name, order_.machine.name),
                      html_.str());
  }

 private:
  std::string brief(Length l) const {
    return fmt::format("{} {}", format_short(in_unit(l, unit_), bench_decimals(unit_)),
                       unit_name(unit_));
  }
  static std::string anchor(SectionSetup const& setup) {
    return "section-" + files::file_slug(setup.section.name);
  }
  static std::string heading(SectionSetup const& setup) {
    return fmt::format("Section {}: {} to make, {} strips", setup.section.name, setup.section.make,
                       6 * setup.section.make);
  }

  void cover() {
    html_.open("section", {{"class", "cover"}})
        .element("h1", fmt::format("{} on the {}", order_.taper.name, order_.machine.name));
    if (!order_.taper.about.empty()) html_.element("p", order_.taper.about);
    add_title_block(html_, order_.head);
    add_remarks(html_, order_.head.remarks);
    html_.element("h2", "Strips to make")
        .table(strips_table(), unit_, "Cut, split and plane to", "plain");
    html_.element("p",
                  fmt::format("Spare is in the length: {} at the tip end, {} at the butt end. "
                              "Heights are of the rough triangle, widths of its outer face.",
                              brief(order_.shop.spare.tip_end), brief(order_.shop.spare.butt_end)));
    std::vector<std::string> tapered;
    for (auto const& setup : order_.setups)
      if (const auto words = machine::tapered_beforehand(setup.rough, unit_); !words.empty())
        tapered.push_back(fmt::format("Section {}: {}", setup.section.name, words));
    add_remarks(html_, tapered);
    html_.open("nav", {{"aria-label", "sections"}}).open("ul");
    for (auto const& setup : order_.setups)
      html_.open("li")
          .element("a", heading(setup), {{"href", fmt::format("#{}", anchor(setup))}})
          .close();
    html_.close().close();
    html_.open("figure")
        .element("figcaption", "The taper")
        .markup(report::draw(taper_figure(order_.taper, unit_), 220).element())
        .close();
    add_cautions(html_, cautions_, "h2");
    add_print_rule(html_);
    html_.close();
  }

  report::Table strips_table() const {
    report::Table table{"strips",
                        {{"section", "section"},
                         {"strips", "strips"},
                         {"cut", "cut to", true},
                         {"height", "rough height", true},
                         {"face", "rough width", true},
                         {"split", "split width, or more", true}},
                        {}};
    for (auto const& setup : order_.setups)
      table.rows.push_back({setup.section.name, 6 * setup.section.make,
                            report::Place{setup.placement.strip_length()}, setup.rough.height,
                            setup.rough.face_width, setup.rough.split_width});
    return table;
  }

  void section(SectionSetup const& setup) {
    open_part(html_, order_.head, anchor(setup), fmt::format("section {}", setup.section.name));
    html_.element("h2", heading(setup));
    add_remarks(html_, order_.head.remarks);
    lies(setup);
    misses(setup);
    add_cautions(html_, cautions_, "h3");
    html_.element("h3", "What to set");
    tapered(setup);
    add_settings(html_, {order_.taper.name, setup, order_.machine, unit_, anchor(setup)});
    add_measures(html_, {setup, order_.shop, order_.gauge, unit_});
    html_.element("h3", "Why these heights");
    add_why(html_, setup, order_.shop.allowances, unit_);
    close_part(html_);
  }

  void tapered(SectionSetup const& setup) {
    if (const auto words = machine::tapered_beforehand(setup.rough, unit_); !words.empty())
      add_remarks(html_, {words});
  }

  void lies(SectionSetup const& setup) {
    auto const& placement = setup.placement;
    html_.element("h3", "Where the strip lies");
    html_.element("p", fmt::format("The strip is {} long, from {} to {} on the machine, {} end "
                                   "first. Spare is hatched; heights are not to scale.",
                                   brief(placement.strip_length()),
                                   brief(placement.strip_begins().from_zero()),
                                   brief(placement.strip_ends().from_zero()),
                                   placement.feeds() == Feeds::tip_first ? "tip" : "butt"));
    html_.open("figure")
        .markup(bed_figure(placement, setup.section, screws_of(order_.machine), unit_).element())
        .close();
  }

  void misses(SectionSetup const& setup) {
    auto const* bar = machine::bar_of(setup.settings, machine::pass_count(setup.settings) - 1);
    if (!bar) return;
    html_.element("h3", "Between the screws").element("p", miss_sentence(setup, unit_));
    html_.open("figure")
        .element("figcaption", "The greatest miss in each span between screws")
        .markup(report::draw(
                    miss_figure(*bar, setup.section,
                                std::holds_alternative<PlaningForm>(order_.machine.kind), unit_),
                    kMissHeight)
                    .element())
        .close();
  }

  SetupOrder const& order_;
  Unit unit_;
  std::vector<std::string> cautions_;
  report::Html html_;
};

}  // namespace

std::string setup_sheet(SetupOrder const& order) { return SetupSheet(order).page(); }

}  // namespace stripwright::sheet
