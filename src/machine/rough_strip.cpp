#include "machine/rough_strip.h"

#include <fmt/format.h>

#include "machine/pass_plan.h"
#include "section/triangle.h"
#include "units/format.h"

namespace stripwright::machine {
namespace {

RoughStart rough_start(Machine const& machine, RoughAllowance const& allowance) {
  if (machine.passes)
    if (auto const* cuts = std::get_if<PassesByCut>(&*machine.passes)) return cuts->rough;
  return {RoughStart::Kind::over_highest, allowance.over};
}

}  // namespace

RoughStrip rough_strip(section::HeightCurve const& strip, Placement const& placement,
                       Machine const& machine, RoughAllowance const& allowance) {
  const auto start = rough_start(machine, allowance);
  const Length height = rough_height(start, strip, placement);
  const Length face = section::face_width(height);
  RoughStrip out{height, face, face + allowance.split};
  if (start.kind == RoughStart::Kind::over_taper) out.over_taper = start.amount;
  return out;
}

std::string tapered_beforehand(RoughStrip const& rough, Unit unit) {
  if (!rough.over_taper) return {};
  const auto show = [&](Length l) { return format_length(l, unit, bench_decimals(unit)); };
  return fmt::format(
      "Taper the rough strips beforehand, to {} over the final strip everywhere: the passes are "
      "counted from there, and cut deeper into a plain strip {} high.",
      show(*rough.over_taper), show(rough.height));
}

}  // namespace stripwright::machine
