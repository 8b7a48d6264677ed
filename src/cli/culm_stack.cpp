#include <fmt/format.h>

#include <algorithm>

#include "cli/culm.h"
#include "selection/pool.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

using culm::Stretch;

class StackExaminer {
 public:
  StackExaminer(Taper const& taper, std::vector<CulmFinding> const& culms, Problems& problems)
      : taper_(taper), culms_(culms), problems_(problems) {
    for (auto const& section : culms.front().sections) {
      lengths_.push_back(section.need.strip_length);
      make_.push_back(static_cast<std::size_t>(section.need.section.make));
    }
  }

  StackFinding examine() {
    StackFinding out;
    std::vector<culm::StackCulm> stretches;
    std::vector<std::size_t> already(lengths_.size());
    for (std::size_t c = 0; c < culms_.size(); ++c) {
      auto const& finding = culms_[c];
      std::vector<std::size_t> per_piece;
      for (auto const& section : finding.sections) per_piece.push_back(section.yield.sections());
      const auto least = *std::min_element(lengths_.begin(), lengths_.end());
      for (auto const& left : culm::stretches_left(*finding.culm.length,
                                                   cut_from(taper_, finding, &problems_), least)) {
        stretches.push_back({left.to - left.from, per_piece});
        out.stretches.push_back({c, left});
      }
      out.already.push_back(split_already(finding));
      for (std::size_t s = 0; s < already.size(); ++s) already[s] += out.already.back()[s];
    }
    out.plan = culm::plan_stack(stretches, lengths_, make_, already);
    out.lengths.assign(culms_.size(), std::vector<std::size_t>(lengths_.size()));
    for (std::size_t i = 0; i < out.stretches.size(); ++i)
      for (std::size_t s = 0; s < lengths_.size(); ++s)
        out.lengths[out.stretches[i].culm][s] += out.plan.pieces[i][s];
    return out;
  }

 private:
  /// Six strips of a length make a section. A piece whose strips have no names yet gives what its
  /// length does.
  std::vector<std::size_t> split_already(CulmFinding const& finding) const {
    std::vector<std::size_t> out(lengths_.size());
    for (std::size_t s = 0; s < lengths_.size(); ++s)
      for (auto const& length : culm::split_lengths(
               finding.culm.pieces, finding.sections[s].need.section.name, lengths_[s]))
        out[s] += length.strips > 0 ? length.strips / selection::kRingSize
                                    : finding.sections[s].yield.sections();
    return out;
  }

  Taper const& taper_;
  std::vector<CulmFinding> const& culms_;
  Problems& problems_;
  std::vector<Length> lengths_;
  std::vector<std::size_t> make_;
};

}  // namespace

std::vector<Stretch> cut_from(Taper const& taper, CulmFinding const& finding, Problems* problems) {
  auto const& culm = finding.culm;
  auto const& first = finding.sections.front().need;
  const Length spare = first.strip_length - first.section.length();
  const auto along = [&](Length l) {
    return fmt::format("{} {}",
                       format_short(in_unit(l, taper.unit), taper.unit == Unit::inch ? 2 : 1),
                       unit_name(taper.unit));
  };
  std::vector<Stretch> out;
  for (auto const& piece : culm.pieces) {
    const auto section =
        std::find_if(taper.sections.begin(), taper.sections.end(),
                     [&](RodSection const& each) { return each.name == piece.section; });
    if (section == taper.sections.end()) {
      if (problems)
        problems->warn(fmt::format("culm '{}' has a piece for section '{}', which {} has not",
                                   culm.name, piece.section, taper.name),
                       "its length is not known, so the stack is counted as if it were not cut");
      continue;
    }
    out.push_back({piece.starts_at, piece.starts_at + section->length() + spare});
    if (problems && culm.length && out.back().to > *culm.length + kSamePlace)
      problems->warn(
          fmt::format("culm '{}': the piece for {} that starts at {} would end at {}, beyond "
                      "the culm's {}",
                      culm.name, piece.section, along(piece.starts_at), along(out.back().to),
                      along(*culm.length)),
          "check its starts_at and the culm's length; with less spare its strips can be moved "
          "less");
  }
  return out;
}

std::optional<StackFinding> examine_stack(Taper const& taper, std::vector<CulmFinding> const& culms,
                                          Problems& problems) {
  constexpr std::size_t kMostSections = 6;
  if (culms.front().sections.size() > kMostSections ||
      std::any_of(culms.begin(), culms.end(), [](auto const& c) { return !c.culm.length; }))
    return std::nullopt;
  return StackExaminer(taper, culms, problems).examine();
}

}  // namespace stripwright::cli
