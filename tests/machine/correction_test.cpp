#include "machine/correction.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "catch.h"
#include "inspection/judging_bench.h"

using namespace judging;
using namespace stripwright::machine;

namespace {

/// What really happens at a mill that only exists here. In millimetres, standard deviations.
struct Mill {
  std::vector<double> off;        // by station: what it cuts too much, for all strips alike
  double strip_to_strip = 0.006;  // all of a strip
  double along_a_strip = 0.004;   // at each place
  double reading = 0.004;         // of one reading, the gauge's common error apart
};

const std::vector<double> kStations{0, 100, 200, 300, 400, 500};

/// Heights b and c of a strip under an arc of radius R about a centre R below the crown, from
/// the construction: where the flank, at 30° to the middle line, meets the arc, square to the
/// other flank. Flat without an arc.
double side_height(double a, double arc) {
  if (arc == 0) return a;
  const double centre = a - arc, cos30 = std::sqrt(0.75);
  // On the flank at distance t from the apex: (t/2)² + (t cos 30° - centre)² = R².
  const double t = centre * cos30 + std::sqrt(arc * arc - centre * centre / 4);
  return t * cos30;
}

/// A session at one mill with one gauge, whose own error is drawn once.
class Session {
 public:
  Session(Bench const& bench, Mill const& mill, double arc, unsigned seed)
      : bench_(bench), mill_(mill), arc_(arc), random_(seed) {
    gauge_error_ = draw(bench.judge.gauge->standard_uncertainty.in_millimetres());
  }

  std::string strips(int count) {
    std::string csv = "strip,at_mm,a_mm,b_mm,c_mm\n";
    for (int s = 0; s < count; ++s) {
      const double strip = draw(mill_.strip_to_strip);
      for (std::size_t i = 0; i < kStations.size(); ++i) {
        const double wanted = (*bench_.targets[0]).at(at(kStations[i]))[0]->value.in_millimetres();
        const double a = wanted + mill_.off[i] + strip + draw(mill_.along_a_strip);
        const double side = side_height(a, arc_);
        csv += fmt::format("s{},{},{:.4f},{:.4f},{:.4f}\n", s, kStations[i], read(a), read(side),
                           read(side));
      }
    }
    return csv;
  }

 private:
  double draw(double deviation) {
    return deviation > 0 ? std::normal_distribution<double>(0, deviation)(random_) : 0;
  }
  double read(double mm) {
    const double step = bench_.judge.gauge->resolution.in_millimetres();
    return std::round((mm + gauge_error_ + draw(mill_.reading)) / step) * step;
  }

  Bench const& bench_;
  Mill const& mill_;
  double arc_;
  std::mt19937_64 random_;
  double gauge_error_ = 0;
};

std::vector<StationDeviation> found(Bench const& bench, std::string const& csv) {
  const auto readings = bench.must_read(csv);
  GroupSummary group(bench.judge.gauge);
  for (auto const& piece : readings.pieces)
    group.add(inspection::judge(piece, readings, bench.judge));
  return group.stations();
}

struct Shares {
  std::vector<double> held;       // percent of runs, by station
  std::vector<double> corrected;  // the same
};

/// Runs of a session each: how often the interval holds what the mill is off by, and how often
/// a station is corrected. That a correction is the mean or nothing is checked on the way.
Shares shares(Bench const& bench, Mill const& mill, double arc, int strips, unsigned first_seed,
              unsigned runs = 2000) {
  Shares out{std::vector<double>(kStations.size()), std::vector<double>(kStations.size())};
  for (unsigned run = 0; run < runs; ++run) {
    const auto deviations =
        found(bench, Session(bench, mill, arc, first_seed + run).strips(strips));
    const auto correction = correction_of("tip", deviations);
    REQUIRE(deviations.size() == kStations.size());
    for (std::size_t i = 0; i < kStations.size(); ++i) {
      auto const& each = deviations[i];
      const double low = each.low.in_millimetres(), high = each.high.in_millimetres();
      const bool holds_nothing_off = low <= 0 && high >= 0;
      const double add = correction.at(each.at).in_millimetres();
      if (add != (holds_nothing_off ? 0 : -each.mean.in_millimetres()))
        FAIL("neither nothing nor minus the mean: " << add);
      if (low <= mill.off[i] && mill.off[i] <= high) out.held[i] += 100.0 / runs;
      if (add != 0) out.corrected[i] += 100.0 / runs;
    }
  }
  return out;
}

void check_all_between(std::vector<double> const& percents, double low, double high) {
  for (std::size_t i = 0; i < percents.size(); ++i) {
    INFO("station " << kStations[i] << ": " << percents[i] << " %");
    CHECK(percents[i] >= low);
    CHECK(percents[i] <= high);
  }
}

TEST_CASE("correct: the interval of each station holds the mill's error in 93 to 97 of 100 shops") {
  // 2,000 sessions each: the share is known to half a percent.
  const Mill mill{{0.03, -0.02, 0, 0.05, -0.035, 0.012}};
  SECTION("flat faces, six strips") {
    check_all_between(shares(Bench(), mill, 0, 6, 10'000).held, 93, 97);
  }
  SECTION("flat faces, three strips") {
    // Some 96.2 % here: near to the border, so the share has to be known better.
    check_all_between(shares(Bench(), mill, 0, 3, 20'000, 10'000).held, 93, 97);
  }
  SECTION("round faces, eight strips") {
    check_all_between(shares(Bench(shop_text(kRound)), mill, 22, 8, 30'000).held, 93, 97);
  }
  SECTION("strips that scatter more than the gauge errs") {
    const Mill loose{{0.03, -0.02, 0, 0.05, -0.035, 0.012}, 0.015, 0.01, 0.006};
    check_all_between(shares(Bench(), loose, 0, 4, 40'000).held, 93, 97);
  }
}

TEST_CASE("correct: a mill without fault is corrected in some 5 of 100 shops, each station") {
  const Mill perfect{std::vector<double>(kStations.size(), 0.0)};
  for (const int strips : {3, 6}) {
    INFO(strips << " strips");
    check_all_between(shares(Bench(), perfect, 0, strips, 50'000).corrected, 3, 7);
  }
}

TEST_CASE("correct: what the mill is off by far more than chance is always corrected") {
  const Mill far{{0.06, -0.06, 0.06, -0.06, 0.06, -0.06}};
  check_all_between(shares(Bench(), far, 0, 6, 60'000).corrected, 99.9, 100.1);
}

TEST_CASE("correct: one strip alone corrects nothing") {
  const auto alone = found(Bench(), "strip,at_mm,a_mm\ns1,0,1.100\ns1,100,1.2005\n");
  CHECK(correction_of("tip", alone).points.empty());
  // Where the others were not measured, too.
  const auto partly = found(Bench(),
                            "strip,at_mm,a_mm\ns1,0,1.100\ns2,0,1.101\ns3,0,1.102\n"
                            "s1,100,1.3\n");
  const auto correction = correction_of("tip", partly);
  REQUIRE(correction.points.size() == 2);
  CHECK(correction.points[0].add.in_millimetres() == Approx(-0.101));
  CHECK(correction.points[1].add == Length{});
}

TEST_CASE("correct: a correction is straight between its points, and level beyond them") {
  const SectionCorrection one{"tip", {{at(0), mm(0.02)}, {at(100), mm(-0.04)}}};
  CHECK(one.at(at(-50)) == mm(0.02));
  CHECK(one.at(at(0)) == mm(0.02));
  CHECK(one.at(at(25)).in_millimetres() == Approx(0.005));
  CHECK(one.at(at(100)) == mm(-0.04));
  CHECK(one.at(at(150)) == mm(-0.04));
  CHECK(SectionCorrection{"tip", {}}.at(at(10)) == Length{});

  const SectionCorrection other{"tip", {{at(50), mm(0.1)}, {at(100), mm(0.3)}}};
  const auto both = sum(one, other);
  REQUIRE(both.points.size() == 3);
  for (const double x : {-10.0, 0.0, 30.0, 50.0, 80.0, 100.0, 120.0})
    CHECK(both.at(at(x)).in_millimetres() ==
          Approx(one.at(at(x)).in_millimetres() + other.at(at(x)).in_millimetres()));
}

TEST_CASE("correct: the strip that the machine is set for is the strip and the correction") {
  const Bench bench;
  const auto strip = std::make_shared<const section::StripProfile>(bench.targets[0]->profile());
  const CorrectedCurve curve(strip, {"tip", {{at(100), mm(0.02)}, {at(300), mm(-0.04)}}});
  // Strips are 1 + 0.002 x high.
  CHECK(curve.height(at(0)).in_millimetres() == Approx(1.02));
  CHECK(curve.height(at(200)).in_millimetres() == Approx(1.4 - 0.01));
  CHECK(curve.height(at(500)).in_millimetres() == Approx(2 - 0.04));
  using section::Side;
  for (const auto side : {Side::towards_tip, Side::towards_butt}) {
    CHECK(curve.slope(at(50), side) == Approx(0.002));
    CHECK(curve.slope(at(200), side) == Approx(0.002 - 0.06 / 200));
    CHECK(curve.slope(at(400), side) == Approx(0.002));
  }
  CHECK(curve.slope(at(100), Side::towards_tip) == Approx(0.002));
  CHECK(curve.slope(at(100), Side::towards_butt) == Approx(0.0017));
  CHECK(curve.slope(at(300), Side::towards_tip) == Approx(0.0017));
  CHECK(curve.slope(at(300), Side::towards_butt) == Approx(0.002));
  for (const double x : {100.0, 250.0, 300.0}) {
    const auto corners = curve.corners();
    CHECK(std::count(corners.begin(), corners.end(), at(x)) == 1);
  }
}

}  // namespace
