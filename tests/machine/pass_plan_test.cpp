// Passes from the rough strip down: by brute force on random strips, against what was promised.
#include "machine/pass_plan.h"

#include <cmath>

#include "catch.h"
#include "jobs.h"
#include "machine/screw_settings.h"

using namespace stripwright;
using namespace stripwright::machine;
using namespace profiles;

namespace {

/// Every 0.2 mm of strip and spare, and the corners.
std::vector<double> everywhere(Job const& job) {
  std::vector<double> out;
  const double from = mm(job.placement.strip_tip_end()), to = mm(job.placement.strip_butt_end());
  const int count = static_cast<int>((to - from) / 0.2);
  for (int i = 0; i <= count; ++i) out.push_back(from + (to - from) * i / count);
  for (const Station c : job.strip->corners())
    if (mm(c) > from && mm(c) < to) out.push_back(mm(c));
  return out;
}

/// The fewest passes by trying: one takes last_cut at most, each before it max_cut at most.
std::size_t fewest_by_trying(double to_take, double max_cut, double last_cut) {
  std::size_t passes = 1;
  for (double taken = last_cut; taken < to_take - 1e-12; taken += max_cut) ++passes;
  return passes;
}

struct Amounts {
  double max_cut, last_cut;
};

PassesByCut from_height(double height, Amounts a) {
  return {{RoughStart::Kind::height, mm(height)}, mm(a.max_cut), mm(a.last_cut)};
}
PassesByCut from_over(double over, Amounts a) {
  return {{RoughStart::Kind::over_taper, mm(over)}, mm(a.max_cut), mm(a.last_cut)};
}
PassesByCut from_plain(double over_highest, Amounts a) {
  return {{RoughStart::Kind::over_highest, mm(over_highest)}, mm(a.max_cut), mm(a.last_cut)};
}

void check_promises(Job const& job, Amounts a, std::function<double(double)> const& rough) {
  const auto places = everywhere(job);
  double to_take = 0;
  for (const double x : places)
    to_take = std::max(to_take, rough(x) - mm(job.strip->height(at(x))));
  INFO("to take " << to_take << " max " << a.max_cut << " last " << a.last_cut);
  REQUIRE(job.passes.size() == fewest_by_trying(to_take, a.max_cut, a.last_cut));
  for (const double x : places) {
    double before = rough(x);
    for (auto const& pass : job.passes) {
      const bool last = &pass == &job.passes.back();
      const double after = mm(pass.strip->height(at(x)));
      const double cut = before - after;
      if (cut < -1e-9 || cut > (last ? a.last_cut : a.max_cut) + 1e-9)
        FAIL("pass " << pass.number << " cuts " << cut << " at " << x);
      if (std::fabs(mm(*pass.cut(at(x))) - cut) > 1e-12) FAIL("cut told otherwise at " << x);
      before = after;
    }
    if (before != mm(job.strip->height(at(x)))) FAIL("not the final strip at " << x);
  }
}

}  // namespace

TEST_CASE("random strips: the fewest passes that take no more than they may anywhere") {
  Random random(71);
  for (int run = 0; run < 40; ++run) {
    const auto between = run % 3 == 2 ? Between::smooth : Between::linear;
    const auto strip = jobs::random_strip(random, between);
    const auto on = jobs::machine(run % 2 == 0 ? Feeds::tip_first : Feeds::butt_first);
    Amounts a{random.between(0.2, 1.2), 0};
    a.last_cut = random.between(0.05, a.max_cut);
    INFO("run " << run);
    const double over = random.between(0.1, 3);
    check_promises(jobs::job(strip, on, from_over(over, a)), a,
                   [&](double x) { return mm(strip->height(at(x))) + over; });
    // The plain strip that the maker is told to make: level, so much over the highest place.
    double highest = 0;
    const auto plain = jobs::job(strip, on, from_plain(over, a));
    for (const double x : everywhere(plain)) highest = std::max(highest, mm(strip->height(at(x))));
    check_promises(plain, a, [&](double) { return highest + over; });
    const double height = 5 + random.between(0, 2);
    check_promises(jobs::job(strip, on, from_height(height, a)), a, [&](double) { return height; });
  }
}

TEST_CASE("cuts that come out even need no further pass, a hair more needs one") {
  const auto strip = jobs::strip({0, 400}, {1, 3});
  // 2.5 = 0.1 + 4 times 0.6: five passes.
  const auto passes = [&](double over) {
    return jobs::job(strip, jobs::machine(), from_over(over, {0.6, 0.1})).passes.size();
  };
  CHECK(passes(2.5) == 5);
  CHECK(passes(2.5001) == 6);
  CHECK(passes(0.1) == 1);
  CHECK(passes(0.1001) == 2);
  CHECK(passes(0) == 1);
}

TEST_CASE(
    "each pass before the last leaves its share of what is to be taken, no more than is there") {
  // T_k = min(T, last + (T_max - last)(n-1-k)/(n-1)) with last 0.1, T_max 2.5, n 5.
  const auto strip = jobs::strip({0, 400}, {1, 3});
  const auto over = jobs::job(strip, jobs::machine(), from_over(2.5, {0.6, 0.1}));
  for (std::size_t k = 1; k <= 4; ++k) {
    const double level = 0.1 + 2.4 * static_cast<double>(4 - k) / 4;
    CHECK(mm(over.passes[k - 1].left) == Approx(level));
    CHECK(mm(over.passes[k - 1].strip->height(at(200))) == Approx(2 + level));
  }
  // From one height the butt has less to take: 3.1 mm at station 400, 3 mm high there.
  const auto height = jobs::job(strip, jobs::machine(), from_height(3.2, {0.6, 0.1}));
  CHECK(mm(height.passes.front().strip->height(at(400))) == Approx(3.2));
  CHECK(mm(height.passes.back().before->height(at(400))) == Approx(3.1));
}

TEST_CASE("stages are left over the final strip, and what the first finds is not known") {
  const auto strip = jobs::strip({0, 400}, {1, 3});
  const auto job = jobs::job(strip, jobs::machine(), PassesByStage{{mm(0.8), mm(0.3), mm(0)}});
  REQUIRE(job.passes.size() == 3);
  CHECK(mm(job.passes[0].strip->height(at(100))) == Approx(1.5 + 0.8));
  CHECK_FALSE(job.passes[0].cut(at(100)));
  CHECK_FALSE(greatest_cut(job.passes[0], job.placement));
  CHECK(mm(*job.passes[1].cut(at(100))) == Approx(0.5));
  CHECK(mm(*job.passes[2].cut(at(100))) == Approx(0.3));
}

TEST_CASE("a rough strip lower than the strip is an error that says where") {
  // 1 to 3 mm over 400 mm, the spare's 20 mm to 3.1: 2.5 mm are passed at station 300.
  const auto strip = jobs::strip({0, 400}, {1, 3});
  const Placement placement(jobs::machine(), strip->section(), jobs::kSpare);
  Problems problems;
  const auto passes = plan_passes(strip, "tip", from_height(2.5, {0.6, 0.1}), placement,
                                  Unit::millimetre, problems);
  CHECK(passes.empty());
  REQUIRE(problems.any_error());
  INFO(problems.text());
  CHECK(problems.text().find("beyond station 300 mm") != std::string::npos);
  CHECK(problems.text().find("3.1 mm") != std::string::npos);
  CHECK(problems.list().front().remedy.find("leave `rough` of passes out") != std::string::npos);
  SECTION("one that is just as high is none") {
    CHECK(jobs::job(strip, jobs::machine(), from_height(3.1, {0.6, 0.1})).passes.size() == 5);
  }
}

TEST_CASE("more passes than anyone runs are an error") {
  const auto strip = jobs::strip({0, 400}, {1, 3});
  const Placement placement(jobs::machine(), strip->section(), jobs::kSpare);
  Problems problems;
  plan_passes(strip, "tip", from_over(2, {0.0001, 0.0001}), placement, Unit::millimetre, problems);
  CHECK(problems.any_error());
}

TEST_CASE("the greatest cut is that of looking everywhere") {
  Random random(72);
  for (int run = 0; run < 20; ++run) {
    const auto strip = jobs::random_strip(random, run % 2 ? Between::smooth : Between::linear);
    const auto job = jobs::job(strip, jobs::machine(), from_height(6, {0.7, 0.3}));
    for (auto const& pass : job.passes) {
      double most = -1;
      for (const double x : everywhere(job)) most = std::max(most, mm(*pass.cut(at(x))));
      const auto told = greatest_cut(pass, job.placement);
      INFO("run " << run << " pass " << pass.number);
      CHECK(mm(told->amount) == Approx(most).margin(1e-9));
      CHECK(mm(*pass.cut(told->at)) == Approx(most).margin(1e-9));
    }
  }
}

TEST_CASE("a pass's strip has the slopes and corners that its heights have") {
  Random random(73);
  for (int run = 0; run < 20; ++run) {
    const auto strip = jobs::random_strip(random, run % 2 ? Between::smooth : Between::linear);
    const auto job = jobs::job(strip, jobs::machine(), from_height(5.5, {0.7, 0.3}));
    for (auto const& pass : job.passes) {
      auto const& curve = *pass.strip;
      const auto corners = curve.corners();
      const auto rise = [&](double from, double to) {
        return mm(curve.height(at(to)) - curve.height(at(from))) / (to - from);
      };
      INFO("run " << run << " pass " << pass.number);
      // Between corners the two sides agree; at a corner each has its own.
      for (std::size_t i = 0; i + 1 < corners.size(); ++i) {
        const double middle = (mm(corners[i]) + mm(corners[i + 1])) / 2, step = 1e-4;
        CHECK(curve.slope(at(middle), Side::towards_butt) ==
              Approx(rise(middle - step, middle + step)).margin(1e-7));
        const double c = mm(corners[i]);
        CHECK(curve.slope(at(c), Side::towards_butt) == Approx(rise(c, c + step)).margin(1e-5));
        CHECK(curve.slope(at(c), Side::towards_tip) == Approx(rise(c - step, c)).margin(1e-5));
      }
    }
  }
}

TEST_CASE("form and screw mill are set for each pass to the strip that it leaves") {
  Random random(74);
  for (int run = 0; run < 6; ++run) {
    const auto strip = jobs::random_strip(random, run % 2 ? Between::smooth : Between::linear);
    const auto on = jobs::machine(run % 3 ? Feeds::tip_first : Feeds::butt_first, 0);
    std::vector<MachinePosition> screws;
    for (int i = 0; i < 9; ++i) screws.emplace_back(mm(-20 + 75.0 * i));
    const auto job = jobs::job(strip, on, from_height(6, {0.9, 0.4}));
    const auto left = [&](Pass const& pass, double x) {
      const double h = mm(strip->height(at(x)));
      return std::max(h, std::min(6.0, h + mm(pass.left)));
    };
    Problems problems;
    PlaningForm form;
    form.screws = screws;
    const auto form_passes = set_planing_form(form, job, problems);
    ScrewMill mill;
    mill.screws = screws;
    mill.cutter_radius = mm(38);
    const auto mill_passes = set_screw_mill(mill, job, problems);
    REQUIRE(form_passes.size() == job.passes.size());
    REQUIRE(mill_passes.size() == job.passes.size());
    for (std::size_t p = 0; p < job.passes.size(); ++p) {
      INFO("run " << run << " pass " << p + 1);
      for (std::size_t s = 0; s < screws.size(); ++s) {
        const double x = mm(form_passes[p].screws[s].place.taper_at);
        CHECK(mm(form_passes[p].screws[s].depth) == Approx(left(job.passes[p], x)).margin(1e-9));
        CHECK(mm(mill_passes[p].screws[s].offset) ==
              Approx(offset_by_looking(*job.passes[p].strip, 38, x)).margin(1e-6));
      }
    }
  }
}
