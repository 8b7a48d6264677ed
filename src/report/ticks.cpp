#include "report/ticks.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "units/format.h"

namespace stripwright::report {
namespace {

/// How far beyond an end a mark may lie and still count as on it, in steps.
constexpr double kOnTheEnd = 1e-9;
constexpr int kMostDecimals = 9;

struct Step {
  double size;
  int decimals;
};

/// The step of 1, 2 or 5 times a power of ten next above the range over the wanted count.
Step decimal_step(double range, int wanted) {
  const double raw = range / std::max(1, wanted);
  const double power = std::floor(std::log10(raw));
  const double base = std::pow(10.0, power);
  double factor = 10;
  for (const double each : {1.0, 2.0, 5.0})
    if (each * base >= raw * (1 - kOnTheEnd)) {
      factor = each;
      break;
    }
  const int carried = factor == 10 ? 1 : 0;
  return {factor * base, std::clamp(static_cast<int>(-power) - carried, 0, kMostDecimals)};
}

template <class Label>
std::vector<Tick> marks(double low, double high, double step, Label const& label) {
  std::vector<Tick> out;
  // Counted, not accumulated, so that a mark is where it says.
  const auto first = static_cast<long>(std::ceil(low / step - kOnTheEnd));
  const auto last = static_cast<long>(std::floor(high / step + kOnTheEnd));
  for (long i = first; i <= last; ++i) out.push_back({static_cast<double>(i) * step, label(i)});
  return out;
}

std::string fraction(long count, long parts) {
  const long whole = count / parts;
  const long rest = std::labs(count % parts);
  if (rest == 0) return fmt::format("{}", whole);
  const long common = std::gcd(rest, parts);
  const std::string part = fmt::format("{}/{}", rest / common, parts / common);
  if (whole != 0) return fmt::format("{} {}", whole, part);
  return (count < 0 ? "-" : "") + part;
}

}  // namespace

std::vector<Tick> decimal_ticks(double low, double high, int wanted) {
  if (!(high > low)) return {{low, format_short(low, 6)}};
  const Step step = decimal_step(high - low, wanted);
  return marks(low, high, step.size, [&](long i) {
    return format_fixed(static_cast<double>(i) * step.size, step.decimals);
  });
}

std::vector<Tick> inch_fraction_ticks(double low, double high, int wanted) {
  if (!(high > low)) return {{low, format_short(low, 6)}};
  constexpr std::array<double, 6> kParts = {64, 32, 16, 8, 4, 2};
  const double raw = (high - low) / std::max(1, wanted);
  for (const double parts : kParts)
    if (1 / parts >= raw * (1 - kOnTheEnd))
      return marks(low, high, 1 / parts,
                   [&](long i) { return fraction(i, static_cast<long>(parts)); });
  const double whole = std::max(1.0, decimal_step(high - low, wanted).size);
  return marks(low, high, whole,
               [&](long i) { return format_fixed(static_cast<double>(i) * whole, 0); });
}

}  // namespace stripwright::report
