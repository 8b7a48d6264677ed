#include <fmt/format.h>

#include <algorithm>

#include "cli/culm.h"
#include "selection/pool.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

using culm::CulmPiece;
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
    std::vector<std::size_t> culm_of;
    std::vector<std::size_t> already(lengths_.size());
    for (std::size_t c = 0; c < culms_.size(); ++c) {
      auto const& finding = culms_[c];
      std::vector<std::size_t> per_piece;
      for (auto const& section : finding.sections) per_piece.push_back(section.yield.sections());
      const auto least = *std::min_element(lengths_.begin(), lengths_.end());
      for (auto const& left :
           culm::stretches_left(*finding.culm.length, cut_from(finding.culm), least)) {
        stretches.push_back({left.to - left.from, per_piece});
        culm_of.push_back(c);
      }
      out.already.push_back(split_already(finding));
      for (std::size_t s = 0; s < already.size(); ++s) already[s] += out.already.back()[s];
    }
    out.plan = culm::plan_stack(stretches, lengths_, make_, already);
    out.lengths.assign(culms_.size(), std::vector<std::size_t>(lengths_.size()));
    for (std::size_t i = 0; i < culm_of.size(); ++i)
      for (std::size_t s = 0; s < lengths_.size(); ++s)
        out.lengths[culm_of[i]][s] += out.plan.pieces[i][s];
    return out;
  }

 private:
  std::optional<std::size_t> section_of(CulmPiece const& piece) const {
    auto const& sections = culms_.front().sections;
    for (std::size_t s = 0; s < sections.size(); ++s)
      if (sections[s].need.section.name == piece.section) return s;
    return std::nullopt;
  }

  /// Where a piece lies, for sections that are looked at or not (--section): all strips have the
  /// same spare.
  std::optional<Stretch> extent(CulmPiece const& piece) const {
    auto const& first = culms_.front().sections.front().need;
    const Length spare = first.strip_length - first.section.length();
    for (auto const& section : taper_.sections)
      if (section.name == piece.section)
        return Stretch{piece.starts_at, piece.starts_at + section.length() + spare};
    return std::nullopt;
  }

  std::vector<Stretch> cut_from(culm::Culm const& culm) {
    std::vector<Stretch> out;
    for (auto const& piece : culm.pieces) {
      const auto where = extent(piece);
      if (!where) {
        problems_.warn(fmt::format("culm '{}' has a piece for section '{}', which {} has not",
                                   culm.name, piece.section, taper_.name),
                       "its length is not known, so the stack is counted as if it were not cut");
        continue;
      }
      if (where->to > *culm.length + kSamePlace)
        problems_.warn(
            fmt::format("culm '{}': the piece for {} that starts at {} would end at {}, beyond "
                        "the culm's {}",
                        culm.name, piece.section, along(piece.starts_at), along(where->to),
                        along(*culm.length)),
            "check its starts_at and the culm's length; with less spare its strips can be moved "
            "less");
      out.push_back(*where);
    }
    return out;
  }

  std::string along(Length l) const {
    return fmt::format("{} {}",
                       format_short(in_unit(l, taper_.unit), taper_.unit == Unit::inch ? 2 : 1),
                       unit_name(taper_.unit));
  }

  /// Pieces that overlap are strips of one length, cut at different places for their nodes; six of
  /// its strips make a section. A piece whose strips have no names yet gives what its length does.
  std::vector<std::size_t> split_already(CulmFinding const& finding) const {
    std::vector<std::size_t> out(lengths_.size());
    for (std::size_t s = 0; s < lengths_.size(); ++s) {
      std::vector<CulmPiece const*> pieces;
      for (auto const& piece : finding.culm.pieces)
        if (section_of(piece) == s) pieces.push_back(&piece);
      std::sort(pieces.begin(), pieces.end(), [](auto const* one, auto const* other) {
        return one->starts_at < other->starts_at;
      });
      for (std::size_t i = 0; i < pieces.size();) {
        std::size_t strips = 0;
        std::size_t next = i;
        for (; next < pieces.size() &&
               pieces[next]->starts_at < pieces[i]->starts_at + lengths_[s] - kSamePlace;
             ++next)
          strips += pieces[next]->strips.size();
        out[s] += strips > 0 ? strips / selection::kRingSize : finding.sections[s].yield.sections();
        i = next;
      }
    }
    return out;
  }

  Taper const& taper_;
  std::vector<CulmFinding> const& culms_;
  Problems& problems_;
  std::vector<Length> lengths_;
  std::vector<std::size_t> make_;
};

}  // namespace

std::optional<StackFinding> examine_stack(Taper const& taper, std::vector<CulmFinding> const& culms,
                                          Problems& problems) {
  constexpr std::size_t kMostSections = 6;
  if (culms.front().sections.size() > kMostSections ||
      std::any_of(culms.begin(), culms.end(), [](auto const& c) { return !c.culm.length; }))
    return std::nullopt;
  return StackExaminer(taper, culms, problems).examine();
}

}  // namespace stripwright::cli
