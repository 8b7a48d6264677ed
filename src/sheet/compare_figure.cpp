#include "sheet/compare_figure.h"

#include <fmt/format.h>

#include <array>

#include "report/plot.h"

namespace stripwright::sheet {
namespace {

constexpr double kWidth = 480;
constexpr double kPlotHeight = 220;
constexpr double kHeading = 22;
/// A picture that is about as wide as a sheet of A4 leaves room for.
constexpr double kUnitsPerMillimetre = 2.7;
constexpr std::array kPens = {report::Pen::thick, report::Pen::dashed, report::Pen::dotted,
                              report::Pen::thin};

/// One line a taper of what `value` makes of a row, where it makes anything.
template <class Value>
report::Plot plot_of(std::string title, std::string y_name,
                     std::vector<ComparedTaper> const& others, Unit unit, Value const& value) {
  report::Plot plot;
  plot.title = std::move(title);
  plot.x_name = fmt::format("station from the tip end, {}", unit_name(unit));
  plot.y_name = std::move(y_name);
  for (std::size_t i = 0; i < others.size(); ++i) {
    report::Series series;
    // One alone is named in the heading: over its line its name would be in the way.
    if (others.size() > 1) series.name = others[i].name;
    series.pen = kPens[i % kPens.size()];
    for (auto const& row : others[i].rows)
      if (const std::optional<double> y = value(row))
        series.points.push_back({in_unit(row.at.from_zero(), unit), *y});
    plot.series.push_back(std::move(series));
  }
  auto const& rows = others.front().rows;
  plot.series.push_back({"",
                         {{in_unit(rows.front().at.from_zero(), unit), 0},
                          {in_unit(rows.back().at.from_zero(), unit), 0}},
                         report::Pen::fine});
  return plot;
}

}  // namespace

report::Canvas compare_figure(std::string const& first, std::vector<ComparedTaper> const& others,
                              Unit unit) {
  const auto against = fmt::format("against {}", first);
  const std::array drawings = {
      report::draw(plot_of("Difference in across flats " + against,
                           fmt::format("across flats, {}", unit_name(unit)), others, unit,
                           [&](TaperDifference const& row) {
                             return std::optional(in_unit(row.difference(), unit));
                           }),
                   kPlotHeight),
      report::draw(
          plot_of("Difference in stiffness " + against, "stiffness, %", others, unit,
                  [](TaperDifference const& row) { return std::optional(row.stiffness_percent); }),
          kPlotHeight),
      report::draw(
          plot_of("Difference in mass up to the station " + against, "mass up to here, %", others,
                  unit, [](TaperDifference const& row) { return row.mass_percent; }),
          kPlotHeight)};
  double height = kHeading;
  for (auto const& drawing : drawings) height += drawing.height();
  report::Canvas out(kWidth, height, "Tapers " + against);
  out.text({kWidth / 2, kHeading - 6},
           (others.size() > 1 ? "Differences" : others.front().name) + " " + against, 12,
           report::Anchor::middle, false, true);
  double down = kHeading;
  for (auto const& drawing : drawings) {
    out.place(drawing, {0, down});
    down += drawing.height();
  }
  return out;
}

std::string compare_picture(std::string const& first, std::vector<ComparedTaper> const& others,
                            Unit unit) {
  return compare_figure(first, others, unit).file(kUnitsPerMillimetre);
}

}  // namespace stripwright::sheet
