#pragma once

#include <memory>
#include <string>
#include <vector>

#include "cli/check.h"
#include "cli/node_options.h"
#include "culm/culms.h"
#include "files/output_set.h"
#include "selection/choose_rings.h"
#include "selection/prediction.h"

namespace stripwright::cli {

/// Of one section; sixty strips give no more.
inline constexpr std::size_t kMostRings = 10;

/// What sentences call an option: as the command has it, or as a page has it.
struct ChooseWords {
  std::string_view all = "--all";
  std::string_view nodes = "--nodes";
  std::string_view time = "--time";
  std::string_view shop = "--shop";
};

/// The options of `choose`, as they were written.
struct ChooseOptions {
  CheckOptions check;  ///< taper, readings, stage and the common ones
  std::string nodes;
  NodeOptions rules;
  std::string shift_step;
  std::string time;
  std::string rings;
  bool all = false;
  std::function<void(std::string_view, double)> progress = {};  ///< none: silent
  ChooseWords words = {};
};

/// A strip that is in no ring, and what it would still be good for.
struct Leftover {
  std::string name;
  std::string why;  ///< "" if it could have been chosen
  std::string use;
};

/// The rings chosen for one section.
struct ChosenSection {
  RodSection section;
  selection::PoolOrder order;
  selection::SectionPool pool;
  std::size_t wanted = 0;  ///< rings
  selection::Found found;  ///< no rings if there are not six strips
  std::vector<selection::RingReport> rings;
  std::vector<Leftover> leftovers;
  /// What another ring of the strips that are left would amount to.
  std::optional<selection::RingValue> of_the_rest;

  std::size_t strips_measured() const { return pool.pool.strips.size() + pool.others.size(); }
  bool nodes_known() const { return pool.without_nodes.size() < pool.pool.strips.size(); }
  std::string const& strip_name(std::size_t candidate) const {
    return pool.pool.strips[pool.pool.candidates[candidate].strip].name;
  }
  /// `butt`, or `tip-2` where there are several.
  std::string ring_name(std::size_t ring) const;
};

/// All that `choose` found.
struct ChooseReport {
  CheckBench const& bench;
  ChooseOptions const& options;
  Length shift_step;
  std::vector<ChosenSection> sections;
  std::string folder;
  std::vector<std::string> file_names;

  Inputs const& inputs() const { return *bench.inputs; }
  Unit unit() const { return bench.inputs->unit; }
};

/// What stands in the column `density` or `mass` for each strip; its last value counts, and one
/// that is no number above 0 is a problem.
std::map<std::string, double> read_densities(files::SourceText const& source,
                                             inspection::ReadingColumns const& columns,
                                             Problems& problems);

/// Rings of all sections that the readings have strips of. Nothing, and problems, if the call or a
/// file is wrong.
std::optional<std::vector<ChosenSection>> choose_sections(CheckBench const& bench,
                                                          ChooseOptions const& options,
                                                          Length shift_step,
                                                          files::SourceText const& source,
                                                          Problems& problems);

/// A choosing, from its files to its rings: `report` refers to what stands above it.
struct Choosing {
  ChooseOptions options;
  std::optional<Inputs> inputs;
  std::optional<files::SourceText> readings;
  std::optional<CheckBench> bench;
  std::optional<ChooseReport> report;
};

/// Reads and chooses; prints and writes nothing. Null, and problems, if the call or a file is
/// wrong.
std::unique_ptr<Choosing> choose(ChooseOptions options, Problems& problems);

/// Whether each section has all its rings, proven, within the rules and the limits.
bool all_well(ChooseReport const& report);

/// All that a choice is written as: ring files, pictures, the page for the glue bench; none where
/// there is no ring.
std::vector<files::OutputFile> files_of_choice(Choosing const& choosing);
/// Writes them into the report's folder, with their record, and tells rings of earlier choices
/// that lie there still.
files::Written write_choice(Choosing& choosing, std::vector<files::OutputFile> const& files,
                            bool force, Problems& problems);

/// The ring files and pictures.
std::vector<files::OutputFile> choose_files(ChooseReport const& report);
/// The page for the glue bench, with all rings.
files::OutputFile choose_sheet(ChooseReport const& report, files::SourceText const& readings);
/// Names that other choices for the same sections give their files: of one ring and of several,
/// with and without nodes; a list for each ring, its file first.
std::vector<std::vector<std::string>> names_of_other_choices(
    ChooseReport const& report, std::vector<files::OutputFile> const& files);

std::string choose_text(ChooseReport const& report);
std::string choose_csv(ChooseReport const& report);
std::string choose_json(ChooseReport const& report);

}  // namespace stripwright::cli
