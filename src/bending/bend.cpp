#include "bending/bend.h"

#include <algorithm>
#include <array>
#include <boost/math/tools/toms748_solve.hpp>
#include <boost/numeric/odeint.hpp>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numbers>

#include "diagnostics/problem.h"
#include "section/hexagon.h"

namespace stripwright::bending {
namespace {

namespace odeint = boost::numeric::odeint;

/// At a place x from the tip: θ, M (N mm), V (N), how far the tip is out and below of here (mm),
/// strain energy (N mm) of what is beyond; each in a unit of its own, so that they come to about 1.
using State = std::array<double, 6>;
enum Part : std::size_t { theta, moment, force, out, below, energy };

/// How exact a step is, in those units.
constexpr double kWithin = 1e-11;
constexpr double kNewtonsPerGram = Force::weight_of(Mass::grams(1)).in_newtons();

double mm(Station at) { return at.from_zero().in_millimetres(); }
Station station(double x) { return Station(Length::millimetres(x)); }

class Shooter {
 public:
  Shooter(Rod const& rod, Loading const& loading, std::vector<Station> const& stations)
      : rod_(rod), loading_(loading) {
    check_internal(loading.clamp > loading.tip, "a rod that is clamped before its tip");
    stops_ = rod.corners();
    stops_.insert(stops_.end(), stations.begin(), stations.end());
    stops_.push_back(loading.tip);
    stops_.push_back(loading.clamp);
    std::erase_if(stops_, [&](Station s) { return s < loading.tip || s > loading.clamp; });
    std::sort(stops_.begin(), stops_.end());
    const auto same = [](Station a, Station b) { return same_place(a, b); };
    stops_.erase(std::unique(stops_.begin(), stops_.end(), same), stops_.end());
    for (const Station stop : stops_)
      check_internal(rod.flats(stop) > Length{}, "a rod without thickness");
    choose_units();
  }

  double in_full(State const& state, Part part) const { return state[part] * units_[part]; }

 private:
  /// Between two stops, where nothing jumps. By x from the tip, that is against s:
  ///   dθ/dx = -M/EI, dM/dx = V cos θ, dV/dx = weight a length, d(out)/dx = cos θ,
  ///   d(below)/dx = sin θ, d(energy)/dx = M²/(2 EI).
  auto slopes(double a, double b) const {
    const Station middle = station(a + (b - a) / 2);
    bool stiff = false;
    double joint_weight = 0;
    for (auto const& joint : rod_.joints()) {
      if (middle < joint.from || middle > joint.to) continue;
      stiff = true;
      joint_weight +=
          joint.mass.in_grams() * kNewtonsPerGram / (joint.to - joint.from).in_millimetres();
    }
    const double per_gram = loading_.own_weight ? kNewtonsPerGram : 0;
    if (!loading_.own_weight) joint_weight = 0;
    // A hair inside: at the stop itself flats may jump to what holds behind it.
    constexpr double kInside = 1e-9;
    const double first = a + kInside, last = b - kInside;
    return [this, stiff, joint_weight, per_gram, first, last](State const& now, State& slope,
                                                              double x) {
      const Station at = station(std::clamp(x, first, last));
      const double m = in_full(now, moment), angle = in_full(now, theta);
      const double bent = stiff ? 0 : m / rod_.stiffness(at);
      slope[theta] = -bent / units_[theta];
      slope[moment] = in_full(now, force) * std::cos(angle) / units_[moment];
      slope[force] = (per_gram * rod_.mass_per_length(at) + joint_weight) / units_[force];
      slope[out] = std::cos(angle) / units_[out];
      slope[below] = std::sin(angle) / units_[below];
      slope[energy] = bent * m / 2 / units_[energy];
    };
  }

 public:
  /// Integrates inwards from a tip that points so far below level; each stop is told.
  template <class Tell>
  State shoot(double tip_theta, Tell const& tell) const {
    State state = {
        tip_theta / units_[theta], 0, loading_.at_tip.in_newtons() / units_[force], 0, 0, 0};
    tell(stops_.front(), state);
    for (std::size_t i = 0; i + 1 < stops_.size(); ++i) {
      const double a = mm(stops_[i]), b = mm(stops_[i + 1]);
      const auto slope = slopes(a, b);
      // Not Fehlberg's 7(8): where the bending is small all is quadrature, and there its estimate
      // of the error is 0 whatever the error.
      auto stepper = odeint::make_controlled<odeint::runge_kutta_dopri5<State>>(kWithin, 0.0);
      odeint::integrate_adaptive(stepper, slope, state, a, b, (b - a) / 2);
      tell(stops_[i + 1], state);
    }
    return state;
  }

  /// The θ of the tip with which the clamp is at its own.
  std::optional<double> tip_theta() const {
    const double wanted = -loading_.upwards.in_radians();
    const auto miss = [&](double start) {
      return in_full(shoot(start, [](Station, State const&) {}), theta) - wanted;
    };
    double low = wanted, high = std::numbers::pi / 2;
    const double miss_low = miss(low), miss_high = miss(high);
    if (miss_low == 0) return low;
    if (!(miss_low < 0 && miss_high > 0)) return std::nullopt;
    std::uintmax_t steps = 100;
    const auto close = [](double a, double b) { return std::fabs(b - a) <= 1e-15 * std::fabs(a); };
    const auto [a, b] =
        boost::math::tools::toms748_solve(miss, low, high, miss_low, miss_high, close, steps);
    const double best = std::fabs(miss(a)) < std::fabs(miss(b)) ? a : b;
    constexpr double kMissed = 1e-8;
    return std::fabs(miss(best)) < kMissed ? std::optional(best) : std::nullopt;
  }

 private:
  /// By the greatest moment that there may be, and the slope that it would make in the whole rod.
  void choose_units() {
    const double length = (loading_.clamp - loading_.tip).in_millimetres();
    double most = loading_.at_tip.in_newtons();
    if (loading_.own_weight) {
      for (auto const& joint : rod_.joints()) most += joint.mass.in_grams() * kNewtonsPerGram;
      most += rod_.mass_per_length(loading_.clamp) * length * kNewtonsPerGram;
    }
    if (most == 0) most = 1;
    const double bent = most * length * length / rod_.stiffness(loading_.clamp);
    const double slope = std::min(1.0, std::max(bent, std::fabs(loading_.upwards.in_radians())));
    units_ = {slope, most * length, most, length, length * slope, most * length * slope};
  }

  Rod const& rod_;
  Loading const& loading_;
  std::vector<Station> stops_;
  State units_{};
};

/// Mass beyond the clamp and its moment about the tip, by Gauss's rule between corners: of a
/// hexagon of straight flats the cubics are exact.
void weigh(Rod const& rod, Loading const& loading, Bent& bent) {
  double grams = 0, gram_mm = 0;
  std::vector<Station> stops = rod.corners();
  stops.push_back(loading.tip);
  stops.push_back(loading.clamp);
  std::erase_if(stops, [&](Station s) { return s < loading.tip || s > loading.clamp; });
  std::sort(stops.begin(), stops.end());
  // Three points: up to polynomials of degree 5.
  const double aside = std::sqrt(0.6);
  for (std::size_t i = 0; i + 1 < stops.size(); ++i) {
    const double a = mm(stops[i]), half = (mm(stops[i + 1]) - a) / 2;
    for (const double t : {-aside, 0.0, aside}) {
      const double x = a + half * (1 + t);
      const double weight = (t == 0.0 ? 8.0 : 5.0) / 9 * half;
      const double here = weight * rod.mass_per_length(station(x));
      grams += here;
      gram_mm += here * x;
    }
  }
  for (auto const& joint : rod.joints()) {
    const double from = std::max(mm(joint.from), mm(loading.tip));
    const double to = std::min(mm(joint.to), mm(loading.clamp));
    if (to <= from) continue;
    const double here = joint.mass.in_grams() * (to - from) / (mm(joint.to) - mm(joint.from));
    grams += here;
    gram_mm += here * (from + to) / 2;
  }
  bent.mass = Mass::grams(grams);
  bent.centre_of_mass = station(gram_mm / grams);
}

}  // namespace

std::optional<Bent> bend(Rod const& rod, Loading const& loading,
                         std::vector<Station> const& stations) {
  const Shooter shooter(rod, loading, stations);
  const auto tip = shooter.tip_theta();
  if (!tip) return std::nullopt;
  Bent bent;
  const auto wanted = [&](Station at) {
    return at == loading.tip || at == loading.clamp ||
           std::any_of(stations.begin(), stations.end(),
                       [&](Station s) { return same_place(s, at); });
  };
  const State end = shooter.shoot(*tip, [&](Station at, State const& state) {
    if (!wanted(at)) return;
    const double modulus =
        section::Hexagon(rod.flats(at)).section_modulus_over_flats_in_millimetres3();
    const auto full = [&](Part part) { return shooter.in_full(state, part); };
    bent.places.push_back({at, Length::millimetres(full(out)), Length::millimetres(full(below)),
                           Angle::radians(full(theta)), full(moment),
                           Pressure::megapascals(full(moment) / modulus)});
  });
  // Counted from the tip so far; from the clamp now.
  for (auto& place : bent.places) {
    place.out = Length::millimetres(shooter.in_full(end, out)) - place.out;
    place.down = Length::millimetres(shooter.in_full(end, below)) - place.down;
  }
  bent.strain_energy = shooter.in_full(end, energy);
  weigh(rod, loading, bent);
  return bent;
}

}  // namespace stripwright::bending
