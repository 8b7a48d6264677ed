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

culm::NodeHabits node_habits(NodeOptions const& options, culm::NodeHabits rules, Taper const& taper,
                             Problems& problems) {
  const Unit unit = taper.unit;
  const auto off_the_rod = [&](Station at) {
    return at < taper.tip_end() - kSamePlace || at > taper.butt_end() + kSamePlace;
  };
  const auto rod =
      fmt::format("stations of this rod run from {} to {}, from its tip end",
                  format_short(in_unit(taper.tip_end().from_zero(), unit), bench_decimals(unit)),
                  format_short(taper.butt_end().from_zero(), unit));
  for (const Station at : rules.places)
    if (off_the_rod(at))
      problems.warn(fmt::format("the culm file's places: {} is off the rod",
                                format_short(at.from_zero(), unit)),
                    rod + "; it counts for nothing here");
  rule_option("--min-gap", options.min_gap, unit, rules.min_gap, problems);
  rule_option("--keep-clear", options.keep_clear, unit, rules.keep_clear, problems);
  for (auto const& text : options.clear_at) {
    const auto parsed = parse_length(text, unit);
    if (!parsed)
      problems.error("--clear-at " + parsed.fault, parsed.remedy);
    else if (off_the_rod(Station(*parsed.value)))
      problems.error(fmt::format("--clear-at {} is off the rod", quoted_for_message(text)), rod);
    else
      rules.places.emplace_back(*parsed.value);
  }
  return rules;
}

std::optional<Length> shift_step(std::string const& given, Unit unit, ZeroStep zero,
                                 Problems& problems) {
  if (given.empty()) return unit == Unit::inch ? Length::inches(0.25) : Length::millimetres(5);
  const auto parsed = parse_length(given, unit);
  constexpr Length kFinest = Length::millimetres(0.1);
  if (!parsed) {
    problems.error("--shift-step " + parsed.fault, parsed.remedy);
    return std::nullopt;
  }
  const bool of_use = *parsed.value != Length{} || zero == ZeroStep::moves_none;
  if (of_use && (*parsed.value == Length{} || *parsed.value >= kFinest)) return parsed.value;
  problems.error(of_use
                     ? fmt::format("--shift-step {} is out of its range", quoted_for_message(given))
                     : fmt::format("--shift-step {} moves no strip, so that no node can be placed",
                                   quoted_for_message(given)),
                 fmt::format("{} or more{}", format_short(kFinest, Unit::millimetre),
                             zero == ZeroStep::moves_none ? ", or 0 to move no strip"
                                                          : "; left out, it is 1/4 in or 5 mm"));
  return std::nullopt;
}

}  // namespace stripwright::cli
