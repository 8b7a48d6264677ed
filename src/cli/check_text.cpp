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

class PieceText {
 public:
  PieceText(CheckReport const& report, CheckedPiece const& piece)
      : report_(report),
        bench_(report.bench),
        piece_(piece),
        summary_(piece.summary),
        kind_(report.bench.kind()),
        unit_(report.bench.inputs->unit) {}

  std::string text() {
    std::string out = "\n";
    const auto section = bench_.targets[piece_.judged.section]->section().name;
    out += report::paragraph(fmt::format("{}, section {}: {}", piece_.judged.name, section,
                                         counts_words(kind_, summary_.counts)),
                             fmt::format("{:<8}", upper(verdict_word(kind_, summary_.verdict))),
                             "        ");
    for (auto const& [name, text] : items())
      out += report::paragraph(text, fmt::format("  {:<13}", name), std::string(15, ' '));
    const auto rows = readings_table(bench_, piece_.judged, !report_.options.all);
    if (!rows.rows.empty()) out += report::to_text(rows, unit_);
    return out;
  }

  std::vector<CheckItem> items() {
    // What to take off would be of no use where the strip is another one.
    if (!piece_.suspicion.empty()) {
      item("Perhaps", piece_.suspicion);
      return std::move(items_);
    }
    if (kind_ == ReadingKind::groove)
      set_again();
    else
      what_to_do();
    whole();
    if (summary_.angles) angles(*summary_.angles);
    return std::move(items_);
  }

 private:
  std::string amount(Length l) const { return format_length(l, unit_, bench_decimals(unit_)); }
  /// Half of the amount as it is printed, so that the two agree; a digit more where it ends in 5.
  std::string half(Length l) const {
    const int decimals = bench_decimals(unit_);
    auto number = format_fixed(round_to_decimals(in_unit(l, unit_), decimals) / 2, decimals + 1);
    if (number.ends_with('0')) number.pop_back();
    return fmt::format("{} {}", number, unit_name(unit_));
  }
  std::string at(Station station) const {
    return fmt::format("{} {}", bench_.of_groove.empty() ? "station" : "machine position",
                       format_short(in_unit(bench_.place(piece_.judged.section, station), unit_),
                                    bench_decimals(unit_)));
  }
  void item(std::string_view name, std::string text) {
    items_.push_back({std::string(name), std::move(text)});
  }

  void what_to_do() {
    if (summary_.verdict == Verdict::thin) thin();
    if (summary_.take_off) take_off(*summary_.take_off);
    if (summary_.shift) slide(*summary_.shift);
    if (summary_.counts[Verdict::unsure] > 0)
      item(
          "Unsure",
          "measure those places again: the mean of several readings, or a finer gauge, may decide");
  }

  void thin() {
    auto const& thinnest = *summary_.thinnest;
    item("Too thin",
         fmt::format(
             "most at {}, where {} is {} under its target. What is gone cannot be put back{}",
             at(thinnest.at), inspection::word(thinnest.height), amount(-thinnest.deviation),
             kind_ != ReadingKind::strips ? ""
             : slides_right()             ? ", but sliding saves it:"
             : summary_.shift             ? "; sliding makes more of it right, but not all:"
                              : ", and sliding does not help: lay it aside for a finer taper"));
  }

  /// True if a shift makes all readings right.
  bool slides_right() const {
    return summary_.shift && summary_.shift->right_then == summary_.counts.all();
  }

  void slide(inspection::Shift const& shift) {
    const auto far = [&](Length l) {
      return fmt::format("{} {}", format_fixed(in_unit(abs(l), unit_), unit_ == Unit::inch ? 2 : 0),
                         unit_name(unit_));
    };
    const bool to_tip = shift.by > Length{};
    const auto until = far(shift.until) == far(shift.by)
                           ? std::string()
                           : fmt::format(" (up to {})", far(shift.until));
    item(summary_.take_off ? "Or slide it" : "Slide it",
         fmt::format("towards the {} by {}{}: then {} of {} readings are right, not {}. Cut so "
                     "much more off its {} end, and so much less off the other",
                     to_tip ? "tip" : "butt", far(shift.by), until, shift.right_then,
                     summary_.counts.all(), shift.right_now, to_tip ? "tip" : "butt"));
  }

  void take_off(inspection::TakeOff const& off) {
    if (off.amount > Length{}) {
      if (kind_ == ReadingKind::strips)
        item("Take off",
             fmt::format("strip height, most at {}: {}. That is what the height loses: half of it, "
                         "{}, comes off each flank; the outer face is never planed",
                         at(off.at), amount(off.amount), half(off.amount)));
      else
        item("Take off",
             fmt::format("across flats, most at {}: {}, half of it, {}, off each of the two flats",
                         at(off.at), amount(off.amount), half(off.amount)));
    }
    if (off.one_flank_more && kind_ == ReadingKind::strips)
      item(off.amount > Length{} ? "" : "Take off",
           "one height is too thick where another is not: there one flank alone has to be planed, "
           "see the angles");
    if (off.one_flank_more && kind_ == ReadingKind::sections)
      item(off.amount > Length{} ? "" : "Take off",
           "one pair of flats is too thick where another is not: scrape that pair alone");
  }

  void set_again() {
    Length deepest;
    Length shallowest;
    inspection::JudgedPlace const* most = nullptr;
    inspection::JudgedPlace const* least = nullptr;
    for (auto const& place : piece_.judged.places) {
      auto const& judged = *place.heights[0];
      if (judged.verdict == Verdict::thick && judged.deviation() > deepest)
        deepest = judged.deviation(), most = &place;
      if (judged.verdict == Verdict::thin && judged.deviation() < shallowest)
        shallowest = judged.deviation(), least = &place;
    }
    if (most)
      item("Too deep", fmt::format("most at {}: close it until the gauge reads {} less",
                                   at(most->at), amount(deepest)));
    if (least)
      item("Too shallow", fmt::format("most at {}: open it until the gauge reads {} more",
                                      at(least->at), amount(-shallowest)));
    if (summary_.counts[Verdict::unsure] > 0)
      item("Unsure",
           "gauge those places again: the mean of several readings, or a finer gauge, may decide");
  }

  void whole() {
    auto const& mean = summary_.mean_deviation;
    std::string text = fmt::format("{} {} on the average, ± {}", amount(abs(mean.value)),
                                   mean.value < Length{} ? "under target" : "over target",
                                   amount(2 * mean.uncertainty));
    if (auto const& growth = summary_.deviation_growth)
      text += fmt::format("; from tip to butt it {} by {}, ± {}",
                          growth->value < Length{} ? "falls" : "rises", amount(abs(growth->value)),
                          amount(2 * growth->uncertainty));
    item("On the whole", text);
    item("Stiffness", fmt::format("EI would be off by {} % to {} % if all of the rod were so",
                                  format_fixed(100 * summary_.stiffness_least, 1),
                                  format_fixed(100 * summary_.stiffness_most, 1)));
  }

  void angles(inspection::AngleSummary const& angles) {
    const auto degrees = [](Angle a) { return format_fixed(a.in_degrees(), 1); };
    auto const& [apex, b, c] = angles.mean;
    item("Angles",
         fmt::format("apex {}° ± {}, b {}° ± {}, c {}° ± {}, mean of {} place{}",
                     degrees(apex.value), degrees(2 * apex.uncertainty), degrees(b.value),
                     degrees(2 * b.uncertainty), degrees(c.value), degrees(2 * c.uncertainty),
                     angles.places, angles.places == 1 ? "" : "s"));
    item("", angle_verdict(angles));
    if (angles.seam.at != section::SeamPlace::nowhere)
      item("", fmt::format("six such strips would leave seams of {} ± {} at the {}, at {}",
                           amount(angles.seam.width), amount(2 * angles.seam_uncertainty),
                           angles.seam.at == section::SeamPlace::outside ? "outside" : "centre",
                           at(angles.seam_at)));
  }

  std::string angle_verdict(inspection::AngleSummary const& angles) const {
    if (angles.counts.all_right()) return "all of them right";
    const auto off = angles.counts[Verdict::thick] + angles.counts[Verdict::thin];
    if (off == 0 && !(summary_.take_off && summary_.take_off->one_flank_more))
      return fmt::format("{} of {} angles are too close to call with this gauge",
                         angles.counts[Verdict::unsure], angles.counts.all());
    std::vector<std::string> parts;
    const auto flank = [&](std::string_view name, inspection::Wedge const& wedge) {
      if (amount(wedge.most()) == amount({})) return;
      parts.push_back(fmt::format("off the flank that {0} stands on {1} at {2}, nothing at {3}",
                                  name, amount(wedge.most()),
                                  wedge.at_apex > Length{} ? "the apex" : "its outer edge",
                                  wedge.at_apex > Length{} ? "its outer edge" : "the apex"));
    };
    flank("b", angles.advice.flank_b);
    flank("c", angles.advice.flank_c);
    if (parts.empty()) return "none of them worth planing";
    return fmt::format(
        "worst at {}. To make it 60° there, plane {} (strip height, off that flank alone); it is "
        "then {} high: {}",
        at(angles.worst_at), fmt::join(parts, ", and "), amount(angles.advice.height_after),
        inspection::word(angles.after));
  }

  CheckReport const& report_;
  CheckBench const& bench_;
  CheckedPiece const& piece_;
  inspection::StripSummary const& summary_;
  ReadingKind kind_;
  Unit unit_;
  std::vector<CheckItem> items_;
};

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

std::vector<CheckItem> check_items(CheckReport const& report, CheckedPiece const& piece) {
  return PieceText(report, piece).items();
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

std::string check_how(CheckBench const& bench) {
  const Unit unit = bench.inputs->unit;
  auto const& tolerance = bench.tolerance();
  std::string how = fmt::format("Limits: {} under to {} over the target. ",
                                format_length(tolerance.under, unit, bench_decimals(unit)),
                                format_length(tolerance.over, unit, bench_decimals(unit)));
  if (bench.judge.gauge)
    how += fmt::format("Read with the {}, standard uncertainty {}. ", bench.judge.gauge->name,
                       format_length(inspection::standard_uncertainty(*bench.judge.gauge), unit,
                                     bench_decimals(unit) + 1));
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
  return PieceText(report, piece).text();
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
