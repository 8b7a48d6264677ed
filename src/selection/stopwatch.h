#pragma once

#include <chrono>
#include <functional>
#include <optional>
#include <string_view>

namespace stripwright::selection {

/// How long a search may go on, and who hears of it.
struct SearchLimits {
  std::optional<std::chrono::milliseconds> time;  ///< none: until it is proven
  /// Called now and then with what is being done, and the share of it that is done, 0 to 1.
  std::function<void(std::string_view, double)> progress = {};
};

/// Tells when a search has to stop. It looks at the clock only now and then.
class Stopwatch {
 public:
  explicit Stopwatch(SearchLimits const& limits)
      : limits_(limits), started_(std::chrono::steady_clock::now()) {}

  /// True once the time is over; then it stays so.
  bool over() {
    constexpr unsigned kEvery = 64;
    if (over_ || !limits_.time || ++calls_ % kEvery != 0) return over_;
    return over_ = std::chrono::steady_clock::now() - started_ >= *limits_.time;
  }
  /// The same, but it looks at once: between long steps.
  bool over_now() {
    if (!over_ && limits_.time)
      over_ = std::chrono::steady_clock::now() - started_ >= *limits_.time;
    return over_;
  }

  /// Tells how far the search is, at most ten times a second.
  void tell(std::string_view doing, double share) {
    if (!limits_.progress) return;
    const auto now = std::chrono::steady_clock::now();
    if (now - told_ < std::chrono::milliseconds(100)) return;
    told_ = now;
    limits_.progress(doing, share);
  }

 private:
  SearchLimits const& limits_;
  std::chrono::steady_clock::time_point started_;
  std::chrono::steady_clock::time_point told_ = started_;
  unsigned calls_ = 0;
  bool over_ = false;
};

}  // namespace stripwright::selection
