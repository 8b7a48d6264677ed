#include <fmt/format.h>

#include <cmath>

#include "cli/check.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

using inspection::ReadingKind;
using inspection::Verdict;

std::string place_words(CheckBench const& bench, std::size_t section, Station station) {
  const Unit unit = bench.inputs->unit;
  return fmt::format(
      "{} {}", bench.of_groove.empty() ? "station" : "machine position",
      format_short(in_unit(bench.place(section, station), unit), bench_decimals(unit)));
}

/// `, and b and c there go with theirs`, where they were read.
std::string others_there(ReadingKind kind, inspection::ReadAgain const& again) {
  if (!again.lone.others_stay) return {};
  std::vector<std::string_view> others;
  for (const auto height : inspection::heights_of(kind))
    if (height != again.height) others.push_back(inspection::word(height));
  return fmt::format(", and {} there go with theirs", fmt::join(others, " and "));
}

/// The least and the most of a stretch, rounded to what lies within it: with so many decimals, or
/// more where no such number does.
std::pair<std::string, std::string> told_within(double least, double most, int decimals) {
  constexpr int kMostDecimals = 5;
  // Of the last digit: an end that is such a number is told as it is.
  constexpr double kExact = 1e-6;
  for (; decimals < kMostDecimals; ++decimals) {
    const double digits = std::pow(10, decimals);
    const double up = std::ceil(least * digits - kExact);
    const double down = std::floor(most * digits + kExact);
    if (up <= down)
      return {format_fixed(up / digits, decimals), format_fixed(down / digits, decimals)};
  }
  return {format_fixed(least, decimals), format_fixed(most, decimals)};
}

/// What there is to say of one piece.
class PieceItems {
 public:
  PieceItems(CheckBench const& bench, CheckedPiece const& piece)
      : bench_(bench),
        piece_(piece),
        summary_(piece.summary),
        kind_(bench.kind()),
        unit_(bench.inputs->unit) {}

  std::vector<CheckItem> items() {
    // What to take off would be of no use where the strip is another one.
    if (!piece_.suspicion.empty()) {
      item("Perhaps", piece_.suspicion);
      return std::move(items_);
    }
    for (auto const& each : summary_.read_again) read_again(each);
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
    return place_words(bench_, piece_.judged.section, station);
  }
  void item(std::string_view name, std::string text) {
    items_.push_back({std::string(name), std::move(text)});
  }

  /// Before anything is cut or laid aside for a reading that nothing else bears out.
  void read_again(inspection::ReadAgain const& again) {
    item("Read again",
         fmt::format(
             "{}. {}. Nothing that follows rests on it",
             stands_alone_words(bench_, piece_.judged.section, again),
             again.read.count > 1
                 ? "Take out the row that is wrong; if none is, read on until they agree"
                 : "Correct the row if it was misread; if it reads so again, add that as a row "
                   "of its own: where two agree they count"));
  }

  void what_to_do() {
    if (summary_.thinnest && summary_.verdict == Verdict::thin) thin();
    if (summary_.take_off) take_off(*summary_.take_off);
    if (summary_.shift) slide(*summary_.shift);
    if (summary_.relied_on[Verdict::unsure] > 0)
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
    return summary_.shift && summary_.shift->right_then == summary_.relied_on.all();
  }

  void slide(inspection::Shift const& shift) {
    const auto [least, most] =
        told_within(in_unit(abs(shift.by), unit_), in_unit(abs(shift.until), unit_),
                    unit_ == Unit::inch ? 2 : 0);
    const bool to_tip = shift.by > Length{};
    const auto until =
        least == most ? std::string() : fmt::format(" (up to {} {})", most, unit_name(unit_));
    item(summary_.take_off ? "Or slide it" : "Slide it",
         fmt::format("towards the {} by {} {}{}: then {} of {} readings are right, not {}. Cut so "
                     "much more off its {} end, and so much less off the other",
                     to_tip ? "tip" : "butt", least, unit_name(unit_), until, shift.right_then,
                     summary_.relied_on.all(), shift.right_now, to_tip ? "tip" : "butt"));
  }

  void take_off(inspection::TakeOff const& off) {
    const bool any = amount(off.amount) != amount({});
    if (any) {
      if (kind_ == ReadingKind::strips)
        item("Take off",
             fmt::format("strip height, most at {}: {}. That is what the height loses: half of it, "
                         "{}, comes off each flank; the outer face is never planed",
                         at(off.at), amount(off.amount), half(off.amount)));
      else
        item("Take off",
             fmt::format("across flats, most at {}, {}: {}, half of it, {}, off each of its two "
                         "flats",
                         at(off.at), inspection::word(off.height), amount(off.amount),
                         half(off.amount)));
    }
    if (off.one_flank_more && kind_ == ReadingKind::strips)
      item(any ? "" : "Take off",
           "one height is too thick where another is not: there one flank alone has to be planed, "
           "see the angles");
    if (off.one_flank_more && kind_ == ReadingKind::sections)
      item(any ? "" : "Take off",
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

  CheckBench const& bench_;
  CheckedPiece const& piece_;
  inspection::StripSummary const& summary_;
  ReadingKind kind_;
  Unit unit_;
  std::vector<CheckItem> items_;
};

}  // namespace

std::string stands_alone_words(CheckBench const& bench, std::size_t section,
                               inspection::ReadAgain const& again) {
  const auto amount = [unit = bench.inputs->unit](Length l) {
    return format_length(l, unit, bench_decimals(unit));
  };
  return fmt::format(
      "{}, {}: {}{} stands alone, its neighbours say {}{}", place_words(bench, section, again.at),
      inspection::word(again.height), amount(again.read.mean),
      again.read.count > 1 ? fmt::format(", the mean of {},", again.read.count) : std::string(),
      amount(again.lone.expected), others_there(bench.kind(), again));
}

void warn_of_left_out(CheckBench const& bench, std::string_view readings_name,
                      inspection::Piece const& piece, CheckedPiece const& checked,
                      Problems& problems) {
  for (auto const& again : checked.summary.read_again)
    problems.warn(fmt::format("{}: {}, {}", readings_name, piece.name,
                              stands_alone_words(bench, piece.section, again)),
                  "it is left out here: read that place again");
}

std::vector<CheckItem> check_items(CheckBench const& bench, CheckedPiece const& piece) {
  return PieceItems(bench, piece).items();
}

}  // namespace stripwright::cli
