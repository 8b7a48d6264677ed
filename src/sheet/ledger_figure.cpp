#include "sheet/ledger_figure.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace stripwright::sheet {
namespace {

using section::Ledger;
using section::Step;

constexpr int kPieces = 40;

/// A step's part of the strip's height: a is half of what lies across flats.
struct Part {
  std::string_view name;
  Length (*of)(Ledger const&);
  report::Pen pen;
};

constexpr std::array kParts = {
    Part{"clean-up", [](Ledger const& l) { return (l[Step::glued] - l[Step::bare]) / 2; },
         report::Pen::thin},
    Part{"glue line", [](Ledger const& l) { return l[Step::strip_glued] - l[Step::glued] / 2; },
         report::Pen::long_dashed},
    Part{"varnish", [](Ledger const& l) { return (l[Step::bare] - l[Step::target]) / 2; },
         report::Pen::dash_dotted},
    Part{"moisture",
         [](Ledger const& l) { return l[Step::strip_at_milling] - l[Step::strip_glued]; },
         report::Pen::dotted},
    Part{"enamel, crown",
         [](Ledger const& l) { return l[Step::strip_milled] - l[Step::strip_at_milling]; },
         report::Pen::dashed},
    Part{"all together",
         [](Ledger const& l) { return l[Step::strip_milled] - l[Step::target] / 2; },
         report::Pen::thick},
};

}  // namespace

report::Plot ledger_figure(section::StripProfile const& strip, Unit unit) {
  auto const& section = strip.section();
  report::Plot plot{
      fmt::format("What each step of the ledger adds to the strip, section {}", section.name),
      fmt::format("station, {}", unit_name(unit)),
      fmt::format("added, {}", unit_name(unit)),
      {},
      {},
      {},
      true,
      false,
      {},
      true};
  std::vector<double> places;
  std::vector<Ledger> ledgers;
  for (int i = 0; i <= kPieces; ++i) {
    const Station at = section.from + (static_cast<double>(i) / kPieces) * section.length();
    places.push_back(in_unit(at.from_zero(), unit));
    ledgers.push_back(strip.ledger(at));
  }
  for (auto const& part : kParts) {
    report::Series series{std::string(part.name), {}, part.pen, false};
    bool matters = false;
    for (std::size_t i = 0; i < places.size(); ++i) {
      const Length added = part.of(ledgers[i]);
      matters |= abs(added) > kSamePlace;
      series.points.push_back({places[i], in_unit(added, unit)});
    }
    if (matters) plot.series.push_back(std::move(series));
  }
  return plot;
}

}  // namespace stripwright::sheet
