#pragma once

#include <iosfwd>
#include <memory>
#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "cli/check_groove.h"
#include "cli/exit_status.h"
#include "cli/options.h"
#include "inspection/group_summary.h"
#include "inspection/lone_readings.h"
#include "inspection/readings.h"
#include "inspection/strip_summary.h"
#include "report/table.h"

namespace stripwright::cli {

/// The options of `check`, as they were written.
struct CheckOptions {
  CommonOptions common;
  std::string readings;
  std::string stage;
  std::string readings_unit;
  std::string moisture_now;
  std::string pass;
  bool angles = false;
  bool all = false;
  bool summary = false;
  bool ask = false;
  std::string heights;
  std::string strips;
  /// Of `correct`: with --correction strips were cut by a machine that was set with it. `check`
  /// holds strips against the taper whatever they were cut with, and so refuses it for them.
  bool strips_of_a_corrected_machine = false;
};

/// The limits that readings are held against: inputs, stage, targets of each section, gauge.
struct CheckBench {
  Inputs const* inputs = nullptr;
  inspection::Stage stage = inspection::Stage::milled;
  inspection::Judge judge;
  std::optional<double> moisture_now;
  std::vector<std::unique_ptr<inspection::Targets>> targets;  ///< of each section
  std::vector<inspection::StageTargets const*> of_stage;      ///< the same, but for a groove
  std::vector<GrooveTargets const*> of_groove;                ///< the same, for a groove
  Machine const* machine = nullptr;                           ///< for a groove
  std::vector<std::string> sections_left_out;
  /// Of a groove: of each pass the targets of each section; and the pass that is checked, from 0.
  std::vector<std::vector<std::unique_ptr<GrooveTargets>>> passes;
  std::size_t pass = 0;
  bool pass_named = false;  ///< by the call; else it is the last

  inspection::ReadingKind kind() const { return inspection::kind_of(stage); }
  /// Whether a reading that stands alone is doubted: not of a groove, where each screw is set by
  /// itself, nor of a section that is not cleaned, where drops of glue stand.
  bool doubts_lone_readings() const {
    return stage != inspection::Stage::groove && stage != inspection::Stage::glued;
  }
  inspection::ReadingsOrder order() const;
  Tolerance const& tolerance() const;
  /// What is printed as the place of a station: itself, or its place on the machine.
  Length place(std::size_t section, Station at) const;
};

/// Stage and gauge from options and file, and the targets. Nothing, and problems, if the call is
/// wrong.
std::optional<CheckBench> prepare_check(Inputs& inputs, CheckOptions const& options,
                                        inspection::ReadingKind kind, Problems& problems);

/// The unit of `--readings-unit`; a problem if it is none.
std::optional<Unit> readings_unit(CheckOptions const& options, Problems& problems);

/// The readings' bytes from a file, or standard input for `-`; a problem if they cannot be read.
std::optional<files::SourceText> open_readings(std::string const& given, Problems& problems);

/// The readings of a call as far as their header says what they are.
struct HeadedReadings {
  files::SourceText source;
  inspection::ReadingColumns columns;
};
std::optional<HeadedReadings> read_header(CheckOptions const& options, Problems& problems);

/// One strip, section or groove, judged and summed up.
struct CheckedPiece {
  inspection::JudgedPiece judged;
  inspection::StripSummary summary;
  std::string suspicion;  ///< why it may be off as a whole, "" if nothing fits
};

/// What there is to tell of all pieces together.
struct CheckTotals {
  inspection::Counts readings;
  inspection::Counts angles;
  inspection::Counts pieces;
  std::vector<inspection::GroupSummary> groups;  ///< of each section
  std::size_t left_out = 0;                      ///< rows of other sections
};

/// Judges piece after piece and keeps the totals.
class Checker {
 public:
  /// `whole` pieces get their angles and the shift that helps; else only what is counted.
  Checker(CheckBench const& bench, inspection::Readings const& readings, bool angles, bool whole);

  CheckedPiece next(inspection::Piece const& piece);
  CheckTotals const& totals() const { return totals_; }

 private:
  std::string suspicion(inspection::JudgedPiece const& piece) const;

  CheckBench const& bench_;
  inspection::Readings const& readings_;
  inspection::LoneReadings lone_;
  bool angles_;
  bool whole_;
  CheckTotals totals_;
};

/// All that is to be printed.
struct CheckReport {
  CheckBench const& bench;
  CheckOptions const& options;
  inspection::Readings const& readings;
};

/// What came of a check.
struct CheckOutcome {
  ExitStatus status = ExitStatus::all_well;  ///< all_well only if all are right
  CheckTotals totals;
  std::vector<std::size_t> worth_showing;  ///< numbers of the pieces for a sheet
};

/// Judges the readings and prints them.
CheckOutcome print_check(CheckReport const& report, Format format, std::ostream& out);

/// The rows of one piece, as in files and at the bench.
report::Table readings_table(CheckBench const& bench, inspection::JudgedPiece const& piece,
                             bool only_faulty);
/// What several pieces say of each station.
report::Table group_table(CheckBench const& bench, std::size_t section,
                          std::vector<inspection::StationDeviation> const& stations);
/// The verdict's word for what was measured.
std::string_view verdict_word(inspection::ReadingKind kind, inspection::Verdict verdict);
/// The greatest uncertainty that would do, if the gauge is too coarse for the tolerance; and how
/// many readings of each place make their mean good enough, if any number does.
struct TooCoarse {
  Length uncertainty_that_would_do;
  std::optional<long> readings_of_each;
};
std::optional<TooCoarse> too_coarse(CheckBench const& bench);

/// `12 strips as milled`, and how they are judged: limits, gauge, decision.
std::string check_what(CheckBench const& bench, std::size_t pieces);
std::string check_how(CheckBench const& bench);
/// At which moisture a section's targets hold, a part of how; "" where the shop knows of none.
std::string moisture_words(CheckBench const& bench);
/// What there is to say of a piece: a name (may be empty), and a sentence or two.
struct CheckItem {
  std::string name;
  std::string text;
};
std::vector<CheckItem> check_items(CheckBench const& bench, CheckedPiece const& piece);
/// `station 20, a: 0.0885 in stands alone, its neighbours say 0.0692 in`, for a piece's section.
std::string stands_alone_words(CheckBench const& bench, std::size_t section,
                               inspection::ReadAgain const& again);
/// A warning of each reading that stands alone, for where several pieces count together.
void warn_of_left_out(CheckBench const& bench, std::string_view readings_name,
                      inspection::Piece const& piece, CheckedPiece const& checked,
                      Problems& problems);
/// `4 of 30 readings thick, 2 unsure`.
std::string counts_words(inspection::ReadingKind kind, inspection::Counts const& counts);
/// What stations that several pieces were measured at say together.
std::string together_words(CheckBench const& bench,
                           std::vector<inspection::StationDeviation> const& stations);

/// `as milled`, `ready to glue`.
std::string_view stage_words(inspection::Stage stage);
/// A question about readings that as a whole are better explained otherwise than called for.
struct BetterExplanation {
  std::string question;
  bool of_call = false;  ///< by another stage or pass in the call; else by other names of columns
};
/// All there are; none where nothing else fits clearly better.
std::vector<BetterExplanation> better_explanations(CheckBench const& bench,
                                                   inspection::Readings const& readings,
                                                   inspection::ReadingColumns const& columns);
/// For whoever takes something off, or sets the groove again.
std::vector<std::string> check_cautions(CheckBench const& bench);

std::string check_text_head(CheckBench const& bench, std::size_t pieces);
std::string check_text_piece(CheckReport const& report, CheckedPiece const& piece);
std::string check_text_tail(CheckReport const& report, CheckTotals const& totals);
nlohmann::ordered_json check_json_piece(CheckBench const& bench, CheckedPiece const& piece);
std::string check_json(CheckReport const& report, nlohmann::ordered_json pieces,
                       CheckTotals const& totals);

}  // namespace stripwright::cli
