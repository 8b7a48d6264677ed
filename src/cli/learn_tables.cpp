#include <fmt/format.h>

#include <algorithm>

#include "cli/learn.h"
#include "report/json.h"
#include "report/table.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

using inspection::Reason;
using inspection::SampleOf;
using report::Cell;
using report::Json;
using report::Table;

/// Allowances are of the size of the gauge's step: one decimal more than other figures.
Cell small(Length length, Unit unit) {
  return report::Number{in_unit(length, unit), file_decimals(unit), bench_decimals(unit) + 1};
}

Cell count(std::size_t n) { return static_cast<long>(n); }

}  // namespace

Table allowance_table(LearnReport const& report) {
  Table table{"allowances",
              {{"allowance", "allowance"},
               {"measured", "measured", true},
               {"low", "from", true},
               {"high", "to", true},
               {"shop", "shop has", true},
               {"off", "off by", true},
               {"differs", "off?"},
               {"assumed", ""},
               {"spread", "", true},
               {"standard_error", "", true},
               {"gauge_part", "", true},
               {"sample_of", ""},
               {"sample", ""},
               {"rods", ""},
               {"stations", ""},
               {"values", ""},
               {"odd_values", ""},
               {"without_odd", "", true}},
              {}};
  const Unit unit = report.unit;
  for (auto const& each : report.learned) {
    const auto shop = inspection::compare(each, report.shop.allowances);
    const auto end = [&](Length l) { return each.interval ? small(l, unit) : Cell(); };
    const auto interval = each.interval.value_or(inspection::Interval{});
    table.rows.push_back(
        {std::string(words(each.allowance)), small(each.mean, unit), end(interval.low),
         end(interval.high), small(shop.in_shop, unit), small(shop.off, unit),
         each.interval ? Cell(std::string(shop.differs ? "yes" : "no")) : Cell(),
         std::string(shop.assumed ? "yes" : "no"), small(each.spread, unit),
         small(each.standard_error, unit), small(each.gauge_part, unit),
         std::string(each.sample_of == SampleOf::rods ? "rods" : "stations"), count(each.sample),
         count(each.rods), count(each.stations), count(each.values), count(each.odd.size()),
         each.mean_without_odd ? small(*each.mean_without_odd, unit) : Cell()});
  }
  return table;
}

std::string_view why(Reason reason) {
  switch (reason) {
    case Reason::agrees:
      return "stays: the readings agree";
    case Reason::differs:
      return "new: the old value is outside the interval";
    case Reason::assumed:
      return "new: it was not in the file";
    case Reason::goes_along:
      return "new: for the difference to be as measured";
    case Reason::impossible:
      return "stays: what was measured cannot be";
    case Reason::in_doubt:
      return "stays: not to be trusted, for the readings contradict each other";
  }
  return "";
}

Table proposal_table(LearnReport const& report) {
  Table table{"proposals",
              {{"key", "key"}, {"", "shop has", true}, {"", "takes over", true}, {"why", "why"}},
              {}};
  const Unit unit = report.shop.unit;
  for (auto const& each : report.proposals)
    table.rows.push_back(
        {std::string(shop_file_key(each.allowance)),
         each.reason == Reason::assumed
             ? Cell()
             : Cell(format_short(in_unit(each.in_shop, unit), file_decimals(unit))),
         each.changes() ? Cell(shop_file_number(each.value, unit)) : Cell(),
         std::string(why(each.reason))});
  return table;
}

std::string fragment(LearnReport const& report) {
  const Unit unit = report.shop.unit;
  std::string out = "allowances:\n";
  for (auto const& each : report.proposals) {
    const std::string value = each.changes()
                                  ? shop_file_number(each.value, unit)
                                  : format_short(in_unit(each.in_shop, unit), file_decimals(unit));
    const std::string was = each.reason == Reason::assumed || !each.changes()
                                ? ""
                                : fmt::format("was {}; ", format_short(in_unit(each.in_shop, unit),
                                                                       file_decimals(unit)));
    out += fmt::format("  {}: {}  # {}{}\n", shop_file_key(each.allowance), value, was,
                       why(each.reason));
  }
  return out;
}

namespace {

Json ring_json(MeasuredRing const& ring, inspection::RingValues const& values, Unit unit) {
  Json stations = Json::array();
  for (const auto at : values.without_heights)
    stations.push_back(report::json_length(at.from_zero(), unit));
  Json stages = Json::array();
  for (const auto stage : values.moisture_unknown) stages.push_back(word(stage));
  return {{"ring", ring.ring.name},
          {"rod", ring.ring.rod},
          {"taper", ring.taper->name},
          {"section", ring.ring.section},
          {"strips", ring.ring.strips},
          {"marked", ring.ring.marked},
          {"heights", word(ring.readings.heights_at)},
          {"enamel_by_ledger", values.enamel_by_ledger},
          {"stations_without_heights", std::move(stations)},
          {"moisture_unknown", std::move(stages)}};
}

Table value_table(LearnReport const& report) {
  Table table{"values",
              {{"allowance", ""},
               {"ring", ""},
               {"at", "", true},
               {"flats", ""},
               {"value", "", true},
               {"odd", ""}},
              {}};
  for (auto const& ring : report.values)
    for (auto const& each : ring.values) {
      const bool odd =
          std::any_of(report.learned.begin(), report.learned.end(), [&](auto const& learned) {
            return learned.allowance == each.allowance &&
                   std::any_of(learned.odd.begin(), learned.odd.end(), [&](auto const& o) {
                     return o.value.ring == each.ring && o.value.at == each.at &&
                            o.value.pair == each.pair;
                   });
          });
      table.rows.push_back(
          {std::string(words(each.allowance)), report.rings[each.ring].ring.name,
           each.at.from_zero(),
           each.pair ? Cell(fmt::format("f{}", *each.pair + 1)) : Cell(std::string("mean")),
           small(each.value, report.unit), std::string(odd ? "yes" : "no")});
    }
  return table;
}

}  // namespace

std::string learn_csv(LearnReport const& report) {
  return report::to_csv(allowance_table(report), report.unit);
}

std::string learn_json(LearnReport const& report) {
  Json out = {{"shop", report.shop.name}, {"unit", unit_name(report.unit)}};
  out["gauge"] =
      report.gauge
          ? Json{{"name", report.gauge->name},
                 {"resolution", report::json_length(report.gauge->resolution, report.unit)},
                 {"standard_uncertainty",
                  report::json_length(report.gauge->standard_uncertainty, report.unit)}}
          : Json();
  out["assumed_zero"] = report.shop.allowances.assumed;
  Json rings = Json::array();
  for (std::size_t i = 0; i < report.rings.size(); ++i)
    rings.push_back(ring_json(report.rings[i], report.values[i], report.unit));
  out["rings"] = std::move(rings);
  out["allowances"] = report::to_json(allowance_table(report), report.unit);
  out["values"] = report::to_json(value_table(report), report.unit);
  Json proposals = Json::array();
  for (auto const& each : report.proposals)
    proposals.push_back({{"key", shop_file_key(each.allowance)},
                         {"changes", each.changes()},
                         {"value", report::json_length(each.value, report.shop.unit)},
                         {"in_shop", report::json_length(each.in_shop, report.shop.unit)},
                         {"why", why(each.reason)}});
  out["shop_file"] = {{"unit", unit_name(report.shop.unit)},
                      {"keys", std::move(proposals)},
                      {"fragment", fragment(report)},
                      {"written", report.written.empty() ? Json() : Json(report.written)},
                      {"copy", report.copy.empty() ? Json() : Json(report.copy)}};
  return report::json_text(out);
}

}  // namespace stripwright::cli
