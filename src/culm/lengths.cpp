#include "culm/lengths.h"

#include <algorithm>

#include "diagnostics/problem.h"
#include "selection/candidates.h"

namespace stripwright::culm {

bool SectionLength::keeps_rules() const {
  return plans.empty() || plans.back().shortfall < kSamePlace;
}

std::vector<SplitLength> split_lengths(std::vector<CulmPiece> const& pieces,
                                       std::string const& section, Length strip_length) {
  std::vector<CulmPiece const*> mine;
  for (auto const& piece : pieces)
    if (piece.section == section) mine.push_back(&piece);
  std::sort(mine.begin(), mine.end(),
            [](auto const* one, auto const* other) { return one->starts_at < other->starts_at; });
  std::vector<SplitLength> out;
  Length first;
  for (auto const* piece : mine) {
    const Length end = piece->starts_at + strip_length;
    if (out.empty() || piece->starts_at > first + strip_length - kSamePlace) {
      first = piece->starts_at;
      out.push_back({{first, end}, 0, false});
    }
    auto& length = out.back();
    length.where.to = end;
    length.strips += piece->strips.size();
    length.placed |= !same_place(piece->starts_at, first);
  }
  return out;
}

NodeTask node_task(std::vector<Length> const& nodes, Length starts_at, Length farther, Length step,
                   NodeTask const& without) {
  constexpr Length kMostFarther = Length::millimetres(300);
  constexpr std::size_t kMost = 120;
  NodeTask out = without;
  for (const Length at : nodes)
    out.nodes.push_back(out.section.from - out.spare.tip_end + (at - starts_at));
  Spare room = out.spare;
  room.butt_end += std::clamp(farther, Length{}, kMostFarther);
  out.displacements = selection::shifts_within(room, step);
  if (out.displacements.size() > kMost) out.displacements.resize(kMost);
  std::sort(out.displacements.begin(), out.displacements.end());
  return out;
}

namespace {

/// The least multiple of a step, up to `most`, with which as little is lacking as with the largest;
/// `lacks`, which never rises, tells what is lacking.
template <typename Lacks>
Length least_that_helps(Length most, Length step, Lacks const& lacks) {
  std::size_t enough = static_cast<std::size_t>((most + kSamePlace) / step);
  const auto times = [&](std::size_t n) { return static_cast<double>(n) * step; };
  const Length least = lacks(times(enough));
  for (std::size_t too_few = 0; too_few < enough;) {
    const std::size_t middle = (too_few + enough) / 2;
    if (lacks(times(middle)) <= least + kSamePlace)
      enough = middle;
    else
      too_few = middle + 1;
  }
  return times(enough);
}

}  // namespace

std::vector<SectionLength> lengths_along(Stretch const& stretch,
                                         std::vector<std::size_t> const& sections,
                                         std::vector<Length> const& strip_lengths,
                                         std::vector<NodeTask> const& tasks,
                                         std::vector<Length> const& nodes, Length step) {
  Length left = stretch.to - stretch.from;
  for (const std::size_t s : sections) left -= strip_lengths[s];
  check_internal(left > -2 * kSamePlace, "lengths of a culm that do not fit into it");
  left = std::max(left, Length{});
  std::vector<SectionLength> out;
  Length from = stretch.from;
  for (std::size_t i = 0; i < sections.size(); ++i) {
    const std::size_t s = sections[i];
    const bool last = i + 1 == sections.size();
    SectionLength length;
    Length longer;
    const auto place = [&](Length farther) {
      if (nodes.empty()) return;
      length.task = node_task(nodes, from, farther, step, tasks[s]);
      length.plans = node_plans(*length.task);
    };
    place(last ? left : Length{});
    if (!last && !length.keeps_rules()) {
      longer = least_that_helps(left, step, [&](Length farther) {
        place(farther);
        return length.plans.back().shortfall;
      });
      place(longer);
    }
    length.state = LengthState::to_saw;
    length.where = {from, from + strip_lengths[s] + longer};
    left -= longer;
    length.room = last ? left : Length{};
    from = length.where.to;
    out.push_back(std::move(length));
  }
  return out;
}

}  // namespace stripwright::culm
