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

using inspection::Proposal;

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
ShopWritten write_shop(files::SourceText const& source, Unit unit,
                       std::vector<Proposal> const& proposals, Problems& problems) {
  std::vector<files::YamlChange> changes;
  for (auto const& each : proposals)
    if (each.changes())
      changes.push_back({{"allowances", std::string(shop_file_key(each.allowance))},
                         shop_file_number(each.value, unit)});
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
  const auto edit = files::edit_yaml(source.name(), *old, changes);
  if (!edit) {
    problems.add(edit.problem);
    return {ExitStatus::wrong, {}};
  }
  if (!read_shop(files::SourceText(source.name(), *edit.bytes), problems))
    return {ExitStatus::wrong, {}};
  const auto replaced = files::replace_keeping_copy(source.name(), *old, *edit.bytes, problems);
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

ExitStatus learn_and_print(LearnOptions const& options, files::SourceText const& shop_source,
                           Shop const& shop, std::optional<Gauge> const& gauge,
                           std::vector<MeasuredRing> const& rings, Problems& problems,
                           Streams streams) {
  std::vector<inspection::RingValues> of_rings;
  std::vector<inspection::AllowanceValue> values;
  std::vector<std::string> rods;
  for (std::size_t i = 0; i < rings.size(); ++i) {
    of_rings.push_back(inspection::allowance_values(rings[i].readings, i, shop.allowances));
    values.insert(values.end(), of_rings.back().values.begin(), of_rings.back().values.end());
    rods.push_back(rings[i].ring.rod);
  }
  const auto learned =
      inspection::learn(values, inspection::number_rods(rods), gauge.value_or(Gauge{}));
  if (learned.empty()) {
    problems.error(
        "strips and sections, or the stages of a section, were nowhere measured at the same "
        "stations",
        "measure them at the same stations");
    return finish(problems, streams);
  }
  const auto proposals = inspection::propose(learned, shop.allowances);
  const Unit unit = options.common.units.empty() ? rings.front().taper->unit
                                                 : *parse_unit(options.common.units).value;
  LearnReport report{shop, gauge, unit, rings, of_rings, learned, proposals, {}, {}};
  if (options.write) {
    const auto written = write_shop(shop_source, shop.unit, proposals, problems);
    if (written.status != ExitStatus::all_well) {
      finish(problems, streams);
      return written.status;
    }
    if (!written.copy.empty()) report.written = shop_source.name();
    report.copy = written.copy;
  }
  streams.out << printed(report, format_of(options.common));
  return std::max(settled(report) ? ExitStatus::all_well : ExitStatus::unmet,
                  finish(problems, streams));
}

ExitStatus run_learn(LearnOptions const& options, Streams streams) {
  Problems problems;
  const bool built_in = options.common.shop.empty();
  if (built_in && options.write)
    problems.error("--write without --shop: the built-in shop cannot be written to",
                   "name your own shop file with --shop");
  const auto source = built_in ? embedded_shop_source()
                               : open_profile(options.common.shop, ProfileKind::shop, problems);
  const auto shop = source ? read_shop(*source, problems) : std::nullopt;
  if (!shop) return finish(problems, streams);
  const auto gauge = gauge_for_learning(*shop, options.common, problems);
  const auto rings = read_rings(options.rings, *shop, problems);
  if (!rings || problems.any_error()) return finish(problems, streams);
  return learn_and_print(options, *source, *shop, gauge, *rings, problems, streams);
}

}  // namespace

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
