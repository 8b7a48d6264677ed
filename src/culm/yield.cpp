#include "culm/yield.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "diagnostics/problem.h"
#include "section/crossing.h"
#include "section/polygons.h"

namespace stripwright::culm {
namespace {

using section::Step;

WholeSplits splits_of(std::size_t halves, std::size_t thirds) {
  WholeSplits out;
  if (halves > 0) out.order.push_back(2);
  out.order.insert(out.order.end(), thirds, 3);
  if (halves > 1) out.order.insert(out.order.end(), halves - 1, 2);
  for (const int by : out.order) out.strips *= static_cast<std::size_t>(by);
  return out;
}

/// All counts of whole splits up to `most`, increasing.
std::vector<WholeSplits> whole_splits(std::size_t most) {
  std::vector<WholeSplits> out;
  std::size_t of_halves = 1;
  for (std::size_t halves = 0; of_halves <= most; ++halves, of_halves *= 2) {
    std::size_t count = of_halves;
    for (std::size_t thirds = 0; count <= most; ++thirds, count *= 3)
      out.push_back(splits_of(halves, thirds));
  }
  std::sort(out.begin(), out.end(),
            [](auto const& one, auto const& other) { return one.strips < other.strips; });
  return out;
}

}  // namespace

SectionNeed section_need(section::StripProfile const& profile, Spare const& spare,
                         RoughAllowance const& rough) {
  auto const& section = profile.section();
  SectionNeed out;
  out.section = section;
  constexpr std::size_t kStrips = 6;
  out.strips = kStrips * static_cast<std::size_t>(section.make);
  out.strip_length = section.length() + spare.tip_end + spare.butt_end;
  const Station from = section.from - spare.tip_end;
  const Station to = section.to + spare.butt_end;
  out.strip_height_at = from;
  out.strip_height = profile.height(from);
  const auto look = [&](Station at) {
    if (at < from || at > to || profile.height(at) <= out.strip_height) return;
    out.strip_height = profile.height(at);
    out.strip_height_at = at;
  };
  for (const Station corner : profile.corners()) look(corner);
  look(to);
  out.rough_height = out.strip_height + rough.over;
  out.split_width = section::face_width(out.rough_height) + rough.split;
  return out;
}

std::size_t most_strips(Length diameter, Length width) {
  check_internal(width > Length{}, "strips of no width");
  // A count that comes out whole must not be lost to a double's last bit.
  constexpr double kWhole = 1e-9;
  return static_cast<std::size_t>(std::floor(std::numbers::pi * diameter / width + kWhole));
}

WholeSplits largest_whole_splits(std::size_t most) {
  check_internal(most >= 1, "a culm that gives no strip");
  return whole_splits(most).back();
}

std::optional<WholeSplits> fewest_whole_splits(std::size_t wanted, std::size_t most) {
  for (auto& each : whole_splits(most))
    if (each.strips >= wanted) return std::move(each);
  return std::nullopt;
}

Yield yield_of(SectionNeed const& need, Length diameter, std::optional<Length> wall,
               bool culm_carries) {
  Yield out;
  out.most = most_strips(diameter, need.split_width);
  if (out.most > 0) {
    out.splits = largest_whole_splits(out.most);
    out.enough = fewest_whole_splits(need.strips, out.most);
  } else {
    out.splits.strips = 0;
  }
  if (out.splits.strips > 0)
    out.width_each = std::numbers::pi / static_cast<double>(out.splits.strips) * diameter;
  out.wall_carries = !wall || *wall > need.strip_height - kSamePlace;
  out.culm_carries = culm_carries;
  return out;
}

double flat_power_fibre_share(Length h, Length depth) {
  if (depth >= h) return 1;
  return 1 - std::pow((h - depth) / h, 2);
}

std::vector<CaneAt> cane_along(section::StripProfile const& profile,
                               std::vector<Station> const& stations, std::optional<Length> wall,
                               std::optional<Length> power_fibre) {
  std::vector<CaneAt> out;
  auto const& face = profile.rules().round_face();
  for (const Station at : stations) {
    const auto ledger = profile.ledger(at);
    const Length h_w = ledger[Step::strip_at_milling];
    CaneAt here;
    here.at = at;
    here.strip_milled = ledger[Step::strip_milled];
    here.crown = here.strip_milled - h_w;
    if (wall) here.wall_left = *wall - here.strip_milled;
    if (power_fibre && (!face || ledger.culm_carries))
      here.power_fibre_share = face ? section::power_fibre_share(*face, h_w, *power_fibre)
                                    : flat_power_fibre_share(h_w, *power_fibre);
    out.push_back(here);
  }
  return out;
}

}  // namespace stripwright::culm
