#include "taper/compare.h"

#include <array>
#include <cmath>

#include "catch.h"

using namespace stripwright;

namespace {

constexpr Length mm(double count) { return Length::millimetres(count); }
Station at(double count) { return Station(mm(count)); }

Taper rod(std::vector<TaperPoint> points, Between between = Between::linear) {
  Taper taper;
  taper.points = std::move(points);
  taper.between = between;
  return taper;
}

}  // namespace

TEST_CASE("a rod a tenth thicker all along: 1.1^4 as stiff, 1.1^2 as heavy") {
  const auto a = rod({{at(0), mm(2)}, {at(900), mm(5)}, {at(2000), mm(8)}}, Between::smooth);
  auto b = a;
  for (auto& point : b.points) point.flats = 1.1 * point.flats;
  const std::array tapers = {a, b};
  const auto stretch = common_stretch(tapers);
  REQUIRE(stretch);
  const auto rows = compare_tapers(a, b, common_stations(tapers, *stretch));
  REQUIRE(rows.size() == 3);
  CHECK(!rows[0].mass_percent);
  for (auto const& row : rows) {
    CHECK(row.difference().in_millimetres() == Approx(0.1 * row.first.in_millimetres()));
    CHECK(row.stiffness_percent == Approx(46.41));
    if (row.mass_percent) CHECK(*row.mass_percent == Approx(21));
  }
}

TEST_CASE("masses are those of frustums: l/3 (D1² + D1 D2 + D2²) (from memory, any handbook)") {
  const auto frustum = [](double l, double d1, double d2) {
    return l / 3 * (d1 * d1 + d1 * d2 + d2 * d2);
  };
  const auto a = rod({{at(0), mm(2)}, {at(1000), mm(6)}});
  const auto b = rod({{at(-100), mm(3)}, {at(400), mm(3)}, {at(1200), mm(7)}});
  const std::array tapers = {a, b};
  const auto stretch = common_stretch(tapers);
  REQUIRE(stretch);
  CHECK(stretch->from == at(0));
  CHECK(stretch->to == at(1000));
  const auto stations = common_stations(tapers, *stretch);
  REQUIRE(stations.size() == 3);
  CHECK(stations[1] == at(400));
  const auto rows = compare_tapers(a, b, stations);
  CHECK(*rows[1].mass_percent == Approx(100 * (frustum(400, 3, 3) / frustum(400, 2, 3.6) - 1)));
  CHECK(*rows[2].mass_percent ==
        Approx(100 * ((frustum(400, 3, 3) + frustum(600, 3, 6)) / frustum(1000, 2, 6) - 1)));
  CHECK(rows[1].stiffness_percent == Approx(100 * (std::pow(3 / 3.6, 4) - 1)));
  // The same with more stations: nothing depends on where they lie.
  const auto fine = compare_tapers(a, b, std::array{at(0), at(17), at(399), at(650), at(1000)});
  CHECK(*fine.back().mass_percent == Approx(*rows.back().mass_percent).epsilon(1e-12));
}

TEST_CASE("the mass under a smooth taper, by a fine sum") {
  const auto a = rod({{at(0), mm(2)}, {at(300), mm(2.2)}, {at(700), mm(5)}, {at(1000), mm(6)}},
                     Between::smooth);
  const auto b = rod({{at(0), mm(4)}, {at(1000), mm(4)}});
  const auto rows = compare_tapers(a, b, std::array{at(0), at(1000)});
  // The middle of each of 100,000 slices.
  const auto many = [&] {
    std::vector<Station> out;
    for (int i = 0; i < 100'000; ++i) out.push_back(at(0.01 * i + 0.005));
    return out;
  }();
  double sum = 0;
  for (auto const& row : compare_tapers(a, b, many))
    sum += row.first.in_millimetres() * row.first.in_millimetres() * 0.01;
  CHECK(*rows[1].mass_percent == Approx(100 * (16'000 / sum - 1)).epsilon(1e-7));
}

TEST_CASE("tapers that have no part of the rod in common") {
  const std::array tapers = {rod({{at(0), mm(2)}, {at(500), mm(3)}}),
                             rod({{at(500), mm(3)}, {at(900), mm(4)}})};
  CHECK(!common_stretch(tapers));
}
