#include <fmt/format.h>

#include <cmath>
#include <memory>
#include <ostream>

#include "cli/command_line.h"
#include "cli/options.h"
#include "cli/profiles.h"
#include "cli/setup_output.h"
#include "inspection/conformance.h"
#include "report/json.h"
#include "report/paragraph.h"
#include "report/table.h"
#include "shop/read_shop.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

using report::Cell;
using report::Table;

/// What `shop show` and `shop lint` work on: the named shop, or the built-in one.
std::optional<files::SourceText> open_shop(std::string const& given, Problems& problems) {
  return given.empty() ? std::optional(embedded_shop_source())
                       : open_profile(given, ProfileKind::shop, problems);
}

std::string machine_names(Shop const& shop) {
  std::vector<std::string> names;
  for (auto const& machine : shop.machines) names.push_back(machine.name);
  return fmt::format("{}", fmt::join(names, ", "));
}

ExitStatus list(CommonOptions const& options, Streams streams) {
  Table table{
      "shops",
      {{"shop", "shop"}, {"name", "name"}, {"machines", ""}, {"unit", "unit"}, {"file", "file"}},
      {}};
  const auto add = [&](std::string const& name, files::SourceText const& source) {
    Problems unread;
    if (const auto shop = read_shop(source, unread))
      table.rows.push_back({name, shop->name, machine_names(*shop),
                            std::string(unit_name(shop->unit)), source.name()});
    else
      table.rows.push_back({name, std::string("(not a sound shop file: see shop lint)"),
                            std::string(), std::string(), source.name()});
  };
  for (auto const& file : list_profiles(ProfileKind::shop)) {
    Problems unread;
    if (const auto source = files::read_source(file.path, unread)) add(file.name, *source);
  }
  add("", embedded_shop_source());
  const auto format = format_of(options);
  streams.out << (format == Format::text  ? report::to_text(table, Unit::inch)
                  : format == Format::csv ? report::to_csv(table, Unit::inch)
                                          : report::json_text(report::to_json(table, Unit::inch)));
  return ExitStatus::all_well;
}

Table shop_table(Shop const& shop) {
  Table table{"shop", {{"what", "what"}, {"value", "value", true}, {"meaning", "meaning"}}, {}};
  auto const& a = shop.allowances;
  const auto add = [&](std::string what, Length value, std::string meaning) {
    table.rows.push_back({std::move(what), Cell(value), std::move(meaning)});
  };
  add("varnish", a.varnish, "on each flat");
  add("cleanup", a.cleanup, "off each flat after gluing");
  add("glue line", a.glue_line, "between two flanks");
  add("enamel", a.enamel.thickness,
      face_at_milling(a.enamel) == Face::round ? "thick, on a round face"
                                               : "thick, on a flat face");
  if (a.enamel.culm_diameter) add("culm diameter", *a.enamel.culm_diameter, "outside");
  add("apex relief", a.apex_relief, "knocked off before gluing");
  add("spare, tip end", shop.spare.tip_end, "cut off after gluing");
  add("spare, butt end", shop.spare.butt_end, "cut off after gluing");
  add("rough over", shop.rough.over, "height of the rough strip over the milled one");
  add("strip over", shop.tolerances.strip.over, "still right above the target");
  add("strip under", shop.tolerances.strip.under, "still right below it");
  add("flats over", shop.tolerances.flats.over, "still right above the target");
  add("flats under", shop.tolerances.flats.under, "still right below it");
  return table;
}

std::string show_text(Shop const& shop, Unit unit) {
  std::string out = shop.name + "\n";
  if (const auto assumed = assumed_line(shop); !assumed.empty())
    out += report::paragraph(assumed, "", "");
  out += fmt::format("\n{}\n", report::to_text(shop_table(shop), unit));
  out +=
      fmt::format("Angles right within {} degrees of 60; readings are judged {}.\n",
                  format_short(shop.tolerances.angle.in_degrees(), 3),
                  shop.decide == Decide::guarded ? "with proof (guarded)" : "by the plain limits");
  if (auto const& m = shop.allowances.moisture)
    out +=
        fmt::format("Moisture {} % at milling, {} % in service, {} of height for a percent.\n",
                    format_short(m->percent_at_milling, 2), format_short(m->percent_in_service, 2),
                    format_short(m->swelling_per_percent, 6));
  for (auto const& gauge : shop.gauges)
    out += fmt::format("Gauge {}: step {}, standard uncertainty {}\n", gauge.name,
                       format_short(gauge.resolution, unit),
                       format_length(gauge.standard_uncertainty, unit, file_decimals(unit)));
  for (auto const& machine : shop.machines)
    out += fmt::format(
        "Machine {}: {}, strip at {}{}\n", machine.name, kind_word(machine),
        format_short(machine.strip_at.from_zero(), unit),
        machine.serves.empty() ? "" : fmt::format(", for {}", fmt::join(machine.serves, ", ")));
  return out;
}

ExitStatus show(CommonOptions const& options, Streams streams) {
  Problems problems;
  const auto source = open_shop(options.shop, problems);
  const auto shop = source ? read_shop(*source, problems) : std::nullopt;
  if (shop) {
    const Unit unit = options.units.empty() ? shop->unit : *parse_unit(options.units).value;
    switch (format_of(options)) {
      case Format::text:
        streams.out << show_text(*shop, unit);
        break;
      case Format::csv:
        streams.out << report::to_csv(shop_table(*shop), unit);
        break;
      case Format::json:
        streams.out << report::json_text({{"name", shop->name},
                                          {"unit", unit_name(unit)},
                                          {"assumed_zero", shop->allowances.assumed},
                                          {"values", report::to_json(shop_table(*shop), unit)},
                                          {"machines", machine_names(*shop)}});
        break;
    }
  }
  streams.err << problems.text();
  return status_of(problems);
}

/// What the gauges cannot prove; warnings, for the shop can still be worked with.
void warn_unproven(Shop const& shop, Problems& problems) {
  const auto show = [&](Length l) {
    return format_length(l, shop.unit, bench_decimals(shop.unit) + 1);
  };
  if (shop.gauges.empty())
    problems.warn("the shop has no gauge: no tolerance can be proven", "add one under gauges:");
  for (auto const& gauge : shop.gauges) {
    const Length u = inspection::standard_uncertainty(gauge);
    const auto too_coarse = [&](Tolerance const& tolerance, std::string_view what) {
      const auto limits = inspection::limits_around({}, tolerance);
      if (const auto reach = inspection::readings_that_prove(limits, u)) {
        const Length within = reach->high - reach->low;
        if (gauge.resolution <= within + kSamePlace) return;
        problems.warn(
            fmt::format("gauge '{}' proves the tolerance of {} by one of its steps of {} at most, "
                        "and at some heights by none: only readings within {} prove it",
                        gauge.name, what, format_short(gauge.resolution, shop.unit), show(within)),
            "read finer there, with a gauge of smaller steps, or widen the tolerance");
        return;
      }
      problems.warn(
          fmt::format("gauge '{}' (standard uncertainty {}) is too coarse for the tolerance of {}: "
                      "no reading can be proven right",
                      gauge.name, show(u), what),
          fmt::format(
              "a standard uncertainty of {} or better would do, or a tolerance of {} in all",
              show(inspection::coarsest_uncertainty(limits)),
              show(u * ((limits.high - limits.low) / inspection::coarsest_uncertainty(limits)))));
    };
    too_coarse(shop.tolerances.strip, "strips");
    too_coarse(shop.tolerances.flats, "flats");
    // An angle from three heights has the uncertainty √2 u/h, from
    // dA = (dh_b + dh_c - 2 dh_a)/(√3 h) with the three heights read independently; it is proven in
    // the middle where its limits are 3.92 of that apart.
    const double z =
        2 * (shop.tolerances.strip.over + shop.tolerances.strip.under).in_millimetres() / 2 /
        inspection::coarsest_uncertainty(inspection::limits_around({}, shop.tolerances.strip))
            .in_millimetres();
    const Length least_height = u * (std::sqrt(2.0) * z / (2 * shop.tolerances.angle.in_radians()));
    problems.warn(
        fmt::format("gauge '{}' proves an angle within {} degrees only on strips {} high or more",
                    gauge.name, format_short(shop.tolerances.angle.in_degrees(), 3),
                    show(least_height)),
        "judge the angles of thinner strips by repeated readings or a finer gauge");
  }
}

ExitStatus lint(CommonOptions const& options, Streams streams) {
  Problems problems;
  const auto source = open_shop(options.shop, problems);
  const auto shop = source ? read_shop(*source, problems) : std::nullopt;
  if (shop) {
    if (const auto assumed = assumed_line(*shop); !assumed.empty())
      problems.warn(assumed, "write a value, 0 if it is meant, so that it is not forgotten");
    warn_unproven(*shop, problems);
    if (problems.empty()) streams.out << fmt::format("{}: in order\n", source->name());
  }
  streams.err << problems.text();
  return status_of(problems);
}

using Action = ExitStatus (*)(CommonOptions const&, Streams);

void on_callback(Command command, std::shared_ptr<CommonOptions> const& options, Run& run,
                 Action action) {
  command.on_given(run, [options, action](Streams streams) { return action(*options, streams); });
}

}  // namespace

void add_shop(Command program, Run& run) {
  auto options = std::make_shared<CommonOptions>();
  auto group = program.add_subcommand("shop", "the shops: list, show, lint");
  group.require_subcommand();
  auto list_command =
      group.add_subcommand("list", "the shops that a bare name finds, and the built-in one");
  list_command.add_option("--format", options->format, "text, csv or json")
      .one_of({"text", "csv", "json"});
  list_command.manual({{"stripwright shop list"}, {}, "all is well", ""});
  on_callback(list_command, options, run, list);
  auto show_command = group.add_subcommand("show", "one shop's habits, gauges and machines");
  show_command.add_option(
      "SHOP", options->shop,
      "a shop file, or the name of one in profiles/shops; the built-in shop if left out");
  add_output_options(show_command, *options);
  show_command.manual({{"stripwright shop show saltmarsh-lane"}, {}, "all is well", ""});
  on_callback(show_command, options, run, show);
  auto lint_command = group.add_subcommand(
      "lint", "what is wrong in a shop file, and what its gauges cannot prove");
  lint_command.add_option(
      "SHOP", options->shop,
      "a shop file, or the name of one in profiles/shops; the built-in shop if left out");
  lint_command.manual({{"stripwright shop lint saltmarsh-lane"}, {}, "nothing is wrong", ""});
  on_callback(lint_command, options, run, lint);
}

}  // namespace stripwright::cli
