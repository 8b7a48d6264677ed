#pragma once

#include <span>
#include <vector>

#include "inspection/judge.h"

namespace stripwright::inspection {

/// What several strips say together of one station.
enum class Cause : unsigned char {
  unknown,  ///< one strip alone: its own fault and the machine's cannot be told apart
  scatter,  ///< the mean deviation may well be 0
  machine,  ///< it differs from 0 by more than its 95 % interval
};

std::string_view word(Cause cause);

/// The deviation of one station, averaged over strips.
struct StationDeviation {
  Station at;
  long strips = 0;
  Length mean;
  Length spread;                  ///< between strips, experimental standard deviation
  Length standard_error;          ///< of the mean, the gauge's common part whole
  double degrees_of_freedom = 0;  ///< effective; 0 for one strip
  /// The 95 % interval of the mean; for one strip that of its reading, by the gauge alone.
  Length low;
  Length high;
  Cause cause = Cause::unknown;
};

/// A part of a standard uncertainty and the degrees of freedom it is known with; infinite for
/// what is known for good.
struct UncertaintyPart {
  Length u;
  double degrees_of_freedom = 0;
};

/// Adds independent parts: u² = Σ u_i², and by Welch and Satterthwaite ν = u⁴ / Σ (u_i⁴/ν_i),
/// infinite where no part has less (JCGM 100:2008, G.4.1; from memory). All 0 gives 0.
UncertaintyPart combine(std::span<const UncertaintyPart> parts);

/// How far a two-sided interval of this coverage reaches, in standard uncertainties: Student's t,
/// the normal distribution for infinite degrees of freedom, which are above 0.
double reach(double coverage, double degrees_of_freedom);
/// For 95 %.
double reach_95(double degrees_of_freedom);

/// Collects judged pieces of one section, all from the same readings, and tells what they say
/// together. Each strip counts at a station with the mean deviation d of the heights read there.
/// Over n strips
///   u² = u_gauge² + max(s², r²)/n,
/// s the spread of d, r the root mean square of what the readings' own scatter makes of it; the
/// 95 % interval is Student's t on the effective degrees of freedom.
class GroupSummary {
 public:
  explicit GroupSummary(std::optional<Gauge> const& gauge);

  void add(JudgedPiece const& piece);
  /// By station.
  std::vector<StationDeviation> stations() const;

 private:
  /// Mean and squares kept up reading by reading (Welford's way), so that a million strips take
  /// no more room than one.
  struct Sum {
    Station at;
    long n = 0;
    Length mean;
    double squares_mm2 = 0;
    double scatter_mm2 = 0;
  };
  StationDeviation deviation(Sum const& sum) const;

  Length u_gauge_;
  std::vector<Sum> sums_;  // by the number that a place has among the targets
};

}  // namespace stripwright::inspection
