#include <fmt/format.h>

#include <algorithm>

#include "cli/culm.h"
#include "cli/setup_output.h"
#include "report/paragraph.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

using report::Table;

std::string plural(std::size_t n, std::string_view what) {
  return fmt::format("{} {}{}", n, what, n == 1 ? "" : "s");
}

class CulmText {
 public:
  explicit CulmText(CulmReport const& report) : report_(report), unit_(report.inputs.unit) {}

  std::string text() {
    auto const& inputs = report_.inputs;
    line(fmt::format("{}: what {} give{}, by the allowances of {}", inputs.taper.name,
                     report_.culms.size() == 1 ? "the culm" : "the culms",
                     report_.culms.size() == 1 ? "s" : "", inputs.shop.name));
    if (inputs.shop_is_built_in)
      line("No --shop named: the built-in shop serves, with its allowances, not yours.");
    if (const auto assumed = assumed_line(inputs.shop); !assumed.empty()) line(assumed);
    line(
        fmt::format("A strip is its section and the spare long, {} at the tip end and {} at the "
                    "butt end; rough it is {} higher than milled, and each split loses {} of "
                    "width.",
                    along(inputs.shop.spare.tip_end), along(inputs.shop.spare.butt_end),
                    fine(inputs.shop.rough.over), along(inputs.shop.rough.split)));
    for (auto const& each : report_.culms) culm(each);
    stack();
    cautions();
    if (!report_.file_names.empty()) {
      out_ += '\n';
      out_ += report::paragraph(
          fmt::format("{} in {}", fmt::join(report_.file_names, ", "), report_.folder),
          "Written: ", "  ");
    }
    return std::move(out_);
  }

 private:
  void line(std::string const& text) { out_ += report::paragraph(text, "", ""); }
  void item(std::string_view name, std::string const& text) {
    out_ += report::paragraph(text, fmt::format("  {:<13}", name), std::string(15, ' '));
  }
  std::string fine(Length l) const { return format_length(l, unit_, bench_decimals(unit_)); }
  std::string number_along(Length l) const {
    return format_short(in_unit(l, unit_), unit_ == Unit::inch ? 2 : 1);
  }
  std::string along(Length l) const {
    return fmt::format("{} {}", number_along(l), unit_name(unit_));
  }

  void culm(CulmFinding const& each) {
    std::string what = fmt::format("\nCULM {}: {} outside", each.culm.name, along(each.diameter));
    if (each.culm.wall) what += fmt::format(", wall {}", along(*each.culm.wall));
    if (each.culm.power_fibre)
      what += fmt::format(", power fibre {}", along(*each.culm.power_fibre));
    if (each.culm.length) what += fmt::format(", {} long", along(*each.culm.length));
    out_ += what + "\n";
    CulmReport one{report_.inputs, report_.options, {}, {each}, {}, {}, {}};
    out_ += report::to_text(bench_table(yield_table(one)), unit_);
    for (auto const& section : each.sections) splits(section);
    for (auto const& section : each.sections) {
      cane(each, section);
      nodes(section);
    }
  }

  /// Lengths along the rod need no more than a hundredth.
  Table bench_table(Table table) const {
    for (auto const* name : {"strip_length", "rough_width", "width_each"})
      for (std::size_t c = 0; c < table.columns.size(); ++c)
        if (table.columns[c].name == name)
          for (auto& row : table.rows)
            if (auto const* length = std::get_if<Length>(&row[c]))
              row[c] = report::Number{in_unit(*length, unit_), file_decimals(unit_),
                                      unit_ == Unit::inch ? 2 : 1};
    return table;
  }

  void splits(CulmSection const& section) {
    auto const& [need, yield] = std::pair(section.need, section.yield);
    if (!yield.culm_carries)
      return item(need.section.name, "the culm is too slender for the face of such a strip");
    if (yield.most < 6)
      return item(need.section.name, fmt::format("has room for {}: too few for a section",
                                                 plural(yield.most, "strip")));
    std::string text = fmt::format("{} strips by whole splits, {}: {}", yield.splits.strips,
                                   splits_product(yield.splits), splits_words(yield.splits));
    if (yield.enough && yield.enough->strips < yield.splits.strips)
      text += fmt::format("; {} are enough for the rod: {}", yield.enough->strips,
                          splits_words(*yield.enough));
    if (!yield.enough)
      text += fmt::format("; the rod wants {}, so it takes more than one length", need.strips);
    item(need.section.name, text);
    if (!yield.wall_carries)
      item("",
           fmt::format("THE WALL IS TOO THIN: the strip is {} high at {}", fine(need.strip_height),
                       number_along(need.strip_height_at.from_zero())));
  }

  void cane(CulmFinding const& culm, CulmSection const& section) {
    out_ += fmt::format("\nSection {} from culm {}\n", section.need.section.name, culm.culm.name);
    out_ += report::to_text(cane_table(section), unit_);
    const auto least = std::min_element(
        section.cane.begin(), section.cane.end(), [](auto const& a, auto const& b) {
          return a.power_fibre_share.value_or(2) < b.power_fibre_share.value_or(2);
        });
    if (least->power_fibre_share)
      line(fmt::format("Power fibre is {:.0f} % of the strip at {}, and no less elsewhere.",
                       100 * *least->power_fibre_share, number_along(least->at.from_zero())));
    const auto thinnest = std::min_element(
        section.cane.begin(), section.cane.end(), [](auto const& a, auto const& b) {
          return a.wall_left.value_or(Length{}) < b.wall_left.value_or(Length{});
        });
    if (thinnest->wall_left && *thinnest->wall_left < -kSamePlace)
      line(fmt::format("WALL LEFT BELOW 0: the wall is thinner than the strip there, by {} at {}.",
                       fine(-*thinnest->wall_left), number_along(thinnest->at.from_zero())));
  }

  void nodes(CulmSection const& section) {
    if (section.node_plans.empty()) return;
    auto const& rules = section.node_task->rules;
    std::vector<std::string> places;
    for (const Station place : rules.places) places.push_back(number_along(place.from_zero()));
    out_ += fmt::format("\nNodes of section {}\n", section.need.section.name);
    std::vector<std::string> nodes;
    for (const Station node : section.node_task->nodes)
      if (node > section.need.section.from - kSamePlace &&
          node < section.need.section.to + kSamePlace)
        nodes.push_back(number_along(node.from_zero()));
    line(nodes.empty() ? "Not moved, there is none in it."
                       : fmt::format("Not moved they lie at {} {}.", fmt::join(nodes, ", "),
                                     unit_name(unit_)));
    line(fmt::format(
        "Wanted are {} between nodes of neighbours, and {} from {} {}. So far are strips 1 to 6, "
        "as they stand round the section, moved towards the tip; below 0 towards the butt:",
        along(rules.min_gap), along(rules.keep_clear), fmt::join(places, ", "), unit_name(unit_)));
    out_ += report::to_text(node_table(section, unit_), unit_);
    line(
        "Two groups of three: every other strip is alike. Three groups of two: opposite strips "
        "are. A spiral: each strip farther than the one before. Free choice, which is in the "
        "picture: no placing lacks less or takes less cane.");
    const Length spare = report_.inputs.shop.spare.butt_end;
    if (section.node_task->displacements.back() > spare + kSamePlace)
      line(
          fmt::format("A strip that is moved by more than its spare, {}, is cut so much farther "
                      "along the culm.",
                      along(spare)));
    if (section.nodes_can_be_placed() && section.node_plans.back().cane > kSamePlace)
      line(
          "Once they are cut, write each group of strips into the culm file as a piece of its "
          "own, its starts_at farther by as much as it was moved: `choose` then knows its nodes.");
    if (!section.nodes_can_be_placed())
      line(
          "NO PLACING KEEPS THE RULES: the last line is the one that lacks least. More spare, a "
          "longer piece of culm, or strips of two culms in turn would help.");
  }

  void stack() {
    if (!report_.stack) {
      if (report_.culms.size() > 1)
        line("\nWhat the stack covers is told where every culm has a length.");
      return;
    }
    auto const& stack = *report_.stack;
    out_ += "\nTHE STACK\n";
    auto const& sections = report_.culms.front().sections;
    std::vector<std::string> made;
    for (std::size_t s = 0; s < sections.size(); ++s)
      made.push_back(plural(stack.plan.sections[s], sections[s].need.section.name));
    line(fmt::format("{}, {} in all; all six strips of a section from one length.",
                     plural(stack.plan.rods, "rod"), fmt::join(made, ", ")));
    for (std::size_t c = 0; c < report_.culms.size(); ++c) {
      std::vector<std::string> cuts;
      for (std::size_t s = 0; s < sections.size(); ++s)
        if (stack.lengths[c][s] > 0)
          cuts.push_back(fmt::format("{} for {}", plural(stack.lengths[c][s], "length"),
                                     sections[s].need.section.name));
      auto const& culm = report_.culms[c].culm;
      item(culm.name, fmt::format("{}{}", already_split(stack.already[c], !culm.pieces.empty()),
                                  !cuts.empty() ? fmt::format("cut {}", fmt::join(cuts, ", "))
                                  : culm.pieces.empty() ? "nothing"
                                                        : "nothing more to cut"));
    }
  }

  /// What strips there are already, of a culm that something was cut from.
  std::string already_split(std::vector<std::size_t> const& sections, bool cut) const {
    if (!cut) return {};
    std::vector<std::string> out;
    for (std::size_t s = 0; s < sections.size(); ++s)
      if (sections[s] > 0)
        out.push_back(plural(sections[s], report_.culms.front().sections[s].need.section.name));
    return out.empty() ? "split already, but too few strips for a section; "
                       : fmt::format("split already for {}; ", fmt::join(out, ", "));
  }

  void cautions() {
    out_ += '\n';
    line(
        "Split with the knife going away from you; split cane has edges like glass: wear gloves. "
        "Bamboo dust harms the lungs, a mask keeps it out. Your tools' manuals, local rules and a "
        "qualified person come before this.");
  }

  CulmReport const& report_;
  Unit unit_;
  std::string out_;
};

}  // namespace

std::string culm_text(CulmReport const& report) { return CulmText(report).text(); }

}  // namespace stripwright::cli
