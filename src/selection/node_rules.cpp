#include "selection/node_rules.h"

#include <algorithm>
#include <cstdlib>

namespace stripwright::selection {

std::vector<Station> places_to_keep_clear(Taper const& taper, RodSection const& section,
                                          std::vector<Station> const& own) {
  std::vector<Station> out = {section.from};
  // A taper may go on beyond the rod; the rod ends with its last section.
  const auto butt = std::max_element(
      taper.sections.begin(), taper.sections.end(),
      [](RodSection const& one, RodSection const& other) { return one.to < other.to; });
  const Station end = butt == taper.sections.end() ? taper.butt_end() : butt->to;
  if (end - section.to > kSamePlace) out.push_back(section.to);
  for (const Station at : own)
    if (at > section.from - kSamePlace && at < section.to + kSamePlace) out.push_back(at);
  std::sort(out.begin(), out.end());
  out.erase(
      std::unique(out.begin(), out.end(), [](Station a, Station b) { return same_place(a, b); }),
      out.end());
  return out;
}

std::vector<Nanometres> nodes_in_section(std::vector<Station> const& nodes,
                                         RodSection const& section, Length shift) {
  std::vector<Nanometres> out;
  for (const Station node : nodes) {
    const Station at = node - shift;
    if (at > section.from - kSamePlace && at < section.to + kSamePlace)
      out.push_back(to_nanometres(at.from_zero()));
  }
  std::sort(out.begin(), out.end());
  return out;
}

std::vector<Nanometres> nodes_beyond_ends(std::vector<Station> const& nodes,
                                          RodSection const& section, Spare const& spare,
                                          Length shift, NodeRules const& rules) {
  // What lies beyond the strip's own ends is no part of it. A strip that is moved farther than its
  // spare is cut so much farther along the culm: it ends at the section's end then.
  const Station first = section.from - spare.tip_end - std::min(shift, spare.butt_end);
  const Station last = section.to + std::max(Length{}, spare.butt_end - shift);
  std::vector<Nanometres> out;
  for (const Station node : nodes) {
    const Station at = node - shift;
    const bool within = at > section.from - kSamePlace && at < section.to + kSamePlace;
    const bool on_strip = at > first - kSamePlace && at < last + kSamePlace;
    if (within || !on_strip) continue;
    if (std::any_of(rules.places.begin(), rules.places.end(),
                    [&](Station place) { return abs(at - place) < rules.keep_clear - kSamePlace; }))
      out.push_back(to_nanometres(at.from_zero()));
  }
  std::sort(out.begin(), out.end());
  return out;
}

Nanometres keep_clear_shortfall(std::vector<Nanometres> const& nodes, NodeRules const& rules) {
  Nanometres sum = 0;
  for (const Nanometres node : nodes)
    for (const Station place : rules.places)
      sum += std::max<Nanometres>(
          0, to_nanometres(rules.keep_clear) - std::abs(node - to_nanometres(place.from_zero())));
  return sum;
}

}  // namespace stripwright::selection
