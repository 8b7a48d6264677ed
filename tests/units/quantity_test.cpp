#include <numbers>
#include <type_traits>

#include "catch.h"
#include "units/angle.h"
#include "units/position.h"
#include "units/unit.h"

using namespace stripwright;

// What must not compile has tests of its own, in compile_fail.

TEST_CASE("lengths add, scale and compare") {
  const auto a = Length::millimetres(3);
  const auto b = Length::inches(1);
  CHECK(a + b == Length::millimetres(28.4));
  CHECK(b - a == Length::millimetres(22.4));
  CHECK(-a == Length::millimetres(-3));
  CHECK(a * 2 == Length::millimetres(6));
  CHECK(2 * a == Length::millimetres(6));
  CHECK(a / 2 == Length::millimetres(1.5));
  CHECK(b / Length::millimetres(12.7) == 2);
  CHECK(a < b);
  CHECK(abs(-a) == a);
  auto sum = a;
  sum += b;
  sum -= a;
  CHECK(sum == b);
  CHECK(Length{} == Length::millimetres(0));
  CHECK(a.finite());
  CHECK_FALSE((a / 0.0).finite());
  static_assert(std::is_same_v<decltype(a / b), double>);
}

TEST_CASE("the same place is nearer than a nanometre") {
  const auto at = Length::inches(45);
  CHECK(same_place(at, at + Length::millimetres(0.9e-6)));
  CHECK(same_place(at, at - Length::millimetres(0.9e-6)));
  CHECK_FALSE(same_place(at, at + Length::millimetres(1.1e-6)));
  CHECK(same_place(Station(at), Station(Length::millimetres(1143))));
}

TEST_CASE("a position and a distance make a position, two positions a distance") {
  const Station tip(Length::inches(0));
  const Station butt(Length::inches(90));
  CHECK(butt - tip == Length::inches(90));
  CHECK(tip + Length::inches(45) == Station(Length::millimetres(1143)));
  CHECK(butt - Length::inches(45) == tip + Length::inches(45));
  CHECK(tip < butt);
  static_assert(!std::is_same_v<Station, MachinePosition>);
  static_assert(std::is_same_v<decltype(butt - tip), Length>);
}

TEST_CASE("angles are degrees to users and radians to the C library") {
  const auto sixty = Angle::degrees(60);
  CHECK(sixty.in_radians() == Approx(std::numbers::pi / 3).epsilon(1e-15));
  CHECK(Angle::radians(std::numbers::pi).in_degrees() == Approx(180).epsilon(1e-15));
  CHECK(sin(Angle::degrees(30)) == Approx(0.5).epsilon(1e-15));
  CHECK(cos(sixty) == Approx(0.5).epsilon(1e-15));
  CHECK(tan(Angle::degrees(45)) == Approx(1).epsilon(1e-15));
  CHECK((sixty + sixty).in_degrees() == Approx(120));
  CHECK((sixty - Angle::degrees(0.5)).in_degrees() == Approx(59.5));
  CHECK((2 * sixty / 4).in_degrees() == Approx(30));
  CHECK(sixty / Angle::degrees(30) == Approx(2));
  CHECK(abs(-sixty) == sixty);
  CHECK(-sixty < sixty);
}
