// Planing form and screw mill as wholes: from a taper and a machine to what is set.
#include <algorithm>
#include <cmath>

#include "catch.h"
#include "machine/screw_settings.h"
#include "machine/setup_tables.h"

using namespace stripwright;
using namespace stripwright::machine;

namespace {

Length mm(double value) { return Length::millimetres(value); }
Station station(double value) { return Station(mm(value)); }

/// A straight taper of half-height 1 mm + 0.002 mm a mm over 400 mm, flat faces, nothing allowed.
std::shared_ptr<const section::StripProfile> straight_strip() {
  Taper taper;
  taper.points = {{station(0), mm(2)}, {station(400), mm(3.6)}};
  taper.sections = {{"rod", station(0), station(400), 1}};
  return std::make_shared<section::StripProfile>(std::make_shared<const TaperCurve>(taper),
                                                 taper.sections[0],
                                                 section::LedgerRules(Measured::bare, {}));
}

std::vector<MachinePosition> row(double first, double pitch, int count) {
  std::vector<MachinePosition> out;
  for (int i = 0; i < count; ++i) out.emplace_back(mm(first + pitch * i));
  return out;
}

Job job(Machine const& machine, std::shared_ptr<const section::StripProfile> const& strip,
        Spare const& spare) {
  return {strip,
          Placement(machine, strip->section(), spare),
          {Pass{1, {}, strip, nullptr}},
          {mm(0.02), mm(0.02)},
          Unit::millimetre};
}

Machine at(double strip_at, Feeds feeds = Feeds::tip_first) {
  Machine machine;
  machine.strip_at = MachinePosition(mm(strip_at));
  machine.feeds = feeds;
  return machine;
}

const Spare kSpare{mm(30), mm(20)};

}  // namespace

TEST_CASE("tip first the strip's tip end leads, butt first its butt end") {
  const RodSection section{"tip", station(100), station(500), 1};
  const Placement tip_first(at(50), section, kSpare);
  CHECK(tip_first.machine_at(station(70)).from_zero().in_millimetres() == Approx(50));
  CHECK(tip_first.machine_at(station(100)).from_zero().in_millimetres() == Approx(80));
  CHECK(tip_first.strip_length().in_millimetres() == Approx(450));
  const Placement butt_first(at(50, Feeds::butt_first), section, kSpare);
  CHECK(butt_first.machine_at(station(520)).from_zero().in_millimetres() == Approx(50));
  CHECK(butt_first.machine_at(station(500)).from_zero().in_millimetres() == Approx(70));
  for (double x = 60; x < 530; x += 13)
    for (auto const& placement : {tip_first, butt_first})
      CHECK(same_place(placement.station_at(placement.machine_at(station(x))), station(x)));
  CHECK(tip_first.on_strip(station(70)));
  CHECK_FALSE(tip_first.on_strip(station(69.9)));
}

TEST_CASE("a form over a straight taper: depth is the strip's height, and nothing is missed") {
  PlaningForm form;
  form.screws = row(0, 125, 5);
  form.closed_depth = ClosedDepth{mm(0.5), mm(0.5)};
  form.screw_lead = mm(1.25);
  form.depth_gauge = DepthGauge{GaugeTip::sharp, {}};
  const auto machine = at(20);
  Problems problems;
  const auto passes = set_planing_form(form, job(machine, straight_strip(), kSpare), problems);
  CHECK(problems.empty());
  REQUIRE(passes.size() == 1);
  auto const& screws = passes[0].screws;
  REQUIRE(screws.size() == 5);
  for (auto const& screw : screws) {
    // Station by the rule tip-first: x = machine - strip_at + (from - spare).
    const double x = screw.place.machine_at.from_zero().in_millimetres() - 20 - 30;
    CHECK(screw.place.taper_at.from_zero().in_millimetres() == Approx(x).margin(1e-12));
    const double depth = 1 + 0.002 * x;
    CHECK(screw.depth.in_millimetres() == Approx(depth).epsilon(1e-13));
    CHECK(screw.gauge->reading->in_millimetres() == Approx(depth).epsilon(1e-13));
    // An opening of 2 (d - d0) tan 30 in turns of an M8 screw: pitch 1.25 mm (ISO 261).
    CHECK(*screw.turns ==
          Approx(2 * (depth - 0.5) * std::tan(std::acos(-1) / 6) / 1.25).epsilon(1e-13));
  }
  CHECK(abs(passes[0].bar.greatest.amount) < mm(1e-12));
}

TEST_CASE("where the groove cannot close so far the screw is named and not set") {
  PlaningForm form;
  form.screws = row(0, 125, 5);
  form.closed_depth = ClosedDepth{mm(1.2), mm(1.2)};
  form.depth_gauge = DepthGauge{GaugeTip::sharp, {}};
  const auto machine = at(20);
  Problems problems;
  const auto screws =
      set_planing_form(form, job(machine, straight_strip(), kSpare), problems)[0].screws;
  // Depths are 0.9, 1.15, 1.4 ...: screw 1 lies before the strip, screw 2 on it.
  CHECK(problems.any_unmet());
  CHECK(problems.text().find("screw 2") != std::string::npos);
  CHECK(problems.text().find("screw 1") == std::string::npos);
  CHECK(problems.text().find("screw 3") == std::string::npos);
  CHECK(screws[0].can_be_set);
  CHECK(screws[0].depth == mm(1.2));
  CHECK(screws[0].opening->in_millimetres() == 0);
  CHECK_FALSE(screws[1].can_be_set);
  CHECK_FALSE(screws[1].gauge);
  CHECK_FALSE(screws[1].opening);
  CHECK(screws[2].gauge->reading);
}

TEST_CASE("without a closed depth openings and turns stay unknown") {
  PlaningForm form;
  form.screws = row(0, 125, 5);
  form.screw_lead = mm(1.25);
  const auto machine = at(20);
  Problems problems;
  const auto screws =
      set_planing_form(form, job(machine, straight_strip(), kSpare), problems)[0].screws;
  for (auto const& screw : screws) {
    CHECK_FALSE(screw.opening);
    CHECK_FALSE(screw.turns);
    CHECK_FALSE(screw.gauge);
  }
}

TEST_CASE("a point too blunt for the groove on the strip is unmet, beyond it it is not") {
  PlaningForm form;
  form.screws = row(0, 125, 5);
  const auto machine = at(20);
  const auto top_width = [](double depth) { return 2 * depth / std::sqrt(3.0); };
  Problems beyond;
  form.depth_gauge = DepthGauge{GaugeTip::flat, mm(top_width(1.0))};
  const auto first =
      set_planing_form(form, job(machine, straight_strip(), kSpare), beyond)[0].screws;
  CHECK(first[0].gauge->on == Bearing::none);
  CHECK_FALSE(beyond.any_unmet());
  Problems on_strip;
  form.depth_gauge = DepthGauge{GaugeTip::flat, mm(top_width(1.2))};
  set_planing_form(form, job(machine, straight_strip(), kSpare), on_strip);
  CHECK(on_strip.any_unmet());
}

TEST_CASE("a strip that reaches beyond the first or last screw is unmet") {
  PlaningForm form;
  form.screws = row(0, 125, 5);
  for (const double strip_at : {-1.0, 51.0}) {
    const auto machine = at(strip_at);
    Problems problems;
    set_planing_form(form, job(machine, straight_strip(), kSpare), problems);
    CHECK(problems.any_unmet());
  }
  Problems fits;
  set_planing_form(form, job(at(50), straight_strip(), kSpare), fits);
  CHECK_FALSE(fits.any_unmet());
}

TEST_CASE("a mill over a straight taper: the offset is R (1/cos a - 1) over the strip") {
  ScrewMill mill;
  mill.screws = row(0, 125, 5);
  mill.cutter_radius = mm(25);
  mill.dial.zero = mm(2);
  mill.dial.screw_lead = mm(0.5);
  const auto machine = at(20);
  Problems problems;
  const auto passes = set_screw_mill(mill, job(machine, straight_strip(), kSpare), problems);
  for (auto const& screw : passes[0].screws) {
    const double h = screw.place.strip_milled.in_millimetres();
    const double rise = 25 * (std::sqrt(1 + 0.002 * 0.002) - 1);
    CHECK(screw.offset.in_millimetres() == Approx(h + rise).epsilon(1e-12));
    CHECK(screw.dial->in_millimetres() == Approx(2 + h + rise).epsilon(1e-12));
    CHECK(screw.residual->in_millimetres() == Approx(0).margin(1e-12));
    CHECK(*screw.turns == Approx((h + rise) / 0.5).epsilon(1e-12));
  }
  CHECK(abs(passes[0].bar.greatest.amount) < mm(1e-11));
}

TEST_CASE("the dial is rounded to its divisions and the rest told in offset") {
  ScrewMill mill;
  mill.screws = row(0, 125, 5);
  mill.dial.zero = mm(10);
  mill.dial.sense = -1;
  mill.dial.dial_per_offset = 2;
  mill.dial.division = mm(0.05);
  const auto machine = at(20);
  Problems problems;
  const auto screws =
      set_screw_mill(mill, job(machine, straight_strip(), kSpare), problems)[0].screws;
  for (auto const& screw : screws) {
    const double exact = 10 - 2 * screw.offset.in_millimetres();
    const double shown = screw.dial->in_millimetres();
    CHECK(std::fabs(shown - exact) <= 0.025 + 1e-9);
    CHECK(std::fabs(std::remainder(shown, 0.05)) < 1e-9);
    // What the dial shows, taken back to the offset, and the rest make up the exact offset.
    CHECK((10 - shown) / 2 + screw.residual->in_millimetres() ==
          Approx(screw.offset.in_millimetres()).epsilon(1e-12));
  }
}

TEST_CASE("half a division of the dial goes away from 0, however a double has it") {
  ScrewMill mill;
  mill.screws = row(50 + 75, 50, 7);  // over 1.15, 1.25, ... 1.75 mm of strip
  mill.dial.division = mm(0.1);
  const auto machine = at(20);
  for (const double sense : {1, -1}) {
    mill.dial.sense = sense;
    Problems problems;
    const auto screws =
        set_screw_mill(mill, job(machine, straight_strip(), kSpare), problems)[0].screws;
    for (std::size_t i = 0; i < screws.size(); ++i)
      CHECK(screws[i].dial->in_millimetres() ==
            Approx(sense * (1.2 + 0.1 * static_cast<double>(i))).epsilon(1e-12));
  }
}

TEST_CASE("the turns to be set are those of the dial's figure, the exact ones stay beside") {
  ScrewMill mill;
  mill.screws = row(0, 125, 5);
  mill.dial.zero = mm(10);
  mill.dial.sense = -1;
  mill.dial.dial_per_offset = 2;
  mill.dial.division = mm(0.07);
  mill.dial.screw_lead = mm(0.5);
  const auto machine = at(20);
  Problems problems;
  const auto passes = set_screw_mill(mill, job(machine, straight_strip(), kSpare), problems);
  for (auto const& screw : passes[0].screws) {
    // From the dial's zero, 10: two of the dial for one of the offset, half a millimetre a turn.
    const double figure = screw.dial->in_millimetres();
    CHECK(*screw.turns_dialled == Approx((10 - figure) / 2 / 0.5).margin(1e-12));
    CHECK(*screw.turns == Approx(screw.offset.in_millimetres() / 0.5).epsilon(1e-12));
  }
  mill.dial.range = Dial::Range{mm(9), mm(10)};
  Problems out_of_range;
  const auto short_dial =
      set_screw_mill(mill, job(machine, straight_strip(), kSpare), out_of_range);
  for (auto const& screw : short_dial[0].screws)
    if (!screw.dial) CHECK(*screw.turns_dialled == *screw.turns);
}

TEST_CASE("where a form's bars miss most is told what its gauge reads there") {
  Taper taper;
  taper.points = {{station(0), mm(2)}, {station(170), mm(3.6)}, {station(400), mm(4.4)}};
  const auto strip = std::make_shared<section::StripProfile>(
      std::make_shared<const TaperCurve>(taper), RodSection{"rod", station(0), station(400), 1},
      section::LedgerRules(Measured::bare, {}));
  PlaningForm form;
  form.screws = row(0, 125, 5);
  form.depth_gauge = DepthGauge{GaugeTip::sharp, {}};
  const auto machine = at(20);
  Problems problems;
  const auto pass = set_planing_form(form, job(machine, strip, kSpare), problems)[0];
  // A sharp cone reads the depth of the bars: the strip there and what they miss it by.
  auto const& miss = pass.bar.greatest;
  CHECK(abs(miss.amount) > mm(0.02));
  CHECK_FALSE(pass.bar.slight);
  CHECK(pass.bar.gauge_there->in_millimetres() ==
        Approx((strip->height(miss.at) + miss.amount).in_millimetres()).epsilon(1e-12));
  form.depth_gauge.reset();
  CHECK_FALSE(set_planing_form(form, job(machine, strip, kSpare), problems)[0].bar.gauge_there);
}

TEST_CASE("a miss is slight by the tolerance and by what the bench shows") {
  Taper taper;
  taper.points = {{station(0), mm(2)}, {station(170), mm(3.6)}, {station(400), mm(4.4)}};
  PlaningForm form;
  form.screws = row(0, 125, 5);
  const auto machine = at(20);
  const auto slight = [&](double bend, double tolerance) {
    // A knee of so much less slope misses in proportion.
    taper.points[1].flats = mm(2 + 2.4 * 170 / 400 + bend);
    const auto strip = std::make_shared<section::StripProfile>(
        std::make_shared<const TaperCurve>(taper), RodSection{"rod", station(0), station(400), 1},
        section::LedgerRules(Measured::bare, {}));
    auto work = job(machine, strip, kSpare);
    work.tolerance = {mm(tolerance), mm(tolerance)};
    Problems problems;
    const auto report = set_planing_form(form, work, problems)[0].bar;
    return std::pair(report.slight, abs(report.greatest.amount).in_millimetres());
  };
  const double per_bend = slight(0.1, 1).second / 0.1;
  // 0.00015 in are 0.00381 mm.
  CHECK(slight(0.0038 / per_bend, 0.0153).first);
  CHECK_FALSE(slight(0.0039 / per_bend, 0.0153).first);
  CHECK_FALSE(slight(0.0038 / per_bend, 0.0150).first);
  CHECK(slight(0.0099 / per_bend, 0.1).first);
  CHECK_FALSE(slight(0.0101 / per_bend, 0.1).first);
}

TEST_CASE("a dial that does not reach is unmet on the strip, and every screw is named") {
  ScrewMill mill;
  mill.screws = row(0, 125, 5);
  mill.dial.range = Dial::Range{mm(0), mm(1.5)};
  const auto machine = at(20);
  Problems problems;
  const auto screws =
      set_screw_mill(mill, job(machine, straight_strip(), kSpare), problems)[0].screws;
  // Offsets 0.9, 1.15, 1.4, 1.65, 1.9; the strip lies from 20 to 470.
  CHECK(problems.any_unmet());
  CHECK(problems.text().find("screw 4 (wants 1.65 mm)") != std::string::npos);
  CHECK(problems.text().find("screw 5") == std::string::npos);
  CHECK(screws[2].dial);
  CHECK_FALSE(screws[3].dial);
  CHECK_FALSE(screws[4].dial);
  CHECK(screws[3].offset > mm(1.6));
}

TEST_CASE("fit: best frees the screws on the strip and the nearest one beyond each end") {
  const Machine machine = at(130);
  const auto strip = straight_strip();
  auto work = job(machine, strip, kSpare);
  const auto places = screw_places(row(0, 60, 12), work);
  const auto free = free_screws(places, work.placement);
  // The strip lies from 130 to 580: screws at 180 ... 540 on it, 120 and 600 next to it.
  for (std::size_t i = 0; i < places.size(); ++i) {
    const double where = 60.0 * static_cast<double>(i);
    CHECK(free[i] == (where >= 120 && where <= 600));
  }
}

TEST_CASE("a strip between two screws frees both, and no other") {
  const Machine machine = at(10);
  Taper taper;
  taper.points = {{station(0), mm(2)}, {station(400), mm(3.6)}};
  const auto strip = std::make_shared<section::StripProfile>(
      std::make_shared<const TaperCurve>(taper), RodSection{"stub", station(0), station(50), 1},
      section::LedgerRules(Measured::bare, {}));
  auto work = job(machine, strip, {mm(5), mm(5)});
  const auto free = free_screws(screw_places(row(-200, 200, 4), work), work.placement);
  CHECK(free == std::vector<bool>{false, true, true, false});
}

TEST_CASE("the best fit is no worse than setting every screw on the taper, either way round") {
  Taper taper;
  taper.points = {{station(0), mm(1.8)},
                  {station(60), mm(2.6)},
                  {station(200), mm(3.1)},
                  {station(400), mm(4.4)}};
  const auto strip = std::make_shared<section::StripProfile>(
      std::make_shared<const TaperCurve>(taper), RodSection{"rod", station(0), station(400), 1},
      section::LedgerRules(Measured::bare, {}));
  for (const auto feeds : {Feeds::tip_first, Feeds::butt_first}) {
    PlaningForm form;
    form.screws = row(0, 75, 8);
    const auto machine = at(30, feeds);
    Problems problems;
    const auto plain =
        set_planing_form(form, job(machine, strip, kSpare), problems)[0].bar.greatest;
    form.fit = Fit::best;
    const auto best = set_planing_form(form, job(machine, strip, kSpare), problems)[0];
    CHECK(abs(best.bar.greatest.amount) < abs(plain.amount) * 0.9);
    // What is told is what the settings do: the bar through them misses by so much.
    std::vector<Support> supports;
    for (auto const& screw : best.screws) supports.push_back({screw.place.taper_at, screw.depth});
    if (feeds == Feeds::butt_first) std::reverse(supports.begin(), supports.end());
    const auto again = greatest_miss(BarShape::spring(supports), *strip, station(0), station(400));
    CHECK(again.amount.in_millimetres() ==
          Approx(best.bar.greatest.amount.in_millimetres()).margin(1e-9));
  }
}

TEST_CASE("what bars miss is told with its pass only where there are several") {
  Taper taper;
  taper.points = {{station(0), mm(1.8)}, {station(150), mm(4)}, {station(400), mm(4.4)}};
  const auto strip = std::make_shared<section::StripProfile>(
      std::make_shared<const TaperCurve>(taper), RodSection{"rod", station(0), station(400), 1},
      section::LedgerRules(Measured::bare, {}));
  PlaningForm form;
  form.screws = row(0, 150, 4);
  // Bars that bend freely do not follow a knee between two screws.
  auto work = job(at(0), strip, {mm(0), mm(0)});
  Problems once;
  set_planing_form(form, work, once);
  CHECK(once.text().find("the tolerance") != std::string::npos);
  CHECK(once.text().find("pass") == std::string::npos);
  work.passes.insert(work.passes.begin(), work.passes.front());
  work.passes[1].number = 2;
  Problems twice;
  set_planing_form(form, work, twice);
  CHECK(twice.text().find("pass 1") != std::string::npos);
  CHECK(twice.text().find("pass 2") != std::string::npos);
}

TEST_CASE("turns are told in whole turns and degrees, and nothing is never less than nothing") {
  CHECK(turns_and_degrees(3.5) == " 3 + 180°");
  CHECK(turns_and_degrees(-0.25) == "- 0 +  90°");
  CHECK(turns_and_degrees(12 + 7.0 / 360) == "12 +   7°");
  CHECK(turns_and_degrees(1 - 1e-4) == " 1 +   0°");
  CHECK(turns_and_degrees(-1e-4) == " 0 +   0°");
  CHECK(turns_and_degrees(0) == " 0 +   0°");
}
