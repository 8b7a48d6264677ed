#include <cmath>

#include "catch.h"
#include "machine/cutter_contact.h"
#include "machine/cutter_curve.h"
#include "machine/cutter_path.h"
#include "profiles.h"
#include "thinned.h"

// The cutter's offset against its definition alone, searched by plain looking, and the two ways of
// computing it against each other.
using namespace stripwright;
using namespace stripwright::machine;
using namespace profiles;

namespace {

struct Case {
  int spans;
  double narrow, wide, steep, radius;
};

/// From a rod's taper to profiles that no cutter follows: corners much closer than R, slopes over
/// 45°.
const Case kCases[] = {{12, 60, 180, 0.005, 38.1}, {12, 60, 180, 0.005, 300}, {30, 1, 30, 0.2, 25},
                       {60, 0.2, 2, 0.5, 25},      {60, 0.01, 1, 2, 10},      {40, 5, 20, 1.5, 3},
                       {200, 0.001, 0.1, 0.02, 50}};

/// What the cutter leaves over u, by its definition: the least of z(x) - sqrt(R² - (x-u)²) - h(u).
double rest_by_looking(const CutterCurve& curve, const HeightCurve& h, double u) {
  const double r = mm(curve.radius());
  const auto below = [&](double x) {
    return -(mm(curve.centre_height(at(x))) - std::sqrt(std::max(0.0, r * r - (x - u) * (x - u))));
  };
  return -greatest_by_looking(below, u - r, u + r, 2000) - mm(h.height(at(u)));
}

}  // namespace

TEST_CASE("the offset over random straight profiles is the definition's, both ways") {
  Random random(31);
  for (const Case& c : kCases) {
    for (int run = 0; run < thinned(6); ++run) {
      const Straight h = random.straight(c.spans, c.narrow, c.wide, c.steep);
      const double end = h.us().back();
      const Length radius = mm(c.radius);
      const CutterCurve curve(h, radius, at(-10), at(end + 10));
      const ContactFinder finder(h, radius);
      for (int i = 0; i < thinned(12); ++i) {
        const double x = random.between(-10, end + 10);
        INFO("spans to " << c.wide << ", R " << c.radius << ", run " << run << ", x " << x);
        const double looked = offset_by_looking(h, c.radius, x);
        CHECK(mm(curve.height(at(x))) == Approx(looked).margin(1e-9));
        CHECK(mm(finder.at(at(x), Side::towards_butt).offset) == Approx(looked).margin(1e-9));
      }
      double worst = 0, worst_slope = 0;
      for (int i = 0; i < thinned(3000); ++i) {
        const double x = random.between(-10, end + 10);
        const auto alone = finder.at(at(x), Side::towards_butt);
        worst = std::max(worst, std::fabs(mm(alone.offset - curve.height(at(x)))));
        worst_slope =
            std::max(worst_slope, std::fabs(alone.slope - curve.slope(at(x), Side::towards_butt)));
      }
      INFO("spans to " << c.wide << ", R " << c.radius << ", run " << run);
      CHECK(worst < 1e-11);
      CHECK(worst_slope < 1e-5);
    }
  }
}

TEST_CASE("the path's pieces join, in order and from end to end") {
  Random random(32);
  for (const Case& c : kCases) {
    const Straight h = random.straight(c.spans, c.narrow, c.wide, c.steep);
    const CutterPath path(h, mm(c.radius), at(-10), at(h.us().back() + 10));
    const auto& pieces = path.pieces();
    CHECK(mm(pieces.front().from) == -10);
    CHECK(mm(pieces.back().to) == h.us().back() + 10);
    for (std::size_t i = 0; i + 1 < pieces.size(); ++i) {
      CHECK(pieces[i].from < pieces[i].to);
      CHECK(pieces[i].to == pieces[i + 1].from);
      const Length before = path.offset(pieces[i].to - mm(1e-9)), after = path.offset(pieces[i].to);
      CHECK(mm(before) == Approx(mm(after)).margin(1e-8));
      CHECK(path.touches(pieces[i].to, Side::towards_tip) <=
            path.touches(pieces[i].to, Side::towards_butt) + mm(1e-9));
    }
  }
}

TEST_CASE("the offset over random curved profiles is the definition's") {
  Random random(33);
  const Case cases[] = {
      {12, 60, 180, 0.005, 38.1}, {20, 5, 40, 0.2, 25}, {40, 1, 10, 0.6, 25}, {30, 5, 20, 1.5, 3}};
  for (const Case& c : cases) {
    for (int run = 0; run < 4; ++run) {
      const Cubics h = random.smooth(c.spans, c.narrow, c.wide, c.steep);
      const double end = mm(h.corners().back());
      const CutterCurve curve(h, mm(c.radius), at(-10), at(end + 10));
      for (int i = 0; i < 12; ++i) {
        const double x = random.between(-10, end + 10);
        INFO("spans to " << c.wide << ", R " << c.radius << ", run " << run << ", x " << x);
        CHECK(mm(curve.height(at(x))) == Approx(offset_by_looking(h, c.radius, x)).margin(1e-9));
        // The slope against differences of the offset, away from its corners.
        const double step = 1e-4;
        const double ahead = mm(curve.height(at(x + step)) - curve.height(at(x))) / step;
        const double behind = mm(curve.height(at(x)) - curve.height(at(x - step))) / step;
        if (std::fabs(ahead - behind) > 1e-4) continue;
        CHECK(curve.slope(at(x), Side::towards_butt) == Approx((ahead + behind) / 2).margin(1e-6));
      }
    }
  }
}

void check_same_rests(CutterCurve const& straight, CutterCurve const& curved) {
  const auto a = straight.rests(mm(1e-5)), b = curved.rests(mm(1e-5));
  REQUIRE(a.size() == b.size());
  for (std::size_t i = 0; i < a.size(); ++i) {
    INFO("rest " << i << " at " << mm(a[i].at));
    CHECK(mm(a[i].size) == Approx(mm(b[i].size)).margin(1e-9));
    CHECK(mm(a[i].at) == Approx(mm(b[i].at)).margin(1e-9));
  }
}

TEST_CASE("a straight profile told as a curved one gives the same offset and rests") {
  Random random(34);
  for (const Case& c :
       {Case{12, 60, 180, 0.005, 38.1}, Case{30, 1, 30, 0.2, 25}, Case{40, 5, 20, 1.5, 3}}) {
    const Straight h = random.straight(c.spans, c.narrow, c.wide, c.steep);
    const Curved told([&](double x) { return mm(h.height(at(x))); },
                      [&](double x) { return h.slope(at(x), Side::towards_butt); }, h.us());
    const double end = h.us().back();
    const CutterCurve straight(h, mm(c.radius), at(-10), at(end + 10));
    const CutterCurve curved(told, mm(c.radius), at(-10), at(end + 10));
    for (double x = -10; x < end + 10; x += thinned(2.71)) {
      INFO("R " << c.radius << " x " << x);
      CHECK(mm(straight.height(at(x))) == Approx(mm(curved.height(at(x)))).margin(1e-10));
    }
    INFO("R " << c.radius);
    CHECK(!straight.rests(mm(1e-5)).empty());
    check_same_rests(straight, curved);
    // The cutter leans over from one side of a hollow to the other beside it: one that lies a
    // little beyond the stretch may have its cutter on it, and the other way about.
    const double lean = c.radius * std::min(c.steep, 0.5);
    for (std::size_t i = 1; i + 1 < h.us().size(); i += 2) {
      const double from = h.us()[i] + random.between(0, lean) / 2;
      const double to = std::max(from, h.us()[i + 1] - random.between(0, lean) / 2);
      INFO("from " << from << " to " << to);
      check_same_rests(CutterCurve(h, mm(c.radius), at(from), at(to)),
                       CutterCurve(told, mm(c.radius), at(from), at(to)));
    }
  }
}

TEST_CASE("rests are what the definition leaves, and where nothing is told nothing is left") {
  Random random(35);
  for (const Case& c :
       {Case{12, 60, 180, 0.02, 38.1}, Case{20, 1, 30, 0.2, 25}, Case{30, 0.5, 6, 0.5, 10}}) {
    const Straight h = random.straight(c.spans, c.narrow, c.wide, c.steep);
    const double end = h.us().back();
    const CutterCurve curve(h, mm(c.radius), at(-2 * c.radius), at(end + 2 * c.radius));
    const auto rests = curve.rests(mm(1e-9));
    REQUIRE(!rests.empty());
    std::size_t told = 0;
    for (const double u : h.us()) {
      const double left = rest_by_looking(curve, h, u);
      INFO("R " << c.radius << " u " << u << " left " << left);
      CHECK(left > -1e-9);
      bool exact = false, covered = false;
      for (const Rest& r : rests) {
        if (mm(r.at) == u) {
          CHECK(mm(r.size) == Approx(left).margin(1e-8));
          exact = true;
        }
        const bool under = u >= mm(curve.touches(r.cutter_at, Side::towards_tip)) - 1e-9 &&
                           u <= mm(curve.touches(r.cutter_at, Side::towards_butt)) + 1e-9;
        if (under && left <= mm(r.size) + 1e-8) covered = true;
      }
      if (exact) ++told;
      if (left > 1e-7) CHECK(covered);
    }
    CHECK(told == rests.size());
  }
}

TEST_CASE("rests in smooth hollows that are tighter than the cutter") {
  // A cosine of height 0.4 and length 20 has the radius (10/π)²/0.2 = 50.7 at its bottoms: R = 100
  // does not reach them, R = 40 does.
  const double k = 2 * 3.14159265358979323846 / 20;
  const Curved wave([=](double x) { return 0.2 * std::cos(k * x); },
                    [=](double x) { return -0.2 * k * std::sin(k * x); },
                    {-40, -30, -20, -10, 0, 10, 20, 30, 40});
  const CutterCurve small(wave, mm(40), at(-35), at(35));
  CHECK(small.rests(mm(1e-6)).empty());
  const CutterCurve large(wave, mm(100), at(-35), at(35));
  const auto rests = large.rests(mm(1e-6));
  REQUIRE(rests.size() == 4);
  const double bottoms[] = {-30, -10, 10, 30};
  for (std::size_t i = 0; i < 4; ++i) {
    CHECK(mm(rests[i].at) == Approx(bottoms[i]).margin(1e-4));
    CHECK(mm(rests[i].size) == Approx(rest_by_looking(large, wave, bottoms[i])).margin(1e-8));
  }
}

TEST_CASE("a corner told twice a nanometre apart, and spans in one line, do no harm") {
  std::vector<double> us, hs;
  for (int i = 0; i <= 1000; ++i) {
    us.push_back(i * 0.1);
    hs.push_back(1 + 0.003 * us.back());
  }
  us.push_back(us.back() + 1e-6);
  hs.push_back(hs.back() + 0.01e-6);
  us.push_back(200);
  hs.push_back(1.5);
  const Straight h(us, hs);
  const CutterCurve curve(h, mm(38.1), at(-20), at(220));
  for (double x = -20; x < 220; x += thinned(1.7)) {
    INFO("x " << x);
    CHECK(mm(curve.height(at(x))) == Approx(offset_by_looking(h, 38.1, x, 8)).margin(1e-9));
  }
}
