#include <fmt/format.h>

#include <algorithm>

#include "cli/check.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

using inspection::ReadingKind;
using inspection::Stage;

std::string_view plural(ReadingKind kind) {
  switch (kind) {
    case ReadingKind::strips:
      return "strips";
    case ReadingKind::sections:
      return "sections";
    case ReadingKind::groove:
      return "the groove";
  }
  return "";
}

Stage choose_stage(CheckOptions const& options, ReadingKind kind, Problems& problems) {
  const auto stage = inspection::stage_of(options.stage).value_or(inspection::usual_stage(kind));
  if (inspection::kind_of(stage) != kind)
    problems.error(fmt::format("--stage {} is a stage of {}, but the readings are of {}",
                               options.stage, plural(inspection::kind_of(stage)), plural(kind)),
                   kind == ReadingKind::strips ? "strips are measured milled or ready"
                   : kind == ReadingKind::sections
                       ? "sections are measured glued, bare or varnished"
                       : "leave --stage out, or name it groove");
  return stage;
}

std::optional<double> choose_moisture(CheckOptions const& options, Stage stage, Shop const& shop,
                                      Problems& problems) {
  if (options.moisture_now.empty()) return std::nullopt;
  const auto parsed = parse_number(options.moisture_now);
  if (!parsed) {
    problems.error("--moisture-now " + parsed.fault, parsed.remedy);
    return std::nullopt;
  }
  constexpr double kWettest = 30;
  if (*parsed.value < 0 || *parsed.value > kWettest)
    problems.error(fmt::format("--moisture-now {} is out of its range",
                               quoted_for_message(options.moisture_now)),
                   "percent of dry mass, 0 to 30");
  else if (stage == Stage::groove)
    problems.error("--moisture-now is for cane, and a groove is steel", "leave it out");
  else if (stage == Stage::milled)
    problems.error("--moisture-now is for strips that are measured again before gluing",
                   "it goes with --stage ready");
  else if (!shop.allowances.moisture)
    problems.error(
        "--moisture-now changes nothing: the shop has no allowances: moisture",
        "add moisture: {per_percent: ..., at_milling: ..., in_service: ...} to the shop file");
  return parsed.value;
}

std::optional<Gauge> gauge_for_check(Shop const& shop, CommonOptions const& options,
                                     Problems& problems) {
  const auto errors_before = problems.errors();
  auto gauge = choose_gauge(shop, options, problems);
  if (gauge || problems.errors() > errors_before) return gauge;
  if (!shop.gauges.empty()) {
    std::vector<std::string_view> names;
    for (auto const& each : shop.gauges) names.push_back(each.name);
    problems.error("the shop has several gauges",
                   fmt::format("choose with --gauge: {}", fmt::join(names, ", ")));
  } else if (shop.decide == Decide::guarded) {
    problems.error("the shop has no gauge, so nothing can be proven right",
                   "add one under gauges:, or write decide: plain");
  }
  return gauge;
}

void prepare_stage(CheckBench& bench, Problems& problems) {
  const auto curve = std::make_shared<const TaperCurve>(bench.inputs->taper);
  const section::LedgerRules rules(bench.inputs->taper.measured, bench.inputs->shop.allowances);
  for (auto const& section : bench.inputs->sections) {
    auto profile = std::make_shared<const section::StripProfile>(curve, section, rules);
    section::check_section(*profile, section::table_stations(bench.inputs->taper, section),
                           bench.inputs->unit, problems);
    auto targets = std::make_unique<inspection::StageTargets>(
        std::move(profile), bench.stage, bench.inputs->shop, bench.moisture_now);
    bench.of_stage.push_back(targets.get());
    bench.targets.push_back(std::move(targets));
  }
}

/// The pass that --pass names, the last if it names none; counted from 0.
std::optional<std::size_t> choose_pass(std::string const& given, std::size_t passes,
                                       Problems& problems) {
  if (given.empty()) return passes - 1;
  const auto parsed = parse_number(given);
  for (std::size_t p = 0; p < passes; ++p)
    if (parsed && *parsed.value == static_cast<double>(p + 1)) return p;
  problems.error(fmt::format("--pass {}: the machine has no such pass", quoted_for_message(given)),
                 passes == 1 ? "it has one" : fmt::format("its passes are 1 to {}", passes));
  return std::nullopt;
}

void prepare_groove(CheckBench& bench, Inputs& inputs, CheckOptions const& options,
                    Problems& problems) {
  const auto errors_before = problems.errors();
  auto const* machine = choose_machine(inputs, options.common, problems);
  if (!machine) return;
  bench.machine = machine;
  auto const* form = std::get_if<PlaningForm>(&machine->kind);
  if (!form || !form->depth_gauge) {
    problems.error(
        form ? fmt::format(
                   "machine '{}' has no depth_gauge: what its point is decides what it reads",
                   machine->name)
             : fmt::format("machine '{}' is a {}: it has no groove", machine->name,
                           kind_word(*machine)),
        form ? "add depth_gauge: {tip: ..., diameter: ...} to the machine"
             : "name a planing form with --machine");
    return;
  }
  const auto setups = machine::set_up({.taper = inputs.taper,
                                       .shop = inputs.shop,
                                       .machine = *machine,
                                       .gauge = bench.judge.gauge,
                                       .sections = inputs.sections,
                                       .unit = inputs.unit,
                                       .correction = inputs.correction},
                                      problems);
  if (problems.errors() > errors_before) return;
  for (auto const& setup : setups) {
    auto const& passes = std::get<std::vector<machine::FormPass>>(setup.settings);
    const auto pass = choose_pass(options.pass, passes.size(), problems);
    if (!pass) return;
    bench.pass = *pass;
    auto const& tolerance = inputs.shop.tolerances.strip;
    auto targets = std::make_unique<GrooveTargets>(setup, passes[*pass], *form, tolerance);
    bench.of_groove.push_back(targets.get());
    bench.targets.push_back(std::move(targets));
    bench.passes.resize(passes.size());
    for (std::size_t p = 0; p < passes.size(); ++p)
      bench.passes[p].push_back(
          std::make_unique<GrooveTargets>(setup, passes[p], *form, tolerance));
  }
}

}  // namespace

std::optional<Unit> readings_unit(CheckOptions const& options, Problems& problems) {
  if (options.readings_unit.empty()) return std::nullopt;
  const auto parsed = parse_unit(options.readings_unit);
  if (!parsed) problems.error("--readings-unit " + parsed.fault, parsed.remedy);
  return parsed.value;
}

inspection::ReadingsOrder CheckBench::order() const {
  inspection::ReadingsOrder out;
  for (auto const& each : targets) out.choice.sections.push_back(each.get());
  out.choice.left_out = sections_left_out;
  if (machine) out.nameless = machine->name;
  out.unit = inputs->unit;
  return out;
}

Tolerance const& CheckBench::tolerance() const {
  return kind() == ReadingKind::sections ? inputs->shop.tolerances.flats
                                         : inputs->shop.tolerances.strip;
}

Length CheckBench::place(std::size_t section, Station at) const {
  return of_groove.empty() ? at.from_zero() : of_groove[section]->machine_at(at).from_zero();
}

std::optional<CheckBench> prepare_check(Inputs& inputs, CheckOptions const& options,
                                        ReadingKind kind, Problems& problems) {
  const auto errors_before = problems.errors();
  std::vector<std::string> left_out;
  for (auto const& section : inputs.taper.sections) {
    const bool asked_for = std::any_of(inputs.sections.begin(), inputs.sections.end(),
                                       [&](auto const& each) { return each.name == section.name; });
    if (!asked_for) left_out.push_back(section.name);
  }
  CheckBench bench{&inputs,
                   choose_stage(options, kind, problems),
                   {},
                   {},
                   {},
                   {},
                   {},
                   nullptr,
                   std::move(left_out),
                   {},
                   0,
                   !options.pass.empty()};
  bench.moisture_now = choose_moisture(options, bench.stage, inputs.shop, problems);
  bench.judge = {gauge_for_check(inputs.shop, options.common, problems), inputs.shop.decide,
                 inputs.shop.tolerances.angle};
  if (!options.pass.empty() && kind != ReadingKind::groove)
    problems.error("--pass is for the groove of a form that is set for several passes",
                   "leave it out");
  if (!options.common.correction.empty() && kind != ReadingKind::groove &&
      !options.strips_of_a_corrected_machine)
    problems.error("--correction is for the groove of a form that was set with it",
                   "leave it out: strips are held against the taper itself");
  if (problems.errors() > errors_before) return std::nullopt;
  if (kind == ReadingKind::groove)
    prepare_groove(bench, inputs, options, problems);
  else
    prepare_stage(bench, problems);
  if (problems.errors() > errors_before) return std::nullopt;
  return bench;
}

}  // namespace stripwright::cli
