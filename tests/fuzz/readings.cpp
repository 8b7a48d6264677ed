#include "fuzz.h"
#include "inspection/group_summary.h"
#include "inspection/judge.h"
#include "inspection/strip_summary.h"
#include "inspection/targets.h"
#include "shop/read_shop.h"
#include "taper/read_taper.h"

using namespace stripwright;
using namespace stripwright::inspection;

namespace {

constexpr char kTaper[] = R"(format: stripwright-taper-1
unit: mm
taper: {0: 2, 250: 3, 500: 4, 750: 5, 1000: 6}
sections: {tip: {from: 0, to: 500}, butt: {from: 500, to: 1000}}
)";
constexpr char kShop[] = R"(format: stripwright-shop-1
unit: mm
allowances:
  {varnish: 0.05, cleanup: 0.02, glue_line: 0.03, apex_relief: 0,
   enamel: {thickness: 0.12, face: round, culm_diameter: 44}}
spare: {tip_end: 40, butt_end: 30}
tolerances: {strip: {over: 0.03, under: 0.02}, flats: 0.05, angle: 0.5}
gauges: {caliper: {resolution: 0.003, standard_uncertainty: 0.004}}
)";

/// The limits of one kind of readings; made once.
struct Bench {
  explicit Bench(Stage stage) {
    Problems problems;
    taper = *read_taper(files::SourceText("taper.yaml", kTaper), problems);
    shop = *read_shop(files::SourceText("shop.yaml", kShop), problems);
    const auto curve = std::make_shared<const TaperCurve>(taper);
    const section::LedgerRules rules(taper.measured, shop.allowances);
    for (auto const& section : taper.sections) {
      targets.push_back(std::make_unique<StageTargets>(
          std::make_shared<const section::StripProfile>(curve, section, rules), stage, shop,
          std::nullopt));
      order.choice.sections.push_back(targets.back().get());
    }
    order.unit = Unit::millimetre;
  }
  Taper taper;
  Shop shop;
  std::vector<std::unique_ptr<StageTargets>> targets;
  ReadingsOrder order;
};

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  static const Bench strips(Stage::milled), sections(Stage::glued);
  const files::SourceText source("readings.csv", std::string(fuzz::text(bytes, size)));
  for (const auto unit : {std::optional<Unit>(), std::optional(Unit::inch)}) {
    Problems problems;
    const auto columns = read_columns(source, unit, problems);
    fuzz::promise(columns.has_value() != problems.any_error(), "either columns or an error");
    if (!columns || columns->kind == ReadingKind::groove) continue;
    auto const& bench = columns->kind == ReadingKind::strips ? strips : sections;
    const auto readings = read_readings(source, *columns, bench.order, problems);
    fuzz::promise(readings.has_value() != problems.any_error(), "either readings or an error");
    fuzz::promise(readings || !problems.text().empty(), "an error is told");
    if (!readings) continue;
    const Judge judging{bench.shop.gauges.front(), Decide::guarded, bench.shop.tolerances.angle};
    GroupSummary group(judging.gauge);
    for (auto const& piece : readings->pieces) group.add(judge(piece, *readings, judging));
    for (auto const& station : group.stations())
      fuzz::promise(station.low <= station.mean && station.mean <= station.high,
                    "a mean lies within its interval");
  }
  return 0;
}
