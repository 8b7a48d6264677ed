#pragma once

#include <Eigen/Core>

namespace stripwright::machine {

/// minimise max |A x - b| over x with x >= lower.
struct MinimaxProblem {
  Eigen::MatrixXd a;      ///< one row a place, one column a free value
  Eigen::VectorXd b;      ///< what A x should come to
  Eigen::VectorXd lower;  ///< the least each x may be; minus infinity where there is none
};

struct MinimaxSolution {
  Eigen::VectorXd x;
  double greatest;  ///< max |A x - b|
};

/// Solved as a linear programme, min t with -t <= A x - b <= t, by a primal-dual interior point
/// method with a predictor and a corrector step (S. Mehrotra, "On the implementation of a
/// primal-dual interior point method", SIAM J. Optimization 2 (1992), from memory). Relative to
/// max |b| the greatest miss is right to about 1e-10. Where more than one x does, one well
/// inside the best ones is told; the same problem always gives the same answer.
/// Every column of A must have an entry that is not 0 (else std::logic_error).
MinimaxSolution solve_minimax(const MinimaxProblem& problem);

}  // namespace stripwright::machine
