#pragma once

#include <span>
#include <vector>

#include "inspection/interval.h"
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

/// Collects judged pieces of one section, all from the same readings, and tells what they say
/// together. Each strip counts at a station with the mean deviation d of the heights read there,
/// without readings that stand alone. Over n strips
///   u² = u_gauge² + max(s², r²)/n,
/// s the spread of d, r the root mean square of what the readings' own scatter makes of it; the
/// 95 % interval is that of `half_width`, with √(max(s², r²)/n) as the standard error.
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
