#include <fmt/format.h>

#include <algorithm>

#include "cli/check.h"
#include "cli/setup_output.h"
#include "machine/cautions.h"
#include "report/paragraph.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

using inspection::Cause;
using inspection::ReadingKind;
using inspection::Stage;
using inspection::Verdict;

/// Words for what was measured.
struct KindWords {
  std::string_view one;
  std::string_view several;
};

KindWords kind_words(ReadingKind kind) {
  switch (kind) {
    case ReadingKind::strips:
      return {"strip", "strips"};
    case ReadingKind::sections:
      return {"piece", "pieces"};
    case ReadingKind::groove:
      return {"groove", "grooves"};
  }
  return {};
}

std::string upper(std::string_view word) {
  std::string out(word);
  std::transform(out.begin(), out.end(), out.begin(), [](char c) {
    return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
  });
  return out;
}

/// What the strips say together, of one section.
std::string group_text(CheckReport const& report, std::size_t section,
                       inspection::GroupSummary const& group) {
  constexpr std::size_t kMostRows = 60;
  auto const& bench = report.bench;
  auto stations = group.stations();
  const auto most = std::max_element(
      stations.begin(), stations.end(),
      [](auto const& one, auto const& other) { return one.strips < other.strips; });
  if (stations.empty() || most->strips < 2) return {};
  const auto words = together_words(bench, stations);
  std::string out = fmt::format("\nTOGETHER, section {}: up to {} {} at a station\n",
                                bench.targets[section]->section().name, most->strips,
                                kind_words(bench.kind()).several);
  const auto all = stations.size();
  if (all > kMostRows)
    std::erase_if(stations, [](auto const& each) { return each.cause != Cause::machine; });
  const auto of_machine = stations.size();
  if (stations.size() > kMostRows) stations.resize(kMostRows);
  if (!stations.empty())
    out += report::to_text(group_table(bench, section, stations), bench.inputs->unit);
  if (all > kMostRows)
    out +=
        fmt::format("{} stations in all; shown are {} of the {} that are off by more than chance\n",
                    all, stations.size(), of_machine);
  out += report::paragraph(words, "", "");
  return out;
}

}  // namespace

std::string counts_words(ReadingKind kind, inspection::Counts const& counts) {
  if (counts.all_right())
    return counts.all() == 1 ? "its one reading is right"
                             : fmt::format("all {} readings are right", counts.all());
  std::vector<std::string> parts;
  for (const auto verdict : {Verdict::thin, Verdict::thick, Verdict::unsure})
    if (counts[verdict] > 0)
      parts.push_back(
          fmt::format("{}{} {}", counts[verdict],
                      parts.empty() ? fmt::format(" of {} readings", counts.all()) : std::string(),
                      verdict_word(kind, verdict)));
  return fmt::format("{}", fmt::join(parts, ", "));
}

std::string together_words(CheckBench const& bench,
                           std::vector<inspection::StationDeviation> const& stations) {
  const bool machine = std::any_of(stations.begin(), stations.end(),
                                   [](auto const& each) { return each.cause == Cause::machine; });
  if (!machine)
    return "No station is off by more than its 95 % interval, `from` to `to`: what is off is each "
           "one's own.";
  if (bench.kind() == ReadingKind::strips)
    return "Where it says machine, the mean is off by more than its 95 % interval, `from` to `to`: "
           "that is the machine's setting, not the single strip. `stripwright correct` sets it "
           "right.";
  return "Where it says machine, all are off alike, by more than the 95 % interval, `from` to "
         "`to`: "
         "that is the allowances or the strips' targets. `stripwright learn` finds out which.";
}

std::string check_what(CheckBench const& bench, std::size_t pieces) {
  if (bench.machine) return fmt::format("the groove of the {}, as set", bench.machine->name);
  return fmt::format("{} {} {}", pieces,
                     pieces == 1 ? kind_words(bench.kind()).one : kind_words(bench.kind()).several,
                     stage_words(bench.stage));
}

std::string moisture_words(CheckBench const& bench) {
  auto const& moisture = bench.inputs->shop.allowances.moisture;
  if (!moisture || bench.kind() != ReadingKind::sections) return {};
  if (bench.moisture_now)
    return fmt::format("Targets hold at {} % moisture, as it was when measured.",
                       *bench.moisture_now);
  return fmt::format("Targets hold at {} % moisture, as in service.", moisture->percent_in_service);
}

std::string check_how(CheckBench const& bench) {
  const Unit unit = bench.inputs->unit;
  auto const& tolerance = bench.tolerance();
  std::string how = fmt::format("Limits: {} under to {} over the target. ",
                                format_length(tolerance.under, unit, bench_decimals(unit)),
                                format_length(tolerance.over, unit, bench_decimals(unit)));
  if (bench.judge.gauge) {
    const auto u = format_length(inspection::standard_uncertainty(*bench.judge.gauge), unit,
                                 bench_decimals(unit) + 1);
    how += bench.machine ? fmt::format(
                               "The depth gauge's dial is taken to be the {}, standard uncertainty "
                               "{}: another one is listed under gauges: and named with --gauge. ",
                               bench.judge.gauge->name, u)
                         : fmt::format("Read with the {}, standard uncertainty {}. ",
                                       bench.judge.gauge->name, u);
  }
  if (const auto moisture = moisture_words(bench); !moisture.empty()) how += moisture + ' ';
  return how + (bench.judge.decide == Decide::guarded
                    ? "Right, thick or thin is said where it is 95 % sure; ± is twice the standard "
                      "uncertainty."
                    : "Judged by the plain limits; ± is twice the standard uncertainty.");
}

std::string check_text_head(CheckBench const& bench, std::size_t pieces) {
  auto const& inputs = *bench.inputs;
  const Unit unit = inputs.unit;
  std::string out =
      report::paragraph(fmt::format("{}: {}, held against the limits of {}", inputs.taper.name,
                                    check_what(bench, pieces), inputs.shop.name),
                        "", "");
  if (inputs.shop_is_built_in)
    out += "No --shop named: the built-in shop serves, with its allowances, not yours.\n";
  if (const auto assumed = assumed_line(inputs.shop); !assumed.empty())
    out += report::paragraph(assumed, "", "");
  out += report::paragraph(check_how(bench), "", "");
  if (!moisture_words(bench).empty() && !bench.moisture_now)
    out += report::paragraph(
        "If the cane had another moisture when it was measured, say so with --moisture-now.", "",
        "");
  if (const auto coarse = too_coarse(bench))
    out += report::paragraph(
        fmt::format(
            "The gauge is too coarse for this tolerance: no single reading can prove "
            "anything right. One with a standard uncertainty of {} would do{}.",
            format_length(coarse->uncertainty_that_would_do, unit, bench_decimals(unit) + 1),
            coarse->readings_of_each
                ? fmt::format("; so does the mean of {} readings of each place",
                              *coarse->readings_of_each)
                : std::string()),
        "", "");
  return out;
}

std::string check_text_piece(CheckReport const& report, CheckedPiece const& piece) {
  auto const& bench = report.bench;
  const auto kind = bench.kind();
  auto const& summary = piece.summary;
  std::string out = "\n";
  const auto section = bench.targets[piece.judged.section]->section().name;
  out += report::paragraph(fmt::format("{}, section {}: {}", piece.judged.name, section,
                                       counts_words(kind, summary.counts)),
                           fmt::format("{:<8}", upper(verdict_word(kind, summary.verdict))),
                           "        ");
  for (auto const& [name, text] : check_items(bench, piece))
    out += report::paragraph(text, fmt::format("  {:<13}", name), std::string(15, ' '));
  const auto rows = readings_table(bench, piece.judged, !report.options.all);
  if (!rows.rows.empty()) out += report::to_text(rows, bench.inputs->unit);
  return out;
}

std::string_view stage_words(Stage stage) {
  switch (stage) {
    case Stage::milled:
      return "as milled";
    case Stage::groove:
      return "as set";
    case Stage::ready:
      return "ready to glue";
    case Stage::glued:
      return "as glued";
    case Stage::bare:
      return "bare";
    case Stage::varnished:
      return "varnished";
  }
  return "";
}

std::vector<std::string> check_cautions(CheckBench const& bench) {
  return bench.machine ? machine::cautions(*bench.machine, bench.inputs->shop.allowances)
                       : machine::hand_cautions();
}

std::string check_text_tail(CheckReport const& report, CheckTotals const& totals) {
  auto const& bench = report.bench;
  std::string out;
  if (bench.kind() != ReadingKind::groove)
    for (std::size_t s = 0; s < totals.groups.size(); ++s)
      out += group_text(report, s, totals.groups[s]);
  const auto counted = [&](std::string_view what, inspection::Counts const& counts, auto word) {
    out += fmt::format("{:<10}{:>9}:", what, counts.all());
    for (const auto verdict : {Verdict::right, Verdict::thick, Verdict::thin, Verdict::unsure})
      out += fmt::format("{}{:>8} {}", verdict == Verdict::right ? "" : ",", counts[verdict],
                         word(verdict));
    out += '\n';
  };
  const auto of_kind = [&](Verdict verdict) { return verdict_word(bench.kind(), verdict); };
  out += '\n';
  counted("Readings", totals.readings, of_kind);
  if (totals.angles.all() > 0) counted("Angles", totals.angles, inspection::angle_word);
  if (bench.kind() != ReadingKind::groove)
    counted(bench.kind() == ReadingKind::strips ? "Strips" : "Pieces", totals.pieces, of_kind);
  if (totals.left_out > 0)
    out += fmt::format("Left out: {} rows of sections that were not asked for\n", totals.left_out);
  if (!report.options.summary) {
    out += "\nCautions\n";
    for (auto const& caution : check_cautions(bench)) out += report::paragraph(caution, "- ", "  ");
  }
  return out;
}

}  // namespace stripwright::cli
