#include "bending/bend.h"

#include <cmath>
#include <numbers>
#include <random>

#include "bench.h"
#include "catch.h"

using namespace bench;

namespace {

struct Row {
  double alpha, drop, shortening, theta;
};

/// A rod of length 1000 whose P L²/(E I) is alpha, I at the clamp.
Bent bent(std::vector<double> flats, double alpha) {
  const double modulus = 25000, length = 1000;
  const Rod r = rod({0, length}, {flats[0], flats[1]}, modulus);
  const double force = alpha * modulus * second_moment(flats[1]) / (length * length);
  auto out = bend(r, load(0, length, force), {});
  REQUIRE(out);
  return *out;
}

void check(Bent const& bent, Row const& row, double within) {
  CAPTURE(row.alpha);
  CHECK(mm(bent.drop()) / 1000 == Approx(row.drop).margin(within));
  CHECK(1 - mm(bent.tip().out) / 1000 == Approx(row.shortening).margin(within));
  CHECK(bent.tip().slope.in_radians() == Approx(row.theta).margin(within));
}

}  // namespace

// Elliptic integrals by mpmath (k² = (1 + sin θ)/2, √α = K(k) - F(asin(1/(k √2)), k)); rows 1, 2, 5
// and 10 stand so, to five digits, in K. Mattiasson, IJNME 17 (1981) 145-153, table 1.
TEST_CASE("a uniform cantilever under a load at its tip bends as the elastica's table has it") {
  const Row table[] = {
      {0.2, 0.066364482, 0.0026465483, 0.099636163}, {0.25, 0.082745915, 0.0041178184, 0.12429244},
      {0.4, 0.13097524, 0.010353922, 0.19715462},    {0.5, 0.16214358, 0.015918962, 0.24453365},
      {0.6, 0.19235028, 0.022487668, 0.29073777},    {0.75, 0.23561523, 0.033966315, 0.35752617},
      {0.8, 0.24945154, 0.038165613, 0.37906301},    {1, 0.30172077, 0.056433236, 0.46135195},
      {1.5, 0.41097821, 0.10794150, 0.63953983},     {2, 0.49345748, 0.16064172, 0.78174983},
      {3, 0.60325344, 0.25442018, 0.98601695},       {4, 0.66996418, 0.32894124, 1.1212393},
      {5, 0.71379152, 0.38762836, 1.2153681},        {6, 0.74457115, 0.43458883, 1.2836973},
      {7, 0.76736910, 0.47292743, 1.3349599},        {8, 0.78498237, 0.50482773, 1.3744315},
      {9, 0.79905553, 0.53182056, 1.4054653},        {10, 0.81060902, 0.55499560, 1.4302855},
      {15, 0.84771567, 0.63528578, 1.5018402}};
  for (auto const& row : table) check(bent({6, 6}, row.alpha), row, 2e-8);
}

// The same by a Runge-Kutta of fourth order, I = I_butt (d/d_butt)⁴; to six digits, no publication.
TEST_CASE("a tapered cantilever bends far as an independent integration has it") {
  check(bent({2, 8}, 0.001), {0.001, 0.001333, 0.000002, 0.004000}, 6e-7);
  check(bent({2, 8}, 0.1), {0.1, 0.127613, 0.014745, 0.382349}, 6e-7);
  check(bent({2, 8}, 0.25), {0.25, 0.270992, 0.067809, 0.804980}, 6e-7);
  check(bent({4, 8}, 0.5), {0.5, 0.291346, 0.061530, 0.591084}, 6e-7);
  check(bent({4, 8}, 1), {1, 0.458631, 0.161239, 0.947966}, 6e-7);
}

// Closed form for small loads: tip deflection P L³/(3 E c d0 d1³), slope P L² (d1 + 2 d0)/(6 E c
// d0² d1³), greatest stress where the diameter is 1.5 d0. For the family of formulas: W. J.
// McCutcheon, Civil Eng. Pract. Des. Eng. 2 (1983) 207-233. Hexagon 2 to 8 mm, 1200 mm, 1 N, 25 000
// MPa: 374.122974435 mm, 0.935307436087 by the linear theory.
TEST_CASE("under a small load a linear taper bends as the closed form says") {
  const double small = 1e-5;
  const Rod r = rod({0, 1200}, {2, 8});
  const auto bent = bend(r, load(0, 1200, small), {at(200), at(199), at(201)});
  REQUIRE(bent);
  CHECK(mm(bent->drop()) / small == Approx(374.122974435).epsilon(1e-8));
  CHECK(bent->tip().slope.in_radians() / small == Approx(0.935307436087).epsilon(1e-8));
  // 1.5 times the tip's flats are reached at 200.
  const auto stress = [&](std::size_t i) { return bent->places[i].stress.in_megapascals(); };
  REQUIRE(bent->places.size() == 5);
  CHECK(stress(2) > stress(1));
  CHECK(stress(2) > stress(3));
  CHECK(stress(2) == Approx(small * 200 * 1.5 / second_moment(3)).epsilon(1e-8));
}

// Cantilevers of handbooks (Roark's Formulas for Stress and Strain, table 8.1, cases 1a and 2a;
// from memory): W L³/(3 E I) for a load at the end, w L⁴/(8 E I), slope w L³/(6 E I), for an even
// one.
TEST_CASE("a uniform rod sags under its own weight as handbooks say") {
  // A thousandth of the density, so that the sag is small.
  const double density = 0.001, length = 1000, flats = 6;
  const Rod r = rod({0, 400, length}, {flats, flats, flats}, 25000, density);
  const auto bent = bend(r, load(0, length, 0, true), {});
  REQUIRE(bent);
  const double area = std::sqrt(3.0) / 2 * flats * flats;
  const double w = area * density / 1000 / 1000 * 9.80665;  // N/mm
  const double rigidity = 25000 * second_moment(flats);
  CHECK(mm(bent->drop()) == Approx(w * std::pow(length, 4) / (8 * rigidity)).epsilon(1e-6));
  CHECK(bent->tip().slope.in_radians() ==
        Approx(w * std::pow(length, 3) / (6 * rigidity)).epsilon(1e-6));
  CHECK(bent->places.back().moment == Approx(w * length * length / 2).epsilon(1e-6));
}

// Roark's table 8.1, case 1a (from memory), W at a from the free end of a cantilever of length L:
// end deflection W (2 L³ - 3 L² a + a³)/(6 E I), end slope W (L - a)²/(2 E I); Machinery's Handbook
// has the same for the load at the end, W L³/(3 E I).
TEST_CASE("loads at the end and between bend a uniform rod as handbooks say") {
  const double length = 1000, flats = 6, rigidity = 25000 * second_moment(flats);
  // A weight between is that of a joint so short that its stiffness is nothing.
  const double weight = 2e-5;
  for (const double a : {0.0, 250.0, 600.0}) {
    Rod r = rod({-200, 1500}, {flats, flats}, 25000, 1e-12);
    const Mass mass = Mass::grams(weight / (9.80665e-3));
    if (a > 0) r.add_joint({at(a - 5e-4), at(a + 5e-4), mass});
    const auto bent = bend(r, load(0, length, a > 0 ? 0 : weight, a > 0), {});
    REQUIRE(bent);
    const double drop =
        weight * (2 * std::pow(length, 3) - 3 * length * length * a + a * a * a) / (6 * rigidity);
    CHECK(mm(bent->drop()) == Approx(drop).epsilon(1e-5));
    CHECK(bent->tip().slope.in_radians() ==
          Approx(weight * (length - a) * (length - a) / (2 * rigidity)).epsilon(1e-5));
    CHECK(bent->places.back().moment == Approx(weight * (length - a)).epsilon(1e-5));
  }
}

// A hexagonal frustum: volume (√3/2) L (a² + a b + b²)/3, centre of mass L (a² + 2 a b + 3 b²) /
// (4 (a² + a b + b²)) from the end of flats a (handbook formulas of a cone's frustum, with the
// hexagon's area; from memory).
TEST_CASE("mass and centre of mass are those of frusta") {
  const double a = 2, b = 8, length = 1200;
  const Rod r = rod({0, 300, length}, {a, a + (b - a) / 4, b}, 25000, 0.9);
  const auto bent = bend(r, load(0, length, 0.1), {});
  REQUIRE(bent);
  const double squares = a * a + a * b + b * b;
  CHECK(bent->mass.in_grams() ==
        Approx(0.9e-3 * std::sqrt(3.0) / 2 * length * squares / 3).epsilon(1e-12));
  CHECK(mm(bent->centre_of_mass.from_zero()) ==
        Approx(length * (a * a + 2 * a * b + 3 * b * b) / (4 * squares)).epsilon(1e-12));
  Rod jointed = r;
  jointed.add_joint({at(500), at(560), Mass::grams(20)});
  const auto heavier = bend(jointed, load(0, length, 0.1), {});
  REQUIRE(heavier);
  CHECK((heavier->mass - bent->mass).in_grams() == Approx(20).epsilon(1e-12));
  CHECK(heavier->mass.in_grams() * mm(heavier->centre_of_mass.from_zero()) ==
        Approx(bent->mass.in_grams() * mm(bent->centre_of_mass.from_zero()) + 20 * 530)
            .epsilon(1e-12));
  // Stiff over its length: the slope does not change there.
  const auto told = bend(jointed, load(0, length, 0.1), {at(500), at(530), at(560), at(600)});
  CHECK(told->places[1].slope.in_radians() == told->places[3].slope.in_radians());
  CHECK(told->places[3].slope.in_radians() > told->places[4].slope.in_radians());
}

TEST_CASE("what a slowly growing load does is what the bent rod holds as energy") {
  std::mt19937 engine(5);
  std::uniform_real_distribution<double> flats(1.5, 2.5), growth(0.2, 1.2);
  for (int run = 0; run < 5; ++run) {
    std::vector<double> xs{0}, ds{flats(engine)};
    for (int i = 1; i <= 8; ++i) {
      xs.push_back(xs.back() + 150);
      ds.push_back(ds.back() + growth(engine));
    }
    const Rod r = rod(xs, ds);
    const double most = 2;
    // Work by Simpson's rule over the load.
    const int steps = 40;
    double work = 0, before = 0;
    for (int i = 0; i < steps; i += 2) {
      const auto drop = [&](int k) {
        return mm(bend(r, load(0, xs.back(), most * k / steps), {})->drop());
      };
      const double middle = drop(i + 1), after = drop(i + 2);
      // Of ∫ P d(drop) = P drop - ∫ drop dP.
      work -= most / steps / 3 * (before + 4 * middle + after);
      before = after;
    }
    work += most * before;
    CHECK(bend(r, load(0, xs.back(), most), {})->strain_energy == Approx(work).epsilon(2e-6));
  }
}

// The shape of least energy among chains of short stiff links, found by Newton's method; nothing is
// shared with the shooting but the energy itself.
TEST_CASE(
    "shooting and the least energy of a chain agree, weight, joint and raised clamp and all") {
  const double length = 1200, raised = 0.4, tip_load = 0.6, joint_grams = 15;
  const std::vector<double> xs{0, 200, 500, 800, 1200}, ds{1.8, 2.6, 4.1, 5.9, 7.7};
  Rod r = rod(xs, ds, 27000, 1.0);
  r.add_joint({at(590.05), at(610.05), Mass::grams(joint_grams)});
  Loading loading{at(0), at(length), Angle::radians(raised), Force::newtons(tip_load), true};
  const auto bent = bend(r, loading, {});
  REQUIRE(bent);

  const int links = 12000;
  const double ds_link = length / links;
  const auto flats = [&](double x) {
    std::size_t i = 0;
    while (x > xs[i + 1]) ++i;
    return ds[i] + (ds[i + 1] - ds[i]) * (x - xs[i]) / (xs[i + 1] - xs[i]);
  };
  // Link k goes from s = k ds to (k + 1) ds, s from the clamp; θ below level.
  std::vector<double> theta(links, 0.0), spring(links), pull(links);
  double force = tip_load;
  for (int k = links - 1; k >= 0; --k) {
    const double x = length - (k + 0.5) * ds_link;
    const double in_joint = std::min(x + ds_link / 2, 610.05) - std::max(x - ds_link / 2, 590.05);
    const double joint = std::max(0.0, in_joint / ds_link) * joint_grams / 20;
    const double weight =
        (flats(x) * flats(x) * std::sqrt(3.0) / 2 * 1e-3 + joint) * ds_link * 9.80665e-3;
    pull[static_cast<std::size_t>(k)] = force + weight / 2;
    force += weight;
    const double hinge_x = length - k * ds_link;              // between link k - 1 and k
    const bool stiff = hinge_x > 590.05 && hinge_x < 610.05;  // ends amid links
    // The first hinge is half a link from the clamp's own direction.
    const double span = k == 0 ? ds_link / 2 : ds_link;
    spring[static_cast<std::size_t>(k)] =
        stiff ? 1e12 : 27000 * second_moment(flats(k == 0 ? length : hinge_x)) / span;
  }
  // E = Σ spring (θ_k - θ_{k-1})²/2 - Σ pull ds sin θ_k: gradient and tridiagonal second
  // derivatives.
  for (int round = 0; round < 60; ++round) {
    const auto n = static_cast<std::size_t>(links);
    std::vector<double> diagonal(n), off(n), right(n);
    for (std::size_t k = 0; k < n; ++k) {
      const double last = k == 0 ? -raised : theta[k - 1];
      double gradient = spring[k] * (theta[k] - last) - pull[k] * ds_link * std::cos(theta[k]);
      diagonal[k] = spring[k] + pull[k] * ds_link * std::sin(theta[k]);
      if (k + 1 < n) {
        gradient -= spring[k + 1] * (theta[k + 1] - theta[k]);
        diagonal[k] += spring[k + 1];
        off[k] = -spring[k + 1];
      }
      right[k] = -gradient;
    }
    for (std::size_t k = 1; k < n; ++k) {
      const double factor = off[k - 1] / diagonal[k - 1];
      diagonal[k] -= factor * off[k - 1];
      right[k] -= factor * right[k - 1];
    }
    double most = 0;
    for (std::size_t k = n; k-- > 0;) {
      right[k] = (right[k] - (k + 1 < n ? off[k] * right[k + 1] : 0)) / diagonal[k];
      most = std::max(most, std::fabs(right[k]));
    }
    const double step = std::min(1.0, 0.5 / most);
    for (std::size_t k = 0; k < n; ++k) theta[k] += step * right[k];
    if (most < 1e-12) break;
  }
  double out = 0, down = 0;
  for (const double t : theta) {
    out += ds_link * std::cos(t);
    down += ds_link * std::sin(t);
  }
  CHECK(mm(bent->drop()) == Approx(down).epsilon(2e-6));
  CHECK(mm(bent->tip().out) == Approx(out).epsilon(2e-6));
  CHECK(bent->tip().slope.in_radians() == Approx(theta.back()).epsilon(2e-5));
}

TEST_CASE("deviations change the flats where they are, straight between, and nothing elsewhere") {
  Rod r = rod({0, 1000}, {2, 8});
  r.add({{at(100), mm(0.1)}, {at(200), mm(0.3)}, {at(500), mm(-0.1)}});
  r.add({{at(500), mm(0.2)}, {at(600), mm(0.2)}});
  const auto off = [&](double x) { return mm(r.flats(at(x))) - (2 + 6 * x / 1000); };
  CHECK(off(99.9) == Approx(0).margin(1e-12));
  CHECK(off(100) == Approx(0.1));
  CHECK(off(150) == Approx(0.2));
  CHECK(off(499.999) == Approx(-0.1).margin(1e-5));
  CHECK(off(500) == Approx(0.2));
  CHECK(off(600) == Approx(0.2));
  CHECK(off(600.1) == Approx(0).margin(1e-12));
  r.add({{at(0), mm(0.05)}, {at(1000), mm(0.05)}});
  CHECK(off(550) == Approx(0.25));
}

TEST_CASE("a load that leaves the rod hanging straight down is none that it can be bent by") {
  CHECK_FALSE(bend(rod({0, 1000}, {1, 1}), load(0, 1000, 1e6), {}));
  CHECK_THROWS(bend(rod({0, 1000}, {1, 1}), load(1000, 0, 1), {}));
}
