#include <fmt/format.h>

#include <memory>
#include <ostream>

#include "cli/command_line.h"
#include "cli/options.h"
#include "cli/setup_output.h"
#include "report/json.h"
#include "report/paragraph.h"
#include "report/table.h"
#include "section/strip_profile.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

using report::Json;
using section::Step;
using section::StripProfile;

report::Table ledger_table(StripProfile const& strip, Station at) {
  report::Table table{"ledger",
                      {{"step", "step"},
                       {"letter", "letter"},
                       {"value", "value", true},
                       {"formula", "formula"},
                       {"why", ""}},
                      {}};
  const auto ledger = strip.ledger(at);
  for (std::size_t i = 0; i < section::kSteps; ++i) {
    const auto step = static_cast<Step>(i);
    const auto text = strip.rules().text(step);
    table.rows.push_back(
        {std::string(text.name), std::string(text.letter), ledger[step], text.formula, text.why});
  }
  return table;
}

std::string explain_text(Inputs const& inputs, std::vector<StripProfile> const& strips,
                         Station at) {
  const Unit unit = inputs.unit;
  std::string out =
      report::paragraph(fmt::format("{} at station {}, by the allowances of {}", inputs.taper.name,
                                    format_short(at.from_zero(), unit), inputs.shop.name),
                        "", "");
  if (inputs.shop_is_built_in)
    out += "No --shop named: the built-in shop serves, with its allowances, not yours.\n";
  if (const auto assumed = assumed_line(inputs.shop); !assumed.empty())
    out += report::paragraph(assumed, "", "");
  std::vector<std::string> names;
  for (auto const& strip : strips) names.push_back(strip.section().name);
  out += fmt::format("\nSECTION{} {}\n", names.size() > 1 ? "S" : "", fmt::join(names, " and "));
  // Where sections meet they have the station, and so its ledger, in common.
  auto const& strip = strips.front();
  const auto ledger = strip.ledger(at);
  const std::string indent(25, ' ');
  for (std::size_t i = 0; i < section::kSteps; ++i) {
    const auto step = static_cast<Step>(i);
    const auto text = strip.rules().text(step);
    out +=
        fmt::format("{:>11} {}  {:<8} {}\n", format_number(ledger[step], unit, file_decimals(unit)),
                    unit_name(unit), text.letter, text.name);
    out += report::paragraph(fmt::format("{}: {}", text.formula, text.why), indent, indent + "  ");
  }
  std::string with = "with";
  for (auto const& [letter, value] : strips.front().rules().letters(unit))
    with += fmt::format(" {} = {},", letter, value);
  if (strip.rules().round_face())
    with += fmt::format(
        " E = {},",
        format_short(ledger[Step::strip_milled] - ledger[Step::strip_at_milling], unit));
  with.pop_back();
  return out + "\n" + report::paragraph(with, "", "  ");
}

std::string explain_json(Inputs const& inputs, std::vector<StripProfile> const& strips,
                         Station at) {
  const Unit unit = inputs.unit;
  Json out = {{"taper", inputs.taper.name},
              {"shop", inputs.shop.name},
              {"unit", unit_name(unit)},
              {"at", report::json_length(at.from_zero(), unit)}};
  out["assumed_zero"] = inputs.shop.allowances.assumed;
  Json letters = Json::object();
  for (auto const& [letter, value] : strips.front().rules().letters(unit))
    letters[std::string(letter)] = value;
  out["letters"] = std::move(letters);
  Json sections = Json::array();
  for (auto const& strip : strips)
    sections.push_back({{"section", strip.section().name},
                        {"steps", report::to_json(ledger_table(strip, at), unit)}});
  out["sections"] = std::move(sections);
  return report::json_text(out);
}

std::string explain_csv(Inputs const& inputs, std::vector<StripProfile> const& strips, Station at) {
  report::Table all;
  for (auto const& strip : strips) {
    auto table = ledger_table(strip, at);
    if (all.columns.empty()) {
      all.columns = table.columns;
      all.columns.insert(all.columns.begin(), {"section", ""});
    }
    for (auto& row : table.rows) {
      row.insert(row.begin(), strip.section().name);
      all.rows.push_back(std::move(row));
    }
  }
  return report::to_csv(all, inputs.unit);
}

/// The strips of the sections that hold the station, checked there.
std::vector<StripProfile> strips_at(Inputs const& inputs, Station at, Problems& problems) {
  const auto curve = std::make_shared<const TaperCurve>(inputs.taper);
  const section::LedgerRules rules(inputs.taper.measured, inputs.shop.allowances);
  std::vector<StripProfile> strips;
  std::vector<std::string> ranges;
  for (auto const& section : inputs.sections) {
    ranges.push_back(fmt::format("{} from {} to {}", section.name,
                                 format_short(section.from.from_zero(), inputs.unit),
                                 format_short(section.to.from_zero(), inputs.unit)));
    if (at < section.from - kSamePlace || at > section.to + kSamePlace) continue;
    strips.emplace_back(curve, section, rules);
    section::check_section(strips.back(), {at}, inputs.unit, problems);
  }
  if (strips.empty())
    problems.error(
        fmt::format("station {} is in no section", format_short(at.from_zero(), inputs.unit)),
        fmt::format("the sections are {}", fmt::join(ranges, ", ")));
  return strips;
}

ExitStatus run_explain(CommonOptions const& options, std::string const& position, Streams streams) {
  Problems problems;
  const auto inputs = read_inputs(options, problems);
  std::vector<StripProfile> strips;
  Station at;
  if (inputs) {
    const auto parsed = parse_length(position, inputs->taper.unit);
    if (!parsed) problems.error("--at " + parsed.fault, parsed.remedy);
    if (parsed) {
      at = Station(*parsed.value);
      strips = strips_at(*inputs, at, problems);
    }
  }
  if (!problems.any_error()) {
    const auto format = format_of(options);
    streams.out << (format == Format::json  ? explain_json(*inputs, strips, at)
                    : format == Format::csv ? explain_csv(*inputs, strips, at)
                                            : explain_text(*inputs, strips, at));
  }
  streams.err << problems.text();
  return status_of(problems);
}

}  // namespace

void add_explain(Command program, Run& run) {
  auto options = std::make_shared<CommonOptions>();
  auto position = std::make_shared<std::string>();
  auto command = program.add_subcommand(
      "explain", "why the strip has this height at one station, step by step");
  command.manual(
      {{"stripwright explain yarrow --shop saltmarsh-lane --at 45"}, {}, "all is well", ""});
  add_taper_argument(command, *options);
  command.add_option("--at", *position, "the station, from the tip end").required();
  add_shop_options(command, *options);
  add_section_option(command, *options);
  add_output_options(command, *options);
  command.on_given(run, [options, position](Streams streams) {
    return run_explain(*options, *position, streams);
  });
}

}  // namespace stripwright::cli
