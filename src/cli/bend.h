#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bending/sensitivity.h"
#include "cli/check.h"
#include "files/output_set.h"

namespace stripwright::cli {

/// The options of `bend`, as they were written.
struct BendOptions {
  CheckOptions check;  ///< taper, readings, stage, and the common ones
  std::string modulus;
  std::string density;
  std::string load;
  std::string line;
  std::string line_out;
  std::string clamp;
  std::string raised;
  std::string joint_mass;
  std::string joint_length;
  bool weightless = false;
};

/// How the rod is held and loaded, and what is only assumed.
struct BendSetting {
  bending::Material material;
  std::vector<std::string> assumed;
  bending::Loading loading;
  std::string load_words;
  std::optional<Mass> joint_mass;
  Length joint_length;
  bool line_beyond_weighed = false;  ///< more line is out than the table weighs
};

/// The rod by measured strips or sections.
struct AsMilled {
  bending::Bent bent;
  std::vector<Length> flats_off;  ///< at each told place
  /// Standard uncertainty of `down` at each told place, from the readings.
  std::vector<Length> uncertainty;
  std::vector<std::string> sections;  ///< those measured
  std::vector<std::string> not_measured;
  std::size_t left_out = 0;  ///< rows of sections that are not bent
};

/// All that `bend` found.
struct BendReport {
  Inputs const& inputs;
  std::string what;  ///< what is bent: the rod's name, and its sections where they are not all
  BendSetting setting;
  std::vector<Station> stations;  ///< of the tables, out of all places told
  bending::Bent target;
  std::vector<double> stiffness;  ///< EI at each told place, N mm²
  std::vector<Length> flats;      ///< the same, bare
  /// How far the tip moves down for thicker flats at each of `stations`.
  std::vector<double> tip_moves;
  std::optional<AsMilled> milled;
  std::string folder;
  std::vector<std::string> file_names;
};

/// The options' amounts; problems where they make no sense for this taper.
std::optional<BendSetting> bend_setting(BendOptions const& options, Inputs const& inputs,
                                        Problems& problems);

std::string bend_text(BendReport const& report);
std::string bend_csv(BendReport const& report);
std::string bend_json(BendReport const& report);
/// shape.svg, stress.svg, and difference.svg where strips or sections were measured.
std::vector<files::OutputFile> bend_pictures(BendReport const& report);

}  // namespace stripwright::cli
