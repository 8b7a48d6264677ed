#pragma once

#include <string>
#include <vector>

#include "cli/exit_status.h"
#include "cli/options.h"
#include "files/output_set.h"
#include "machine/section_setup.h"

namespace stripwright::cli {

/// A finished set-up and where its files lie.
struct SetupResult {
  Inputs const& inputs;
  Machine const& machine;
  std::optional<Gauge> gauge;
  std::vector<machine::SectionSetup> setups;
  std::string folder;
  std::vector<std::string> file_names;
  std::string unused_correction = {};        ///< words about one that lies there; "" if none does
  std::vector<std::string> kept_names = {};  ///< of other sections' files, of an earlier set-up
};

/// What `correct` calls its correction.
inline constexpr char kCorrectionFile[] = "correction.yaml";

/// output/<taper file's stem>/<machine>, and the folder in it that `correct` writes into.
std::string default_folder(Inputs const& inputs, Machine const& machine);
std::string corrected_folder(Inputs const& inputs, Machine const& machine);

/// Writes the files and their record into the result's folder and notes their names in it;
/// wrong if one of them was edited since, failed if the disk would not. Files of an earlier set-up
/// for sections that this one leaves out stay only if they were made from the same; others are
/// removed, unless they were edited, and told.
ExitStatus write_setup(SetupResult& result, CommonOptions const& options,
                       std::vector<files::OutputFile> const& files, Problems& problems);

/// stations.csv, and for each section cutter-<section>.csv and its pattern (SVG, DXF) or program
/// (<section>.ngc, unless the machine cannot run it).
std::vector<files::OutputFile> setup_files(SetupResult const& result);

/// What setup.json holds: hashes of the inputs and outputs, the options, no date.
nlohmann::ordered_json setup_record(SetupResult const& result, CommonOptions const& options,
                                    std::vector<files::OutputFile> const& files);

/// For the terminal: tables that fit 80 columns.
std::string setup_text(SetupResult const& result);
/// The cutter tables, first column `section`.
std::string setup_csv(SetupResult const& result);
std::string setup_json(SetupResult const& result);

/// `ASSUMED 0: ...` for allowances that the shop leaves out, "" if there are none.
std::string assumed_line(Shop const& shop);

}  // namespace stripwright::cli
