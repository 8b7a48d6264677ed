#include "culm/stack.h"

#include <algorithm>
#include <numeric>

#include "diagnostics/problem.h"

namespace stripwright::culm {
namespace {

using Counts = std::vector<std::size_t>;

/// Every way to cut a culm that leaves no room for another useful length.
void cuttings(StackCulm const& culm, std::vector<Length> const& lengths, std::size_t section,
              Length left, Counts& so_far, std::vector<Counts>& out) {
  if (section == lengths.size()) {
    const auto room_for = [&](std::size_t s) {
      return culm.sections_of_piece[s] > 0 && lengths[s] <= left + kSamePlace;
    };
    for (std::size_t s = 0; s < lengths.size(); ++s)
      if (room_for(s)) return;
    out.push_back(so_far);
    return;
  }
  const std::size_t most =
      culm.sections_of_piece[section] == 0
          ? 0
          : static_cast<std::size_t>(std::max(0.0, (left + kSamePlace) / lengths[section]));
  for (std::size_t n = 0; n <= most; ++n) {
    so_far[section] = n;
    cuttings(culm, lengths, section + 1, left - lengths[section] * static_cast<double>(n), so_far,
             out);
  }
  so_far[section] = 0;
}

/// Sections that can be had, and how the culms so far are cut for it.
struct State {
  Counts sections;
  std::vector<Counts> pieces;
};

bool covers(Counts const& one, Counts const& other) {
  for (std::size_t s = 0; s < one.size(); ++s)
    if (one[s] < other[s]) return false;
  return true;
}

void keep_best(std::vector<State>& states) {
  std::stable_sort(states.begin(), states.end(), [](State const& one, State const& other) {
    return std::accumulate(one.sections.begin(), one.sections.end(), std::size_t{0}) >
           std::accumulate(other.sections.begin(), other.sections.end(), std::size_t{0});
  });
  std::vector<State> kept;
  for (auto& state : states)
    if (std::none_of(kept.begin(), kept.end(),
                     [&](State const& k) { return covers(k.sections, state.sections); }))
      kept.push_back(std::move(state));
  states = std::move(kept);
}

}  // namespace

std::vector<Stretch> stretches_left(Length culm, std::vector<Stretch> cut, Length least) {
  std::sort(cut.begin(), cut.end(),
            [](Stretch const& one, Stretch const& other) { return one.from < other.from; });
  cut.push_back({culm, culm});
  std::vector<Stretch> out;
  Length used;
  for (auto const& each : cut) {
    const Length to = std::min(each.from, culm);
    if (to - used > least - kSamePlace && to > used) out.push_back({used, to});
    used = std::max(used, each.to);
  }
  return out;
}

StackPlan plan_stack(std::vector<StackCulm> const& culms, std::vector<Length> const& strip_lengths,
                     std::vector<std::size_t> const& make,
                     std::vector<std::size_t> const& already) {
  constexpr std::size_t kMostCulms = 400;
  constexpr std::size_t kMostSections = 6;
  check_internal(culms.size() <= kMostCulms && strip_lengths.size() <= kMostSections,
                 "a stack of too many culms");
  std::vector<State> states = {{already, {}}};
  for (auto const& culm : culms) {
    std::vector<Counts> ways;
    Counts none(strip_lengths.size());
    cuttings(culm, strip_lengths, 0, culm.length, none, ways);
    std::vector<State> next;
    for (auto const& state : states)
      for (auto const& way : ways) {
        State made = state;
        for (std::size_t s = 0; s < way.size(); ++s)
          made.sections[s] += way[s] * culm.sections_of_piece[s];
        made.pieces.push_back(way);
        next.push_back(std::move(made));
      }
    keep_best(next);
    states = std::move(next);
  }
  const auto rods = [&](State const& state) {
    std::size_t least = SIZE_MAX;
    for (std::size_t s = 0; s < make.size(); ++s)
      least = std::min(least, state.sections[s] / make[s]);
    return least;
  };
  // The first of equal ones has the most sections in all.
  const auto best = std::max_element(
      states.begin(), states.end(),
      [&](State const& one, State const& other) { return rods(one) < rods(other); });
  return {rods(*best), best->sections, best->pieces};
}

}  // namespace stripwright::culm
