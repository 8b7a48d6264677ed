#include "shop/read_passes.h"

#include <fmt/format.h>

#include <algorithm>
#include <functional>

namespace stripwright {
namespace {

using files::MapReader;

/// More passes than anyone runs over a strip.
constexpr std::size_t kMostStages = 100;

constexpr auto kTwoKindsOfPasses =
    "give either a list `over: [..., 0]`, or max_cut and last_cut (and rough)";

PassesByCut read_passes_by_cut(MapReader const& passes, RoughAllowance const& rough) {
  PassesByCut out;
  out.rough = {RoughStart::Kind::over_highest, rough.over};
  for (const std::string_view key : {"max_cut", "last_cut"})
    if (!passes.written(key))
      passes.complain(key, fmt::format("the passes lack '{}'", key), kTwoKindsOfPasses);
  out.max_cut = passes.length("max_cut");
  out.last_cut = passes.length("last_cut");
  if (out.last_cut > out.max_cut && out.max_cut > Length{})
    passes.complain("last_cut", "last_cut is more than max_cut",
                    "the last pass takes no more than the others");
  const auto strip = passes.map("rough");
  if (!strip) return out;
  const bool height = strip->written("height");
  if (height && strip->written("over"))
    passes.complain("rough", "the rough strip has both 'height' and 'over'", "give one of the two");
  if (!height && !strip->written("over"))
    passes.complain("rough", "the rough strip lacks its size",
                    "give one `height`, or so much `over` the milled strip");
  out.rough = height ? RoughStart{RoughStart::Kind::height, strip->length("height")}
                     : RoughStart{RoughStart::Kind::over_taper, strip->length("over")};
  return out;
}

PassesByStage read_passes_by_stage(MapReader const& passes) {
  for (const std::string_view key : {"rough", "max_cut", "last_cut"})
    if (passes.written(key))
      passes.complain(key, fmt::format("'{}' beside a list of stages", key), kTwoKindsOfPasses);
  PassesByStage stages{passes.lengths("over")};
  auto const& over = stages.over;
  if (!passes.has_items("over", over.size())) return stages;
  if (over.size() > kMostStages)
    passes.complain("over", fmt::format("more than {} stages", kMostStages), "check the list");
  const bool falls =
      std::adjacent_find(over.begin(), over.end(), std::less_equal<>()) == over.end();
  if (over.empty() || over.back() != Length{} || !falls)
    passes.complain("over", "stages that do not fall to 0",
                    "list them from the first cut to the last, ending in 0");
  return stages;
}

}  // namespace

std::optional<Passes> read_passes(MapReader const& machine, RoughAllowance const& rough) {
  const auto passes = machine.map("passes");
  if (!passes) return std::nullopt;
  if (passes->written("over")) return read_passes_by_stage(*passes);
  return read_passes_by_cut(*passes, rough);
}

}  // namespace stripwright
