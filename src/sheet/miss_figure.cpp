#include "sheet/miss_figure.h"

#include <fmt/format.h>

namespace stripwright::sheet {

report::Plot miss_figure(machine::BarReport const& bar, RodSection const& section, bool form,
                         Unit unit) {
  report::Plot plot{
      fmt::format("The greatest miss in each span between screws, section {}", section.name),
      fmt::format("station, {}", unit_name(unit)),
      fmt::format("{}, {}", form ? "too deep" : "too high", unit_name(unit)),
      {},
      {},
      {},
      true,
      false};
  report::Series misses{"", {}, report::Pen::thick, true, report::Joined::stems};
  for (auto const& span : bar.spans)
    misses.points.push_back(
        {in_unit(span.greatest.at.from_zero(), unit), in_unit(span.greatest.amount, unit)});
  plot.series.push_back(std::move(misses));
  // The screws, as far as they are on the section, and the section's ends.
  for (auto const& span : bar.spans)
    plot.x_marks.push_back({in_unit(span.from.from_zero(), unit), ""});
  plot.x_marks.push_back({in_unit(section.to.from_zero(), unit), ""});
  return plot;
}

}  // namespace stripwright::sheet
