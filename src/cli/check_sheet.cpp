#include "cli/check_sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <ostream>
#include <sstream>

#include "cli/sheet_head.h"
#include "cli/version.h"
#include "files/digest.h"
#include "files/output_set.h"
#include "report/json.h"
#include "sheet/check_sheet.h"

namespace stripwright::cli {
namespace {

using inspection::ReadingKind;
using inspection::Verdict;

constexpr std::array kVerdicts = {Verdict::right, Verdict::thick, Verdict::thin, Verdict::unsure};
constexpr char kSheetName[] = "sheet.html";

/// Of the heights read at a place the one whose verdict is worst, of several the one farthest off.
sheet::CheckedPlace sheet_place(CheckBench const& bench, std::size_t section,
                                inspection::JudgedPlace const& place) {
  sheet::CheckedPlace out{bench.place(section, place.at), {}, place.verdict()};
  for (auto const& judged : place.heights)
    if (judged && judged->verdict == out.verdict && abs(judged->deviation()) >= abs(out.deviation))
      out.deviation = judged->deviation();
  return out;
}

sheet::CheckedPiece sheet_piece(CheckBench const& bench, CheckedPiece const& piece) {
  sheet::CheckedPiece out;
  out.name = piece.judged.name;
  out.section = piece.judged.section;
  out.verdict = piece.summary.verdict;
  out.counts = counts_words(bench.kind(), piece.summary.counts);
  for (auto& [name, text] : check_items(bench, piece))
    out.advice.emplace_back(std::move(name), std::move(text));
  for (auto const& place : piece.judged.places)
    out.places.push_back(sheet_place(bench, out.section, place));
  std::sort(out.places.begin(), out.places.end(),
            [](auto const& one, auto const& other) { return one.at < other.at; });
  return out;
}

report::Table totals_table(CheckBench const& bench, CheckTotals const& totals) {
  report::Table table{"totals", {{"", "of"}, {"", "all"}}, {}};
  for (const auto verdict : kVerdicts)
    table.columns.push_back({"", std::string(verdict_word(bench.kind(), verdict))});
  const auto row = [&](std::string name, inspection::Counts const& counts) {
    std::vector<report::Cell> cells = {std::move(name), static_cast<long>(counts.all())};
    for (const auto verdict : kVerdicts) cells.emplace_back(static_cast<long>(counts[verdict]));
    table.rows.push_back(std::move(cells));
  };
  if (bench.kind() != ReadingKind::groove)
    row(bench.kind() == ReadingKind::strips ? "strips" : "pieces", totals.pieces);
  row("readings", totals.readings);
  return table;
}

/// What all pieces of a section say together; empty where no station has two.
std::pair<std::string, report::Table> together(CheckBench const& bench, std::size_t section,
                                               inspection::GroupSummary const& group) {
  const auto stations = group.stations();
  const bool several = std::any_of(stations.begin(), stations.end(),
                                   [](auto const& each) { return each.strips > 1; });
  if (!several || bench.kind() == ReadingKind::groove) return {};
  return {together_words(bench, stations), group_table(bench, section, stations)};
}

std::string stem(std::string const& name) { return std::filesystem::path(name).stem().string(); }

std::string folder_of(CheckReport const& report) {
  auto const& options = report.options;
  if (!options.common.out.empty()) return options.common.out;
  return fmt::format("output/{}/checked/{}", stem(report.bench.inputs->taper_source.name()),
                     options.readings == "-" ? "stdin" : stem(options.readings));
}

sheet::CheckOrder sheet_order(CheckReport const& report, CheckOutcome const& outcome,
                              files::SourceText const& source) {
  auto const& bench = report.bench;
  sheet::CheckOrder order;
  order.head = sheet_head(*bench.inputs, bench.machine ? bench.machine->name : std::string());
  order.head.readings_file = file_version(source);
  order.what = fmt::format("{}: {}", bench.inputs->taper.name,
                           check_what(bench, report.readings.pieces.size()));
  order.limits = check_how(bench);
  if (bench.machine) order.place_name = "machine position";
  for (auto const& targets : bench.targets) order.sections.push_back(targets->section().name);
  order.allowed = inspection::limits_around({}, bench.tolerance());
  order.totals = totals_table(bench, outcome.totals);
  for (const auto verdict : kVerdicts)
    order.verdict_words.emplace_back(verdict_word(bench.kind(), verdict));
  order.cautions = check_cautions(bench);
  for (std::size_t s = 0; s < outcome.totals.groups.size(); ++s)
    order.together.push_back(together(bench, s, outcome.totals.groups[s]));
  order.all_pieces = report.readings.pieces.size();
  // Judged once more, with all there is to say; they are few.
  Checker checker(bench, report.readings, true, true);
  for (const auto number : outcome.worth_showing)
    order.pieces.push_back(sheet_piece(report.bench, checker.next(report.readings.pieces[number])));
  return order;
}

report::Json record(CheckReport const& report, files::SourceText const& source,
                    files::OutputFile const& file) {
  auto const& inputs = *report.bench.inputs;
  const auto version = [](files::SourceText const& each) {
    const auto file_version = cli::file_version(each);
    return report::Json{{"file", file_version.name}, {"sha256", file_version.sha256}};
  };
  report::Json out = {{"format", "stripwright-check-1"},
                      {"program", fmt::format("stripwright {}", kVersion)},
                      {"taper", version(inputs.taper_source)},
                      {"shop", version(inputs.shop_source)},
                      {"readings", version(source)}};
  out["options"] = {{"stage", inspection::word(report.bench.stage)},
                    {"units", unit_name(inputs.unit)}};
  out["outputs"] = {{file.name, files::sha256(file.bytes)}};
  return out;
}

ExitStatus write_sheet(CheckReport const& report, CheckOutcome const& outcome,
                       files::SourceText const& source, std::ostream& out, Problems& problems) {
  const files::OutputFile file{kSheetName,
                               sheet::check_sheet(sheet_order(report, outcome, source))};
  const auto folder = folder_of(report);
  const auto written = status_of(files::write_set(folder, {file}, record(report, source, file),
                                                  report.options.common.force, problems));
  if (written != ExitStatus::all_well) return written;
  if (format_of(report.options.common) == Format::text)
    out << fmt::format("Sheet: {}/{}\n", folder, file.name);
  return ExitStatus::all_well;
}

}  // namespace

Length farthest_off(inspection::JudgedPiece const& piece) {
  Length most;
  for (auto const& place : piece.places)
    for (auto const& judged : place.heights)
      if (judged) most = std::max(most, abs(judged->deviation()));
  return most;
}

ExitStatus print_and_write_check(CheckReport const& report, files::SourceText const& source,
                                 std::ostream& out, Problems& problems) {
  const auto outcome = print_check(report, format_of(report.options.common), out);
  if (report.options.summary) return outcome.status;
  return std::max(outcome.status, write_sheet(report, outcome, source, out, problems));
}

std::string check_sheet_page(CheckReport const& report, files::SourceText const& source) {
  std::ostringstream unread;
  const auto outcome = print_check(report, Format::csv, unread);
  return sheet::check_sheet(sheet_order(report, outcome, source));
}

}  // namespace stripwright::cli
