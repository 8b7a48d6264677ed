#pragma once

#include <memory>
#include <random>
#include <vector>

#include "machine/pass_plan.h"
#include "machine/screw_settings.h"
#include "profiles.h"

// Strips as they lie on a machine, to test whole machines with.
namespace jobs {

using namespace stripwright;
using profiles::at;
using profiles::mm;

inline const Spare kSpare{mm(30), mm(20)};

/// A rod of one section with flat faces and nothing allowed: the strip is half of the flats.
inline std::shared_ptr<const section::StripProfile> strip(std::vector<TaperPoint> points,
                                                          Between between = Between::linear) {
  Taper taper;
  taper.points = std::move(points);
  taper.between = between;
  taper.sections = {{"tip", taper.tip_end(), taper.butt_end(), 1}};
  return std::make_shared<section::StripProfile>(std::make_shared<const TaperCurve>(taper),
                                                 taper.sections[0],
                                                 section::LedgerRules(Measured::bare, {}));
}

/// Half-heights h at places x, as a strip.
inline std::shared_ptr<const section::StripProfile> strip(std::vector<double> xs,
                                                          std::vector<double> hs,
                                                          Between between = Between::linear) {
  std::vector<TaperPoint> points;
  for (std::size_t i = 0; i < xs.size(); ++i) points.push_back({at(xs[i]), mm(2 * hs[i])});
  return strip(std::move(points), between);
}

/// Some 400 mm of strip with stations 20 to 60 mm apart, 1 mm high at the tip, now and then a
/// fall towards the butt.
inline std::shared_ptr<const section::StripProfile> random_strip(profiles::Random& random,
                                                                 Between between) {
  std::vector<double> xs{0}, hs{random.between(0.8, 1.2)};
  while (xs.back() < 400) {
    const double run = random.between(20, 60);
    const double slope = random.between(0, 10) < 1 ? -0.002 : random.between(0.001, 0.008);
    xs.push_back(xs.back() + run);
    hs.push_back(std::max(hs.back() + run * slope, 0.5));
  }
  return strip(std::move(xs), std::move(hs), between);
}

inline std::vector<Station> stations_of(section::StripProfile const& strip) {
  const auto points = strip.taper().points();
  return {points.begin(), points.end()};
}

inline Machine machine(Feeds feeds = Feeds::tip_first, double strip_at = 100) {
  Machine out;
  out.name = "mill";
  out.strip_at = MachinePosition(mm(strip_at));
  out.feeds = feeds;
  return out;
}

/// The strip on that machine, in these passes; problems in planning end the test.
inline machine::Job job(std::shared_ptr<const section::StripProfile> strip, Machine const& on,
                        std::optional<Passes> const& passes = std::nullopt) {
  const machine::Placement placement(on, strip->section(), kSpare);
  Problems problems;
  auto planned = machine::plan_passes(strip, "tip", passes, placement, Unit::millimetre, problems);
  INFO(problems.text());
  REQUIRE(problems.empty());
  return {strip, placement, std::move(planned), {mm(0.02), mm(0.02)}, Unit::millimetre};
}

}  // namespace jobs
