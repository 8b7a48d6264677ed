#include "selection/prediction.h"

#include <algorithm>
#include <cmath>

namespace stripwright::selection {
namespace {

using section::Step;

std::optional<NearestNodes> nearest_nodes(Pool const& pool, Ring const& ring) {
  std::optional<NearestNodes> out;
  for (std::size_t i = 0; i < kRingSize; ++i) {
    const std::size_t next = (i + 1) % kRingSize;
    for (const auto a : pool.candidates[ring[i]].nodes)
      for (const auto b : pool.candidates[ring[next]].nodes) {
        const Length gap = to_length(std::abs(a - b));
        if (!out || gap < out->gap)
          out = NearestNodes{{i, Station(to_length(a))}, {next, Station(to_length(b))}, gap};
      }
  }
  return out;
}

std::optional<NearestToPlace> nearest_to_place(Pool const& pool, Ring const& ring,
                                               NodeRules const& rules) {
  std::optional<NearestToPlace> out;
  for (std::size_t i = 0; i < kRingSize; ++i)
    for (auto const* nodes :
         {&pool.candidates[ring[i]].nodes, &pool.candidates[ring[i]].nodes_beyond})
      for (const auto node : *nodes)
        for (const Station place : rules.places) {
          const Station at(to_length(node));
          const Length distance = abs(at - place);
          if (!out || distance < out->distance) out = NearestToPlace{{i, at}, place, distance};
        }
  return out;
}

WorstSeam worst_seam(Pool const& pool, Ring const& ring, std::vector<Station> const& stations) {
  WorstSeam out;
  for (std::size_t i = 0; i < kRingSize; ++i) {
    auto const& one = pool.candidates[ring[i]].deviation;
    auto const& next = pool.candidates[ring[(i + 1) % kRingSize]].deviation;
    for (std::size_t x = 0; x < stations.size(); ++x) {
      const Length step = to_length(std::abs(Nanometres{one[x]} - next[x]));
      if (step > out.step) out = {i, stations[x], step};
    }
  }
  return out;
}

}  // namespace

Length PredictedFlats::out_of_round() const {
  const auto [least, most] = std::minmax_element(flats.begin(), flats.end());
  return *most - *least;
}

Length PredictedFlats::worst_deviation() const {
  Length worst;
  for (const Length each : flats)
    if (abs(each - target) > abs(worst)) worst = each - target;
  return worst;
}

RingReport report_on(SectionPool const& pool, PoolOrder const& order, Ring const& ring) {
  RingReport out;
  out.ring = ring;
  out.value = value_of(pool.pool, ring);
  out.within_limits = true;
  auto const& limits = order.shop->tolerances.flats;
  for (std::size_t x = 0; x < order.stations.size(); ++x) {
    const auto ledger = order.targets->profile().ledger(order.stations[x]);
    PredictedFlats here;
    here.at = order.stations[x];
    here.target = ledger[Step::flats_glued];
    Length sum;
    for (std::size_t p = 0; p < kPairs; ++p) {
      const Length deviation = to_length(Nanometres{pool.pool.candidates[ring[p]].deviation[x]} +
                                         pool.pool.candidates[ring[p + kPairs]].deviation[x]);
      here.flats[p] = here.target + deviation;
      sum += deviation;
      if (deviation > limits.over + kSamePlace || deviation < -limits.under - kSamePlace)
        out.within_limits = false;
    }
    here.stiffness_change =
        std::pow(1 + sum / static_cast<double>(kPairs) / ledger[Step::bare], 4) - 1;
    out.stations.push_back(here);
  }
  out.worst_seam = worst_seam(pool.pool, ring, order.stations);
  out.nearest_nodes = nearest_nodes(pool.pool, ring);
  out.nearest_to_place = nearest_to_place(pool.pool, ring, order.rules);
  return out;
}

Substitute best_place_for(Pool const& pool, Ring const& ring, std::size_t strip) {
  std::optional<Substitute> best;
  for (std::size_t place = 0; place < kRingSize; ++place)
    for (std::size_t c = 0; c < pool.candidates.size(); ++c) {
      if (pool.candidates[c].strip != strip) continue;
      Ring with_it = ring;
      with_it[place] = c;
      const auto value = value_of(pool, with_it);
      if (!best || value < best->value) best = Substitute{place, c, value};
    }
  return best.value_or(Substitute{});
}

}  // namespace stripwright::selection
