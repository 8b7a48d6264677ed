#include "machine/pass_plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "section/crossing.h"
#include "units/format.h"

namespace stripwright::machine {
namespace {

using section::HeightCurve;
using section::Side;

/// A strip that a quotient of decimals rounds up by a hair needs no further pass.
constexpr double kHair = 1e-9;
/// More passes than anyone runs: an entry is wrong.
constexpr double kMostPasses = 1000;

struct Rough {
  std::optional<Length> height;  ///< one height
  Length most_over;              ///< T_max
};

std::optional<Rough> rough_strip(HeightCurve const& strip, std::string const& section,
                                 PassesByCut const& passes, Placement const& placement, Unit unit,
                                 Problems& problems) {
  if (passes.rough.kind == RoughStart::Kind::over_taper)
    return Rough{std::nullopt, passes.rough.amount};
  const auto extent = section::extent(strip, placement.strip_tip_end(), placement.strip_butt_end());
  const Length height = rough_height(passes.rough, strip, placement);
  if (extent.highest > height + kSamePlace) {
    const auto over = section::crossings(strip, height);
    const auto from =
        std::find_if(over.begin(), over.end(), [&](Station at) { return placement.on_strip(at); });
    problems.error(
        fmt::format("section '{}': a rough strip {} high is lower than the strip to mill, {} at "
                    "its highest{}",
                    section, format_short(height, unit), format_short(extent.highest, unit),
                    from == over.end() ? std::string()
                                       : fmt::format("; it is too low beyond station {}",
                                                     format_short(from->from_zero(), unit))),
        "make the rough strip higher (passes: rough: height), or leave `rough` of passes out: then "
        "each section has its own, higher than its highest place by the shop's `rough: over`");
    return std::nullopt;
  }
  return Rough{height, height - extent.lowest};
}

std::vector<Pass> by_stage(std::shared_ptr<const HeightCurve> const& strip,
                           PassesByStage const& stages) {
  std::vector<Pass> out;
  for (const Length left : stages.over) {
    Pass pass;
    pass.number = static_cast<long>(out.size()) + 1;
    pass.left = left;
    pass.strip = std::make_shared<PassCurve>(strip, left, std::nullopt);
    if (!out.empty()) pass.before = out.back().strip;
    out.push_back(std::move(pass));
  }
  return out;
}

std::vector<Pass> by_cut(std::shared_ptr<const HeightCurve> const& strip, PassesByCut const& passes,
                         Rough const& rough) {
  const Length to_last = rough.most_over - passes.last_cut;
  const double others = std::max(0.0, std::ceil(to_last / passes.max_cut - kHair));
  const long count = 1 + std::lround(others);
  std::vector<Pass> out;
  for (long k = 1; k <= count; ++k) {
    Pass pass;
    pass.number = k;
    if (k < count)
      pass.left = passes.last_cut +
                  to_last * (static_cast<double>(count - 1 - k) / static_cast<double>(count - 1));
    pass.strip =
        std::make_shared<PassCurve>(strip, std::min(pass.left, rough.most_over), rough.height);
    pass.before = out.empty() ? std::make_shared<PassCurve>(strip, rough.most_over, rough.height)
                              : out.back().strip;
    out.push_back(std::move(pass));
  }
  return out;
}

}  // namespace

PassCurve::PassCurve(std::shared_ptr<const HeightCurve> final_strip, Length left,
                     std::optional<Length> rough_height)
    : final_(std::move(final_strip)), left_(left), rough_(rough_height) {
  const auto corners = final_->corners();
  corners_.assign(corners.begin(), corners.end());
  if (!rough_) return;
  for (const Length level : {*rough_ - left_, *rough_})
    for (const Station at : section::crossings(*final_, level)) corners_.push_back(at);
  std::sort(corners_.begin(), corners_.end());
  corners_.erase(std::unique(corners_.begin(), corners_.end()), corners_.end());
}

Length PassCurve::height(Station at) const {
  const Length h = final_->height(at);
  if (!rough_) return h + left_;
  return std::max(h, std::min(*rough_, h + left_));
}

double PassCurve::slope(Station at, Side side) const {
  const double slope = final_->slope(at, side);
  if (!rough_) return slope;
  // At a crossing the side decides on which of the two the strip runs.
  const Length h = final_->height(at);
  const bool rises = side == Side::towards_butt ? slope > 0 : slope < 0;
  const auto beyond = [&](Length level) {
    return h > level + kSamePlace || (h > level - kSamePlace && rises);
  };
  const bool on_rough = beyond(*rough_ - left_) && !beyond(*rough_);
  return on_rough ? 0 : slope;
}

std::optional<Length> Pass::cut(Station at) const {
  if (!before) return std::nullopt;
  return before->height(at) - strip->height(at);
}

std::optional<GreatestCut> greatest_cut(Pass const& pass, Placement const& placement) {
  if (!pass.before) return std::nullopt;
  // Both strips run between their corners on the final strip, a constant over it, or level: the cut
  // is monotone there.
  std::vector<Station> places = {placement.strip_tip_end(), placement.strip_butt_end()};
  for (HeightCurve const* curve : {pass.before.get(), pass.strip.get()})
    for (const Station at : curve->corners())
      if (placement.on_strip(at)) places.push_back(at);
  std::sort(places.begin(), places.end());
  std::optional<GreatestCut> out;
  for (const Station at : places) {
    const Length cut = *pass.cut(at);
    // Equal but for rounding is no greater.
    if (!out || cut > out->amount + kSamePlace) out = GreatestCut{at, cut};
  }
  return out;
}

Length rough_height(RoughStart const& rough, HeightCurve const& strip, Placement const& placement) {
  if (rough.kind == RoughStart::Kind::height) return rough.amount;
  return section::extent(strip, placement.strip_tip_end(), placement.strip_butt_end()).highest +
         rough.amount;
}

std::vector<Pass> plan_passes(std::shared_ptr<const HeightCurve> const& strip,
                              std::string const& section, std::optional<Passes> const& passes,
                              Placement const& placement, Unit unit, Problems& problems) {
  if (!passes) return {Pass{1, {}, strip, nullptr}};
  if (auto const* stages = std::get_if<PassesByStage>(&*passes)) return by_stage(strip, *stages);
  auto const& cuts = std::get<PassesByCut>(*passes);
  const auto rough = rough_strip(*strip, section, cuts, placement, unit, problems);
  if (!rough) return {};
  if ((rough->most_over - cuts.last_cut) / cuts.max_cut > kMostPasses) {
    problems.error(
        fmt::format("section '{}': over {} passes", section, format_short(kMostPasses, 0)),
        "check passes: max_cut and the rough height, and their units");
    return {};
  }
  return by_cut(strip, cuts, *rough);
}

}  // namespace stripwright::machine
