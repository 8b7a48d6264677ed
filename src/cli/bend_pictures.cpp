#include <fmt/format.h>

#include "bending/pictures.h"
#include "cli/bend.h"
#include "report/plot.h"

namespace stripwright::cli {
namespace {

constexpr double kCoverage = 2;
/// Pictures of their own are as wide as a page's column.
constexpr double kUnitsPerMillimetre = 3;

using report::Series;
using report::Spot;

std::vector<Spot> spots(bending::Bent const& bent, Unit unit, auto const& value) {
  std::vector<Spot> out;
  for (std::size_t i = 0; i < bent.places.size(); ++i)
    out.push_back({in_unit(bent.places[i].at.from_zero(), unit), value(i)});
  return out;
}

report::Plot stress_plot(BendReport const& report) {
  const Unit unit = report.inputs.unit;
  const auto stress = [](bending::Bent const& bent) {
    return [&bent](std::size_t i) { return bent.places[i].stress.in_megapascals(); };
  };
  report::Plot plot{fmt::format("{}: stress along the rod", report.what),
                    fmt::format("station, {}", unit_name(unit)),
                    "stress, MPa",
                    {{"target", spots(report.target, unit, stress(report.target))}}};
  if (report.milled)
    plot.series.push_back({"as milled",
                           spots(report.milled->bent, unit, stress(report.milled->bent)),
                           report::Pen::dashed});
  plot.y_from_zero = true;
  return plot;
}

report::Plot difference_plot(BendReport const& report) {
  const Unit unit = report.inputs.unit;
  auto const& milled = *report.milled;
  const auto lower = [&](double coverage) {
    return [&, coverage](std::size_t i) {
      return in_unit(milled.bent.places[i].down - report.target.places[i].down +
                         coverage * milled.uncertainty[i],
                     unit);
    };
  };
  report::Plot plot{fmt::format("{}: how much lower it lies as milled", report.what),
                    fmt::format("station, {}", unit_name(unit)),
                    fmt::format("lower by, {}", unit_name(unit)),
                    {{"as milled", spots(milled.bent, unit, lower(0))}}};
  plot.areas.push_back({"where it lies, as far as the readings tell (95 %)",
                        spots(milled.bent, unit, lower(kCoverage)),
                        spots(milled.bent, unit, lower(-kCoverage))});
  plot.y_from_zero = true;
  return plot;
}

}  // namespace

std::vector<files::OutputFile> bend_pictures(BendReport const& report) {
  std::vector<bending::Outline> lines = {{"target", &report.target, report::Pen::thick}};
  if (report.milled) {
    lines.push_back({"as milled", &report.milled->bent, report::Pen::dashed});
    for (const Length u : report.milled->uncertainty)
      lines.back().give_or_take.push_back(kCoverage * u);
  }
  std::vector<files::OutputFile> out;
  out.push_back({"shape.svg", bending::draw_shapes(fmt::format("{}, bent", report.what), lines,
                                                   report.inputs.unit)
                                  .file(kUnitsPerMillimetre)});
  out.push_back({"stress.svg", report::draw(stress_plot(report)).file(kUnitsPerMillimetre)});
  if (report.milled)
    out.push_back(
        {"difference.svg", report::draw(difference_plot(report)).file(kUnitsPerMillimetre)});
  return out;
}

}  // namespace stripwright::cli
