#pragma once

#include <optional>
#include <string>
#include <vector>

#include "diagnostics/problem.h"
#include "files/source_text.h"
#include "machine/correction.h"
#include "shop/shop.h"
#include "taper/taper.h"

namespace stripwright::cli {

class Command;

enum class Format { text, csv, json };

/// The options that most commands share, as they were written.
struct CommonOptions {
  std::string taper;
  std::string shop;
  std::string machine;
  std::string gauge;
  std::vector<std::string> sections;
  std::string units;
  std::string out;
  std::string format = "text";
  bool force = false;
  std::string culm_diameter;
  std::string moisture;
  std::string correction;
};

/// Options by group; each takes one value, repeatable ones one value each time.
void add_taper_argument(Command command, CommonOptions& options);
void add_shop_options(Command command, CommonOptions& options);
void add_machine_options(Command command, CommonOptions& options);
void add_section_option(Command command, CommonOptions& options);
void add_output_options(Command command, CommonOptions& options);
/// Where files go, and whether they may replace others.
void add_folder_options(
    Command command, CommonOptions& options,
    std::string const& out = "folder for the files; output/<taper>/<machine> if left out");
void add_correction_option(Command command, CommonOptions& options);

Format format_of(CommonOptions const& options);

/// What a command works on, read and checked.
struct Inputs {
  files::SourceText taper_source;
  Taper taper;
  files::SourceText shop_source;
  bool shop_is_built_in = false;
  Shop shop;
  Unit unit = Unit::inch;  ///< of the output
  std::vector<RodSection> sections;
  std::optional<files::SourceText> correction_source;
  std::optional<machine::Correction> correction;
};

/// The files that a command works on, opened but not read.
struct InputFiles {
  std::optional<files::SourceText> taper;
  std::optional<files::SourceText> shop;
  std::optional<files::SourceText> correction;
};

/// Opens the files that the options name, the built-in shop where they name none; problems where
/// one cannot be.
InputFiles open_inputs(CommonOptions const& options, Problems& problems);

/// Reads taper and shop and applies the options that override them; problems, all at
/// once, where something is wrong.
std::optional<Inputs> read_inputs(CommonOptions const& options, Problems& problems);
/// The same of files that were opened, or drafts of them; those that are not there must have
/// been told.
std::optional<Inputs> read_inputs(InputFiles files, CommonOptions const& options,
                                  Problems& problems);

/// The machine that the options name, or the only one that serves; a problem otherwise.
Machine const* choose_machine(Inputs& inputs, CommonOptions const& options, Problems& problems);

/// The gauge that the options name, or the only one; nothing (no problem) if there is
/// none or several and none is named.
std::optional<Gauge> choose_gauge(Shop const& shop, CommonOptions const& options,
                                  Problems& problems);

}  // namespace stripwright::cli
