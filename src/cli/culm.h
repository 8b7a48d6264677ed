#pragma once

#include <map>
#include <memory>
#include <string>
#include <vector>

#include "cli/node_options.h"
#include "cli/options.h"
#include "culm/culms.h"
#include "culm/node_plan.h"
#include "culm/stack.h"
#include "culm/yield.h"
#include "files/output_set.h"
#include "report/table.h"

namespace stripwright::cli {

/// The options of `culm`, as they were written.
struct CulmOptions {
  CommonOptions common;
  std::string culms;
  std::string diameter;
  std::string wall;
  std::string power_fibre;
  std::string length;
  std::string nodes;
  NodeOptions rules;
  std::string shift_step;
};

/// A culm held against one section.
struct CulmSection {
  std::shared_ptr<const section::StripProfile> profile;
  culm::SectionNeed need;
  culm::Yield yield;
  std::vector<culm::CaneAt> cane;
  std::optional<culm::NodeTask> node_task;
  std::vector<culm::NodePlan> node_plans;

  bool nodes_can_be_placed() const;
};

/// A culm held against all sections.
struct CulmFinding {
  culm::Culm culm;
  Length diameter;
  std::vector<CulmSection> sections;
};

/// How a stack is cut, culm by culm.
struct StackFinding {
  culm::StackPlan plan;
  /// Of each culm and section: sections whose strips are split already, and lengths still to cut.
  std::vector<std::vector<std::size_t>> already;
  std::vector<std::vector<std::size_t>> lengths;
};

/// All that `culm` found.
struct CulmReport {
  Inputs const& inputs;
  CulmOptions const& options;
  culm::NodeHabits habits;
  std::vector<CulmFinding> culms;
  std::optional<StackFinding> stack;  ///< where all culms have a length
  std::string folder;
  std::vector<std::string> file_names;
};

/// Reads the culms of file and options and works them out. Nothing, and problems, if the call or a
/// file is wrong.
std::optional<CulmReport> examine_culms(Inputs const& inputs, CulmOptions const& options,
                                        Problems& problems);

/// How the culms are best cut, where all have a length: what their pieces took is gone, and their
/// strips count. What does not fit of the pieces is a warning.
std::optional<StackFinding> examine_stack(Taper const& taper, std::vector<CulmFinding> const& culms,
                                          Problems& problems);

/// Pictures of culms and of the best placing of nodes.
std::vector<files::OutputFile> culm_files(CulmReport const& report);

/// A row a culm and section: needs, yield, splits.
report::Table yield_table(CulmReport const& report);
/// A row a station of a culm and section.
report::Table cane_table(CulmSection const& section);

/// A row a way to place the nodes: how far each strip is moved, what comes of it.
report::Table node_table(CulmSection const& section, Unit unit);

/// `2 x 3 x 2`, and `halves, then thirds, then halves`.
std::string splits_product(culm::WholeSplits const& splits);
std::string splits_words(culm::WholeSplits const& splits);

std::string culm_text(CulmReport const& report);
std::string culm_csv(CulmReport const& report);
std::string culm_json(CulmReport const& report);

}  // namespace stripwright::cli
