#include "bending/rod.h"

#include <algorithm>

#include "diagnostics/problem.h"
#include "section/hexagon.h"

namespace stripwright::bending {
namespace {

Length off_by(std::vector<Deviation> const& stretch, Station at) {
  const auto next = std::upper_bound(stretch.begin() + 1, stretch.end() - 1, at,
                                     [](Station s, Deviation const& d) { return s < d.at; });
  auto const &a = *(next - 1), &b = *next;
  return a.flats + (b.flats - a.flats) * ((at - a.at) / (b.at - a.at));
}

}  // namespace

Rod::Rod(TaperCurve curve, Length varnish, Material material)
    : curve_(std::move(curve)), varnish_(varnish), material_(material) {}

void Rod::add(std::vector<Deviation> stretch) {
  check_internal(stretch.size() >= 2, "a stretch of deviations that has no length");
  stretches_.push_back(std::move(stretch));
}

Length Rod::flats(Station at) const {
  Length out = curve_.flats(at) - varnish_;
  for (auto const& stretch : stretches_)
    if (at >= stretch.front().at && (at < stretch.back().at || ends_at(stretch, at)))
      out += off_by(stretch, at);
  return out;
}

/// Whether it ends there and none goes on.
bool Rod::ends_at(std::vector<Deviation> const& stretch, Station at) const {
  const auto begins = [&](auto const& other) { return other.front().at == at; };
  return stretch.back().at == at && std::none_of(stretches_.begin(), stretches_.end(), begins);
}

double Rod::stiffness(Station at) const {
  return material_.modulus.in_megapascals() *
         section::Hexagon(flats(at)).second_moment_in_millimetres4();
}

double Rod::mass_per_length(Station at) const {
  return material_.density.in_grams_per_cubic_millimetre() *
         section::Hexagon(flats(at)).area_in_square_millimetres();
}

std::vector<Station> Rod::corners() const {
  std::vector<Station> out(curve_.points().begin(), curve_.points().end());
  for (auto const& stretch : stretches_)
    for (auto const& deviation : stretch) out.push_back(deviation.at);
  for (auto const& joint : joints_) {
    out.push_back(joint.from);
    out.push_back(joint.to);
  }
  std::sort(out.begin(), out.end());
  out.erase(
      std::unique(out.begin(), out.end(), [](Station a, Station b) { return same_place(a, b); }),
      out.end());
  return out;
}

}  // namespace stripwright::bending
