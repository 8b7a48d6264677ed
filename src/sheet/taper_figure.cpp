#include "sheet/taper_figure.h"

#include <fmt/format.h>

#include "taper/taper_curve.h"

namespace stripwright::sheet {
namespace {

/// Pieces a curve between stations is drawn with; a straight one needs no more than one.
constexpr int kPieces = 8;

std::vector<report::Spot> curve_spots(Taper const& taper, Unit unit) {
  const TaperCurve curve(taper);
  const int pieces = taper.between == Between::linear ? 1 : kPieces;
  std::vector<report::Spot> out;
  const auto add = [&](Station at) {
    out.push_back({in_unit(at.from_zero(), unit), in_unit(curve.flats(at), unit)});
  };
  for (std::size_t i = 0; i + 1 < taper.points.size(); ++i) {
    const Station from = taper.points[i].at;
    const Length width = taper.points[i + 1].at - from;
    for (int k = 0; k < pieces; ++k) add(from + (static_cast<double>(k) / pieces) * width);
  }
  add(taper.points.back().at);
  return out;
}

}  // namespace

report::Plot taper_figure(Taper const& taper, Unit unit) {
  report::Plot plot{fmt::format("The taper of {}: across flats over the station", taper.name),
                    fmt::format("station from the tip end, {}", unit_name(unit)),
                    fmt::format("across flats, {}", unit_name(unit)),
                    {},
                    {},
                    {},
                    true,
                    false};
  plot.series.push_back({"", curve_spots(taper, unit), report::Pen::thick, false});
  std::vector<report::Spot> stations;
  for (auto const& point : taper.points)
    stations.push_back({in_unit(point.at.from_zero(), unit), in_unit(point.flats, unit)});
  plot.series.push_back({"", std::move(stations), report::Pen::fine, true, report::Joined::apart});
  for (auto const& section : taper.sections)
    plot.x_marks.push_back({in_unit(section.from.from_zero(), unit), section.name});
  plot.x_marks.push_back({in_unit(taper.sections.back().to.from_zero(), unit), ""});
  return plot;
}

}  // namespace stripwright::sheet
