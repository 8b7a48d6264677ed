#include "cli/node_options.h"

#include <fmt/format.h>

#include "cli/command_line.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

/// A length of an option, within 0 and what a rule can be.
void rule_option(std::string_view option, std::string const& text, Unit unit, Length& rule,
                 Problems& problems) {
  if (text.empty()) return;
  constexpr Length kWidest = Length::millimetres(300);
  const auto parsed = parse_length(text, unit);
  if (!parsed)
    problems.error(fmt::format("{} {}", option, parsed.fault), parsed.remedy);
  else if (*parsed.value < Length{} || *parsed.value > kWidest)
    problems.error(fmt::format("{} {} is out of its range", option, quoted_for_message(text)),
                   fmt::format("0 to {}", format_short(kWidest, unit)));
  else
    rule = *parsed.value;
}

}  // namespace

void add_node_options(Command command, NodeOptions& options) {
  command.add_option("--min-gap", options.min_gap,
                     "that nodes of neighbours shall be apart; 25 mm if no file says otherwise");
  command.add_option("--keep-clear", options.keep_clear,
                     "that nodes shall be away from the tip end and the joints; 25 mm if no file "
                     "says otherwise");
  command
      .add_option("--clear-at", options.clear_at,
                  "a place of your own along the rod to keep clear of nodes; may be repeated")
      .one_value_each_time();
}

culm::NodeHabits node_habits(NodeOptions const& options, culm::NodeHabits rules, Unit unit,
                             Problems& problems) {
  rule_option("--min-gap", options.min_gap, unit, rules.min_gap, problems);
  rule_option("--keep-clear", options.keep_clear, unit, rules.keep_clear, problems);
  for (auto const& text : options.clear_at) {
    const auto parsed = parse_length(text, unit);
    if (parsed)
      rules.places.emplace_back(*parsed.value);
    else
      problems.error("--clear-at " + parsed.fault, parsed.remedy);
  }
  return rules;
}

std::optional<Length> shift_step(std::string const& given, Unit unit, Problems& problems) {
  if (given.empty()) return unit == Unit::inch ? Length::inches(0.25) : Length::millimetres(5);
  const auto parsed = parse_length(given, unit);
  constexpr Length kFinest = Length::millimetres(0.1);
  if (!parsed) {
    problems.error("--shift-step " + parsed.fault, parsed.remedy);
    return std::nullopt;
  }
  if (*parsed.value == Length{} || *parsed.value >= kFinest) return parsed.value;
  problems.error(fmt::format("--shift-step {} is out of its range", quoted_for_message(given)),
                 fmt::format("{} or more, or 0 to move no strip", format_short(kFinest, unit)));
  return std::nullopt;
}

}  // namespace stripwright::cli
