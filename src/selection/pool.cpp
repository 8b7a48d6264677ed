#include "selection/pool.h"

#include <algorithm>
#include <cmath>

#include "units/number_scan.h"

namespace stripwright::selection {

Nanometres to_nanometres(Length length) { return std::llround(length.in_millimetres() * 1e6); }

Length to_length(Nanometres nanometres) {
  return Length::millimetres(static_cast<double>(nanometres) / 1e6);
}

bool Pool::densities_known() const {
  return std::all_of(strips.begin(), strips.end(),
                     [](auto const& strip) { return strip.density.has_value(); });
}

Nanometres gap_shortfall(std::vector<Nanometres> const& one, std::vector<Nanometres> const& other,
                         Nanometres min_gap) {
  Nanometres sum = 0;
  for (const Nanometres a : one)
    for (const Nanometres b : other) sum += std::max<Nanometres>(0, min_gap - std::abs(a - b));
  return sum;
}

RingValue value_of(Pool const& pool, Ring const& ring) {
  RingValue out;
  std::array<Candidate const*, kRingSize> six{};
  for (std::size_t i = 0; i < kRingSize; ++i) six[i] = &pool.candidates[ring[i]];
  for (std::size_t i = 0; i < kRingSize; ++i)
    out.shortfall += six[i]->own_shortfall +
                     gap_shortfall(six[i]->nodes, six[(i + 1) % kRingSize]->nodes, pool.min_gap);
  for (std::size_t x = 0; x < pool.stations; ++x) {
    std::array<Nanometres, kPairs> flats{};
    for (std::size_t p = 0; p < kPairs; ++p) {
      flats[p] = Nanometres{six[p]->deviation[x]} + six[p + kPairs]->deviation[x];
      out.deviation = std::max(out.deviation, std::abs(flats[p]));
    }
    const auto [least, most] = std::minmax_element(flats.begin(), flats.end());
    out.out_of_round = std::max(out.out_of_round, *most - *least);
  }
  if (pool.densities_known())
    for (std::size_t p = 0; p < kPairs; ++p)
      out.imbalance =
          std::max(out.imbalance, std::abs(*pool.strips[six[p]->strip].density -
                                           *pool.strips[six[p + kPairs]->strip].density));
  return out;
}

RingValue value_of(Pool const& pool, std::vector<Ring> const& rings) {
  RingValue out;
  for (auto const& ring : rings) {
    const auto one = value_of(pool, ring);
    out.shortfall += one.shortfall;
    out.deviation = std::max(out.deviation, one.deviation);
    out.out_of_round = std::max(out.out_of_round, one.out_of_round);
    out.imbalance = std::max(out.imbalance, one.imbalance);
  }
  return out;
}

Ring in_order(Ring const& ring) {
  const auto first =
      static_cast<std::size_t>(std::min_element(ring.begin(), ring.end()) - ring.begin());
  const bool onwards = ring[(first + 1) % kRingSize] < ring[(first + kRingSize - 1) % kRingSize];
  Ring out{};
  for (std::size_t i = 0; i < kRingSize; ++i)
    out[i] = ring[(first + (onwards ? i : kRingSize - i)) % kRingSize];
  return out;
}

bool name_before(std::string const& one, std::string const& other) {
  const auto digits_at = [](std::string const& text, std::size_t from) {
    std::size_t end = from;
    while (end < text.size() && scan::is_digit(text[end])) ++end;
    return end;
  };
  std::size_t i = 0;
  std::size_t j = 0;
  while (i < one.size() && j < other.size()) {
    const auto i_end = digits_at(one, i);
    const auto j_end = digits_at(other, j);
    if (i_end == i || j_end == j) {
      if (one[i] != other[j]) return one[i] < other[j];
      ++i;
      ++j;
      continue;
    }
    while (i + 1 < i_end && one[i] == '0') ++i;
    while (j + 1 < j_end && other[j] == '0') ++j;
    if (i_end - i != j_end - j) return i_end - i < j_end - j;
    const int order = one.compare(i, i_end - i, other, j, j_end - j);
    if (order != 0) return order < 0;
    i = i_end;
    j = j_end;
  }
  if ((i < one.size()) != (j < other.size())) return i == one.size();
  return one < other;  // `s01` and `s1`
}

}  // namespace stripwright::selection
