#include "taper/smoothing_spline.h"

#include <Eigen/SparseCholesky>
#include <algorithm>
#include <cmath>

#include "diagnostics/problem.h"

namespace stripwright {
namespace {

using Matrix = Eigen::SparseMatrix<double>;
using Entries = std::vector<Eigen::Triplet<double>>;

/// λ beyond which a spline over any rod's stations is straight to far below a nanometre, and below
/// which it goes through its points.
constexpr double kStiffest = 1e14;
constexpr double kLimpest = 1e-12;
/// Halvings of the range of log λ: 26 decades to a millionth.
constexpr int kHalvings = 45;

}  // namespace

// With h_i the distances, Q (n by n-2) takes second divided differences and R (n-2 by n-2) is the
// Gram matrix of their hat functions:
//   Q_{j-1,j} = 1/h_{j-1}, Q_{j,j} = -1/h_{j-1} - 1/h_j, Q_{j+1,j} = 1/h_j,
//   R_{j,j} = (h_{j-1} + h_j)/3, R_{j,j+1} = h_j/6.
// The inner second derivatives γ solve (R + λ Qᵀ W⁻¹ Q) γ = Qᵀ y, W⁻¹ = diag(u²), and the
// fitted values are g = y - λ W⁻¹ Q γ. The matrix is symmetric, positive definite and five wide.
SmoothingSpline::SmoothingSpline(std::span<const MeasuredFlats> points, double stiffness) {
  check_internal(points.size() >= 3, "a smoothing spline through fewer than three points");
  const auto n = static_cast<Eigen::Index>(points.size());
  first_ = points.front().at.from_zero().in_millimetres();
  pitch_ = (points.back().at - points.front().at).in_millimetres() / static_cast<double>(n - 1);
  Eigen::VectorXd y(n);
  Eigen::VectorXd variance(n);
  for (auto const& point : points) {
    const auto i = static_cast<Eigen::Index>(x_.size());
    x_.push_back((point.at.from_zero().in_millimetres() - first_) / pitch_);
    y[i] = point.flats.in_millimetres();
    variance[i] = point.u.in_millimetres() * point.u.in_millimetres();
  }
  Entries q;
  Entries r;
  for (Eigen::Index j = 0; j < n - 2; ++j) {
    const auto k = static_cast<std::size_t>(j);
    const double before = x_[k + 1] - x_[k];
    const double after = x_[k + 2] - x_[k + 1];
    q.emplace_back(j, j, 1 / before);
    q.emplace_back(j + 1, j, -1 / before - 1 / after);
    q.emplace_back(j + 2, j, 1 / after);
    r.emplace_back(j, j, (before + after) / 3);
    if (j + 1 < n - 2) {
      r.emplace_back(j, j + 1, after / 6);
      r.emplace_back(j + 1, j, after / 6);
    }
  }
  Matrix second(n, n - 2);
  second.setFromTriplets(q.begin(), q.end());
  Matrix gram(n - 2, n - 2);
  gram.setFromTriplets(r.begin(), r.end());
  // Divided by 1 + λ, so that neither term drowns in the other's size.
  const double share = 1 / (1 + stiffness);
  const Matrix weighted = variance.asDiagonal() * second;
  const Matrix system = share * gram + (1 - share) * Matrix(second.transpose() * weighted);
  const Eigen::SimplicialLDLT<Matrix> solver(system);
  check_internal(solver.info() == Eigen::Success, "a smoothing spline that cannot be solved");
  // share γ, and with it λ γ = (1 - share)/share² ... kept as one so that no large number meets a
  // small.
  const Eigen::VectorXd scaled = solver.solve(second.transpose() * y);
  const Eigen::VectorXd g = y - (1 - share) * (weighted * scaled);
  g_.assign(g.begin(), g.end());
  bend_.assign(x_.size(), 0);
  for (Eigen::Index j = 0; j < n - 2; ++j)
    bend_[static_cast<std::size_t>(j + 1)] = share * scaled[j];
}

Length SmoothingSpline::flats(Station at) const {
  const double x = (at.from_zero().in_millimetres() - first_) / pitch_;
  const auto upper = std::upper_bound(x_.begin() + 1, x_.end() - 1, x);
  const auto k = static_cast<std::size_t>(upper - x_.begin()) - 1;
  const double h = x_[k + 1] - x_[k];
  const double rise = (g_[k + 1] - g_[k]) / h;
  if (x < x_.front())
    return Length::millimetres(g_.front() + (x - x_.front()) * (rise - h * bend_[1] / 6));
  if (x > x_.back())
    return Length::millimetres(g_.back() + (x - x_.back()) * (rise + h * bend_[k] / 6));
  const double a = x - x_[k];
  const double b = x_[k + 1] - x;
  return Length::millimetres((a * g_[k + 1] + b * g_[k]) / h -
                             a * b / 6 * ((1 + a / h) * bend_[k + 1] + (1 + b / h) * bend_[k]));
}

double SmoothingSpline::roughness() const {
  double sum = 0;
  for (std::size_t k = 0; k + 1 < x_.size(); ++k)
    sum += (x_[k + 1] - x_[k]) / 3 *
           (bend_[k] * bend_[k] + bend_[k] * bend_[k + 1] + bend_[k + 1] * bend_[k + 1]);
  return sum;
}

SmoothingSpline smoothest_within(std::span<const MeasuredFlats> points, double times) {
  const auto within = [&](SmoothingSpline const& spline) {
    double squares = 0;
    for (auto const& point : points) {
      const double off = (point.flats - spline.flats(point.at)) / point.u;
      if (!(std::abs(off) <= times)) return false;
      squares += off * off;
    }
    return squares <= static_cast<double>(points.size());
  };
  SmoothingSpline best(points, kStiffest);
  if (within(best)) return best;
  double low = std::log(kLimpest);
  double high = std::log(kStiffest);
  best = SmoothingSpline(points, kLimpest);
  for (int i = 0; i < kHalvings; ++i) {
    const double middle = (low + high) / 2;
    SmoothingSpline trial(points, std::exp(middle));
    if (within(trial)) {
      low = middle;
      best = std::move(trial);
    } else {
      high = middle;
    }
  }
  return best;
}

}  // namespace stripwright
