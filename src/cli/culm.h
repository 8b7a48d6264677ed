#pragma once

#include <map>
#include <memory>
#include <string>
#include <vector>

#include "cli/node_options.h"
#include "cli/options.h"
#include "culm/culms.h"
#include "culm/lengths.h"
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
  /// Of the culm for the section: those split already, then those to saw; if there are neither, the
  /// first that could be sawn. None if no stretch of the culm is long enough.
  std::vector<culm::SectionLength> lengths;

  /// In one of the lengths at least.
  bool nodes_can_be_placed() const;
};

/// A culm held against all sections.
struct CulmFinding {
  culm::Culm culm;
  Length diameter;
  std::vector<CulmSection> sections;
};

/// A stretch of a culm that nothing was cut from yet.
struct FreeStretch {
  std::size_t culm = 0;
  culm::Stretch where;
};

/// How a stack is cut, culm by culm.
struct StackFinding {
  std::vector<FreeStretch> stretches;
  culm::StackPlan plan;  ///< its pieces are of each of the stretches
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

/// What pieces took of a culm, for sections that are looked at or not (--section): all strips have
/// the same spare. What does not fit the culm or the rod is told, where `problems` are given.
std::vector<culm::Stretch> cut_from(Taper const& taper, CulmFinding const& finding,
                                    Problems* problems);

/// Where on its culm each section is sawn, and its nodes there: fills in the lengths of the
/// report's sections. `step` is that of moving strips.
void find_lengths(CulmReport& report, Length step);

/// Pictures of culms and of the best placing of nodes.
std::vector<files::OutputFile> culm_files(CulmReport const& report);

/// A row a culm and section: needs, yield, splits.
report::Table yield_table(CulmReport const& report);
/// A row a station of a culm and section.
report::Table cane_table(CulmSection const& section);

/// A row a way to place the nodes: how far each strip is moved, what comes of it.
report::Table node_table(culm::SectionLength const& length, Unit unit);

/// `2 x 3 x 2`, and `halves, then thirds, then halves`.
std::string splits_product(culm::WholeSplits const& splits);
std::string splits_words(culm::WholeSplits const& splits);

std::string culm_text(CulmReport const& report);
std::string culm_csv(CulmReport const& report);
std::string culm_json(CulmReport const& report);

}  // namespace stripwright::cli
