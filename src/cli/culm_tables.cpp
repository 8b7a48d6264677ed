#include <fmt/format.h>

#include <algorithm>

#include "cli/culm.h"
#include "report/json.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

// On a round face the share is that of a polygon, good to about a ten-thousandth of a percent.
constexpr int kShareDecimals = 3;

using report::Cell;
using report::Json;
using report::Number;
using report::Table;

std::string yes_no(bool yes) { return yes ? "yes" : "no"; }

std::string_view split_word(int into) { return into == 2 ? "halves" : "thirds"; }

Cell optional_length(std::optional<Length> length) { return length ? Cell(*length) : Cell(); }

}  // namespace

std::string splits_product(culm::WholeSplits const& splits) {
  return splits.order.empty() ? "1" : fmt::format("{}", fmt::join(splits.order, " x "));
}

std::string splits_words(culm::WholeSplits const& splits) {
  std::vector<std::string_view> words;
  for (const int into : splits.order) words.push_back(split_word(into));
  return words.empty() ? "not split" : fmt::format("{}", fmt::join(words, ", then "));
}

Table yield_table(CulmReport const& report) {
  Table table{"yield",
              {{"culm", ""},
               {"section", "section"},
               {"strips_needed", "strips needed"},
               {"strip_length", "strip length", true},
               {"strip_height", "strip height", true},
               {"rough_height", "rough height", true},
               {"rough_width", "split width", true},
               {"strips_at_most", "room for"},
               {"strips_by_whole_splits", "by whole splits"},
               {"splits", ""},
               {"width_each", "width each", true},
               {"splits_for_need", ""},
               {"wall_carries", "wall carries"},
               {"culm_carries", ""},
               {"sections", ""}},
              {}};
  for (auto const& each : report.culms)
    for (auto const& [profile, need, yield, cane, lengths] : each.sections)
      table.rows.push_back(
          {each.culm.name, need.section.name, static_cast<long>(need.strips), need.strip_length,
           need.strip_height, need.rough_height, need.split_width, static_cast<long>(yield.most),
           static_cast<long>(yield.splits.strips), splits_product(yield.splits), yield.width_each,
           yield.enough ? Cell(splits_product(*yield.enough)) : Cell(),
           each.culm.wall ? Cell(yes_no(yield.wall_carries)) : Cell(), yes_no(yield.culm_carries),
           static_cast<long>(yield.sections())});
  return table;
}

Table cane_table(CulmSection const& section) {
  const bool wall = section.cane.front().wall_left.has_value();
  const bool fibre = std::any_of(section.cane.begin(), section.cane.end(),
                                 [](auto const& here) { return here.power_fibre_share; });
  Table table{"cane",
              {{"at", "station", true},
               {"strip_milled", "strip height", true},
               {"wall_left", wall ? "wall left" : "", true},
               {"crown", "comes off the face", true},
               {"power_fibre_pct", fibre ? "power fibre %" : ""}},
              {}};
  for (auto const& here : section.cane)
    table.rows.push_back({report::Place{here.at.from_zero()}, here.strip_milled,
                          optional_length(here.wall_left), here.crown,
                          here.power_fibre_share
                              ? Cell(Number{100 * *here.power_fibre_share, kShareDecimals, 0})
                              : Cell()});
  return table;
}

Table node_table(culm::SectionLength const& length, Unit unit) {
  Table table{"nodes", {{"plan", "way"}}, {}};
  for (std::size_t i = 1; i <= selection::kRingSize; ++i)
    table.columns.push_back({fmt::format("strip_{}", i), fmt::format("{}", i), true});
  table.columns.push_back({"nearest", "least gap", true});
  table.columns.push_back({"rules", "rules", true});
  const int decimals = unit == Unit::inch ? 2 : 1;
  for (auto const& plan : length.plans) {
    std::vector<Cell> row = {plan.name.substr(0, plan.name.find(','))};
    for (const Length by : plan.displaced)
      row.push_back(report::Place{of_unit(round_to_decimals(in_unit(by, unit), decimals), unit)});
    row.push_back(plan.nearest
                      ? Cell(Number{in_unit(*plan.nearest, unit), file_decimals(unit), decimals})
                      : Cell());
    row.push_back(plan.shortfall < kSamePlace
                      ? std::string("kept")
                      : "lack " + format_short(in_unit(plan.shortfall, unit),
                                               decimals - (unit == Unit::inch ? 0 : 1)));
    table.rows.push_back(std::move(row));
  }
  return table;
}

std::string culm_csv(CulmReport const& report) {
  return report::to_csv(yield_table(report), report.inputs.unit);
}

namespace {

Json plan_json(culm::NodePlan const& plan, Unit unit) {
  Json displaced = Json::array();
  for (const Length by : plan.displaced) displaced.push_back(report::json_length(by, unit));
  return {{"plan", plan.name},
          {"towards_tip", std::move(displaced)},
          {"shortfall", report::json_length(plan.shortfall, unit)},
          {"nearest_nodes", plan.nearest ? report::json_length(*plan.nearest, unit) : Json()},
          {"cane", report::json_length(plan.cane, unit)}};
}

Json plans_json(std::vector<culm::NodePlan> const& plans, Unit unit) {
  Json out = Json::array();
  for (auto const& plan : plans) out.push_back(plan_json(plan, unit));
  return out;
}

std::string_view state_name(culm::LengthState state) {
  switch (state) {
    case culm::LengthState::split:
      return "split";
    case culm::LengthState::to_saw:
      return "to saw";
    case culm::LengthState::possible:
      return "possible";
  }
  return "";
}

/// A length with its place along the culm, from the thin end, and its nodes as stations of the rod.
Json length_json(culm::SectionLength const& length, Unit unit) {
  Json nodes = Json::array();
  if (length.task)
    for (const auto node :
         selection::nodes_in_section(length.task->nodes, length.task->section, Length{}))
      nodes.push_back(report::json_length(selection::to_length(node), unit));
  return {{"state", state_name(length.state)},
          {"from", report::json_length(length.where.from, unit)},
          {"to", report::json_length(length.where.to, unit)},
          {"room_beyond", report::json_length(length.room, unit)},
          {"nodes_at", std::move(nodes)},
          {"node_plans", plans_json(length.plans, unit)}};
}

Json stack_json(CulmReport const& report) {
  if (!report.stack) return {};
  Json sections = Json::object();
  auto const& of_culm = report.culms.front().sections;
  for (std::size_t s = 0; s < of_culm.size(); ++s)
    sections[of_culm[s].need.section.name] = report.stack->plan.sections[s];
  Json cuts = Json::array();
  for (std::size_t c = 0; c < report.culms.size(); ++c) {
    Json lengths = Json::object();
    Json already = Json::object();
    for (std::size_t s = 0; s < of_culm.size(); ++s) {
      lengths[of_culm[s].need.section.name] = report.stack->lengths[c][s];
      already[of_culm[s].need.section.name] = report.stack->already[c][s];
    }
    cuts.push_back({{"culm", report.culms[c].culm.name},
                    {"already_split", std::move(already)},
                    {"lengths", std::move(lengths)}});
  }
  return {{"rods", report.stack->plan.rods},
          {"sections", std::move(sections)},
          {"cuts", std::move(cuts)}};
}

}  // namespace

std::string culm_json(CulmReport const& report) {
  const Unit unit = report.inputs.unit;
  const auto yields = report::to_json(yield_table(report), unit);
  Json culms = Json::array();
  std::size_t row = 0;
  for (auto const& each : report.culms) {
    Json sections = Json::array();
    for (auto const& section : each.sections) {
      Json lengths = Json::array();
      for (auto const& length : section.lengths) lengths.push_back(length_json(length, unit));
      Json entry = yields[row++];
      entry.erase("culm");
      entry["stations"] = report::to_json(cane_table(section), unit);
      entry["node_plans"] =
          section.lengths.empty() ? Json::array() : plans_json(section.lengths.front().plans, unit);
      entry["lengths"] = std::move(lengths);
      sections.push_back(std::move(entry));
    }
    culms.push_back({{"culm", each.culm.name},
                     {"diameter", report::json_length(each.diameter, unit)},
                     {"sections", std::move(sections)}});
  }
  return report::json_text({{"taper", report.inputs.taper.name},
                            {"shop", report.inputs.shop.name},
                            {"unit", unit_name(unit)},
                            {"assumed_zero", report.inputs.shop.allowances.assumed},
                            {"culms", std::move(culms)},
                            {"stack", stack_json(report)},
                            {"folder", report.folder},
                            {"files", report.file_names}});
}

}  // namespace stripwright::cli
