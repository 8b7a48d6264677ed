#include <algorithm>

#include "cli/culm.h"
#include "selection/node_rules.h"

namespace stripwright::cli {
namespace {

using culm::LengthState;
using culm::SectionLength;
using culm::Stretch;

class LengthFinder {
 public:
  LengthFinder(CulmReport& report, Length step) : report_(report), step_(step) {
    auto const& inputs = report.inputs;
    for (auto const& section : report.culms.front().sections) {
      auto const& of_rod = section.need.section;
      strip_lengths_.push_back(section.need.strip_length);
      tasks_.push_back(
          {of_rod,
           inputs.shop.spare,
           {report.habits.min_gap, report.habits.keep_clear,
            selection::places_to_keep_clear(inputs.taper, of_rod, report.habits.places)},
           {},
           {}});
    }
  }

  void find() {
    for (auto& each : report_.culms)
      for (std::size_t s = 0; s < tasks_.size(); ++s)
        each.sections[s].lengths = lengths_split(each.culm, s);
    if (report_.stack) saw_stack(*report_.stack);
    for (auto& each : report_.culms)
      for (std::size_t s = 0; s < tasks_.size(); ++s)
        if (each.sections[s].lengths.empty()) each.sections[s].lengths = first_possible(each, s);
  }

 private:
  std::vector<SectionLength> lengths_split(culm::Culm const& culm, std::size_t s) const {
    std::vector<SectionLength> out;
    for (auto const& length :
         culm::split_lengths(culm.pieces, tasks_[s].section.name, strip_lengths_[s])) {
      SectionLength here;
      here.state = LengthState::split;
      here.where = length.where;
      here.placed = length.placed;
      // What is split cannot be cut farther along the culm: only its spare is left to move in.
      if (!culm.nodes.empty() && !length.placed) {
        here.task = culm::node_task(culm.nodes, length.where.from, Length{}, step_, tasks_[s]);
        here.plans = culm::node_plans(*here.task);
      }
      out.push_back(std::move(here));
    }
    return out;
  }

  /// Within a stretch the sections lie as on the rod: the tip's end of a culm is the thin one.
  void saw_stack(StackFinding const& stack) {
    for (std::size_t i = 0; i < stack.stretches.size(); ++i) {
      std::vector<std::size_t> sections;
      for (std::size_t s = 0; s < tasks_.size(); ++s)
        sections.insert(sections.end(), stack.plan.pieces[i][s], s);
      auto& finding = report_.culms[stack.stretches[i].culm];
      auto lengths = culm::lengths_along(stack.stretches[i].where, sections, strip_lengths_, tasks_,
                                         finding.culm.nodes, step_);
      for (std::size_t n = 0; n < sections.size(); ++n)
        finding.sections[sections[n]].lengths.push_back(std::move(lengths[n]));
    }
  }

  /// The first stretch that is long enough, as if nothing else were sawn from it. A culm of unknown
  /// length goes on as far as is wanted.
  std::vector<SectionLength> first_possible(CulmFinding const& finding, std::size_t s) const {
    constexpr Length kEndless = Length::millimetres(1e6);
    auto const& culm = finding.culm;
    for (auto const& left : culm::stretches_left(culm.length.value_or(kEndless),
                                                 cut_from(report_.inputs.taper, finding, nullptr),
                                                 strip_lengths_[s])) {
      const Stretch where{left.from, culm.length ? left.to : left.from + strip_lengths_[s]};
      auto out = culm::lengths_along(where, {s}, strip_lengths_, tasks_, culm.nodes, step_);
      out.front().state = LengthState::possible;
      return out;
    }
    return {};
  }

  CulmReport& report_;
  Length step_;
  std::vector<Length> strip_lengths_;  // of each section
  std::vector<culm::NodeTask> tasks_;  // but nodes and displacements
};

}  // namespace

void find_lengths(CulmReport& report, Length step) {
  if (!report.culms.empty()) LengthFinder(report, step).find();
}

}  // namespace stripwright::cli
