#include "inspection/decision.h"

#include <cmath>
#include <random>

#include "catch.h"

namespace stripwright::inspection {
namespace {

Length mm(double count) { return Length::millimetres(count); }

TEST_CASE("a guarded verdict is what the probabilities say, for any limits, reading and gauge") {
  std::mt19937 random(20250313);
  std::uniform_real_distribution<double> width(0.5, 12);
  std::uniform_real_distribution<double> reading(-6, 18);
  std::array<int, 4> seen{};
  for (int i = 0; i < 200'000; ++i) {
    const double t = width(random);
    const double y = reading(random);
    const auto found = verdict(mm(y), {mm(0), mm(t)}, mm(1), Decide::guarded);
    const auto phi = [](double z) { return std::erfc(-z / std::sqrt(2.0)) / 2; };
    auto wanted = Verdict::unsure;
    if (phi(t - y) - phi(-y) >= 0.95) wanted = Verdict::right;
    if (phi(y - t) >= 0.95) wanted = Verdict::thick;
    if (phi(-y) >= 0.95) wanted = Verdict::thin;
    REQUIRE(found == wanted);
    ++seen[static_cast<std::size_t>(found)];
  }
  for (const int each : seen) CHECK(each > 1000);
}

TEST_CASE("the zones of ISO 14253-1 for ± 0.050 and u = 0.020") {
  // T = 5 u: accept |y| <= 0.017, proven outside from |y| = 0.083 on, undecided between (guard band
  // 1.65 u of ISO 14253-1:2017; from memory).
  const Limits limits{mm(-0.05), mm(0.05)};
  const auto at = [&](double y) { return verdict(mm(y), limits, mm(0.02), Decide::guarded); };
  for (const double sign : {-1.0, 1.0}) {
    CHECK(at(sign * 0.017) == Verdict::right);
    CHECK(at(sign * 0.018) == Verdict::unsure);
    CHECK(at(sign * 0.082) == Verdict::unsure);
    CHECK(at(sign * 0.083) == (sign > 0 ? Verdict::thick : Verdict::thin));
  }
}

TEST_CASE("nothing is right when the limits are under 3.92 u apart, though it can be wrong") {
  const Limits limits{mm(0), mm(3.9)};
  for (double y = -3; y < 7; y += 0.01)
    CHECK(verdict(mm(y), limits, mm(1), Decide::guarded) != Verdict::right);
  CHECK(verdict(mm(-1.65), limits, mm(1), Decide::guarded) == Verdict::thin);
  CHECK(verdict(mm(3.9 + 1.65), limits, mm(1), Decide::guarded) == Verdict::thick);
}

TEST_CASE("plain goes by the limits, the limits included") {
  const Limits limits{mm(0.895), mm(0.945)};
  for (const Length u : {mm(0), mm(0.1)}) {
    CHECK(verdict(mm(0.895), limits, u, Decide::plain) == Verdict::right);
    CHECK(verdict(mm(0.945), limits, u, Decide::plain) == Verdict::right);
    CHECK(verdict(mm(0.9451), limits, u, Decide::plain) == Verdict::thick);
    CHECK(verdict(mm(0.8949), limits, u, Decide::plain) == Verdict::thin);
  }
  // A limit that was reckoned and a reading that was written are the same to a nanometre.
  CHECK(verdict(mm(0.1 + 0.2), {mm(0), mm(0.3)}, {}, Decide::plain) == Verdict::right);
  CHECK(verdict(mm(0.3 + 2e-6), {mm(0), mm(0.3)}, {}, Decide::plain) == Verdict::thick);
  CHECK(verdict(mm(0.945), limits, {}, Decide::guarded) == Verdict::right);
}

TEST_CASE("angles are decided alike") {
  const auto deg = [](double d) { return Angle::degrees(d); };
  const auto at = [&](double d, double u) {
    return verdict(deg(d), deg(59.5), deg(60.5), deg(u), Decide::guarded);
  };
  CHECK(at(60.1, 0.1) == Verdict::right);
  CHECK(at(60.4, 0.1) == Verdict::unsure);
  CHECK(at(60.7, 0.1) == Verdict::thick);
  CHECK(at(59.3, 0.1) == Verdict::thin);
  CHECK(at(60, 0.26) == Verdict::unsure);
  CHECK(conformance_probability(deg(60), deg(59.5), deg(60.5), deg(0.25)) ==
        Approx(0.954499736).epsilon(1e-8));  // ± 2 u
  // Read without a gauge's uncertainty an angle conforms or not, its limits included.
  for (const double within : {59.5, 60.0, 60.5})
    CHECK(conformance_probability(deg(within), deg(59.5), deg(60.5), deg(0)) == 1);
  for (const double beyond : {59.499, 60.501})
    CHECK(conformance_probability(deg(beyond), deg(59.5), deg(60.5), deg(0)) == 0);
  CHECK(angle_word(Verdict::thick) == "wide");
  CHECK(groove_word(Verdict::thin) == "shallow");
  CHECK(worse(Verdict::thin, Verdict::thick) == Verdict::thin);
  CHECK(worse(Verdict::right, Verdict::unsure) == Verdict::unsure);
}

}  // namespace
}  // namespace stripwright::inspection
