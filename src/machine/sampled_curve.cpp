#include "machine/sampled_curve.h"

#include <algorithm>

#include "machine/plain.h"

namespace stripwright::machine {

using plain::mm;
using section::HeightCurve;
using section::Side;

namespace {

/// Between the three places where a cubic is held against the curve it may be somewhat further
/// off than there; this leaves room up to what is promised.
constexpr double kWithin = 2e-11;

}  // namespace

SampledCurve::SampledCurve(const HeightCurve& curve, Station from, Station to) : curve_(curve) {
  plain::require(from < to, "a stretch to be sampled that ends where it begins");
  double a = mm(from);
  knots_.push_back(a);
  for (const Station corner : curve.corners()) {
    if (corner <= from || corner >= to) continue;
    add_piece(sample(a, Side::towards_butt), sample(mm(corner), Side::towards_tip));
    a = mm(corner);
  }
  add_piece(sample(a, Side::towards_butt), sample(mm(to), Side::towards_tip));
}

plain::Sample SampledCurve::sample(double at, Side side) const {
  const Station x = plain::station(at);
  return {at, mm(curve_.height(x)), curve_.slope(x, side)};
}

void SampledCurve::add_piece(plain::Sample const& a, plain::Sample const& b) {
  const plain::HermiteCubic cubic(a, b);
  const auto value = [&](double at) { return mm(curve_.height(plain::station(at))); };
  if (cubic.width > plain::kNarrowest && !plain::follows(cubic, value, a.at, kWithin)) {
    const double middle = a.at + cubic.width / 2;
    const auto half = sample(middle, Side::towards_butt);
    add_piece(a, half);
    add_piece(half, b);
    return;
  }
  knots_.push_back(b.at);
  pieces_.push_back(cubic);
}

/// The piece that x lies in, at a knot the one on that side, and how far along it; null outside.
plain::HermiteCubic const* SampledCurve::piece(double x, Side side, double& t) const {
  if (!(x >= knots_.front() && x <= knots_.back())) return nullptr;
  const auto next = side == Side::towards_butt ? std::upper_bound(knots_.begin(), knots_.end(), x)
                                               : std::lower_bound(knots_.begin(), knots_.end(), x);
  const auto i = std::clamp<std::ptrdiff_t>(next - knots_.begin() - 1, 0,
                                            static_cast<std::ptrdiff_t>(pieces_.size()) - 1);
  auto const& found = pieces_[static_cast<std::size_t>(i)];
  t = (x - knots_[static_cast<std::size_t>(i)]) / found.width;
  return &found;
}

Length SampledCurve::height(Station x) const {
  double t = 0;
  auto const* cubic = piece(mm(x), Side::towards_butt, t);
  return cubic ? plain::length(cubic->value(t)) : curve_.height(x);
}

double SampledCurve::slope(Station x, Side side) const {
  double t = 0;
  auto const* cubic = piece(mm(x), side, t);
  return cubic ? cubic->slope(t) : curve_.slope(x, side);
}

}  // namespace stripwright::machine
