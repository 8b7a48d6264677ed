#include "catch.h"
#include "inspection/judging_bench.h"
#include "machine/section_setup.h"

using namespace judging;
using namespace stripwright::machine;

namespace {

inline std::string const kForm = R"(machines:
  form:
    kind: planing-form
    screws: {first: 0, pitch: 100, count: 8}
    strip_at: 60
)";

// Half way along, 4 mm across flats over 0.05 mm of varnish: 3.9 mm of bare cane.
std::size_t warnings(double bore) {
  std::string taper = kTaper;
  taper += "measured: varnished\nferrules: [{at: 500, bore: " + std::to_string(bore) + "}]\n";
  const Bench bench(shop_text(kFlat, kForm), Stage::milled, {}, taper);
  Problems problems;
  const SetupOrder order{bench.taper,
                         bench.shop,
                         bench.shop.machines.front(),
                         std::nullopt,
                         {bench.taper.sections[0]},
                         Unit::millimetre};
  set_up(order, problems);
  INFO(problems.text());
  CHECK(problems.errors() == 0);
  std::size_t out = 0;
  for (auto const& each : problems.list())
    if (each.what.find("none is left to turn down") != std::string::npos) ++out;
  return out;
}

}  // namespace

TEST_CASE("a bore that only the varnish fills is told") {
  CHECK(warnings(3.89) == 0);
  CHECK(warnings(3.91) == 1);
  CHECK(warnings(4) == 1);
  // Over the taper's own flats: told when it was read.
  CHECK(warnings(4.01) == 0);
}
