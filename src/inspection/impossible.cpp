#include "inspection/impossible.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "units/format.h"

namespace stripwright::inspection {
namespace {

/// The distance of two lengths as a plain number: |ln(one/other)|, endless if there is no ratio.
double apart(Length one, Length other) {
  if (one <= Length{} || other <= Length{}) return std::numeric_limits<double>::infinity();
  return std::fabs(std::log(one / other));
}

/// What may have gone wrong, and the target that the reading would have had to meet, or the
/// factor the reading would have to be taken by.
struct Suspicion {
  std::string words;
  Length value;
  Length target;
};

Length target_at(Targets const& targets, Station at, std::size_t height) {
  if (at < targets.first() || at > targets.last()) return {};
  const auto found = targets.at(at)[height];
  return found ? found->value : Length{};
}

Length flats_at(Targets const& targets, Station at, std::size_t height) {
  const auto found = targets.at(at)[height];
  return found ? found->flats_bare : Length{};
}

/// All suspicions, the likeliest first; a list of the same length and order for every reading
/// of the same strip.
std::vector<Suspicion> suspicions(DoubtfulReading const& odd) {
  auto const& here = odd.targets;
  const Length target = target_at(here, odd.at, odd.height);
  const double per_inch = Length::inches(1) / Length::millimetres(1);
  std::vector<Suspicion> out;
  if (odd.unit == Unit::inch) {
    out.push_back(
        {"a number in millimetres that was taken for inches?", odd.value / per_inch, target});
    out.push_back(
        {"thousandths of an inch? write thou behind the number", odd.value / 1000, target});
  } else if (odd.unit == Unit::millimetre) {
    out.push_back(
        {"a number in inches that was taken for millimetres?", odd.value * per_inch, target});
    out.push_back(
        {"thousandths of a millimetre? write um behind the number", odd.value / 1000, target});
  }
  for (const double factor : {0.1, 10.0, 0.01, 100.0})
    out.push_back({"a slip of the decimal point?", odd.value * factor, target});
  if (odd.kind == ReadingKind::groove) return out;
  if (odd.kind == ReadingKind::strips)
    out.push_back({"across flats, where the height of a strip is expected?", odd.value,
                   flats_at(here, odd.at, odd.height)});
  else
    out.push_back(
        {"the height of a strip, where across flats is expected?", odd.value * 2, target});
  const Station mirrored = here.section().from + (here.section().to - odd.at);
  out.push_back({"are tip and butt swapped? stations count from the tip end", odd.value,
                 target_at(here, mirrored, odd.height)});
  for (auto const* other : odd.sections) {
    if (other == &here) continue;
    const Station as_far = other->section().from + (odd.at - here.section().from);
    out.push_back({fmt::format("is this a strip of section {}?", other->section().name), odd.value,
                   target_at(*other, as_far, odd.height)});
  }
  return out;
}

}  // namespace

bool can_be(Length value, Length target) {
  static const double kHalfADecade = std::log(10.0) / 2;
  return apart(value, target) < kHalfADecade;
}

std::string guess_about_value(DoubtfulReading const& odd) {
  static const double kNearEnough = std::log(1.25);
  std::string best;
  double least = kNearEnough;
  for (auto& suspicion : suspicions(odd)) {
    const double distance = apart(suspicion.value, suspicion.target);
    if (distance >= least) continue;
    least = distance;
    best = std::move(suspicion.words);
  }
  return best;
}

std::string guess_about_place(Station at, Unit written, Targets const& targets, Unit unit) {
  const auto on_strip = [&](Station station) {
    return station >= targets.first() && station <= targets.last();
  };
  const double per_inch = Length::inches(1) / Length::millimetres(1);
  const auto show = [&](Length l) { return format_short(l, unit); };
  auto const& section = targets.section();
  if (written == Unit::millimetre && on_strip(Station(at.from_zero() * per_inch)))
    return "a number in inches that was taken for millimetres?";
  if (written == Unit::inch && on_strip(Station(at.from_zero() / per_inch)))
    return "a number in millimetres that was taken for inches?";
  if (on_strip(section.from + at.from_zero()))
    return fmt::format(
        "stations count from the rod's tip end: the section begins at {}; is another section "
        "meant, or from_end?",
        show(section.from.from_zero()));
  return {};
}

std::string guess_about_strip(std::vector<DoubtfulReading> const& readings) {
  constexpr double kFarOff = 0.1;
  constexpr double kFits = 1.0 / 30;
  const auto n = static_cast<double>(readings.size());
  double now = 0;
  for (auto const& reading : readings)
    now +=
        std::pow(apart(reading.value, target_at(reading.targets, reading.at, reading.height)), 2);
  if (readings.empty() || std::sqrt(now / n) < kFarOff) return {};
  const auto fits = suspicions(readings.front());
  std::vector<double> squares(fits.size(), 0);
  for (auto const& reading : readings) {
    const auto each = suspicions(reading);
    for (std::size_t i = 0; i < each.size(); ++i)
      squares[i] += std::pow(apart(each[i].value, each[i].target), 2);
  }
  const auto best = std::min_element(squares.begin(), squares.end());
  if (!(std::sqrt(*best / n) < kFits)) return {};
  return fits[static_cast<std::size_t>(best - squares.begin())].words;
}

}  // namespace stripwright::inspection
