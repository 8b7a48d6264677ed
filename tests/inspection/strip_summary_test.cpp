#include "inspection/strip_summary.h"

#include <cmath>

#include "catch.h"
#include "inspection/judging_bench.h"

using namespace judging;

namespace {

StripSummary summary(Bench const& bench, std::string const& rows) {
  auto strip = bench.judged("strip,at_mm,a_mm,b_mm,c_mm\n" + rows);
  judge_angles(strip, bench.targets[strip.section]->face(), bench.judge);
  auto out = sum_up(strip, bench.judge);
  sum_up_strip(out, strip, *bench.targets[strip.section], bench.shop.spare, bench.judge);
  return out;
}

TEST_CASE("the verdict of a strip is its worst reading's, thin before thick") {
  const Bench bench;
  CHECK(summary(bench, "s,0,1,1,1\ns,250,1.5,1.5,1.5\n").verdict == Verdict::right);
  CHECK(summary(bench, "s,0,1,1,1\ns,250,1.53,,\n").verdict == Verdict::unsure);
  CHECK(summary(bench, "s,0,1.06,,\ns,250,1.53,,\n").verdict == Verdict::thick);
  CHECK(summary(bench, "s,0,1.06,,\ns,250,1.46,,\n").verdict == Verdict::thin);
}

TEST_CASE("what comes off is strip height, and no height gets under its target") {
  const Bench bench;
  const auto alike = summary(bench, "s,0,1.05,1.05,1.05\ns,250,1.57,1.57,1.57\ns,500,2,2,2\n");
  REQUIRE(alike.take_off);
  CHECK(alike.take_off->amount.in_millimetres() == Approx(0.07));
  CHECK(alike.take_off->at == at(250));
  CHECK_FALSE(alike.take_off->one_flank_more);
  const auto uneven = summary(bench, "s,0,1.09,1.02,1.05\n");
  CHECK(uneven.take_off->amount.in_millimetres() == Approx(0.02));
  CHECK(uneven.take_off->one_flank_more);  // a is still 0.07 over then
  const auto low_corner = summary(bench, "s,0,1.09,0.99,1.05\n");
  CHECK(low_corner.take_off->amount == mm(0));
  CHECK_FALSE(summary(bench, "s,0,1.03,1.03,1.03\n").take_off);  // unsure is not thick
  const auto of_flats = [](std::string const& rows) {
    const Bench glued(shop_text(kFlat), Stage::glued);
    return sum_up(glued.judged("piece,at_mm,f1_mm,f2_mm,f3_mm\n" + rows), glued.judge);
  };
  // Each pair of flats is scraped by itself.
  const auto one_pair = of_flats("s,0,2.13,2.02,2.00\ns,250,3.09,3.0,3.0\n");
  REQUIRE(one_pair.take_off);
  CHECK(one_pair.take_off->amount.in_millimetres() == Approx(0.13));
  CHECK(one_pair.take_off->at == at(0));
  CHECK(one_pair.take_off->height == Height::f1);
  CHECK(one_pair.take_off->one_flank_more);
  const auto all_pairs = of_flats("s,250,3.09,3.11,3.10\n");
  CHECK(all_pairs.take_off->amount.in_millimetres() == Approx(0.11));
  CHECK_FALSE(all_pairs.take_off->one_flank_more);
  const auto thin = summary(bench, "s,0,0.95,,\ns,250,1.41,,\ns,500,2,,\n");
  REQUIRE(thin.thinnest);
  CHECK(thin.thinnest->at == at(250));
  CHECK(thin.thinnest->deviation.in_millimetres() == Approx(-0.09));
}

TEST_CASE("mean and growth of the deviation, with the gauge's own part whole in the mean") {
  // d = 0.01 + 0.00004 x at 0, 100 ... 500: mean 0.02, growth 0.02 over the 500.
  const Bench bench;
  std::string rows;
  for (double x = 0; x <= 500; x += 100)
    rows += "s," + std::to_string(x) + "," + std::to_string(1 + 0.002 * x + 0.01 + 0.00004 * x) +
            ",,\n";
  const auto found = summary(bench, rows);
  CHECK(found.mean_deviation.value.in_millimetres() == Approx(0.02));
  // u² = 0.004² + (0.003²/12)/6.
  CHECK(found.mean_deviation.uncertainty.in_millimetres() ==
        Approx(std::sqrt(16e-6 + 9e-6 / 72)).epsilon(1e-9));
  REQUIRE(found.deviation_growth);
  CHECK(found.deviation_growth->value.in_millimetres() == Approx(0.02));
  // Of the slope: r / √Σ(x - mean x)², Σ = 2 (50² + 150² + 250²) = 175,000; times 500.
  CHECK(found.deviation_growth->uncertainty.in_millimetres() ==
        Approx(500 * 0.003 / std::sqrt(12.0) / std::sqrt(175'000.0)).epsilon(1e-9));
  CHECK_FALSE(summary(bench, "s,0,1,1,1\n").deviation_growth);
}

TEST_CASE("what the strip does from place to place is in the uncertainty of mean and growth") {
  // Anscombe's first set (The American Statistician 27 (1973) 17): y = 3.0 + 0.5 x, the standard
  // error of the slope 0.118, the regression's mean square 1.53. Here x is in steps of 30 mm, y in
  // thousandths of a millimetre; from 4 to 14 the growth is ten times the slope.
  const Bench bench;
  constexpr std::array<std::pair<double, double>, 11> kAnscombe = {{{10, 8.04},
                                                                    {8, 6.95},
                                                                    {13, 7.58},
                                                                    {9, 8.81},
                                                                    {11, 8.33},
                                                                    {14, 9.96},
                                                                    {6, 7.24},
                                                                    {4, 4.26},
                                                                    {12, 10.84},
                                                                    {7, 4.82},
                                                                    {5, 5.68}}};
  std::string rows;
  for (auto const& [x, y] : kAnscombe)
    rows += "s," + std::to_string(30 * x) + "," + std::to_string(1 + 0.06 * x + y / 1000) + ",,\n";
  const auto found = summary(bench, rows);
  REQUIRE(found.deviation_growth);
  CHECK(found.deviation_growth->value.in_millimetres() == Approx(0.0050).epsilon(1e-3));
  CHECK(found.deviation_growth->uncertainty.in_millimetres() == Approx(0.00118).epsilon(2e-3));
  CHECK(found.mean_deviation.uncertainty.in_millimetres() ==
        Approx(std::sqrt(16e-6 + 1.53e-6 / 11)).epsilon(1e-3));
}

TEST_CASE("two readings tell nothing of the scatter: all of the gauge counts in their growth") {
  const Bench bench;
  const auto found = summary(bench, "s,0,1,,\ns,500,2.01,,\n");
  CHECK(found.deviation_growth->uncertainty.in_millimetres() ==
        Approx(std::sqrt(2 * (16e-6 + 9e-6 / 12))).epsilon(1e-9));
}

TEST_CASE("stiffness goes with the fourth power of the flats") {
  // Flats 2 mm: strips 0.02 over give flats 0.04 over, (1.02)⁴ - 1 = 8.24 %; on a tip under 2 mm a
  // fiftieth of a millimetre on the flats is 4 % ((1.01)⁴ - 1 = 4.06 %).
  const Bench bench;
  const auto found = summary(bench, "s,0,1.02,0.99,1.01\n");
  CHECK(found.stiffness_most == Approx(0.08243216));
  CHECK(found.stiffness_least == Approx(std::pow(0.99, 4) - 1));
  const Bench glued(shop_text(kFlat), Stage::glued);
  const auto piece = glued.judged("piece,at_mm,f1_mm,f2_mm,f3_mm\np,0,2.02,2,2\n");
  CHECK(piece.places[0].heights[0]->stiffness_change() == Approx(0.04060401));
}

TEST_CASE("angles, what to plane, and the seams of six such strips") {
  // A strip of apex angle 59° (B = 61°, C = 60°), a = 1.5 at 250: the seams of six share 6°, each
  // 1°, and are open at the outside by flank · 1° in radians, to a part in some thousands.
  Bench bench;
  bench.judge.gauge->standard_uncertainty = mm(0.001);
  bench.judge.gauge->resolution = mm(0.001);
  const auto heights = section::heights_from_angles(
      mm(1.5), {Angle::degrees(59), Angle::degrees(61), Angle::degrees(60)});
  const auto found = summary(bench, "s,250,1.5," + std::to_string(heights.b.in_millimetres()) +
                                        "," + std::to_string(heights.c.in_millimetres()) + "\n");
  REQUIRE(found.angles);
  auto const& angles = *found.angles;
  CHECK(angles.mean[0].value.in_degrees() == Approx(59).epsilon(1e-5));
  CHECK(angles.mean[1].value.in_degrees() == Approx(61).epsilon(1e-5));
  CHECK(angles.places == 1);
  CHECK(angles.counts[Verdict::thin] == 1);
  CHECK(angles.counts[Verdict::thick] == 1);
  CHECK(angles.counts[Verdict::right] == 1);
  const double flank = (heights.b + heights.c).in_millimetres() / 2 / std::sin(59 * M_PI / 180);
  CHECK(angles.seam.at == section::SeamPlace::outside);
  CHECK(angles.seam.width.in_millimetres() == Approx(flank * M_PI / 180).epsilon(1e-3));
  CHECK(angles.seam_uncertainty.in_millimetres() ==
        Approx(flank * angles.mean[0].uncertainty.in_radians()));
  const double wedge = 1.5 / std::sin(61 * M_PI / 180) * std::sin(M_PI / 180);
  CHECK(angles.advice.flank_c.at_apex.in_millimetres() == Approx(wedge).epsilon(1e-4));
  CHECK(angles.advice.height_after.in_millimetres() == Approx(1.5 - wedge).epsilon(1e-5));
  CHECK(angles.after == Verdict::thin);  // 0.03 lost, 0.02 may be
}

TEST_CASE(
    "of several places the worst is to be planed, and seams are widest where flanks are longest") {
  const Bench bench;
  const auto at_angles = [](double x, double a, double apex, double b) {
    const auto heights = section::heights_from_angles(
        mm(a), {Angle::degrees(apex), Angle::degrees(b), Angle::degrees(180 - apex - b)});
    return "s," + std::to_string(x) + "," + std::to_string(a) + "," +
           std::to_string(heights.b.in_millimetres()) + "," +
           std::to_string(heights.c.in_millimetres()) + "\n";
  };
  // At 250 the angle at B is 2° too wide; elsewhere they are off by half a degree at most.
  const auto angles = *summary(bench, at_angles(0, 1, 60.5, 59.5) + at_angles(250, 1.5, 59, 62) +
                                          at_angles(500, 2, 60, 60.5))
                           .angles;
  CHECK(angles.places == 3);
  CHECK(angles.worst_at == at(250));
  CHECK(angles.seam_at == at(500));
  CHECK(angles.mean[0].value.in_degrees() == Approx(179.5 / 3).epsilon(1e-5));
  CHECK(angles.advice.flank_c.at_apex.in_millimetres() ==
        Approx(1.5 / std::sin(62 * M_PI / 180) * std::sin(2 * M_PI / 180)).epsilon(1e-4));
}

TEST_CASE("over several places the gauge's part of the angles stays, the rest averages out") {
  const Bench bench;
  std::string one = "s,250,1.5,1.5,1.5\n";
  std::string four = one + one + one + one;
  // Repeated at one place: r/2; the gauge's part as it was.
  const double h = 1.5, gauge = 0.004, step = 0.003 / std::sqrt(12.0);
  const auto u = [&](double r) { return std::sqrt(2.0) * std::hypot(gauge, r) / h; };
  CHECK(summary(bench, one).angles->mean[0].uncertainty.in_radians() ==
        Approx(u(step)).epsilon(1e-6));
  CHECK(summary(bench, four).angles->mean[0].uncertainty.in_radians() ==
        Approx(u(step / 2)).epsilon(1e-6));
  // At two places of 1 and 2 mm: the mean of the gauge's parts, and √ of the rest's squares by 2.
  const auto two =
      summary(bench, "s,0,1,1,1\ns,500,2,2,2\n").angles->mean[0].uncertainty.in_radians();
  const double common = std::sqrt(2.0) * gauge * (1 + 0.5) / 2;
  const double scatter = std::sqrt(2.0) * step * std::sqrt(1 + 0.25) / 2;
  CHECK(two == Approx(std::hypot(common, scatter)).epsilon(1e-6));
}

}  // namespace
