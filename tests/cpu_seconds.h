#pragma once

#include <ctime>

namespace test {

/// Seconds of work that a test has had since this was made; a machine that is busy with other
/// things, or was asleep, does not count.
class CpuSeconds {
 public:
  double count() const { return static_cast<double>(std::clock() - start_) / CLOCKS_PER_SEC; }

 private:
  std::clock_t start_ = std::clock();
};

}  // namespace test
