#include "machine/minimax.h"

#include <limits>
#include <stdexcept>

#include "catch.h"

using namespace stripwright::machine;

namespace {

constexpr double kFree = -std::numeric_limits<double>::infinity();

MinimaxProblem problem(Eigen::MatrixXd a, Eigen::VectorXd b, Eigen::VectorXd lower) {
  return {std::move(a), std::move(b), std::move(lower)};
}

}  // namespace

// A level for several values is halfway between the least and the greatest.
TEST_CASE("the best level is halfway, or as near to it as it may be") {
  Eigen::VectorXd b(4);
  b << 3, -1, 2, 0.5;
  const Eigen::MatrixXd ones = Eigen::MatrixXd::Ones(4, 1);
  const auto level = [&](double lower) {
    return solve_minimax(problem(ones, b, Eigen::VectorXd::Constant(1, lower)));
  };
  CHECK(level(kFree).x(0) == Approx(1).margin(1e-9));
  CHECK(level(kFree).greatest == Approx(2).margin(1e-9));
  CHECK(level(1.5).x(0) == Approx(1.5).margin(1e-9));
  CHECK(level(1.5).greatest == Approx(2.5).margin(1e-9));
  CHECK(level(0.5).greatest == Approx(2).margin(1e-9));
}

TEST_CASE("what comes out without a miss does, and nothing to fit is nothing") {
  Eigen::MatrixXd a(3, 2);
  a << 1, 0, 1, 1, 1, 2;
  const Eigen::VectorXd x = Eigen::Vector2d(0.7, -0.2);
  const Eigen::VectorXd lower = Eigen::VectorXd::Constant(2, kFree);
  const auto exact = solve_minimax(problem(a, a * x, lower));
  CHECK(exact.greatest < 1e-9);
  CHECK(exact.x(0) == Approx(0.7).margin(1e-8));
  CHECK(exact.x(1) == Approx(-0.2).margin(1e-8));
  CHECK(solve_minimax(problem(a, Eigen::VectorXd::Zero(3), lower)).greatest == 0);
  const auto none = solve_minimax(problem(Eigen::MatrixXd(3, 0), a * x, Eigen::VectorXd::Zero(0)));
  CHECK(none.greatest == Approx(0.7));
}

TEST_CASE("a value that changes nothing is a caller's mistake") {
  Eigen::MatrixXd a(3, 2);
  a << 1, 0, 1, 0, 1, 0;
  const Eigen::VectorXd lower = Eigen::VectorXd::Constant(2, kFree);
  CHECK_THROWS_AS(solve_minimax(problem(a, Eigen::Vector3d(1, 2, 3), lower)), std::logic_error);
}
