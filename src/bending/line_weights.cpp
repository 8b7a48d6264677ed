#include "bending/line_weights.h"

#include <array>

namespace stripwright::bending {
namespace {

constexpr std::array kGrains = {60.0,  80.0,  100.0, 120.0, 140.0, 160.0, 185.0, 210.0,
                                240.0, 280.0, 330.0, 380.0, 450.0, 500.0, 550.0};

}  // namespace

std::optional<Mass> line_weight(long number) {
  if (number < 1 || number > static_cast<long>(kGrains.size())) return std::nullopt;
  return Mass::grains(kGrains[static_cast<std::size_t>(number - 1)]);
}

std::optional<Mass> line_out(long number, Length out) {
  const auto weight = line_weight(number);
  if (!weight) return std::nullopt;
  return *weight * (out / kWeighedLength);
}

}  // namespace stripwright::bending
