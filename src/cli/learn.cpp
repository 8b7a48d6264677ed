#include "cli/learn.h"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>

#include "cli/command_line.h"
#include "cli/profiles.h"
#include "files/keep_copy.h"
#include "files/yaml_editor.h"
#include "shop/read_shop.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

ExitStatus finish(Problems const& problems, Streams streams) {
  streams.err << problems.text();
  return status_of(problems);
}

std::optional<Gauge> gauge_for_learning(Shop const& shop, CommonOptions const& options,
                                        Problems& problems) {
  const auto errors_before = problems.errors();
  auto gauge = choose_gauge(shop, options, problems);
  if (gauge || problems.errors() > errors_before) return gauge;
  std::vector<std::string_view> names;
  for (auto const& each : shop.gauges) names.push_back(each.name);
  if (names.empty())
    problems.warn("the shop has no gauge: the intervals below are those of a perfect one",
                  "add the one that was used under gauges:");
  else
    problems.error("the shop has several gauges",
                   fmt::format("choose with --gauge: {}", fmt::join(names, ", ")));
  return gauge;
}

/// How the writing of the shop file ended.
struct ShopWritten {
  ExitStatus status = ExitStatus::all_well;
  std::string copy;  ///< "" if nothing was written
};

ExitStatus status_of(files::Replaced how) {
  switch (how) {
    case files::Replaced::done:
    case files::Replaced::same:
      return ExitStatus::all_well;
    case files::Replaced::refused:
      return ExitStatus::wrong;
    case files::Replaced::failed:
      return ExitStatus::failed;
  }
  return ExitStatus::failed;
}

/// Puts what changes into the shop file. The edited file is read once more as a shop before it
/// takes the old one's place.
ShopWritten write_shop(Learning const& learning, Problems& problems) {
  auto const& source = learning.shop_source;
  const auto changes = shop_changes(learning);
  if (changes.empty()) return {};
  const auto old = files::read_bytes(source.name(), problems);
  if (!old) return {ExitStatus::failed, {}};
  if (files::SourceText(source.name(), *old).text() != source.text()) {
    problems.add({Severity::error,
                  {source.name(), 0, 0},
                  "was changed by somebody else in the meantime; left as it is",
                  "run the command again",
                  {}});
    return {ExitStatus::wrong, {}};
  }
  const auto changed = changed_shop(source.name(), *old, changes, problems);
  if (!changed) return {ExitStatus::wrong, {}};
  const auto replaced = files::replace_keeping_copy(source.name(), *old, *changed, problems);
  return {status_of(replaced.how), replaced.copy};
}

/// Whether the shop file is now in accord with the readings, and nothing is in doubt.
bool settled(LearnReport const& report) {
  const bool clean =
      std::all_of(report.learned.begin(), report.learned.end(),
                  [](auto const& each) { return each.interval && each.odd.empty(); });
  const bool kept =
      std::all_of(report.proposals.begin(), report.proposals.end(), [](auto const& each) {
        return !each.changes() && each.reason != inspection::Reason::impossible;
      });
  const bool impossible =
      std::any_of(report.proposals.begin(), report.proposals.end(),
                  [](auto const& each) { return each.reason == inspection::Reason::impossible; });
  return clean && !impossible && (kept || !report.written.empty());
}

std::string printed(LearnReport const& report, Format format) {
  switch (format) {
    case Format::text:
      return learn_text(report);
    case Format::csv:
      return learn_csv(report);
    case Format::json:
      return learn_json(report);
  }
  return {};
}

ExitStatus run_learn(LearnOptions const& options, Streams streams) {
  Problems problems;
  const auto learning = learn_from_rings(options, problems);
  if (!learning) return finish(problems, streams);
  auto report = learning->report();
  if (options.write) {
    const auto written = write_shop(*learning, problems);
    if (written.status != ExitStatus::all_well) {
      finish(problems, streams);
      return written.status;
    }
    if (!written.copy.empty()) report.written = learning->shop_source.name();
    report.copy = written.copy;
  }
  streams.out << printed(report, format_of(options.common));
  return std::max(settled(report) ? ExitStatus::all_well : ExitStatus::unmet,
                  finish(problems, streams));
}

}  // namespace

std::optional<Learning> learn_from_rings(LearnOptions const& options, Problems& problems) {
  const bool built_in = options.common.shop.empty();
  if (built_in && options.write)
    problems.error("--write without --shop: the built-in shop cannot be written to",
                   "name your own shop file with --shop");
  auto source = built_in ? embedded_shop_source()
                         : open_profile(options.common.shop, ProfileKind::shop, problems);
  auto shop = source ? read_shop(*source, problems) : std::nullopt;
  if (!shop) return std::nullopt;
  auto gauge = gauge_for_learning(*shop, options.common, problems);
  auto rings = read_rings(options.rings, *shop, options.may_read, problems);
  if (!rings || problems.any_error()) return std::nullopt;
  Learning out{
      std::move(*source), std::move(*shop), std::move(gauge), std::move(*rings), {}, {}, {}};
  std::vector<inspection::AllowanceValue> values;
  std::vector<std::string> rods;
  for (std::size_t i = 0; i < out.rings.size(); ++i) {
    out.values.push_back(
        inspection::allowance_values(out.rings[i].readings, i, out.shop.allowances));
    values.insert(values.end(), out.values.back().values.begin(), out.values.back().values.end());
    rods.push_back(out.rings[i].ring.rod);
  }
  out.learned =
      inspection::learn(values, inspection::number_rods(rods), out.gauge.value_or(Gauge{}));
  if (out.learned.empty()) {
    problems.error(
        "strips and sections, or the stages of a section, were nowhere measured at the same "
        "stations",
        "measure them at the same stations");
    return std::nullopt;
  }
  out.proposals = inspection::propose(out.learned, out.shop.allowances);
  out.unit = options.common.units.empty() ? out.rings.front().taper->unit
                                          : *parse_unit(options.common.units).value;
  return out;
}

std::vector<files::YamlChange> shop_changes(Learning const& learning) {
  std::vector<files::YamlChange> out;
  for (auto const& each : learning.proposals)
    if (each.changes())
      out.push_back({{"allowances", std::string(shop_file_key(each.allowance))},
                     shop_file_number(each.value, learning.shop.unit)});
  return out;
}

std::optional<std::string> changed_shop(std::string const& name, std::string const& bytes,
                                        std::vector<files::YamlChange> const& changes,
                                        Problems& problems) {
  auto edit = files::edit_yaml(name, bytes, changes);
  if (!edit) {
    problems.add(edit.problem);
    return std::nullopt;
  }
  if (!read_shop(files::SourceText(name, *edit.bytes), problems)) return std::nullopt;
  return std::move(edit.bytes);
}

std::string shop_file_number(Length value, Unit unit) {
  return format_short(in_unit(value, unit), bench_decimals(unit) + 1);
}

std::string_view shop_file_key(inspection::Allowance allowance) {
  switch (allowance) {
    case inspection::Allowance::glue_line:
      return "glue_line";
    case inspection::Allowance::cleanup:
      return "cleanup";
    case inspection::Allowance::varnish:
      return "varnish";
    case inspection::Allowance::cleanup_less_glue_line:
      break;
  }
  check_internal(false, "an allowance that no shop file has");
  return "";
}

void add_learn(Command program, Run& run) {
  auto options = std::make_shared<LearnOptions>();
  auto command = program.add_subcommand(
      "learn", "the shop's own glue line, clean-up and varnish from finished sections");
  command.manual(
      {{"stripwright learn tip.yaml butt.yaml --shop saltmarsh-lane"},
       {"RING is a ring file: which six strips, in which order, where their readings are."},
       "the shop file agrees with the readings, or was made to by --write",
       "it does not, or readings are in doubt"});
  command.add_option("RING", options->rings, "ring files, of one rod or more").required();
  command.add_option(
      "--shop", options->common.shop,
      "a shop file, or the name of one in profiles/shops; the built-in shop if left out");
  command.add_option("--gauge", options->common.gauge, "which gauge, if the shop has several");
  command.add_flag("--write", options->write,
                   "put what changes into the shop file; a copy of it as it was is kept beside it");
  add_output_options(command, options->common);
  command.on_given(run, [options](Streams streams) { return run_learn(*options, streams); });
}

}  // namespace stripwright::cli
