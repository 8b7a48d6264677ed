#include "sheet/measure_block.h"

#include <fmt/format.h>

#include <algorithm>

#include "inspection/conformance.h"
#include "sheet/frame.h"
#include "sheet/sentences.h"
#include "units/format.h"

namespace stripwright::sheet {
namespace {

using machine::StationRow;
using section::Step;

class MeasureBlock {
 public:
  MeasureBlock(report::Html& html, MeasureOrder const& order) : html_(html), order_(order) {}

  void add() const {
    html_.element("h3", "What the strip shall measure");
    html_.table(as_milled(), order_.unit, caption("as milled"), "plain stations");
    html_.element("p",
                  "a is the height from the apex to the outer face, b and c are the two "
                  "others. " +
                      proven_sentence(order_.setup, order_.shop, order_.gauge, order_.unit,
                                      "in the proven range"));
    html_.element("h3", "What it shall measure from then on");
    html_.table(from_then_on(), order_.unit, caption("ready to glue, and the glued section"),
                "plain stations");
    html_.element("p", from_then_on_words());
  }

 private:
  std::string bench(Length l) const {
    return format_number(l, order_.unit, bench_decimals(order_.unit));
  }
  std::string with_unit(Length l) const {
    return format_length(l, order_.unit, bench_decimals(order_.unit));
  }
  std::string caption(std::string_view what) const {
    return fmt::format("Section {}, {}; {}", order_.setup.section.name, what,
                       unit_words(order_.unit));
  }
  /// Limits together in one cell, so that on a phone they stand under each other.
  std::string range(inspection::Limits const& limits) const {
    return fmt::format("{}–{}", bench(limits.low), bench(limits.high));
  }

  report::Table as_milled() const {
    report::Table table{"stations",
                        {{"", "station"},
                         {"", "strip a"},
                         {"", "lowest to highest a"},
                         {"", "proven from and to"},
                         {"", "sides b,~c"},
                         {"", "lowest to highest b,~c"}},
                        {}};
    for (auto const& row : order_.setup.stations) {
      const Length side = row.ledger[Step::side_milled];
      table.rows.push_back({report::Place{row.at.from_zero()},
                            bench(row.ledger[Step::strip_milled]), range(row.strip),
                            row.proven ? range(*row.proven) : std::string("none"), bench(side),
                            range(inspection::limits_around(side, order_.shop.tolerances.strip))});
    }
    return table;
  }

  /// Whether the strip changes between the machine and the glue, as far as it is printed.
  bool changes_before_gluing() const {
    auto const& rows = order_.setup.stations;
    return std::any_of(rows.begin(), rows.end(), [&](StationRow const& row) {
      return bench(row.ledger[Step::strip_ready]) != bench(row.ledger[Step::strip_milled]);
    });
  }

  report::Table from_then_on() const {
    const bool ready = changes_before_gluing();
    const Length varnish = order_.shop.allowances.varnish;
    report::Table table{"stations", {{"", "station"}}, {}};
    if (ready) table.columns.push_back({"", "strip a, ready to glue"});
    table.columns.push_back({"", "across flats, glued"});
    table.columns.push_back({"", "across flats, bare"});
    if (varnish > Length{}) table.columns.push_back({"", "across flats, varnished"});
    for (auto const& row : order_.setup.stations) {
      std::vector<report::Cell> cells = {report::Place{row.at.from_zero()}};
      if (ready) cells.emplace_back(bench(row.ledger[Step::strip_ready]));
      cells.emplace_back(bench(row.ledger[Step::flats_glued]));
      cells.emplace_back(bench(row.ledger[Step::bare]));
      if (varnish > Length{}) cells.emplace_back(bench(row.ledger[Step::bare] + 2 * varnish));
      table.rows.push_back(std::move(cells));
    }
    return table;
  }

  std::string from_then_on_words() const {
    auto const& flats = order_.shop.tolerances.flats;
    const auto moisture = moisture_sentence(order_.shop);
    return fmt::format(
        "{}Glued: binding off, not yet cleaned. Bare: cleaned and flat. Limits of across flats: {} "
        "under to {} over.{}{}",
        changes_before_gluing() ? "" : "Until it is glued, a stays as milled. ",
        with_unit(flats.under), with_unit(flats.over), moisture.empty() ? "" : " ", moisture);
  }

  report::Html& html_;
  MeasureOrder const& order_;
};

}  // namespace

void add_measures(report::Html& html, MeasureOrder const& order) {
  MeasureBlock(html, order).add();
}

}  // namespace stripwright::sheet
