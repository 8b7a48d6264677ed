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
      nodes(each, section);
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
    if (section.lengths.empty())
      item("", fmt::format("NO LENGTH IS LEFT FOR IT: no stretch of the culm that nothing was cut "
                           "from is {} long",
                           along(need.strip_length)));
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

  /// `0 to 32 in`, along the culm.
  std::string stretch(culm::Stretch const& where) const {
    return fmt::format("{} to {}", number_along(where.from), along(where.to));
  }

  /// Where on the culm a section's strips come from.
  std::string whence(culm::SectionLength const& length) const {
    const auto where =
        fmt::format("from {} along the culm, from its thin end", stretch(length.where));
    switch (length.state) {
      case culm::LengthState::split:
        return fmt::format("Its strips are split {}.", where);
      case culm::LengthState::to_saw:
        return fmt::format("Saw its length {}.", where);
      case culm::LengthState::possible:
        return fmt::format("Sawn {}, if no other section is sawn there.", where);
    }
    return {};
  }

  void nodes(CulmFinding const& culm, CulmSection const& section) {
    if (culm.culm.nodes.empty()) return;
    for (auto const& length : section.lengths) {
      out_ += fmt::format("\nNodes of section {}\n", section.need.section.name);
      line(whence(length));
      if (length.placed)
        line("They start at different places already, for their nodes: `choose` places them.");
      else
        node_ways(section, length);
    }
  }

  void node_ways(CulmSection const& section, culm::SectionLength const& length) {
    auto const& task = *length.task;
    std::vector<std::string> places;
    for (const Station place : task.rules.places) places.push_back(number_along(place.from_zero()));
    std::vector<std::string> nodes;
    for (const Station node : task.nodes)
      if (node > section.need.section.from - kSamePlace &&
          node < section.need.section.to + kSamePlace)
        nodes.push_back(number_along(node.from_zero()));
    line(nodes.empty() ? "Not moved, there is no node in it."
                       : fmt::format("Not moved its nodes lie at {} {} of the rod.",
                                     fmt::join(nodes, ", "), unit_name(unit_)));
    line(fmt::format(
        "Wanted are {} between nodes of neighbours, and {} from {} {}. So far are strips 1 to 6, "
        "as they stand round the section, moved towards the tip; below 0 towards the butt:",
        along(task.rules.min_gap), along(task.rules.keep_clear), fmt::join(places, ", "),
        unit_name(unit_)));
    out_ += report::to_text(node_table(length, unit_), unit_);
    line(
        "Two groups of three: every other strip is alike. Three groups of two: opposite strips "
        "are. A spiral: each strip farther than the one before. Free choice, which is in the "
        "picture: no placing lacks less or takes less cane.");
    const Length spare = report_.inputs.shop.spare.butt_end;
    if (task.displacements.back() > spare + kSamePlace)
      line(fmt::format(
          "A strip that is moved by more than its spare, {}, is cut so much farther along the "
          "culm{}.",
          along(spare),
          length.room > kSamePlace
              ? fmt::format("; saw the length so much longer, it can end at {}",
                            along(length.where.to + length.room))
              : std::string()));
    const bool kept = length.keeps_rules();
    if (kept && length.plans.back().cane > kSamePlace)
      line(
          "Once they are cut, write each group of strips into the culm file as a piece of its "
          "own, its starts_at farther by as much as it was moved: `choose` then knows its nodes.");
    if (!kept)
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
    for (std::size_t c = 0; c < report_.culms.size(); ++c) stack_of(c, stack);
    line(
        "Lengths count along each culm from its thin end. What the saw takes comes out of the "
        "spare.");
  }

  void stack_of(std::size_t c, StackFinding const& stack) {
    auto const& finding = report_.culms[c];
    std::vector<std::string> cuts;
    for (std::size_t s = 0; s < finding.sections.size(); ++s)
      if (stack.lengths[c][s] > 0)
        cuts.push_back(fmt::format("{} for {}, {}", plural(stack.lengths[c][s], "length"),
                                   finding.sections[s].need.section.name,
                                   stretches(finding.sections[s], culm::LengthState::to_saw)));
    const bool cut = !finding.culm.pieces.empty();
    item(finding.culm.name,
         fmt::format("{}{}", cut ? already_split(finding, stack.already[c]) : std::string(),
                     !cuts.empty() ? fmt::format("saw {}", fmt::join(cuts, "; "))
                     : cut         ? "nothing more to saw"
                                   : "nothing"));
  }

  /// `from 0 to 32 in and from 32 to 64 in`: where a section's lengths of a state lie; there is
  /// one.
  std::string stretches(CulmSection const& section, culm::LengthState state) const {
    std::vector<std::string> all;
    for (auto const& length : section.lengths)
      if (length.state == state) all.push_back("from " + stretch(length.where));
    const std::string last = all.back();
    all.pop_back();
    return all.empty() ? last : fmt::format("{} and {}", fmt::join(all, ", "), last);
  }

  /// What strips there are already, of a culm that something was cut from.
  std::string already_split(CulmFinding const& finding,
                            std::vector<std::size_t> const& sections) const {
    std::vector<std::string> out;
    for (std::size_t s = 0; s < sections.size(); ++s)
      if (sections[s] > 0)
        out.push_back(fmt::format("{}, {}",
                                  plural(sections[s], finding.sections[s].need.section.name),
                                  stretches(finding.sections[s], culm::LengthState::split)));
    return out.empty() ? "split already, but too few strips for a section; "
                       : fmt::format("split already for {}; ", fmt::join(out, "; "));
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
