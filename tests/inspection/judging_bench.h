#pragma once

#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

#include "inspection/judge.h"
#include "shop/read_shop.h"
#include "taper/read_taper.h"

// A taper and a shop to judge readings by. In the flat shop a strip is half of the flats less the
// glue line, so that every target can be told by heart; all in millimetres.
namespace judging {

using namespace stripwright;
using namespace stripwright::inspection;

inline Length mm(double count) { return Length::millimetres(count); }
inline Station at(double count) { return Station(mm(count)); }

/// D = 2 + 0.004 x, from 0 to 1000; tip to 500, butt behind it. Strips 1 + 0.002 x high.
inline std::string const kTaper = R"(format: stripwright-taper-1
name: Bramble
unit: mm
taper: {0: 2, 250: 3, 500: 4, 750: 5, 1000: 6}
sections:
  tip: {from: 0, to: 500}
  butt: {from: 500, to: 1000}
)";

inline std::string shop_text(std::string const& enamel, std::string const& more = "") {
  return "format: stripwright-shop-1\nunit: mm\nallowances:\n"
         "  {varnish: 0.05, cleanup: 0, glue_line: 0, apex_relief: 0, enamel: " +
         enamel +
         "}\n"
         "spare: {tip_end: 40, butt_end: 30}\n"
         "tolerances: {strip: {over: 0.03, under: 0.02}, flats: 0.05, angle: 0.5}\n"
         "gauges: {caliper: {resolution: 0.003, standard_uncertainty: 0.004}}\n" +
         more;
}

inline std::string const kFlat = "{thickness: 0, off: before-milling, face: flat}";
inline std::string const kRound =
    "{thickness: 0.12, off: before-gluing, face: round, culm_diameter: 44}";

struct Bench {
  explicit Bench(std::string const& shop_file = shop_text(kFlat), Stage stage = Stage::milled,
                 std::optional<double> percent_now = {}, std::string const& taper_file = kTaper) {
    Problems problems;
    auto read_taper_file = read_taper(files::SourceText("taper.yaml", taper_file), problems);
    auto read_shop_file = read_shop(files::SourceText("shop.yaml", shop_file), problems);
    if (!read_taper_file || !read_shop_file) throw std::runtime_error(problems.text());
    taper = *read_taper_file;
    shop = *read_shop_file;
    const auto curve = std::make_shared<const TaperCurve>(taper);
    const section::LedgerRules rules(taper.measured, shop.allowances);
    for (auto const& section : taper.sections)
      targets.push_back(std::make_unique<StageTargets>(
          std::make_shared<const section::StripProfile>(curve, section, rules), stage, shop,
          percent_now));
    judge = {shop.gauges.front(), shop.decide, shop.tolerances.angle};
  }

  ReadingsOrder order() const {
    ReadingsOrder out;
    for (auto const& each : targets) out.choice.sections.push_back(each.get());
    out.unit = taper.unit;
    return out;
  }

  std::optional<Readings> read(std::string const& csv, Problems& problems,
                               std::optional<Unit> unit = {}) const {
    const files::SourceText source("readings.csv", csv);
    const auto columns = read_columns(source, unit, problems);
    if (!columns) return std::nullopt;
    return read_readings(source, *columns, order(), problems);
  }

  Readings must_read(std::string const& csv) const {
    Problems problems;
    auto out = read(csv, problems);
    if (!out || !problems.empty()) throw std::runtime_error(problems.text());
    return *out;
  }

  /// The first piece of readings that have no fault, judged.
  JudgedPiece judged(std::string const& csv) const {
    const auto readings = must_read(csv);
    return inspection::judge(readings.pieces.front(), readings, judge);
  }

  Taper taper;
  Shop shop;
  std::vector<std::unique_ptr<StageTargets>> targets;
  Judge judge;
};

}  // namespace judging
