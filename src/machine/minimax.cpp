#include "machine/minimax.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>

#include "machine/plain.h"

namespace stripwright::machine {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

constexpr int kMostSteps = 100;
/// Gap and residuals, with max |b| scaled to 1, at which the answer is good enough.
constexpr double kConverged = 1e-13;

/// min c·z with G z >= g, z = (x, t): the rows are A x + t >= b, -A x + t >= -b and x >= lower.
struct Programme {
  MatrixXd G;
  VectorXd g, c;
};

/// z with its surplus s = G z - g >= 0 and the prices λ >= 0 of the rows.
struct Iterate {
  VectorXd z, s, price;
};

Programme programme(const MinimaxProblem& p, double scale) {
  const Index rows = p.a.rows(), n = p.a.cols();
  const auto bounded = [&](Index j) { return std::isfinite(p.lower(j)); };
  Index bounds = 0;
  for (Index j = 0; j < n; ++j) bounds += bounded(j) ? 1 : 0;
  Programme lp{MatrixXd::Zero(2 * rows + bounds, n + 1), VectorXd(2 * rows + bounds),
               VectorXd::Zero(n + 1)};
  lp.c(n) = 1;
  lp.G.topLeftCorner(rows, n) = p.a;
  lp.G.block(rows, 0, rows, n) = -p.a;
  lp.G.col(n).head(2 * rows).setOnes();
  lp.g.head(rows) = p.b / scale;
  lp.g.segment(rows, rows) = -p.b / scale;
  Index row = 2 * rows;
  for (Index j = 0; j < n; ++j) {
    if (!bounded(j)) continue;
    lp.G(row, j) = 1;
    lp.g(row++) = p.lower(j) / scale;
  }
  return lp;
}

/// x = 0 with t above every miss; the prices of the rows add up as c asks.
Iterate start(const Programme& lp) {
  Iterate at{VectorXd::Zero(lp.c.size()), VectorXd(), VectorXd()};
  at.z(lp.c.size() - 1) = 1.5;
  at.s = (lp.G * at.z - lp.g).cwiseMax(0.1);
  at.price = VectorXd::Constant(lp.g.size(), 1.0 / static_cast<double>(lp.g.size()));
  return at;
}

/// The longest step, at most 1, that keeps v + step dv from going below 0.
double longest_step(const VectorXd& v, const VectorXd& dv) {
  double step = 1;
  for (Index i = 0; i < v.size(); ++i) {
    if (dv(i) < 0) step = std::min(step, -v(i) / dv(i));
  }
  return step;
}

/// Newton's step towards G z - s = g, Gᵀ λ = c, s_i λ_i = goal_i:
///   G dz - ds = -r_p,  Gᵀ dλ = r_d,  λ ds + s dλ = goal - s λ.
/// With D = λ/s, dλ and ds eliminated:
///   Gᵀ D G dz = Gᵀ ((goal - s λ - λ r_p)/s) - r_d.
class NewtonSystem {
 public:
  NewtonSystem(const Programme& lp, const Iterate& at)
      : lp_(lp),
        at_(at),
        r_p_(lp.G * at.z - at.s - lp.g),
        r_d_(lp.c - lp.G.transpose() * at.price) {
    const VectorXd weight = at.price.cwiseQuotient(at.s);
    factors_.compute(lp.G.transpose() * weight.asDiagonal() * lp.G);
  }

  Iterate step(const VectorXd& goal) const {
    const VectorXd wanted = goal - at_.s.cwiseProduct(at_.price);
    const VectorXd right = (wanted - at_.price.cwiseProduct(r_p_)).cwiseQuotient(at_.s);
    Iterate d;
    d.z = factors_.solve(lp_.G.transpose() * right - r_d_);
    d.s = lp_.G * d.z + r_p_;
    d.price = (wanted - at_.price.cwiseProduct(d.s)).cwiseQuotient(at_.s);
    return d;
  }

  double residual() const {
    return std::max(r_p_.lpNorm<Eigen::Infinity>(), r_d_.lpNorm<Eigen::Infinity>());
  }

 private:
  const Programme& lp_;
  const Iterate& at_;
  VectorXd r_p_, r_d_;
  Eigen::LDLT<MatrixXd> factors_;
};

/// One predictor and corrector step; false where it does not come to finite numbers any more,
/// close to the answer when the normal equations have no digits left.
bool improve(Iterate& at, const NewtonSystem& newton) {
  const double rows = static_cast<double>(at.s.size());
  const double gap = at.s.dot(at.price) / rows;
  const Iterate predicted = newton.step(VectorXd::Zero(at.s.size()));
  const double affine_s = longest_step(at.s, predicted.s);
  const double affine_price = longest_step(at.price, predicted.price);
  const double gap_left =
      (at.s + affine_s * predicted.s).dot(at.price + affine_price * predicted.price) / rows;
  const double centring = std::pow(gap_left / gap, 3);
  const VectorXd goal =
      VectorXd::Constant(at.s.size(), centring * gap) - predicted.s.cwiseProduct(predicted.price);
  const Iterate d = newton.step(goal);
  if (!d.z.allFinite() || !d.s.allFinite() || !d.price.allFinite()) return false;
  // Not quite to the wall, so that no surplus becomes 0.
  const double stop_short = 0.995;
  const double step_s = std::min(1.0, stop_short * longest_step(at.s, d.s));
  const double step_price = std::min(1.0, stop_short * longest_step(at.price, d.price));
  at.z += step_s * d.z;
  at.s += step_s * d.s;
  at.price += step_price * d.price;
  return true;
}

}  // namespace

MinimaxSolution solve_minimax(const MinimaxProblem& p) {
  const Index n = p.a.cols();
  for (Index j = 0; j < n; ++j) {
    plain::require(p.a.col(j).cwiseAbs().maxCoeff() > 0, "a fitted value that changes nothing");
  }
  const auto greatest = [&](const VectorXd& x) -> double {
    return (p.a * x - p.b).lpNorm<Eigen::Infinity>();
  };
  const auto allowed = [&](const VectorXd& x) -> VectorXd { return x.cwiseMax(p.lower); };
  MinimaxSolution best{allowed(VectorXd::Zero(n)), 0};
  best.greatest = greatest(best.x);
  const double scale = std::max(p.b.lpNorm<Eigen::Infinity>(), best.greatest);
  if (n == 0 || scale == 0) return best;

  const Programme lp = programme(p, scale);
  Iterate at = start(lp);
  for (int i = 0; i < kMostSteps; ++i) {
    const NewtonSystem newton(lp, at);
    if (newton.residual() < kConverged && at.s.dot(at.price) < kConverged) break;
    if (!improve(at, newton)) break;
    const VectorXd x = allowed(at.z.head(n) * scale);
    const double now = greatest(x);
    if (now <= best.greatest) best = {x, now};
  }
  return best;
}

}  // namespace stripwright::machine
