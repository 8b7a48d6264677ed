#include "cli/check.h"
#include "report/json.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

using inspection::Counts;
using inspection::ReadingKind;
using inspection::Verdict;
using report::Json;
using report::json_length;

constexpr int kShareDecimals = 4;
constexpr int kPercentDecimals = 3;
constexpr int kDegreeDecimals = 4;

class PieceJson {
 public:
  PieceJson(CheckBench const& bench, CheckedPiece const& piece)
      : bench_(bench),
        judged_(piece.judged),
        summary_(piece.summary),
        suspicion_(piece.suspicion),
        unit_(bench.inputs->unit) {}

  Json json() const {
    Json out;
    out["strip"] = judged_.name;
    out["section"] = bench_.targets[judged_.section]->section().name;
    out["verdict"] = verdict_word(bench_.kind(), summary_.verdict);
    out["counts"] = counts(summary_.counts);
    out["readings"] = readings();
    out["read_again"] = read_again();
    out["take_off"] = take_off();
    out["thinnest"] = thinnest();
    out["mean_deviation"] = estimate(summary_.mean_deviation);
    out["deviation_growth"] =
        summary_.deviation_growth ? estimate(*summary_.deviation_growth) : Json(nullptr);
    out["stiffness_pct"] = {{"least", percent(summary_.stiffness_least)},
                            {"most", percent(summary_.stiffness_most)}};
    if (bench_.kind() == ReadingKind::strips) {
      out["angles"] = summary_.angles ? angles(*summary_.angles) : Json(nullptr);
      out["shift"] = shift();
    }
    out["suspicion"] = suspicion_.empty() ? Json(nullptr) : Json(suspicion_);
    return out;
  }

  Json counts(Counts const& counts) const {
    Json out;
    for (const auto verdict : {Verdict::right, Verdict::unsure, Verdict::thick, Verdict::thin})
      out[std::string(verdict_word(bench_.kind(), verdict))] = counts[verdict];
    return out;
  }

 private:
  Json length(Length l) const { return json_length(l, unit_); }
  Json place(Station at) const { return length(bench_.place(judged_.section, at)); }
  static Json degrees(Angle a) { return round_to_decimals(a.in_degrees(), kDegreeDecimals); }
  static Json percent(double share) { return round_to_decimals(100 * share, kPercentDecimals); }
  Json estimate(inspection::Estimate<Length> const& e) const {
    return {{"value", length(e.value)}, {"standard_uncertainty", length(e.uncertainty)}};
  }

  /// The rows as in CSV, and what stands behind each.
  Json readings() const {
    Json out = report::to_json(readings_table(bench_, judged_, false), unit_);
    std::size_t row = 0;
    for (auto const& at : judged_.places)
      for (auto const& each : at.heights) {
        if (!each) continue;
        auto& into = out[row++];
        into["times"] = each->read.count;
        into["spread"] = length(each->read.spread);
        into["standard_uncertainty"] =
            bench_.judge.gauge ? length(each->uncertainty) : Json(nullptr);
      }
    return out;
  }

  /// What stands alone: nothing below rests on it.
  Json read_again() const {
    Json out = Json::array();
    for (auto const& each : summary_.read_again)
      out.push_back({{"at", place(each.at)},
                     {"height", inspection::word(each.height)},
                     {"measured", length(each.read.mean)},
                     {"neighbours_say", length(each.lone.expected)},
                     {"other_heights_stay", each.lone.others_stay}});
    return out;
  }

  Json take_off() const {
    auto const& off = summary_.take_off;
    if (!off || bench_.kind() == ReadingKind::groove) return nullptr;
    return {{"most", length(off->amount)},
            {"half_from_each_side", length(off->amount / 2)},
            {"at", place(off->at)},
            {"one_side_more", off->one_flank_more}};
  }

  Json thinnest() const {
    auto const& thinnest = summary_.thinnest;
    if (!thinnest) return nullptr;
    return {{"deviation", length(thinnest->deviation)},
            {"at", place(thinnest->at)},
            {"height", inspection::word(thinnest->height)}};
  }

  Json shift() const {
    auto const& shift = summary_.shift;
    if (!shift) return nullptr;
    return {{"towards_tip", length(shift->by)},
            {"until", length(shift->until)},
            {"right_now", shift->right_now},
            {"right_then", shift->right_then}};
  }

  static Json angle(std::string_view name, Angle value, Angle u, Verdict verdict, double conforms) {
    return {{"angle", name},
            {"degrees", degrees(value)},
            {"standard_uncertainty", degrees(u)},
            {"verdict", inspection::angle_word(verdict)},
            {"conforms", round_to_decimals(conforms, kShareDecimals)}};
  }

  Json wedge(inspection::Wedge const& wedge) const {
    return {{"at_apex", length(wedge.at_apex)}, {"at_outer_edge", length(wedge.at_edge)}};
  }

  Json angles(inspection::AngleSummary const& angles) const {
    constexpr std::array<std::string_view, 3> kNames = {"apex", "b", "c"};
    Json out;
    Json mean = Json::array();
    for (std::size_t i = 0; i < 3; ++i)
      mean.push_back({{"angle", kNames[i]},
                      {"degrees", degrees(angles.mean[i].value)},
                      {"standard_uncertainty", degrees(angles.mean[i].uncertainty)}});
    out["mean"] = std::move(mean);
    Json places = Json::array();
    for (auto const& at : judged_.places) {
      if (!at.angles) continue;
      Json three = Json::array();
      for (std::size_t i = 0; i < 3; ++i)
        three.push_back(angle(kNames[i], at.angles->angles[i], at.angles->uncertainties[i],
                              at.angles->verdicts[i], at.angles->conforms[i]));
      places.push_back({{"at", place(at.at)}, {"angles", std::move(three)}});
    }
    out["places"] = std::move(places);
    out["worst_at"] = place(angles.worst_at);
    out["to_60_degrees"] = {{"flank_b", wedge(angles.advice.flank_b)},
                            {"flank_c", wedge(angles.advice.flank_c)},
                            {"height_after", length(angles.advice.height_after)},
                            {"verdict_after", inspection::word(angles.after)}};
    const bool open = angles.seam.at != section::SeamPlace::nowhere;
    out["seam"] = open ? Json{{"opening", length(angles.seam.width)},
                              {"standard_uncertainty", length(angles.seam_uncertainty)},
                              {"open_at", angles.seam.at == section::SeamPlace::outside ? "outside"
                                                                                        : "centre"},
                              {"at", place(angles.seam_at)}}
                       : Json(nullptr);
    return out;
  }

  CheckBench const& bench_;
  inspection::JudgedPiece const& judged_;
  inspection::StripSummary const& summary_;
  std::string const& suspicion_;
  Unit unit_;
};

}  // namespace

Json check_json_piece(CheckBench const& bench, CheckedPiece const& piece) {
  return PieceJson(bench, piece).json();
}

std::string check_json(CheckReport const& report, Json pieces, CheckTotals const& totals) {
  auto const& bench = report.bench;
  auto const& inputs = *bench.inputs;
  const CheckedPiece none;
  const PieceJson words(bench, none);
  Json out;
  out["taper"] = inputs.taper.name;
  out["shop"] = inputs.shop.name;
  out["stage"] = inspection::word(bench.stage);
  out["moisture_now"] = bench.moisture_now ? Json(*bench.moisture_now) : Json(nullptr);
  out["machine"] = bench.machine ? Json(bench.machine->name) : Json(nullptr);
  out["unit"] = unit_name(inputs.unit);
  out["decide"] = bench.judge.decide == Decide::guarded ? "guarded" : "plain";
  out["assumed_zero"] = inputs.shop.allowances.assumed;
  out["gauge"] = nullptr;
  if (auto const& gauge = bench.judge.gauge)
    out["gauge"] = {{"name", gauge->name},
                    {"standard_uncertainty",
                     json_length(inspection::standard_uncertainty(*gauge), inputs.unit)}};
  const auto coarse = too_coarse(bench);
  out["gauge_too_coarse"] = nullptr;
  if (coarse)
    out["gauge_too_coarse"] = {
        {"standard_uncertainty_that_would_do",
         json_length(coarse->uncertainty_that_would_do, inputs.unit)},
        {"readings_of_each_place",
         coarse->readings_of_each ? Json(*coarse->readings_of_each) : Json(nullptr)}};
  out["counts"] = words.counts(totals.readings);
  out["strip_counts"] = words.counts(totals.pieces);
  out["strips"] = std::move(pieces);
  Json sections = Json::array();
  if (bench.kind() != ReadingKind::groove)
    for (std::size_t s = 0; s < totals.groups.size(); ++s) {
      const auto stations = totals.groups[s].stations();
      if (!stations.empty())
        sections.push_back(
            {{"section", bench.targets[s]->section().name},
             {"stations", report::to_json(group_table(bench, s, stations), inputs.unit)}});
    }
  out["together"] = std::move(sections);
  out["rows_left_out"] = totals.left_out;
  return report::json_text(out);
}

}  // namespace stripwright::cli
