#pragma once

#include <vector>

#include "machine/turning_points.h"
#include "section/height_curve.h"

namespace stripwright::machine {

/// A curve that is dear to ask, as cubics through its heights with its slopes: between `from` and
/// `to` within 1e-10 mm of it, and the curve itself beyond. Corners are the curve's own.
///
/// Pieces between corners are halved until the cubic follows (plain::follows); it takes a few
/// thousand questions, after which each is answered in no time.
class SampledCurve final : public section::HeightCurve {
 public:
  /// The curve has to live as long as this does. `to` not behind `from`: std::logic_error.
  SampledCurve(const section::HeightCurve& curve, Station from, Station to);

  Length height(Station x) const override;
  double slope(Station x, section::Side side) const override;
  std::span<const Station> corners() const override { return curve_.corners(); }
  bool straight() const override { return curve_.straight(); }

 private:
  void add_piece(plain::Sample const& a, plain::Sample const& b);
  plain::Sample sample(double at, section::Side side) const;
  plain::HermiteCubic const* piece(double x, section::Side side, double& t) const;

  const section::HeightCurve& curve_;
  std::vector<double> knots_;                ///< one more than pieces
  std::vector<plain::HermiteCubic> pieces_;  ///< between neighbouring knots
};

}  // namespace stripwright::machine
