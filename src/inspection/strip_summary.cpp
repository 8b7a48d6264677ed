#include "inspection/strip_summary.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "inspection/lone_readings.h"

namespace stripwright::inspection {
namespace {

Length squared_sum_root(double sum_mm2) { return Length::millimetres(std::sqrt(sum_mm2)); }

double squared(Length l) { return l.in_millimetres() * l.in_millimetres(); }

/// Pairs of flats are scraped each by itself: the most that a thick one is over.
TakeOff take_off_flats(JudgedPlace const& place) {
  TakeOff out{{}, place.at};
  for (auto const& each : place.heights) {
    if (!each) continue;
    if (each->verdict != Verdict::thick)
      out.one_flank_more = true;
    else if (each->deviation() > out.amount)
      out.amount = each->deviation(), out.height = each->height;
  }
  return out;
}

bool of_section(JudgedPlace const& place) {
  return std::any_of(place.heights.begin(), place.heights.end(), [](auto const& each) {
    return each && each->height >= Height::f1 && each->height <= Height::f3;
  });
}

/// What can come off at one place.
std::optional<TakeOff> take_off_at(JudgedPlace const& place, Decide decide) {
  if (place.verdict() != Verdict::thick) return std::nullopt;
  if (of_section(place)) return take_off_flats(place);
  std::optional<Length> least;
  bool thick_after = false;
  for (auto const& each : place.heights)
    if (each) least = std::min(least.value_or(each->deviation()), each->deviation());
  const Length amount = std::max(*least, Length{});
  for (auto const& each : place.heights)
    if (each)
      thick_after |= verdict(each->read.mean - amount, each->target.limits, each->uncertainty,
                             decide) == Verdict::thick;
  return TakeOff{amount, place.at, thick_after};
}

void look_at_places(StripSummary& out, JudgedPiece const& piece, Decide decide) {
  bool one_flank_more = false;
  for (auto const& place : piece.places) {
    const auto off = take_off_at(place, decide);
    if (off) one_flank_more |= off->one_flank_more;
    if (off && (!out.take_off || off->amount > out.take_off->amount)) out.take_off = off;
    for (auto const& each : place.heights)
      if (each && each->verdict == Verdict::thin &&
          (!out.thinnest || each->deviation() < out.thinnest->deviation))
        out.thinnest = Thinnest{each->deviation(), place.at, each->height};
  }
  if (out.take_off) out.take_off->one_flank_more = one_flank_more;
}

/// All readings of a piece, with their stations.
template <class Act>
void for_each_reading(JudgedPiece const& piece, Act const& act) {
  for (auto const& place : piece.places)
    for (auto const& each : place.heights)
      if (each) act(place.at.from_zero(), *each);
}

/// Mean, and straight line d = d0 + k (x - x0) by least squares: with X = x - mean x,
///   k = Σ X d / Σ X².
void fit_line(StripSummary& out, JudgedPiece const& piece, Judge const& judge) {
  double n = 0;
  Length deviations;
  Length stations;
  out.stiffness_least = std::numeric_limits<double>::infinity();
  out.stiffness_most = -out.stiffness_least;
  for_each_reading(piece, [&](Length x, Judged const& judged) {
    ++n;
    deviations += judged.deviation();
    stations += x;
    out.stiffness_least = std::min(out.stiffness_least, judged.stiffness_change());
    out.stiffness_most = std::max(out.stiffness_most, judged.stiffness_change());
  });
  if (n == 0) return;
  const Length mean = deviations / n;
  const Length middle = stations / n;
  double sum_rr_mm2 = 0;
  double sum_xx_mm2 = 0;
  double sum_xd_mm2 = 0;
  double sum_xxrr_mm4 = 0;
  for_each_reading(piece, [&](Length x, Judged const& judged) {
    const double x_mm = (x - middle).in_millimetres();
    const double rr_mm2 = squared(n > 2 ? judged.scatter : judged.uncertainty);
    sum_rr_mm2 += squared(judged.scatter);
    sum_xx_mm2 += x_mm * x_mm;
    sum_xd_mm2 += x_mm * (judged.deviation() - mean).in_millimetres();
    sum_xxrr_mm4 += x_mm * x_mm * rr_mm2;
  });
  const Length stretch = piece.places.back().at - piece.places.front().at;
  const bool sloped = stretch >= kSamePlace;
  const double slope = sloped ? sum_xd_mm2 / sum_xx_mm2 : 0;
  double squares_mm2 = 0;
  for_each_reading(piece, [&](Length x, Judged const& judged) {
    squares_mm2 += squared(judged.deviation() - mean - (x - middle) * slope);
  });
  const double freedom = n - (sloped ? 2 : 1);
  const double ss_mm2 = freedom > 0 ? squares_mm2 / freedom : 0;
  const Length common = judge.gauge ? judge.gauge->standard_uncertainty : Length{};
  const double of_mean_mm2 = std::max(sum_rr_mm2 / (n * n), ss_mm2 / n);
  out.mean_deviation = {mean, root_of_squares(common, squared_sum_root(of_mean_mm2))};
  if (!sloped) return;
  const double of_slope_mm4 = std::max(sum_xxrr_mm4, ss_mm2 * sum_xx_mm2);
  out.deviation_growth =
      Estimate<Length>{stretch * slope, stretch * (std::sqrt(of_slope_mm4) / sum_xx_mm2)};
}

Angle farthest_from_true(JudgedAngles const& angles) {
  Angle out;
  for (const Angle each : angles.angles) out = std::max(out, abs(each - Angle::degrees(60)));
  return out;
}

/// The mean of each angle over the places: u² = (Σ common/n)² + Σ (u² - common²)/n².
void mean_angles(AngleSummary& out, JudgedPiece const& strip) {
  for (std::size_t i = 0; i < 3; ++i) {
    double n = 0;
    Angle sum;
    Angle common;
    double scatter_rad2 = 0;
    for (auto const& place : strip.places) {
      if (!place.angles) continue;
      ++n;
      sum = sum + place.angles->angles[i];
      common = common + place.angles->common[i];
      scatter_rad2 += std::pow(place.angles->uncertainties[i].in_radians(), 2) -
                      std::pow(place.angles->common[i].in_radians(), 2);
    }
    const double u_rad =
        std::hypot((common / n).in_radians(), std::sqrt(std::max(0.0, scatter_rad2)) / n);
    out.mean[i] = {sum / n, Angle::radians(u_rad)};
    out.places = static_cast<std::size_t>(n);
  }
}

std::optional<AngleSummary> sum_up_angles(JudgedPiece const& strip, FaceMeasured const& face,
                                          Judge const& judge) {
  AngleSummary out;
  JudgedPlace const* worst = nullptr;
  JudgedPlace const* longest = nullptr;
  for (auto const& place : strip.places) {
    if (!place.angles) continue;
    if (!worst || farthest_from_true(*place.angles) > farthest_from_true(*worst->angles))
      worst = &place;
    if (!longest || place.angles->flank > longest->angles->flank) longest = &place;
  }
  if (!worst) return std::nullopt;
  mean_angles(out, strip);
  out.seam = section::seam_opening(longest->angles->flank, out.mean[0].value);
  out.seam_uncertainty = longest->angles->flank * out.mean[0].uncertainty.in_radians();
  out.seam_at = longest->at;
  out.counts = count_angles(strip);
  out.worst_at = worst->at;
  auto const& [a, b, c] = worst->heights;
  const auto advice = advice_on_angles({a->read.mean, b->read.mean, c->read.mean}, face);
  check_internal(advice.has_value(), "angles without advice on them");
  out.advice = *advice;
  out.after = verdict(out.advice.height_after, a->target.limits, a->uncertainty, judge.decide);
  return out;
}

}  // namespace

std::vector<ReadAgain> standing_alone(JudgedPiece const& piece) {
  std::vector<ReadAgain> out;
  for (auto const& place : piece.places)
    for (auto const& each : place.heights)
      if (each && each->lone) out.push_back({place.at, each->height, each->read, *each->lone});
  return out;
}

StripSummary sum_up(JudgedPiece const& piece, Judge const& judge) {
  StripSummary out;
  out.counts = count(piece);
  out.verdict = out.counts.worst();
  out.read_again = standing_alone(piece);
  const auto rest = [&](JudgedPiece const& relied_on) {
    out.relied_on = count(relied_on);
    look_at_places(out, relied_on, judge.decide);
    fit_line(out, relied_on, judge);
  };
  if (out.read_again.empty())
    rest(piece);
  else
    rest(without_lone(piece));
  return out;
}

void sum_up_strip(StripSummary& summary, JudgedPiece const& strip, StageTargets const& targets,
                  Spare const& spare, Judge const& judge) {
  if (!summary.read_again.empty()) {
    const auto relied_on = without_lone(strip);
    summary.angles = sum_up_angles(relied_on, targets.face(), judge);
    if (!summary.relied_on.all_right())
      summary.shift = best_shift(relied_on, targets, spare, judge);
    return;
  }
  summary.angles = sum_up_angles(strip, targets.face(), judge);
  if (!summary.counts.all_right()) summary.shift = best_shift(strip, targets, spare, judge);
}

std::size_t places_of(JudgedPiece const& piece, Verdict verdict) {
  return static_cast<std::size_t>(
      std::count_if(piece.places.begin(), piece.places.end(),
                    [&](JudgedPlace const& place) { return place.verdict() == verdict; }));
}

}  // namespace stripwright::inspection
