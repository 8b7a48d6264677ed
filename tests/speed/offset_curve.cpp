// The cutter's offset curve over long profiles, timed beside GEOS's buffer of the same line.
//
//   speed_offset_curve
//
// Prints, for 100,000 vertices, both times, their ratio and how far each is off what the
// definition gives at places between; for 1,000,000 vertices the time of the curve. Exit status 1
// if the ratio is below 20, the curve is less exact than the buffer, or the million takes a second.
#include <geos_c.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <random>
#include <vector>

#include "machine/cutter_curve.h"

using namespace stripwright;
using section::Side;

namespace {

constexpr double kRadius = 25;  // mm

/// A straight profile of so many vertices: spans of 0.2 to 2 mm, slopes up to 0.1.
class Profile final : public section::HeightCurve {
 public:
  explicit Profile(std::size_t vertices) {
    std::mt19937 engine(7);
    const auto between = [&](double lo, double hi) {
      return lo + (hi - lo) * static_cast<double>(engine()) / 4294967296.0;
    };
    double u = 0, h = 0;
    for (std::size_t i = 0; i < vertices; ++i) {
      us_.push_back(u);
      hs_.push_back(h);
      corners_.emplace_back(Length::millimetres(u));
      const double run = between(0.2, 2);
      u += run;
      // Back towards 0, or it would wander off.
      h += run * (between(-0.1, 0.1) - 0.001 * h);
    }
  }

  Length height(Station at) const override { return Length::millimetres(value(mm(at))); }
  double value(double x) const {
    const std::size_t i = span(x);
    return hs_[i] + slope_of(i) * (x - us_[i]);
  }
  double slope(Station at, Side side) const override {
    const double x = mm(at);
    std::size_t i = span(x);
    if (side == Side::towards_tip && i > 0 && us_[i] == x) --i;
    return slope_of(i);
  }
  std::span<const Station> corners() const override { return corners_; }
  bool straight() const override { return true; }

  /// z(x) by the definition: of each span within reach the highest that it holds the centre up.
  double centre(double x) const {
    double best = -1e300;
    for (std::size_t i = span(x - kRadius); i + 1 < us_.size() && us_[i] < x + kRadius; ++i) {
      const double m = slope_of(i);
      const double touch = x + kRadius * m / std::sqrt(1 + m * m);
      const double u =
          std::clamp(touch, std::max(us_[i], x - kRadius), std::min(us_[i + 1], x + kRadius));
      const double s = x - u;
      best = std::max(best, hs_[i] + m * (u - us_[i]) + std::sqrt((kRadius - s) * (kRadius + s)));
    }
    return best;
  }

  std::vector<double> const& us() const { return us_; }
  std::vector<double> const& hs() const { return hs_; }

 private:
  static double mm(Station at) { return at.from_zero().in_millimetres(); }
  std::size_t span(double x) const {
    const auto next = std::upper_bound(us_.begin(), us_.end(), x) - us_.begin();
    return std::clamp<std::size_t>(static_cast<std::size_t>(std::max<std::ptrdiff_t>(next, 1)) - 1,
                                   0, us_.size() - 2);
  }
  double slope_of(std::size_t i) const { return (hs_[i + 1] - hs_[i]) / (us_[i + 1] - us_[i]); }

  std::vector<double> us_, hs_;
  std::vector<Station> corners_;
};

template <class Work>
double seconds(Work const& work) {
  const auto began = std::chrono::steady_clock::now();
  work();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count();
}

double curve_seconds(Profile const& profile, std::size_t& pieces) {
  double best = 1e300;
  for (int run = 0; run < 3; ++run)
    best = std::min(best, seconds([&] {
                      const machine::CutterCurve curve(profile, Length::millimetres(kRadius),
                                                       profile.corners().front(),
                                                       profile.corners().back());
                      pieces = curve.path()->pieces().size();
                    }));
  return best;
}

void quiet(const char*, ...) {}

/// The buffer's rim as points.
std::vector<std::pair<double, double>> buffer_rim(Profile const& profile, double& took) {
  initGEOS(quiet, quiet);
  std::vector<std::pair<double, double>> rim;
  const auto count = static_cast<unsigned>(profile.us().size());
  GEOSCoordSequence* points = GEOSCoordSeq_create(count, 2);
  for (unsigned i = 0; i < count; ++i)
    GEOSCoordSeq_setXY(points, i, profile.us()[i], profile.hs()[i]);
  GEOSGeometry* line = GEOSGeom_createLineString(points);
  GEOSGeometry* area = nullptr;
  constexpr int kSegmentsOfQuadrant = 8;  // its default
  took = seconds([&] { area = GEOSBuffer(line, kRadius, kSegmentsOfQuadrant); });
  const GEOSCoordSequence* ring = GEOSGeom_getCoordSeq(GEOSGetExteriorRing(area));
  unsigned size = 0;
  GEOSCoordSeq_getSize(ring, &size);
  for (unsigned i = 0; i < size; ++i) {
    rim.emplace_back();
    GEOSCoordSeq_getXY(ring, i, &rim.back().first, &rim.back().second);
  }
  GEOSGeom_destroy(area);
  GEOSGeom_destroy(line);
  finishGEOS();
  return rim;
}

double top_at(std::vector<std::pair<double, double>> const& rim, double x) {
  double top = -1e300;
  for (std::size_t i = 0; i + 1 < rim.size(); ++i) {
    const auto [x1, y1] = rim[i];
    const auto [x2, y2] = rim[i + 1];
    if (std::min(x1, x2) > x || std::max(x1, x2) < x || x1 == x2) continue;
    top = std::max(top, y1 + (y2 - y1) * (x - x1) / (x2 - x1));
  }
  return top;
}

}  // namespace

int main() {
  const Profile profile(100'000);
  std::size_t pieces = 0;
  const double ours = curve_seconds(profile, pieces);
  double theirs = 0;
  const auto rim = buffer_rim(profile, theirs);
  const machine::CutterCurve curve(profile, Length::millimetres(kRadius), profile.corners().front(),
                                   profile.corners().back());
  double curve_off = 0, buffer_off = 0;
  for (int i = 1; i < 200; ++i) {
    const double x = profile.us().back() * i / 200;
    const double exact = profile.centre(x);
    const Station at(Length::millimetres(x));
    curve_off = std::max(curve_off, std::fabs(curve.centre_height(at).in_millimetres() - exact));
    buffer_off = std::max(buffer_off, std::fabs(top_at(rim, x) - exact));
  }
  std::printf("100,000 vertices: curve %.4f s (%zu pieces), GEOS buffer %.4f s, ratio %.0f\n", ours,
              pieces, theirs, theirs / ours);
  std::printf("off the definition: curve %.2e mm, GEOS buffer %.2e mm\n", curve_off, buffer_off);
  const Profile long_profile(1'000'000);
  const double million = curve_seconds(long_profile, pieces);
  std::printf("1,000,000 vertices: curve %.3f s (%zu pieces)\n", million, pieces);
  return theirs / ours >= 20 && curve_off <= buffer_off && million < 1 ? 0 : 1;
}
