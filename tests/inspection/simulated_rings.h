#pragma once

#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "inspection/learning.h"
#include "shop/read_shop.h"
#include "taper/read_taper.h"

namespace simulated {

using namespace stripwright;
using inspection::Stage;

/// What really happens in a shop that only exists here. Lengths in millimetres.
struct Truth {
  double glue_line = 0.034;
  double cleanup = 0.021;
  double varnish = 0.042;
  double rod_to_rod = 0.006;          // standard deviation of each of them between rods
  double station_to_station = 0.006;  // and along a rod
  double reading = 0.005;             // of one reading, the gauge's common error apart
};

struct Bench {
  std::shared_ptr<const section::StripProfile> profile;
  Allowances allowances;
  Gauge gauge;
};

inline Bench bench(std::string const& taper_text, std::string const& shop_text) {
  Problems problems;
  const auto taper = read_taper(files::SourceText("taper.yaml", taper_text), problems);
  const auto shop = read_shop(files::SourceText("shop.yaml", shop_text), problems);
  if (!taper || !shop) throw std::runtime_error(problems.text());
  const section::LedgerRules rules(taper->measured, shop->allowances);
  return {std::make_shared<const section::StripProfile>(std::make_shared<const TaperCurve>(*taper),
                                                        taper->sections.front(), rules),
          shop->allowances, shop->gauges.front()};
}

inline std::string const kTaper = R"(format: stripwright-taper-1
name: Dogrose
unit: in
taper: {0: 0.074, 5: 0.0905, 10: 0.106, 15: 0.121, 20: 0.137, 25: 0.1515, 30: 0.168, 35: 0.184, 40: 0.2, 45: 0.214}
)";

inline std::string shop(std::string const& enamel, std::string const& gauge) {
  return "format: stripwright-shop-1\nunit: in\nallowances:\n"
         "  {varnish: 0.001, cleanup: 0.001, glue_line: 0.001, apex_relief: 0.003,\n"
         "   enamel: " +
         enamel +
         ",\n"
         "   moisture: {per_percent: 0.0018, at_milling: 9.5, in_service: 7}}\n"
         "gauges: {caliper: " +
         gauge + "}\n";
}

/// Draws rings as they would be made and measured. The machine cuts each strip as its own sum of an
/// offset and a slope over the taper; strips are shifted; the moisture differs at each stage.
class Session {
 public:
  Session(Bench const& bench, Truth const& truth, unsigned seed)
      : bench_(bench),
        truth_(truth),
        random_(seed),
        gauge_error_(draw(bench.gauge.standard_uncertainty.in_millimetres())) {}

  /// Measured every so many inches.
  inspection::RingReadings ring(bool marked, bool milled, int pitch = 5) {
    inspection::RingReadings out;
    out.profile = bench_.profile;
    out.marked = marked;
    out.heights_at = milled ? Stage::milled : Stage::ready;
    out.percent_moisture = {{Stage::milled, 9.5},
                            {Stage::ready, 8.5},
                            {Stage::glued, 8},
                            {Stage::bare, 7},
                            {Stage::varnished, 6.5}};
    for (std::size_t i = 0; i < kStripsInARing; ++i) {
      out.shifts[i] = Length::inches(i == 1 ? 0.5 : i == 4 ? -0.75 : 0);
      offset_[i] = draw(0.008);
      slope_[i] = draw(0.00001);
    }
    const double g = truth_.glue_line + draw(truth_.rod_to_rod);
    const double c = truth_.cleanup + draw(truth_.rod_to_rod);
    const double v = truth_.varnish + draw(truth_.rod_to_rod);
    for (int inch = 0; inch <= 45; inch += pitch) {
      const Station at(Length::inches(inch));
      for (std::size_t i = 0; i < kStripsInARing; ++i)
        out.heights[i].push_back({at, read(height(i, at, out.heights_at))});
      measure_flats(out, at, g, c, v);
    }
    return out;
  }

 private:
  double draw(double deviation) {
    return deviation > 0 ? std::normal_distribution<double>(0, deviation)(random_) : 0;
  }

  /// What the gauge shows: its common error, this reading's own, and its step.
  Length read(double mm) {
    const double shown = mm + gauge_error_ + draw(truth_.reading);
    const double step = bench_.gauge.resolution.in_millimetres();
    return Length::millimetres(step > 0 ? std::round(shown / step) * step : shown);
  }

  double swelling(double percent) const {
    auto const& m = *bench_.allowances.moisture;
    return 1 + m.swelling_per_percent * (percent - m.percent_in_service);
  }

  /// Height a of a strip as cut, before apex relief, enamel and all, at the mill's moisture.
  double cut(std::size_t strip, Station at) const {
    return bench_.profile->height(at).in_millimetres() + offset_[strip] +
           slope_[strip] * at.from_zero().in_millimetres();
  }

  double enamel(Station at) const {
    const auto ledger = bench_.profile->ledger(at);
    return (ledger[section::Step::strip_milled] - ledger[section::Step::strip_at_milling])
        .in_millimetres();
  }

  /// Of the strip as it is glued, at a moisture.
  double finished(std::size_t strip, Station at, double percent) const {
    const bool off = bench_.allowances.enamel.off == EnamelOff::before_gluing;
    return (cut(strip, at) - (off ? enamel(at) : 0)) * swelling(percent) / swelling(9.5);
  }

  double height(std::size_t strip, Station at, Stage stage) const {
    if (stage == Stage::milled) return cut(strip, at);
    return finished(strip, at, 8.5) - bench_.allowances.apex_relief.in_millimetres();
  }

  void measure_flats(inspection::RingReadings& ring, Station at, double g, double c, double v) {
    const bool flattened = bench_.allowances.enamel.off == EnamelOff::after_gluing;
    inspection::SectionReading glued{at, {}}, bare{at, {}}, varnished{at, {}};
    for (std::size_t p = 0; p < 3; ++p) {
      const double g_here = g + draw(truth_.station_to_station);
      const double lost = c + draw(truth_.station_to_station) + (flattened ? enamel(at) : 0);
      const auto over = [&](double percent) {
        return finished(p, at + ring.shifts[p], percent) +
               finished(p + 3, at + ring.shifts[p + 3], percent) + 2 * g_here;
      };
      glued.f[p] = read(over(8));
      bare.f[p] = read(over(7) - 2 * lost);
      varnished.f[p] = read(over(6.5) - 2 * lost + 2 * (v + draw(truth_.station_to_station)));
    }
    ring.flats[Stage::glued].push_back(glued);
    ring.flats[Stage::bare].push_back(bare);
    ring.flats[Stage::varnished].push_back(varnished);
  }

  Bench const& bench_;
  Truth const& truth_;
  std::mt19937_64 random_;
  double gauge_error_;
  std::array<double, kStripsInARing> offset_{};
  std::array<double, kStripsInARing> slope_{};
};

}  // namespace simulated
