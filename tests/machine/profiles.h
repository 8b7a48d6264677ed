#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <functional>
#include <random>
#include <utility>
#include <vector>

#include "section/height_curve.h"

// Profiles to test machines on, and a second way to everything that is asked of them.
namespace profiles {

using stripwright::Length;
using stripwright::Station;
using stripwright::section::HeightCurve;
using stripwright::section::Side;

inline Length mm(double value) { return Length::millimetres(value); }
inline Station at(double value) { return Station(mm(value)); }
inline double mm(Length value) { return value.in_millimetres(); }
inline double mm(Station value) { return mm(value.from_zero()); }

/// Straight from corner to corner; the end spans' slopes go on unless others are given.
class Straight final : public HeightCurve {
 public:
  Straight(std::vector<double> us, std::vector<double> hs)
      : us_(std::move(us)), hs_(std::move(hs)) {
    for (const double u : us_) corners_.push_back(at(u));
    const std::size_t n = us_.size();
    before_ = n > 1 ? (hs_[1] - hs_[0]) / (us_[1] - us_[0]) : 0;
    after_ = n > 1 ? (hs_[n - 1] - hs_[n - 2]) / (us_[n - 1] - us_[n - 2]) : 0;
  }
  Straight(std::vector<double> us, std::vector<double> hs, double before, double after)
      : Straight(std::move(us), std::move(hs)) {
    before_ = before;
    after_ = after;
  }

  Length height(Station x) const override { return mm(value(mm(x))); }
  double value(double x) const {
    const auto next = std::upper_bound(us_.begin(), us_.end(), x) - us_.begin();
    if (next == 0) return hs_.front() + before_ * (x - us_.front());
    const auto i = static_cast<std::size_t>(next - 1);
    return hs_[i] + slope_after(i) * (x - us_[i]);
  }
  double slope(Station x, Side side) const override {
    const auto next = side == Side::towards_butt
                          ? std::upper_bound(corners_.begin(), corners_.end(), x)
                          : std::lower_bound(corners_.begin(), corners_.end(), x);
    if (next == corners_.begin()) return before_;
    return slope_after(static_cast<std::size_t>(next - corners_.begin()) - 1);
  }
  std::span<const Station> corners() const override { return corners_; }
  bool straight() const override { return true; }

  const std::vector<double>& us() const { return us_; }
  const std::vector<double>& hs() const { return hs_; }

 private:
  double slope_after(std::size_t i) const {
    if (i + 1 == us_.size()) return after_;
    return (hs_[i + 1] - hs_[i]) / (us_[i + 1] - us_[i]);
  }

  std::vector<double> us_, hs_;
  std::vector<Station> corners_;
  double before_ = 0, after_ = 0;
};

/// A smooth function, or one that is smooth between the given corners.
class Curved final : public HeightCurve {
 public:
  Curved(std::function<double(double)> height, std::function<double(double)> slope,
         std::vector<double> corners)
      : height_(std::move(height)), slope_(std::move(slope)) {
    for (const double u : corners) corners_.push_back(at(u));
  }
  Length height(Station x) const override { return mm(height_(mm(x))); }
  double slope(Station x, Side side) const override {
    // One-sided at a corner: asked for a hair beside it.
    for (const Station c : corners_) {
      if (c == x) return slope_(mm(x) + (side == Side::towards_butt ? 1e-9 : -1e-9));
    }
    return slope_(mm(x));
  }
  std::span<const Station> corners() const override { return corners_; }
  bool straight() const override { return false; }

 private:
  std::function<double(double)> height_, slope_;
  std::vector<Station> corners_;
};

/// Cubics with given heights and slopes at the corners (Hermite), straight beyond: as smooth
/// tapers are.
class Cubics final : public HeightCurve {
 public:
  Cubics(std::vector<double> us, std::vector<double> hs, std::vector<double> ms)
      : us_(std::move(us)), hs_(std::move(hs)), ms_(std::move(ms)) {
    for (const double u : us_) corners_.push_back(at(u));
  }
  Length height(Station x) const override { return mm(evaluate(mm(x)).first); }
  double slope(Station x, Side) const override { return evaluate(mm(x)).second; }
  std::span<const Station> corners() const override { return corners_; }
  bool straight() const override { return false; }

 private:
  std::pair<double, double> evaluate(double x) const {
    const auto next =
        static_cast<std::size_t>(std::upper_bound(us_.begin(), us_.end(), x) - us_.begin());
    if (next == 0) return {hs_[0] + ms_[0] * (x - us_[0]), ms_[0]};
    const std::size_t i = next - 1;
    if (next == us_.size()) return {hs_[i] + ms_[i] * (x - us_[i]), ms_[i]};
    const double w = us_[next] - us_[i], t = (x - us_[i]) / w, v = 1 - t;
    const double value = hs_[i] * v * v * (1 + 2 * t) + hs_[next] * t * t * (1 + 2 * v) +
                         w * t * v * (ms_[i] * v - ms_[next] * t);
    const double slope = 6 * t * v * (hs_[next] - hs_[i]) / w + ms_[i] * v * (v - 2 * t) +
                         ms_[next] * t * (t - 2 * v);
    return {value, slope};
  }

  std::vector<double> us_, hs_, ms_;
  std::vector<Station> corners_;
};

/// Random corners; the slopes are up to `steep`, the spans from `narrow` to `wide`.
struct Random {
  explicit Random(unsigned seed) : engine(seed) {}
  double between(double lo, double hi) {
    return lo + (hi - lo) * (static_cast<double>(engine()) / 4294967296.0);
  }
  Straight straight(int spans, double narrow, double wide, double steep) {
    std::vector<double> us{0}, hs{2};
    for (int i = 0; i < spans; ++i) {
      const double span = between(narrow, wide);
      us.push_back(us.back() + span);
      hs.push_back(hs.back() + span * between(-steep, steep));
    }
    return Straight(us, hs, between(-steep, steep), between(-steep, steep));
  }
  /// Strip heights of a plausible taper, in mm: 0.9 to 4 over some 1200 mm.
  Straight taper() {
    std::vector<double> us, hs;
    double u = between(-5, 5), h = between(0.8, 1.0);
    while (u < 1250) {
      us.push_back(u);
      hs.push_back(h);
      const double span = between(60, 180);
      u += span;
      h += span * between(0.0005, 0.005);
    }
    return Straight(us, hs);
  }
  Cubics smooth(int spans, double narrow, double wide, double steep) {
    std::vector<double> us{0}, hs{2}, ms{between(-steep, steep)};
    for (int i = 0; i < spans; ++i) {
      const double span = between(narrow, wide);
      us.push_back(us.back() + span);
      hs.push_back(hs.back() + span * between(-steep, steep));
      ms.push_back(between(-steep, steep));
    }
    return Cubics(us, hs, ms);
  }

  std::mt19937 engine;
};

/// The greatest value of f in [a, b] by plain looking: many places, then the neighbourhood of the
/// best few again and again.
template <class F>
double greatest_by_looking(const F& f, double a, double b, int places = 400) {
  std::vector<std::pair<double, double>> seen;
  for (int i = 0; i <= places; ++i) {
    const double x = i == places ? b : a + (b - a) * i / places;
    seen.push_back({f(x), x});
  }
  const double step = (b - a) / places;
  std::sort(seen.rbegin(), seen.rend());
  double best = seen.front().first;
  for (std::size_t k = 0; k < 6 && k < seen.size(); ++k) {
    double x = seen[k].second, width = step;
    for (int round = 0; round < 14; ++round) {
      double best_x = x;
      for (int i = -8; i <= 8; ++i) {
        const double y = std::clamp(x + width * i / 8, a, b);
        if (f(y) > best) best = f(y), best_x = y;
      }
      x = best_x;
      width /= 4;
    }
  }
  return best;
}

/// A cutter's offset by the definition alone: the highest that any place of the profile holds up
/// its centre, less R. Every piece between corners is searched by itself.
inline double offset_by_looking(const HeightCurve& h, double radius, double x, int places = 60) {
  std::vector<double> ends{x - radius};
  for (const Station c : h.corners()) {
    if (mm(c) > x - radius && mm(c) < x + radius) ends.push_back(mm(c));
  }
  ends.push_back(x + radius);
  const auto centre = [&](double u) {
    return mm(h.height(at(u))) + std::sqrt(std::max(0.0, radius * radius - (x - u) * (x - u)));
  };
  double best = -1e300;
  for (std::size_t i = 0; i + 1 < ends.size(); ++i) {
    best = std::max(best, greatest_by_looking(centre, ends[i], ends[i + 1], places));
  }
  return best - radius;
}

}  // namespace profiles
