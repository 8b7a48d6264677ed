#include "bending/sensitivity.h"

#include "diagnostics/problem.h"

namespace stripwright::bending {
namespace {

constexpr Length kMillimetre = Length::millimetres(1);
constexpr double kStep = 0.01;  // of a stretch

std::optional<Bent> bent_with(Rod rod, Loading const& loading, std::vector<Station> const& stations,
                              std::vector<Deviation> stretch, double share) {
  for (auto& deviation : stretch) deviation.flats = share * deviation.flats;
  rod.add(std::move(stretch));
  return bend(rod, loading, stations);
}

}  // namespace

std::vector<std::vector<Deviation>> single_deviations(std::vector<Station> const& places,
                                                      Station from, Station to) {
  check_internal(!places.empty() && from <= places.front() && to >= places.back() && from < to,
                 "deviations at no place, or outside their stretch");
  std::vector<std::vector<Deviation>> out;
  for (std::size_t i = 0; i < places.size(); ++i) {
    std::vector<Deviation> stretch;
    const auto add = [&](Station at, std::size_t place) {
      stretch.push_back({at, place == i ? kMillimetre : Length{}});
    };
    if (from < places.front()) add(from, 0);
    for (std::size_t k = 0; k < places.size(); ++k) add(places[k], k);
    if (to > places.back()) add(to, places.size() - 1);
    out.push_back(std::move(stretch));
  }
  return out;
}

std::optional<std::vector<std::vector<double>>> sensitivities(
    Rod const& rod, Loading const& loading, std::vector<Station> const& stations,
    std::vector<std::vector<Deviation>> const& stretches) {
  std::vector<std::vector<double>> out;
  for (auto const& stretch : stretches) {
    const auto thicker = bent_with(rod, loading, stations, stretch, kStep);
    const auto thinner = bent_with(rod, loading, stations, stretch, -kStep);
    if (!thicker || !thinner) return std::nullopt;
    std::vector<double> down;
    for (std::size_t k = 0; k < thicker->places.size(); ++k)
      down.push_back((thicker->places[k].down - thinner->places[k].down) /
                     (2 * kStep * kMillimetre));
    out.push_back(std::move(down));
  }
  return out;
}

}  // namespace stripwright::bending
