#include "machine/best_fit.h"

#include <glpk.h>
#include <gsl/gsl_spline.h>

#include <cmath>
#include <memory>

#include "catch.h"
#include "machine/cutter_curve.h"
#include "profiles.h"

using namespace stripwright;
using namespace stripwright::machine;
using namespace profiles;

namespace {

/// One support at 1, all others at 0: by the GNU Scientific Library's natural spline (straight
/// beyond its ends), or straight between.
double unit_bar(const std::vector<double>& xs, std::size_t one, double x, BarKind kind) {
  std::vector<double> ys(xs.size(), 0.0);
  ys[one] = 1;
  const std::size_t n = xs.size();
  const double inside = std::clamp(x, xs.front(), xs.back());
  const auto* type = kind == BarKind::spring ? gsl_interp_cspline : gsl_interp_linear;
  std::unique_ptr<gsl_spline, decltype(&gsl_spline_free)> spline(gsl_spline_alloc(type, n),
                                                                 gsl_spline_free);
  gsl_spline_init(spline.get(), xs.data(), ys.data(), n);
  const double value = gsl_spline_eval(spline.get(), inside, nullptr);
  if (x == inside) return value;
  return value + (x - inside) * gsl_spline_eval_deriv(spline.get(), inside, nullptr);
}

/// The same question as a linear programme on a dense grid, solved by GLPK's simplex. In
/// micrometres from the target at the supports, so that its tolerances count for nothing.
double greatest_miss_by_simplex(BarKind kind, const std::vector<FitSupport>& supports,
                                const HeightCurve& target, std::vector<double> grid) {
  std::vector<double> xs;
  for (const FitSupport& s : supports) xs.push_back(mm(s.at));
  const int n = static_cast<int>(supports.size());
  glp_prob* lp = glp_create_prob();
  glp_set_obj_dir(lp, GLP_MIN);
  glp_add_cols(lp, n + 1);
  for (int j = 0; j < n; ++j) {
    const FitSupport& s = supports[static_cast<std::size_t>(j)];
    const double start = mm(target.height(s.at));
    const double low = ((s.at_least ? mm(*s.at_least) : 0) - start) * 1000;
    const double fixed = (mm(s.height) - start) * 1000;
    if (!s.free)
      glp_set_col_bnds(lp, j + 1, GLP_FX, fixed, fixed);
    else if (s.at_least)
      glp_set_col_bnds(lp, j + 1, GLP_LO, low, 0);
    else
      glp_set_col_bnds(lp, j + 1, GLP_FR, 0, 0);
  }
  glp_set_col_bnds(lp, n + 1, GLP_LO, 0, 0);
  glp_set_obj_coef(lp, n + 1, 1);
  std::vector<int> index(static_cast<std::size_t>(n) + 2);
  std::vector<double> value(static_cast<std::size_t>(n) + 2);
  for (const double x : grid) {
    double base = 0;
    for (int j = 0; j < n; ++j) {
      const auto k = static_cast<std::size_t>(j);
      index[k + 1] = j + 1;
      value[k + 1] = unit_bar(xs, k, x, kind);
      base += value[k + 1] * mm(target.height(supports[k].at));
    }
    index[static_cast<std::size_t>(n) + 1] = n + 1;
    const double wanted = (mm(target.height(at(x))) - base) * 1000;
    for (const double sign : {1.0, -1.0}) {
      value[static_cast<std::size_t>(n) + 1] = sign;
      const int row = glp_add_rows(lp, 1);
      glp_set_row_bnds(lp, row, sign > 0 ? GLP_LO : GLP_UP, wanted, wanted);
      glp_set_mat_row(lp, row, n + 1, index.data(), value.data());
    }
  }
  glp_smcp options;
  glp_init_smcp(&options);
  options.msg_lev = GLP_MSG_OFF;
  options.tol_bnd = 1e-9;
  options.tol_dj = 1e-9;
  options.meth = GLP_DUALP;
  REQUIRE(glp_simplex(lp, &options) == 0);
  REQUIRE(glp_get_status(lp) == GLP_OPT);
  const double greatest = glp_get_obj_val(lp) / 1000;
  glp_delete_prob(lp);
  return greatest;
}

/// So dense, with the corners of target and bar, and a hundred places in the short arcs of an
/// offset.
std::vector<double> dense_grid(const HeightCurve& target, const std::vector<FitSupport>& supports,
                               double from, double to, double step) {
  std::vector<double> grid{to};
  const auto add = [&](double x) {
    if (x > from && x < to) grid.push_back(x);
  };
  for (double x = from; x < to; x += step) grid.push_back(x);
  for (const FitSupport& s : supports) add(mm(s.at));
  const auto corners = target.corners();
  for (std::size_t i = 0; i < corners.size(); ++i) {
    add(mm(corners[i]));
    if (i + 1 == corners.size() || target.straight() || corners[i + 1] - corners[i] > mm(1))
      continue;
    for (int k = 1; k < 100; ++k) add(mm(corners[i] + (corners[i + 1] - corners[i]) * (k / 100.0)));
  }
  std::sort(grid.begin(), grid.end());
  return grid;
}

/// Screws on the taper, free from the last one before `from` to the first one after `to`.
std::vector<FitSupport> screws_on(const HeightCurve& target, double first, double pitch, int count,
                                  double from, double to) {
  std::vector<FitSupport> s;
  for (int i = 0; i < count; ++i) {
    const double x = first + i * pitch;
    s.push_back({at(x), target.height(at(x)), x > from - pitch && x < to + pitch, {}});
  }
  return s;
}

double at_screws(BarKind kind, const std::vector<FitSupport>& supports, const HeightCurve& target,
                 double from, double to) {
  std::vector<Support> set;
  for (const FitSupport& s : supports) set.push_back({s.at, s.height});
  return std::fabs(mm(greatest_miss(bar_through(kind, set), target, at(from), at(to)).amount));
}

}  // namespace

// The best straight line for a convex curve over an interval is parallel to the chord and halfway
// between it and the tangent that is parallel to it (Chebyshev); for x² over [0, 1] it misses by
// 1/8. By hand.
TEST_CASE("the best straight line through a parabola misses it by an eighth") {
  const Curved parabola([](double x) { return x * x; }, [](double x) { return 2 * x; }, {0});
  const std::vector<FitSupport> ends{{at(0), mm(0), true, {}}, {at(1), mm(1), true, {}}};
  for (const auto kind : {BarKind::spring, BarKind::straight}) {
    const BestFit fit = best_fit(kind, ends, parabola, at(0), at(1));
    CHECK(std::fabs(mm(fit.greatest.amount)) == Approx(0.125).margin(1e-10));
    CHECK(mm(fit.supports[0].height) == Approx(-0.125).margin(1e-9));
    CHECK(mm(fit.supports[1].height) == Approx(0.875).margin(1e-9));
  }
}

TEST_CASE("a level for a step is halfway") {
  const Straight ramp({0, 10}, {1, 3});
  const std::vector<FitSupport> one{{at(5), mm(2.7), true, {}}};
  const BestFit fit = best_fit(BarKind::spring, one, ramp, at(0), at(10));
  CHECK(mm(fit.supports[0].height) == Approx(2).margin(1e-10));
  CHECK(std::fabs(mm(fit.greatest.amount)) == Approx(1).margin(1e-10));
}

TEST_CASE("a bar that can follow its target does") {
  const Straight line({0, 100}, {1, 1.5});
  auto screws = screws_on(line, 0, 100, 8, 50, 650);
  for (FitSupport& s : screws) s.height += mm(mm(s.at) > 250 && mm(s.at) < 450 ? 0.2 : 0);
  const BestFit fit = best_fit(BarKind::spring, screws, line, at(50), at(650));
  CHECK(std::fabs(mm(fit.greatest.amount)) < 1e-10);
}

TEST_CASE("fixed supports stay, with none free nothing moves") {
  Random random(2);
  const Straight taper = random.taper();
  auto screws = screws_on(taper, 0, 127, 10, 300, 700);
  const BestFit fit = best_fit(BarKind::spring, screws, taper, at(300), at(700));
  for (std::size_t i = 0; i < screws.size(); ++i) {
    if (!screws[i].free) CHECK(fit.supports[i].height == screws[i].height);
    screws[i].free = false;
  }
  const BestFit still = best_fit(BarKind::spring, screws, taper, at(300), at(700));
  for (std::size_t i = 0; i < screws.size(); ++i) {
    CHECK(still.supports[i].height == screws[i].height);
  }
}

TEST_CASE("a free support that the section does not feel keeps its height") {
  const Straight line({0, 100}, {1, 1.5});
  std::vector<FitSupport> screws;
  for (int i = 0; i < 6; ++i) screws.push_back({at(i * 100), mm(2), true, {}});
  const BestFit fit = best_fit(BarKind::straight, screws, line, at(120), at(180));
  CHECK(mm(fit.supports[4].height) == 2);
  CHECK(std::fabs(mm(fit.greatest.amount)) < 1e-10);
}

TEST_CASE("the best fit misses by as much as GLPK's simplex on a dense grid") {
  Random random(21);
  for (int run = 0; run < 24; ++run) {
    const auto kind = run % 4 == 3 ? BarKind::straight : BarKind::spring;
    const Straight taper = random.taper();
    const double from = random.between(0, 200), to = random.between(500, 1250);
    auto screws = screws_on(taper, random.between(-150, -20), 127, 13, from, to);
    if (run % 3 == 1) {
      // A form that cannot close that far at some screws.
      for (FitSupport& s : screws) s.at_least = s.height + mm(random.between(-0.02, 0.004));
    }
    const BestFit fit = best_fit(kind, screws, taper, at(from), at(to));
    for (std::size_t i = 0; i < screws.size(); ++i) {
      if (screws[i].free && screws[i].at_least)
        CHECK(fit.supports[i].height >= *screws[i].at_least);
    }
    const double ours = std::fabs(mm(fit.greatest.amount));
    // The supports tell the same as the miss says.
    CHECK(
        ours ==
        Approx(std::fabs(mm(
                   greatest_miss(bar_through(kind, fit.supports), taper, at(from), at(to)).amount)))
            .margin(1e-15));
    // Between places δ apart a miss that bends by e'' can be greater by δ² e''/8: 0.7 mm and the
    // 1e-5/mm of these bars make 6e-7 mm.
    const double simplex =
        greatest_miss_by_simplex(kind, screws, taper, dense_grid(taper, screws, from, to, 0.7));
    INFO("run " << run << ": " << ours << " mm, simplex " << simplex);
    CHECK(ours >= simplex - 1e-9);
    CHECK(ours <= simplex + 1e-6);
    if (run % 3 != 1) CHECK(ours <= at_screws(kind, screws, taper, from, to) + 1e-12);
  }
}

TEST_CASE("the best fit to a cutter offset is the simplex's too") {
  Random random(22);
  const Straight taper = random.taper();
  const CutterCurve offset(taper, mm(38.1), at(-300), at(1600));
  const auto screws = screws_on(offset, -60, 127, 12, 30, 1100);
  const BestFit fit = best_fit(BarKind::spring, screws, offset, at(30), at(1100));
  const double ours = std::fabs(mm(fit.greatest.amount));
  const double simplex = greatest_miss_by_simplex(BarKind::spring, screws, offset,
                                                  dense_grid(offset, screws, 30, 1100, 0.7));
  CHECK(ours >= simplex - 1e-9);
  CHECK(ours <= simplex + 1e-6);
}

TEST_CASE("the best fit is the same every time") {
  Random random(23);
  const Straight taper = random.taper();
  const auto screws = screws_on(taper, -60, 127, 12, 30, 1100);
  const BestFit a = best_fit(BarKind::spring, screws, taper, at(30), at(1100));
  const BestFit b = best_fit(BarKind::spring, screws, taper, at(30), at(1100));
  for (std::size_t i = 0; i < a.supports.size(); ++i) {
    CHECK(a.supports[i].height == b.supports[i].height);
  }
}

TEST_CASE("a best fit to a taper of many stations") {
  Random random(24);
  std::vector<double> us, hs;
  for (int i = 0; i <= 5000; ++i) {
    us.push_back(i * 0.25);
    hs.push_back(1 + 0.0025 * us.back() + 0.05 * std::sin(us.back() / 90) +
                 random.between(0, 1e-3));
  }
  const Straight taper(us, hs);
  const auto screws = screws_on(taper, -60, 127, 12, 30, 1200);
  const BestFit fit = best_fit(BarKind::spring, screws, taper, at(30), at(1200));
  const double simplex = greatest_miss_by_simplex(BarKind::spring, screws, taper,
                                                  dense_grid(taper, screws, 30, 1200, 5));
  CHECK(std::fabs(mm(fit.greatest.amount)) == Approx(simplex).margin(1e-6));
}
