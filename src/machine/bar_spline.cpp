#include "machine/bar_spline.h"

#include <algorithm>
#include <utility>

#include "machine/plain.h"

namespace stripwright::machine {

using plain::mm;
using section::Side;

namespace {

void check(const std::vector<Support>& supports) {
  plain::require(!supports.empty(), "a bar without a support");
  for (std::size_t i = 0; i < supports.size(); ++i) {
    plain::require(supports[i].at.from_zero().finite() && supports[i].height.finite(),
                   "a bar's support is not finite");
    plain::require(i == 0 || supports[i - 1].at < supports[i].at,
                   "a bar's supports do not increase");
  }
}

double mean_slope(const Support& a, const Support& b) {
  return (b.height - a.height) / (b.at - a.at);
}

/// s'' at the supports, from the three-moment equations: a tridiagonal system whose diagonal
/// outweighs the rest of its row, so elimination without pivots is stable.
std::vector<double> natural_bends(const std::vector<Support>& s) {
  const std::size_t n = s.size();
  std::vector<double> bends(n, 0.0);
  if (n < 3) return bends;
  std::vector<double> above(n, 0.0);
  for (std::size_t i = 1; i + 1 < n; ++i) {
    const double before = mm(s[i].at - s[i - 1].at);
    const double after = mm(s[i + 1].at - s[i].at);
    const double right = 6 * (mean_slope(s[i], s[i + 1]) - mean_slope(s[i - 1], s[i]));
    const double pivot = 2 * (before + after) - before * above[i - 1];
    above[i] = after / pivot;
    bends[i] = (right - before * bends[i - 1]) / pivot;
  }
  for (std::size_t i = n - 2; i >= 1; --i) bends[i] -= above[i] * bends[i + 1];
  return bends;
}

}  // namespace

BarShape BarShape::spring(std::vector<Support> supports) {
  check(supports);
  const std::vector<double> bends = natural_bends(supports);
  return BarShape(std::move(supports), bends, bends.size() < 3);
}

BarShape BarShape::straight_between(std::vector<Support> supports) {
  check(supports);
  const std::vector<double> none(supports.size(), 0.0);
  return BarShape(std::move(supports), none, true);
}

BarShape::BarShape(std::vector<Support> supports, const std::vector<double>& bends, bool straight)
    : supports_(std::move(supports)), straight_(straight) {
  for (const Support& s : supports_) corners_.push_back(s.at);
  const Support& first = supports_.front();
  const Support& last = supports_.back();
  pieces_.push_back({mm(first.at), mm(first.height), 0, 0, 0});
  // With s'' linear over a span of length L from s''_0 to s''_1, the height follows by
  // integrating twice: b = m - L (2 s''_0 + s''_1)/6, c = s''_0/2, d = (s''_1 - s''_0)/(6 L).
  double end_slope = 0;
  for (std::size_t i = 0; i + 1 < supports_.size(); ++i) {
    const double span = mm(supports_[i + 1].at - supports_[i].at);
    const double slope = mean_slope(supports_[i], supports_[i + 1]);
    pieces_.push_back({mm(supports_[i].at), mm(supports_[i].height),
                       slope - span * (2 * bends[i] + bends[i + 1]) / 6, bends[i] / 2,
                       (bends[i + 1] - bends[i]) / (6 * span)});
    end_slope = slope + span * (bends[i] + 2 * bends[i + 1]) / 6;
  }
  pieces_.push_back({mm(last.at), mm(last.height), end_slope, 0, 0});
  pieces_.front().b = pieces_[1].b;
}

const BarShape::Piece& BarShape::piece_at(double at, Side side) const {
  const auto index = side == Side::towards_butt
                         ? std::upper_bound(corners_.begin(), corners_.end(), plain::station(at))
                         : std::lower_bound(corners_.begin(), corners_.end(), plain::station(at));
  return pieces_[static_cast<std::size_t>(index - corners_.begin())];
}

Length BarShape::height(Station at) const {
  const Piece& p = piece_at(mm(at), Side::towards_butt);
  const double t = mm(at) - p.from;
  return plain::length(p.a + t * (p.b + t * (p.c + t * p.d)));
}

double BarShape::slope(Station at, Side side) const {
  const Piece& p = piece_at(mm(at), side);
  const double t = mm(at) - p.from;
  return p.b + t * (2 * p.c + t * 3 * p.d);
}

double BarShape::bend_per_millimetre(Station at) const {
  const Piece& p = piece_at(mm(at), Side::towards_butt);
  return 2 * p.c + 6 * p.d * (mm(at) - p.from);
}

}  // namespace stripwright::machine
