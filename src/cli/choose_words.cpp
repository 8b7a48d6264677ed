#include "cli/choose_words.h"

#include <fmt/format.h>

#include <algorithm>

#include "cli/choose_tables.h"
#include "cli/setup_output.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

using selection::kPairs;
using selection::kRingSize;
using selection::RingReport;

std::string plural(std::size_t n, std::string_view what) {
  return fmt::format("{} {}{}", n, what, n == 1 ? "" : "s");
}

}  // namespace

std::string SectionWords::fine(Length l) const {
  return format_length(l, unit_, bench_decimals(unit_));
}

/// A length along the rod.
std::string SectionWords::along(Length l) const {
  return fmt::format("{} {}", format_short(in_unit(l, unit_), unit_ == Unit::inch ? 3 : 1),
                     unit_name(unit_));
}

std::string SectionWords::number_along(Length l) const {
  return format_short(in_unit(l, unit_), unit_ == Unit::inch ? 2 : 0);
}

std::string SectionWords::title() const {
  auto const& section = section_.section;
  return fmt::format("{}, {} to {} {}", section.name, number_along(section.from.from_zero()),
                     number_along(section.to.from_zero()), unit_name(unit_));
}

std::vector<std::string> SectionWords::facts() const {
  std::vector<std::string> out;
  const auto free = section_.pool.pool.strips.size();
  out.push_back(fmt::format("{} measured, {} to choose from{}.",
                            plural(section_.strips_measured(), "strip"), free,
                            section_.pool.others.empty() ? "" : "; the others are told below"));
  if (section_.found.rings.size() < section_.wanted)
    out.push_back(fmt::format("Wanted: {} of {} strips; {} are lacking.",
                              plural(section_.wanted, "ring"), kRingSize * section_.wanted,
                              kRingSize * section_.wanted - free));
  if (section_.order.shifts.size() > 1)
    out.push_back(fmt::format(
        "Strips may be moved by multiples of {}, {}{} towards the tip and {} "
        "towards the butt at the most: that much spare there is.",
        along(report_.shift_step), report_.options.all ? "" : "as long as they stay right, ",
        along(report_.inputs().shop.spare.butt_end), along(report_.inputs().shop.spare.tip_end)));
  out.push_back(rules());
  if (auto taken = taken_without_nodes(); !taken.empty()) out.push_back(std::move(taken));
  if (section_.pool.some_densities)
    out.emplace_back("Density is known of some strips only, so it is not balanced.");
  return out;
}

std::string SectionWords::rules() const {
  if (!section_.nodes_known())
    return fmt::format("Nodes are not known, so they decide nothing: name a culm file with {}.",
                       report_.options.words.nodes);
  std::vector<std::string> places;
  for (const Station place : section_.order.rules.places)
    places.push_back(number_along(place.from_zero()));
  return fmt::format("Nodes of neighbours shall be {} apart, and {} from {} {}.",
                     along(section_.order.rules.min_gap), along(section_.order.rules.keep_clear),
                     fmt::join(places, ", "), unit_name(unit_));
}

std::string SectionWords::taken_without_nodes() const {
  if (!section_.nodes_known() || section_.pool.without_nodes.empty()) return {};
  std::vector<std::string_view> names;
  for (const auto s : section_.pool.without_nodes)
    names.push_back(section_.pool.pool.strips[s].name);
  return fmt::format("Taken for strips without a node, for nobody has measured any: {}.",
                     fmt::join(names, ", "));
}

std::vector<std::string> SectionWords::decisions(std::size_t ring) const {
  std::vector<std::string> out;
  auto const& strips = section_.rings[ring].ring;
  for (std::size_t i = 0; i < kRingSize; ++i) {
    const Length shift = section_.pool.pool.candidates[strips[i]].shift;
    const auto words = moved_words(shift, unit_);
    const auto moved = abs(shift) < kSamePlace ? words : fmt::format("moved {}", words);
    out.push_back(fmt::format("{} beside {} and {}, opposite {}, {}",
                              section_.strip_name(strips[i]),
                              section_.strip_name(strips[(i + 5) % kRingSize]),
                              section_.strip_name(strips[(i + 1) % kRingSize]),
                              section_.strip_name(strips[(i + kPairs) % kRingSize]), moved));
  }
  return out;
}

std::vector<CheckItem> SectionWords::amounts(std::size_t r) const {
  auto const& ring = section_.rings[r];
  std::vector<CheckItem> out;
  add_nodes(out, ring);
  auto const& limits = report_.inputs().shop.tolerances.flats;
  const auto worst = std::max_element(ring.stations.begin(), ring.stations.end(),
                                      [](auto const& a, auto const& b) {
                                        return abs(a.worst_deviation()) < abs(b.worst_deviation());
                                      });
  out.push_back(
      {"Flats", fmt::format("{} off the target at the most, at {}; limits {} under to {} over: {}",
                            fine(abs(worst->worst_deviation())),
                            number_along(worst->at.from_zero()), fine(limits.under),
                            fine(limits.over), ring.within_limits ? "within" : "OUT OF LIMITS")});
  const auto flattest = std::max_element(
      ring.stations.begin(), ring.stations.end(),
      [](auto const& a, auto const& b) { return a.out_of_round() < b.out_of_round(); });
  out.push_back({"Roundness", fmt::format("the three across flats differ by {} at the most, at {}",
                                          fine(flattest->out_of_round()),
                                          number_along(flattest->at.from_zero()))});
  auto const& seam = ring.worst_seam;
  if (seam.step > kSamePlace)
    out.push_back(
        {"Seams", fmt::format("neighbours differ in height by {} at the most, {} and {} at {}",
                              fine(seam.step), section_.strip_name(ring.ring[seam.place]),
                              section_.strip_name(ring.ring[(seam.place + 1) % kRingSize]),
                              number_along(seam.at.from_zero()))});
  if (section_.pool.pool.densities_known())
    out.push_back(
        {"Density", fmt::format("opposite strips differ by {} at the most",
                                format_short(static_cast<double>(ring.value.imbalance) / 1e6, 4))});
  return out;
}

std::string SectionWords::about_flats() {
  return "f1 crosses places 1 and 4, f2 2 and 5, f3 3 and 6; EI: stiffness against the target.";
}

void SectionWords::add_nodes(std::vector<CheckItem>& out, RingReport const& ring) const {
  if (!section_.nodes_known()) return;
  if (auto const& nearest = ring.nearest_nodes) {
    const auto place = [&](selection::PlacedNode const& node) {
      return fmt::format("{} at {}", section_.strip_name(ring.ring[node.place]),
                         number_along(node.at.from_zero()));
    };
    out.push_back(
        {"Nodes", fmt::format("nearest of neighbours {} apart, {} and {}", along(nearest->gap),
                              place(nearest->one), place(nearest->other))});
    if (auto const& clear = ring.nearest_to_place)
      out.push_back({"", fmt::format("nearest to a place to be kept clear {} from {}, {}",
                                     along(clear->distance), number_along(clear->place.from_zero()),
                                     place(clear->node))});
  }
  if (ring.value.shortfall > 0) out.push_back(lacks(ring));
}

/// Which rule gives, and by how much.
CheckItem SectionWords::lacks(RingReport const& ring) const {
  selection::Nanometres own = 0;
  for (const auto c : ring.ring) own += section_.pool.pool.candidates[c].own_shortfall;
  std::vector<std::string> parts;
  if (ring.value.shortfall > own)
    parts.push_back(fmt::format("neighbours' gaps lack {} together",
                                along(selection::to_length(ring.value.shortfall - own))));
  if (own > 0)
    parts.push_back(
        fmt::format("places to be kept clear lack {} together", along(selection::to_length(own))));
  const bool least = section_.found.value.shortfall == section_.found.bound.shortfall;
  return {"RULES GIVE",
          fmt::format("{}{}{}", fmt::join(parts, ", "),
                      least ? "; no ring of these strips and shifts lacks less" : "",
                      report_.options.all
                          ? std::string()
                          : fmt::format(". With {} strips may be moved farther than they stay "
                                        "right; better placed before the mill: see `stripwright "
                                        "culm`",
                                        report_.options.words.all))};
}

ProofWords SectionWords::proof() const {
  if (section_.rings.empty())
    return {report_.options.all
                ? std::string("No ring can be made: it takes six.")
                : fmt::format("No ring can be made: it takes six. What the others lack is told "
                              "below; {} takes them as they are.",
                              report_.options.words.all)};
  const std::string aims =
      fmt::format("{}the largest deviation, then roundness{}",
                  section_.nodes_known() ? "the node rules first, then " : "",
                  section_.pool.pool.densities_known() ? ", then the balance of density" : "");
  if (section_.found.proven)
    return {
        fmt::format("Proven: no other strips, order or shifts on this grid are better, "
                    "counting {}. Of those that are as good it is the first by name.",
                    aims)};
  return not_proven(aims);
}

/// Why there is no proof, and how far it got, aim by aim.
ProofWords SectionWords::not_proven(std::string const& aims) const {
  auto const& found = section_.found;
  const bool timed = !report_.options.time.empty();
  std::string why = "there are too many rings to compare.";
  if (timed)
    why =
        fmt::format("the {} s of {} were over.", report_.options.time, report_.options.words.time);
  else if (found.value.shortfall > found.bound.shortfall)
    why =
        "no rings were found that all lack as little to the node rules as one alone can, so "
        "each is the best of the strips that the ones before it left.";
  return {fmt::format("NOT PROVEN best{}: {} Counted are {}; that is how far it is known:",
                      found.rings.size() > 1 ? " together" : "", why, aims),
          true, timed ? "More seconds may find a better one, or prove that there is none." : ""};
}

std::vector<CheckItem> SectionWords::leftovers() const {
  std::vector<CheckItem> out;
  for (auto const& each : section_.leftovers)
    out.push_back({each.name, each.why.empty() || each.why == "not right"
                                  ? each.use
                                  : fmt::format("{}; {}", each.why, each.use)});
  return out;
}

std::string SectionWords::of_the_rest() const {
  if (!section_.of_the_rest) return {};
  return fmt::format(
      "Six of those that are right would make another ring: {}largest deviation {}, out of "
      "round {}.",
      section_.of_the_rest->shortfall > 0
          ? fmt::format("node rules lacking {}, ",
                        along(selection::to_length(section_.of_the_rest->shortfall)))
          : "",
      fine(selection::to_length(section_.of_the_rest->deviation)),
      fine(selection::to_length(section_.of_the_rest->out_of_round)));
}

std::vector<std::string> choose_head(ChooseReport const& report) {
  auto const& inputs = report.inputs();
  std::vector<std::string> out = {
      fmt::format("{}: six strips for a section, by the limits of {}; strips measured {}",
                  inputs.taper.name, inputs.shop.name,
                  report.bench.stage == inspection::Stage::ready ? "ready to glue" : "as milled")};
  if (inputs.shop_is_built_in)
    out.push_back(
        fmt::format("No {} named: the built-in shop serves, with its allowances, not yours.",
                    report.options.words.shop));
  if (auto assumed = assumed_line(inputs.shop); !assumed.empty()) out.push_back(std::move(assumed));
  if (report.options.all)
    out.push_back(fmt::format("Strips that are not right may be chosen and moved too ({}).",
                              report.options.words.all));
  return out;
}

}  // namespace stripwright::cli
