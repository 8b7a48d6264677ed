#include "cli/options.h"

#include <fmt/format.h>

#include <algorithm>

#include "cli/command_line.h"
#include "cli/profiles.h"
#include "files/key_spec.h"
#include "shop/read_shop.h"
#include "shop/shop_keys.h"
#include "taper/read_taper.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

template <class List>
std::string names_of(List const& list) {
  std::vector<std::string_view> names;
  for (auto const& each : list) names.push_back(each.name);
  return fmt::format("{}", fmt::join(names, ", "));
}

/// `its gauges are caliper, micrometer; the nearest is 'caliper'`, for a name that none of them
/// has.
template <class List>
std::string there_are(std::string_view what, List const& list, std::string const& wanted) {
  if (list.empty()) return fmt::format("it has no {}", what);
  std::vector<std::string_view> names;
  for (auto const& each : list) names.push_back(each.name);
  const auto near = nearest_word(wanted, names);
  return fmt::format("its {} are {}{}", what, fmt::join(names, ", "),
                     near.empty() ? "" : fmt::format("; the nearest is '{}'", near));
}

/// The same of a shop's gauges or machines. Who forgot to name the shop looks for a mistake in the
/// name.
template <class List>
std::string shop_has(CommonOptions const& options, std::string_view what, List const& list,
                     std::string const& wanted) {
  const auto has = there_are(what, list, wanted);
  return options.shop.empty() ? "no --shop was named, so the built-in shop serves, and " + has +
                                    "; name your own shop with --shop"
                              : has;
}

std::optional<std::vector<RodSection>> choose_sections(Taper const& taper,
                                                       std::vector<std::string> const& wanted,
                                                       Problems& problems) {
  if (wanted.empty()) return taper.sections;
  const auto errors_before = problems.errors();
  for (auto const& name : wanted)
    if (std::none_of(taper.sections.begin(), taper.sections.end(),
                     [&](auto const& s) { return s.name == name; }))
      problems.error(
          fmt::format("--section {}: the taper has no such section", quoted_for_message(name)),
          there_are("sections", taper.sections, name));
  if (problems.errors() > errors_before) return std::nullopt;
  std::vector<RodSection> out;
  for (auto const& section : taper.sections)
    if (std::find(wanted.begin(), wanted.end(), section.name) != wanted.end())
      out.push_back(section);
  return out;
}

/// The range of a key of the shop file, for the option that stands in for it.
files::Range range_of(std::string_view map, std::string_view key) {
  auto const& allowances = *files::find_key(shop_file_keys(), "allowances").map;
  return files::find_key(*files::find_key(allowances, map).map, key).range;
}

void override_culm_diameter(std::string const& text, Unit bare_unit, Shop& shop,
                            Problems& problems) {
  const auto parsed = parse_length(text, bare_unit);
  const auto range = range_of("enamel", "culm_diameter");
  if (!parsed)
    problems.error("--culm-diameter " + parsed.fault, parsed.remedy);
  else if (parsed.value->in_millimetres() < range.lowest ||
           parsed.value->in_millimetres() > range.highest)
    problems.error(fmt::format("--culm-diameter {} is out of its range", quoted_for_message(text)),
                   "a culm is 15 mm to 200 mm in diameter; are inch and millimetre mixed up?");
  else
    shop.allowances.enamel.culm_diameter = *parsed.value;
}

void override_moisture(std::string const& text, Shop& shop, Problems& problems) {
  const auto parsed = parse_number(text);
  const auto range = range_of("moisture", "at_milling");
  if (!parsed)
    problems.error("--moisture " + parsed.fault, parsed.remedy);
  else if (*parsed.value < range.lowest || *parsed.value > range.highest)
    problems.error(fmt::format("--moisture {} is out of its range", quoted_for_message(text)),
                   "percent of dry mass, 0 to 30");
  else if (!shop.allowances.moisture)
    problems.error(
        "--moisture changes nothing: the shop has no allowances: moisture",
        "add moisture: {per_percent: ..., at_milling: ..., in_service: ...} to the shop file");
  else
    shop.allowances.moisture->percent_at_milling = *parsed.value;
}

bool serves_any(Machine const& machine, std::vector<RodSection> const& sections) {
  return std::any_of(sections.begin(), sections.end(),
                     [&](auto const& s) { return serves(machine, s.name); });
}

/// Keeps the sections that the machine serves; those asked for by name must be among them.
void keep_served(Machine const& machine, bool asked_for, std::vector<RodSection>& sections,
                 Problems& problems) {
  for (auto const& section : sections) {
    if (serves(machine, section.name)) continue;
    const auto what =
        fmt::format("machine '{}' does not serve section '{}'", machine.name, section.name);
    if (asked_for)
      problems.error(what, "its `for` list leaves it out; choose another machine");
    else
      problems.warn(what + ", which is left out here",
                    "set it up on another machine with --machine");
  }
  std::erase_if(sections, [&](auto const& s) { return !serves(machine, s.name); });
}

/// A correction belongs to one taper on one machine; another's would spoil a strip.
void check_correction(machine::Correction const& correction, Inputs const& inputs,
                      Machine const& machine, Problems& problems) {
  if (correction.machine != machine.name)
    problems.error(fmt::format("the correction is of machine '{}', not '{}'", correction.machine,
                               machine.name),
                   "correct each machine by its own trial strips");
  if (correction.taper != inputs.taper.name)
    problems.error(
        fmt::format("the correction is of taper {}, not {}", quoted_for_message(correction.taper),
                    quoted_for_message(inputs.taper.name)),
        "correct by trial strips of this taper");
  for (auto const& section : correction.sections)
    if (std::none_of(inputs.taper.sections.begin(), inputs.taper.sections.end(),
                     [&](auto const& each) { return each.name == section.section; }))
      problems.error(
          fmt::format("the correction has a section '{}' that the taper has not", section.section),
          fmt::format("its sections are {}", names_of(inputs.taper.sections)));
}

}  // namespace

void add_taper_argument(Command command, CommonOptions& options) {
  command.add_option("TAPER", options.taper, "a taper file, or the name of one in profiles")
      .required();
}

void add_shop_options(Command command, CommonOptions& options) {
  command.add_option(
      "--shop", options.shop,
      "a shop file, or the name of one in profiles/shops; a built-in shop if left out");
  command.add_option("--culm-diameter", options.culm_diameter,
                     "outside diameter of this batch's culms, instead of the shop's");
  command.add_option("--moisture", options.moisture,
                     "moisture at milling of this batch, percent, instead of the shop's");
}

void add_machine_options(Command command, CommonOptions& options) {
  command.add_option("--machine", options.machine,
                     "which machine, if the shop has several that serve");
  command.add_option("--gauge", options.gauge, "which gauge, if the shop has several");
}

void add_section_option(Command command, CommonOptions& options) {
  command.add_option("--section", options.sections, "only this section; may be repeated")
      .one_value_each_time();
}

void add_output_options(Command command, CommonOptions& options) {
  command
      .add_option("--units", options.units, "in or mm for the output; the taper's own if left out")
      .one_of({"in", "mm"});
  command.add_option("--format", options.format, "text, csv or json on the terminal")
      .one_of({"text", "csv", "json"});
}

void add_folder_options(Command command, CommonOptions& options, std::string const& out) {
  command.add_option("--out", options.out, out);
  command.add_flag("--force", options.force,
                   "replace files that were edited since they were written");
}

void add_correction_option(Command command, CommonOptions& options) {
  command.add_option("--correction", options.correction,
                     "a correction file, as `correct` writes it");
}

Format format_of(CommonOptions const& options) {
  return options.format == "csv"    ? Format::csv
         : options.format == "json" ? Format::json
                                    : Format::text;
}

InputFiles open_inputs(CommonOptions const& options, Problems& problems) {
  InputFiles files;
  files.taper = open_profile(options.taper, ProfileKind::taper, problems);
  files.shop = options.shop.empty() ? embedded_shop_source()
                                    : open_profile(options.shop, ProfileKind::shop, problems);
  if (!options.correction.empty())
    files.correction = files::read_source(options.correction, problems);
  return files;
}

std::optional<Inputs> read_inputs(CommonOptions const& options, Problems& problems) {
  return read_inputs(open_inputs(options, problems), options, problems);
}

std::optional<Inputs> read_inputs(InputFiles files, CommonOptions const& options,
                                  Problems& problems) {
  std::optional<Taper> taper;
  std::optional<Shop> shop;
  if (files.taper) taper = read_taper(*files.taper, problems);
  if (files.shop) shop = read_shop(*files.shop, problems);
  const Unit bare_unit = taper ? taper->unit : Unit::inch;
  if (shop && taper && !options.culm_diameter.empty())
    override_culm_diameter(options.culm_diameter, bare_unit, *shop, problems);
  if (shop && !options.moisture.empty()) override_moisture(options.moisture, *shop, problems);
  std::optional<machine::Correction> correction;
  if (files.correction) correction = machine::read_correction(*files.correction, problems);
  std::optional<std::vector<RodSection>> sections;
  if (taper) sections = choose_sections(*taper, options.sections, problems);
  const bool all_read = taper && shop && sections && (options.correction.empty() || correction);
  if (!all_read || problems.any_error()) return std::nullopt;
  const Unit unit = options.units.empty() ? taper->unit : *parse_unit(options.units).value;
  return Inputs{std::move(*files.taper), std::move(*taper),
                std::move(*files.shop),  options.shop.empty(),
                std::move(*shop),        unit,
                std::move(*sections),    std::move(files.correction),
                std::move(correction)};
}

Machine const* choose_machine(Inputs& inputs, CommonOptions const& options, Problems& problems) {
  auto const& machines = inputs.shop.machines;
  Machine const* chosen = nullptr;
  if (!options.machine.empty()) {
    const auto found = std::find_if(machines.begin(), machines.end(),
                                    [&](auto const& m) { return m.name == options.machine; });
    if (found == machines.end()) {
      problems.error(fmt::format("--machine {}: the shop has no such machine",
                                 quoted_for_message(options.machine)),
                     shop_has(options, "machines", machines, options.machine));
      return nullptr;
    }
    chosen = &*found;
  } else {
    std::vector<Machine const*> serving;
    std::vector<std::string_view> names;
    for (auto const& machine : machines)
      if (serves_any(machine, inputs.sections)) {
        serving.push_back(&machine);
        names.push_back(machine.name);
      }
    if (serving.size() != 1) {
      problems.error(serving.empty() ? "the shop has no machine that serves"
                                     : "the shop has several machines that serve",
                     serving.empty()
                         ? "add one under machines:"
                         : fmt::format("choose with --machine: {}", fmt::join(names, ", ")));
      return nullptr;
    }
    chosen = serving.front();
  }
  const auto errors_before = problems.errors();
  if (inputs.correction) check_correction(*inputs.correction, inputs, *chosen, problems);
  keep_served(*chosen, !options.sections.empty(), inputs.sections, problems);
  if (inputs.sections.empty() && problems.errors() == errors_before)
    problems.error(fmt::format("machine '{}' serves no section of this taper", chosen->name),
                   "choose another machine");
  return problems.errors() > errors_before ? nullptr : chosen;
}

std::optional<Gauge> choose_gauge(Shop const& shop, CommonOptions const& options,
                                  Problems& problems) {
  auto const& gauges = shop.gauges;
  if (options.gauge.empty())
    return gauges.size() == 1 ? std::optional(gauges.front()) : std::nullopt;
  const auto found = std::find_if(gauges.begin(), gauges.end(),
                                  [&](auto const& g) { return g.name == options.gauge; });
  if (found != gauges.end()) return *found;
  problems.error(
      fmt::format("--gauge {}: the shop has no such gauge", quoted_for_message(options.gauge)),
      shop_has(options, "gauges", gauges, options.gauge));
  return std::nullopt;
}

}  // namespace stripwright::cli
