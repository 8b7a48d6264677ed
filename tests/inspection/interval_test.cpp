#include "inspection/interval.h"

#include <cmath>
#include <limits>

#include "catch.h"
#include "units/length.h"

using namespace stripwright;
using namespace stripwright::inspection;

namespace {

constexpr double kEndless = std::numeric_limits<double>::infinity();

Length mm(double count) { return Length::millimetres(count); }

TEST_CASE("the reach of 95 % and 99 % is that of the printed t table") {
  // Two-sided 95 % and 99 %, as printed in any table of Student's t (e.g. NIST/SEMATECH e-Handbook,
  // 1.3.6.7.2; from memory).
  struct Row {
    double freedom, t95, t99;
  };
  for (auto const& row :
       {Row{1, 12.706, 63.657}, Row{2, 4.303, 9.925}, Row{3, 3.182, 5.841}, Row{4, 2.776, 4.604},
        Row{5, 2.571, 4.032}, Row{10, 2.228, 3.169}, Row{16, 2.120, 2.921}, Row{20, 2.086, 2.845},
        Row{30, 2.042, 2.750}, Row{60, 2.000, 2.660}, Row{120, 1.980, 2.617},
        Row{kEndless, 1.960, 2.576}}) {
    INFO(row.freedom);
    CHECK(reach(0.95, row.freedom) == Approx(row.t95).margin(0.00051));
    CHECK(reach(0.99, row.freedom) == Approx(row.t99).margin(0.00051));
    CHECK(reach_95(row.freedom) == reach(0.95, row.freedom));
  }
}

TEST_CASE("the end gauge of the GUM, annex H.1") {
  // JCGM 100:2008, H.1 (figures as in the GTC library's GUM_H1): parts in nanometres with their
  // degrees of freedom; the difference d is itself three parts.
  const auto nm = [](double count) { return Length::millimetres(count * 1e-6); };
  const std::array parts_of_d = {UncertaintyPart{nm(5.8), 24}, UncertaintyPart{nm(3.9), 5},
                                 UncertaintyPart{nm(6.7), 8}};
  const auto d = combine(parts_of_d);
  CHECK(d.u / nm(1) == Approx(9.7).margin(0.05));
  CHECK(d.degrees_of_freedom == Approx(25.6).margin(0.5));
  // Lengths 50 mm: the difference of expansion, 50 · 0.58e-6 · 0.1, and of temperature, 50
  // · 11.5e-6 · 0.029.
  const std::array parts = {UncertaintyPart{nm(25), 18}, d, UncertaintyPart{nm(2.900036), 50},
                            UncertaintyPart{nm(16.675208), 2}};
  const auto l = combine(parts);
  CHECK(l.u / nm(1) == Approx(31.705).margin(0.5));  // printed 32
  CHECK(l.degrees_of_freedom == Approx(16.7).margin(0.5));
  CHECK(std::floor(l.degrees_of_freedom) == 16);
  CHECK(reach(0.99, 16) * 32 == Approx(93).margin(0.5));
  CHECK(reach(0.95, 16) * 32 == Approx(68).epsilon(0.02));
}

TEST_CASE("parts known for good leave no doubt about themselves") {
  const std::array certain = {UncertaintyPart{mm(3), kEndless}, UncertaintyPart{mm(4), kEndless}};
  CHECK(combine(certain).u == mm(5));
  CHECK(combine(certain).degrees_of_freedom == kEndless);
  const std::array half = {UncertaintyPart{mm(1), kEndless}, UncertaintyPart{mm(1), 5}};
  CHECK(combine(half).degrees_of_freedom == Approx(20));  // u⁴ is fourfold
  CHECK(combine({}).u == mm(0));
}

TEST_CASE("half the width of the interval: Student's t, the normal z, and between them") {
  // Printed tables of t(0.975): 12.706, 4.303, 2.571, 2.228, 2.086, 1.980 at 1, 2, 5, 10, 20, 120
  // (from memory; GUM table G.2 has them to two decimals).
  for (auto const& [freedom, t] :
       {std::pair(1, 12.706), {2, 4.303}, {5, 2.571}, {10, 2.228}, {20, 2.086}, {120, 1.980}})
    CHECK(half_width(mm(1), static_cast<std::size_t>(freedom) + 1, {}).in_millimetres() ==
          Approx(t).margin(0.0006));
  CHECK(half_width({}, 3, mm(1)).in_millimetres() == Approx(1.959964).margin(1e-6));
  // u = 5, ν = 5 · 5⁴/3⁴ = 38.58; between t(30) = 2.042 and t(40) = 2.021 as 1/ν goes: 2.0233.
  const double apart = std::hypot(3 * 2.570582, 4 * 1.959964);
  CHECK(half_width(mm(3), 6, mm(4)).in_millimetres() ==
        Approx((apart + 5 * 2.0233) / 2).margin(0.003));
}

}  // namespace
