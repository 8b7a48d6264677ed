#include <fmt/format.h>

#include <algorithm>

#include "cli/choose_tables.h"
#include "cli/setup_output.h"
#include "machine/cautions.h"
#include "report/paragraph.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

using selection::kPairs;
using selection::kRingSize;
using selection::RingReport;

std::string plural(std::size_t n, std::string_view what) {
  return fmt::format("{} {}{}", n, what, n == 1 ? "" : "s");
}

class SectionText {
 public:
  SectionText(ChooseReport const& report, ChosenSection const& section)
      : report_(report), section_(section), unit_(report.unit()) {}

  std::string text() {
    head();
    for (std::size_t r = 0; r < section_.rings.size(); ++r) ring(r);
    if (section_.rings.empty())
      line(report_.options.all
               ? "No ring can be made: it takes six."
               : "No ring can be made: it takes six. What the others lack is told below; --all "
                 "takes them as they are.");
    else
      proof();
    leftovers();
    return std::move(out_);
  }

 private:
  void line(std::string const& text) { out_ += report::paragraph(text, "", ""); }
  void item(std::string_view name, std::string const& text) {
    out_ += report::paragraph(text, fmt::format("  {:<13}", name), std::string(15, ' '));
  }
  std::string fine(Length l) const { return format_length(l, unit_, bench_decimals(unit_)); }
  /// A length along the rod.
  std::string along(Length l) const {
    return fmt::format("{} {}", format_short(in_unit(l, unit_), unit_ == Unit::inch ? 3 : 1),
                       unit_name(unit_));
  }
  std::string number_along(Length l) const {
    return format_short(in_unit(l, unit_), unit_ == Unit::inch ? 2 : 0);
  }

  void head() {
    auto const& section = section_.section;
    out_ += fmt::format("\nSECTION {}, {} to {} {}\n", section.name,
                        number_along(section.from.from_zero()),
                        number_along(section.to.from_zero()), unit_name(unit_));
    const auto free = section_.pool.pool.strips.size();
    line(fmt::format("{} measured, {} to choose from{}.",
                     plural(section_.strips_measured(), "strip"), free,
                     section_.pool.others.empty() ? "" : "; the others are told below"));
    if (section_.found.rings.size() < section_.wanted)
      line(fmt::format("Wanted: {} of {} strips; {} are lacking.", plural(section_.wanted, "ring"),
                       kRingSize * section_.wanted, kRingSize * section_.wanted - free));
    if (section_.order.shifts.size() > 1)
      line(fmt::format(
          "Strips may be moved by multiples of {}, {}{} towards the tip and {} "
          "towards the butt at the most: that much spare there is.",
          along(report_.shift_step), report_.options.all ? "" : "as long as they stay right, ",
          along(report_.inputs().shop.spare.butt_end), along(report_.inputs().shop.spare.tip_end)));
    rules();
    if (section_.pool.some_densities)
      line("Density is known of some strips only, so it is not balanced.");
  }

  void rules() {
    if (!section_.nodes_known())
      return line("Nodes are not known, so they decide nothing: name a culm file with --nodes.");
    std::vector<std::string> places;
    for (const Station place : section_.order.rules.places)
      places.push_back(number_along(place.from_zero()));
    line(fmt::format("Nodes of neighbours shall be {} apart, and {} from {} {}.",
                     along(section_.order.rules.min_gap), along(section_.order.rules.keep_clear),
                     fmt::join(places, ", "), unit_name(unit_)));
    if (section_.pool.without_nodes.empty()) return;
    std::vector<std::string_view> names;
    for (const auto s : section_.pool.without_nodes)
      names.push_back(section_.pool.pool.strips[s].name);
    line(fmt::format("Taken for strips without a node, for nobody has measured any: {}.",
                     fmt::join(names, ", ")));
  }

  void ring(std::size_t r) {
    auto const& ring = section_.rings[r];
    out_ += fmt::format("\nRing {}\n{}", section_.ring_name(r),
                        report::to_text(ring_table(section_, r, unit_), unit_));
    decisions(ring);
    values(ring);
    out_ += fmt::format("\nRing {}, across flats when glued\n{}", section_.ring_name(r),
                        report::to_text(prediction_table(ring), unit_));
    line("f1 crosses places 1 and 4, f2 2 and 5, f3 3 and 6; EI: stiffness against the target.");
  }

  /// What to do with the six, one after another.
  void decisions(RingReport const& ring) {
    for (std::size_t i = 0; i < kRingSize; ++i) {
      const auto c = ring.ring[i];
      const Length shift = section_.pool.pool.candidates[c].shift;
      const auto words = moved_words(shift, unit_);
      const auto moved = abs(shift) < kSamePlace ? words : fmt::format("moved {}", words);
      out_ += report::paragraph(
          fmt::format("{} beside {} and {}, opposite {}, {}", section_.strip_name(c),
                      section_.strip_name(ring.ring[(i + 5) % kRingSize]),
                      section_.strip_name(ring.ring[(i + 1) % kRingSize]),
                      section_.strip_name(ring.ring[(i + kPairs) % kRingSize]), moved),
          fmt::format("  {}. ", i + 1), "     ");
    }
  }

  void values(RingReport const& ring) {
    nodes(ring);
    auto const& limits = report_.inputs().shop.tolerances.flats;
    const auto worst = std::max_element(
        ring.stations.begin(), ring.stations.end(), [](auto const& a, auto const& b) {
          return abs(a.worst_deviation()) < abs(b.worst_deviation());
        });
    item("Flats",
         fmt::format("{} off the target at the most, at {}; limits {} under to {} over: {}",
                     fine(abs(worst->worst_deviation())), number_along(worst->at.from_zero()),
                     fine(limits.under), fine(limits.over),
                     ring.within_limits ? "within" : "OUT OF LIMITS"));
    const auto flattest = std::max_element(
        ring.stations.begin(), ring.stations.end(),
        [](auto const& a, auto const& b) { return a.out_of_round() < b.out_of_round(); });
    item("Roundness",
         fmt::format("the three across flats differ by {} at the most, at {}",
                     fine(flattest->out_of_round()), number_along(flattest->at.from_zero())));
    auto const& seam = ring.worst_seam;
    if (seam.step > kSamePlace)
      item("Seams", fmt::format("neighbours differ in height by {} at the most, {} and {} at {}",
                                fine(seam.step), section_.strip_name(ring.ring[seam.place]),
                                section_.strip_name(ring.ring[(seam.place + 1) % kRingSize]),
                                number_along(seam.at.from_zero())));
    if (section_.pool.pool.densities_known())
      item("Density",
           fmt::format("opposite strips differ by {} at the most",
                       format_short(static_cast<double>(ring.value.imbalance) / 1e6, 4)));
  }

  void nodes(RingReport const& ring) {
    if (!section_.nodes_known()) return;
    if (auto const& nearest = ring.nearest_nodes) {
      const auto place = [&](selection::PlacedNode const& node) {
        return fmt::format("{} at {}", section_.strip_name(ring.ring[node.place]),
                           number_along(node.at.from_zero()));
      };
      item("Nodes", fmt::format("nearest of neighbours {} apart, {} and {}", along(nearest->gap),
                                place(nearest->one), place(nearest->other)));
      if (auto const& clear = ring.nearest_to_place)
        item("", fmt::format("nearest to a place to be kept clear {} from {}, {}",
                             along(clear->distance), number_along(clear->place.from_zero()),
                             place(clear->node)));
    }
    if (ring.value.shortfall > 0) lacks(ring);
  }

  /// Which rule gives, and by how much.
  void lacks(RingReport const& ring) {
    selection::Nanometres own = 0;
    for (const auto c : ring.ring) own += section_.pool.pool.candidates[c].own_shortfall;
    std::vector<std::string> parts;
    if (ring.value.shortfall > own)
      parts.push_back(fmt::format("neighbours' gaps lack {} together",
                                  along(selection::to_length(ring.value.shortfall - own))));
    if (own > 0)
      parts.push_back(fmt::format("places to be kept clear lack {} together",
                                  along(selection::to_length(own))));
    const bool least = section_.found.value.shortfall == section_.found.bound.shortfall;
    item("RULES GIVE",
         fmt::format("{}{}{}", fmt::join(parts, ", "),
                     least ? "; no ring of these strips and shifts lacks less" : "",
                     report_.options.all ? ""
                                         : ". With --all strips may be moved farther than they "
                                           "stay right; better placed before the mill: see "
                                           "`stripwright culm`"));
  }

  void proof() {
    auto const& found = section_.found;
    out_ += '\n';
    const std::string aims =
        fmt::format("{}the largest deviation, then roundness{}",
                    section_.nodes_known() ? "the node rules first, then " : "",
                    section_.pool.pool.densities_known() ? ", then the balance of density" : "");
    if (found.proven)
      return line(
          fmt::format("Proven: no other strips, order or shifts on this grid are better, "
                      "counting {}. Of those that are as good it is the first by name.",
                      aims));
    not_proven(aims);
  }

  /// Why there is no proof, and how far it got, aim by aim.
  void not_proven(std::string const& aims) {
    auto const& found = section_.found;
    const bool timed = !report_.options.time.empty();
    std::string why = "there are too many rings to compare.";
    if (timed)
      why = fmt::format("the {} s of --time were over.", report_.options.time);
    else if (found.value.shortfall > found.bound.shortfall)
      why =
          "no rings were found that all lack as little to the node rules as one alone can, so "
          "each is the best of the strips that the ones before it left.";
    line(fmt::format("NOT PROVEN best{}: {} Counted are {}; that is how far it is known:",
                     found.rings.size() > 1 ? " together" : "", why, aims));
    out_ += report::to_text(proof_table(section_, unit_), unit_);
    if (timed) line("More seconds may find a better one, or prove that there is none.");
  }

  void leftovers() {
    if (section_.leftovers.empty()) return;
    out_ += fmt::format("\nLeft over of section {}\n", section_.section.name);
    std::size_t widest = 0;
    for (auto const& each : section_.leftovers) widest = std::max(widest, each.name.size());
    widest = std::min<std::size_t>(widest, 20);
    for (auto const& each : section_.leftovers)
      out_ += report::paragraph(
          each.why.empty() || each.why == "not right" ? each.use
                                                      : fmt::format("{}; {}", each.why, each.use),
          fmt::format("  {:<{}}  ", each.name, widest), std::string(widest + 4, ' '));
    if (section_.of_the_rest)
      line(fmt::format(
          "Six of those that are right would make another ring: {}largest deviation {}, out of "
          "round {}.",
          section_.of_the_rest->shortfall > 0
              ? fmt::format("node rules lacking {}, ",
                            along(selection::to_length(section_.of_the_rest->shortfall)))
              : "",
          fine(selection::to_length(section_.of_the_rest->deviation)),
          fine(selection::to_length(section_.of_the_rest->out_of_round))));
  }

  ChooseReport const& report_;
  ChosenSection const& section_;
  Unit unit_;
  std::string out_;
};

}  // namespace

std::string choose_text(ChooseReport const& report) {
  auto const& inputs = report.inputs();
  std::string out = report::paragraph(
      fmt::format("{}: six strips for a section, by the limits of {}; strips measured {}",
                  inputs.taper.name, inputs.shop.name,
                  report.bench.stage == inspection::Stage::ready ? "ready to glue" : "as milled"),
      "", "");
  if (inputs.shop_is_built_in)
    out += "No --shop named: the built-in shop serves, with its allowances, not yours.\n";
  if (const auto assumed = assumed_line(inputs.shop); !assumed.empty())
    out += report::paragraph(assumed, "", "");
  if (report.options.all) out += "Strips that are not right may be chosen and moved too (--all).\n";
  for (auto const& section : report.sections) out += SectionText(report, section).text();
  if (!report.file_names.empty()) {
    out += '\n';
    out += report::paragraph(
        fmt::format("{} in {}", fmt::join(report.file_names, ", "), report.folder),
        "Written: ", "  ");
    out += "\nCautions\n";
    for (auto const& caution : machine::glue_cautions())
      out += report::paragraph(caution, "- ", "  ");
  }
  return out;
}

}  // namespace stripwright::cli
