#include "machine/best_fit.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "machine/minimax.h"
#include "machine/plain.h"

namespace stripwright::machine {

using Eigen::Index;
using plain::mm;
using section::HeightCurve;

namespace {

/// The grid to begin with: enough in every span to tell a cubic's bends apart.
constexpr int kPlacesPerSpan = 16;
/// A target of more corners than this shows them to the fit only where they matter.
constexpr std::size_t kMostCornersAtOnce = 1000;
/// The miss found between the places of the grid may be this much above the grid's own, in mm.
constexpr double kSettled = 1e-10;
/// Each round settles a place or more; real tapers take three to six.
constexpr int kMostRounds = 60;

std::vector<double> first_grid(std::span<const FitSupport> supports, const HeightCurve& target,
                               double from, double to) {
  std::vector<double> ends{from, to};
  for (const FitSupport& s : supports) {
    if (mm(s.at) > from && mm(s.at) < to) ends.push_back(mm(s.at));
  }
  std::sort(ends.begin(), ends.end());
  std::vector<double> grid{to};
  for (std::size_t i = 0; i + 1 < ends.size(); ++i) {
    for (int k = 0; k < kPlacesPerSpan; ++k) {
      grid.push_back(ends[i] + (ends[i + 1] - ends[i]) * k / kPlacesPerSpan);
    }
  }
  const auto corners = target.corners();
  const std::size_t stride = 1 + corners.size() / kMostCornersAtOnce;
  for (std::size_t i = 0; i < corners.size(); i += stride) {
    if (mm(corners[i]) > from && mm(corners[i]) < to) grid.push_back(mm(corners[i]));
  }
  std::sort(grid.begin(), grid.end());
  grid.erase(std::unique(grid.begin(), grid.end()), grid.end());
  return grid;
}

/// The fit's unknowns: corrections to the free supports' first heights, in the order of `free`.
class Fit {
 public:
  Fit(BarKind kind, std::span<const FitSupport> supports, const HeightCurve& target, double from,
      double to)
      : kind_(kind), target_(target), grid_(first_grid(supports, target, from, to)) {
    for (const FitSupport& s : supports) {
      const Length least = s.free && s.at_least ? *s.at_least : s.height;
      start_.push_back({s.at, std::max(s.height, least)});
    }
    for (std::size_t i = 0; i < supports.size(); ++i) {
      if (supports[i].free) add_free(i, supports[i]);
    }
  }

  bool nothing_free() const { return free_.empty(); }
  const std::vector<Support>& start() const { return start_; }
  void look_at(double place) { grid_.push_back(place); }

  MinimaxSolution solve() const {
    const Index rows = static_cast<Index>(grid_.size());
    const Index columns = static_cast<Index>(free_.size());
    MinimaxProblem p{Eigen::MatrixXd(rows, columns), Eigen::VectorXd(rows),
                     Eigen::Map<const Eigen::VectorXd>(lower_.data(), columns)};
    const BarShape bar = bar_through(kind_, start_);
    for (Index r = 0; r < rows; ++r) {
      const Station at = plain::station(grid_[static_cast<std::size_t>(r)]);
      p.b(r) = mm(target_.height(at) - bar.height(at));
      for (Index c = 0; c < columns; ++c) {
        p.a(r, c) = mm(units_[static_cast<std::size_t>(c)].height(at));
      }
    }
    return solve_minimax(p);
  }

  std::vector<Support> supports(const MinimaxSolution& solution) const {
    std::vector<Support> set = start_;
    for (std::size_t c = 0; c < free_.size(); ++c) {
      Length& height = set[free_[c]].height;
      height += plain::length(solution.x(static_cast<Index>(c)));
      // Not even a rounding below.
      if (least_[c]) height = std::max(height, *least_[c]);
    }
    return set;
  }

 private:
  void add_free(std::size_t index, const FitSupport& s) {
    std::vector<Support> unit = start_;
    for (Support& u : unit) u.height = Length();
    unit[index].height = plain::length(1);
    BarShape shape = bar_through(kind_, unit);
    const bool felt = std::any_of(grid_.begin(), grid_.end(), [&](double x) {
      return shape.height(plain::station(x)) != Length();
    });
    if (!felt) return;
    free_.push_back(index);
    units_.push_back(std::move(shape));
    least_.push_back(s.at_least);
    lower_.push_back(s.at_least ? mm(*s.at_least - start_[index].height)
                                : -std::numeric_limits<double>::infinity());
  }

  BarKind kind_;
  const HeightCurve& target_;
  std::vector<double> grid_;
  std::vector<Support> start_;
  std::vector<std::size_t> free_;
  std::vector<BarShape> units_;
  std::vector<std::optional<Length>> least_;
  std::vector<double> lower_;
};

/// Shows the fit the places where the bar misses by more than the grid knows of, the worst on
/// either side of the target in each span; true if there was any.
bool add_worst_places(Fit& fit, const std::vector<Support>& supports,
                      const std::vector<Miss>& candidates, double known) {
  bool added = false;
  std::size_t next_support = 0;
  std::optional<Miss> high, low;
  const auto add = [&] {
    for (const auto& worst : {high, low}) {
      if (worst) fit.look_at(mm(worst->at));
      added = added || worst;
    }
    high.reset();
    low.reset();
  };
  for (const Miss& m : candidates) {
    if (next_support < supports.size() && m.at >= supports[next_support].at) add();
    while (next_support < supports.size() && m.at >= supports[next_support].at) ++next_support;
    const double amount = mm(m.amount);
    if (amount > (high ? mm(high->amount) : known + kSettled)) high = m;
    if (amount < (low ? mm(low->amount) : -known - kSettled)) low = m;
  }
  add();
  return added;
}

}  // namespace

BarShape bar_through(BarKind kind, std::vector<Support> supports) {
  return kind == BarKind::spring ? BarShape::spring(std::move(supports))
                                 : BarShape::straight_between(std::move(supports));
}

BestFit best_fit(BarKind kind, std::span<const FitSupport> supports, const HeightCurve& target,
                 Station from, Station to) {
  plain::require(from <= to, "an interval that ends before it begins");
  Fit fit(kind, supports, target, mm(from), mm(to));
  BestFit best{fit.start(), greatest_miss(bar_through(kind, fit.start()), target, from, to)};
  if (fit.nothing_free()) return best;
  for (int round = 0; round < kMostRounds; ++round) {
    const MinimaxSolution solution = fit.solve();
    const std::vector<Support> set = fit.supports(solution);
    const auto candidates = miss_candidates(bar_through(kind, set), target, from, to);
    const Miss greatest = greatest_of(candidates);
    if (abs(greatest.amount) <= abs(best.greatest.amount)) best = {set, greatest};
    if (!add_worst_places(fit, set, candidates, solution.greatest)) break;
  }
  return best;
}

}  // namespace stripwright::machine
