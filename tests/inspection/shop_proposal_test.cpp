#include "inspection/shop_proposal.h"

#include "catch.h"

using namespace stripwright;
using namespace stripwright::inspection;

namespace {

Length mm(double count) { return Length::millimetres(count); }

Allowances shop(double cleanup, double glue_line, double varnish = 0.04) {
  Allowances out;
  out.cleanup = mm(cleanup);
  out.glue_line = mm(glue_line);
  out.varnish = mm(varnish);
  return out;
}

LearnedAllowance learned(Allowance allowance, double mean, double half_width) {
  LearnedAllowance out;
  out.allowance = allowance;
  out.mean = mm(mean);
  out.interval = Interval{mm(mean - half_width), mm(mean + half_width)};
  return out;
}

/// Clean-up, glue line and their difference, all with the same half-width.
std::vector<LearnedAllowance> both(double cleanup, double glue_line, double half_width) {
  return {learned(Allowance::cleanup_less_glue_line, cleanup - glue_line, half_width),
          learned(Allowance::glue_line, glue_line, half_width),
          learned(Allowance::cleanup, cleanup, half_width)};
}

}  // namespace

TEST_CASE("the shop's value differs if the interval does not hold it") {
  const auto g = learned(Allowance::glue_line, 0.030, 0.004);
  CHECK(!compare(g, shop(0, 0.034)).differs);
  CHECK(!compare(g, shop(0, 0.026)).differs);
  CHECK(compare(g, shop(0, 0.0341)).differs);
  CHECK(compare(g, shop(0, 0.0259)).differs);
  CHECK(compare(g, shop(0, 0.034)).off.in_millimetres() == Approx(-0.004));
  const auto d = learned(Allowance::cleanup_less_glue_line, -0.010, 0.001);
  CHECK(compare(d, shop(0.020, 0.030)).in_shop.in_millimetres() == Approx(-0.010));
  CHECK(!compare(d, shop(0.020, 0.030)).differs);
  auto one = g;
  one.interval.reset();
  CHECK(!compare(one, shop(0, 9)).differs);
}

TEST_CASE("what agrees stays as it is written") {
  const auto all = propose(both(0.021, 0.031, 0.003), shop(0.020, 0.030));
  REQUIRE(all.size() == 2);
  for (auto const& each : all) {
    CHECK(each.reason == Reason::agrees);
    CHECK(!each.changes());
    CHECK(each.value == each.in_shop);
  }
}

TEST_CASE("clean-up and glue line go together, so that their difference is as measured") {
  // The glue line alone is off; the clean-up would have stayed.
  const auto all = propose(both(0.021, 0.040, 0.003), shop(0.020, 0.030));
  REQUIRE(all.size() == 2);
  CHECK(all[0].allowance == Allowance::cleanup);
  CHECK(all[0].reason == Reason::goes_along);
  CHECK(all[0].value.in_millimetres() == Approx(0.021));
  CHECK(all[1].allowance == Allowance::glue_line);
  CHECK(all[1].reason == Reason::differs);
  CHECK(all[1].value.in_millimetres() == Approx(0.040));
  // Glued readings of other stations: the difference, known for itself, decides.
  auto apart = both(0.021, 0.040, 0.003);
  apart[0].mean = mm(-0.017);
  const auto kept = propose(apart, shop(0.020, 0.030));
  CHECK((kept[0].value - kept[1].value).in_millimetres() == Approx(-0.017));
}

TEST_CASE("where only the difference is known the glue line takes it up, unless it cannot") {
  const std::vector<LearnedAllowance> d = {
      learned(Allowance::cleanup_less_glue_line, -0.020, 0.002)};
  const auto all = propose(d, shop(0.020, 0.030));
  REQUIRE(all.size() == 2);
  CHECK(!all[0].changes());
  CHECK(all[1].value.in_millimetres() == Approx(0.040));
  CHECK(all[1].reason == Reason::goes_along);
  const std::vector<LearnedAllowance> much = {
      learned(Allowance::cleanup_less_glue_line, 0.050, 0.002)};
  const auto other = propose(much, shop(0.020, 0.030));
  CHECK(other[0].value.in_millimetres() == Approx(0.080));
  CHECK(!other[1].changes());
}

TEST_CASE("what cannot be is not proposed") {
  const auto all = propose(both(-0.010, 0.031, 0.003), shop(0.020, 0.030));
  CHECK(all[0].reason == Reason::impossible);
  CHECK(all[1].reason == Reason::impossible);
  CHECK(all[0].value == all[0].in_shop);
  const std::vector<LearnedAllowance> thick = {learned(Allowance::varnish, 2.1, 0.1)};
  CHECK(propose(thick, shop(0, 0)).front().reason == Reason::impossible);
}

TEST_CASE("where one value cannot be, no other from the same readings is proposed") {
  // Glued and bare swapped: the clean-up comes out below 0, and the varnish, which is reckoned
  // from what is taken for bare, less by as much.
  auto all = both(-0.032, 0.004, 0.001);
  all.push_back(learned(Allowance::varnish, 0.0105, 0.001));
  const auto proposed = propose(all, shop(0.030, 0.030, 0.040));
  REQUIRE(proposed.size() == 3);
  for (auto const& each : proposed) {
    CHECK(!each.changes());
    CHECK(each.value == each.in_shop);
  }
  CHECK(proposed[2].reason == Reason::in_doubt);
  // What agrees may agree.
  all.back() = learned(Allowance::varnish, 0.0405, 0.001);
  CHECK(propose(all, shop(0.030, 0.030, 0.040))[2].reason == Reason::agrees);
}

TEST_CASE("what the shop file leaves out is filled in, and varnish is for itself") {
  auto bare = shop(0.020, 0, 0);
  bare.assumed = {"varnish", "glue line"};
  auto all = both(0.020, 0.001, 0.003);
  all.push_back(learned(Allowance::varnish, 0.001, 0.003));
  const auto proposed = propose(all, bare);
  REQUIRE(proposed.size() == 3);
  CHECK(proposed[0].reason == Reason::goes_along);
  CHECK(proposed[1].reason == Reason::assumed);
  CHECK(proposed[1].value.in_millimetres() == Approx(0.001));
  CHECK(proposed[2].reason == Reason::assumed);
  CHECK(propose({}, bare).empty());
}
