#include <fmt/format.h>

#include <memory>
#include <ostream>

#include "cli/command_line.h"
#include "cli/profiles.h"
#include "cli/taper_commands.h"
#include "cli/taper_write.h"
#include "report/json.h"
#include "report/table.h"
#include "sheet/compare_figure.h"
#include "shop/read_shop.h"
#include "taper/derive.h"
#include "taper/read_taper.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

using report::Cell;
using report::Table;
using sheet::ComparedTaper;

struct CompareOptions {
  std::vector<std::string> tapers;
  std::string stations;
  std::string varnish;
  CommonOptions common;  ///< shop, units, format
  FileTarget picture{"", false, ".svg", "--out"};
};

/// Tapers held against the first of them.
struct Comparison {
  std::string first;
  Stretch stretch;
  Unit unit = Unit::inch;
  std::vector<ComparedTaper> others;
};

std::vector<Taper> read_tapers(CompareOptions const& options, Problems& problems) {
  std::vector<Taper> out;
  for (auto const& name : options.tapers) {
    const auto source = open_profile(name, ProfileKind::taper, problems);
    auto taper = source ? read_taper(*source, problems) : std::nullopt;
    if (taper) out.push_back(std::move(*taper));
  }
  return out;
}

/// How thick the varnish is that is to be taken off; nothing, and a problem, if nobody says so.
std::optional<Length> varnish_of(CompareOptions const& options, Taper const& taper,
                                 Problems& problems) {
  if (!options.varnish.empty()) {
    const auto varnish = parse_length(options.varnish, taper.unit);
    if (!varnish) problems.error("--varnish " + varnish.fault, varnish.remedy);
    return varnish.value;
  }
  if (!options.common.shop.empty()) {
    const auto source = open_profile(options.common.shop, ProfileKind::shop, problems);
    const auto shop = source ? read_shop(*source, problems) : std::nullopt;
    return shop ? std::optional(shop->allowances.varnish) : std::nullopt;
  }
  problems.error(fmt::format("{} is measured over varnish, and how thick it is, is not said",
                             quoted_for_message(taper.name)),
                 "say it with --varnish 0.0015in, or name your shop with --shop");
  return std::nullopt;
}

void make_bare(CompareOptions const& options, std::vector<Taper>& tapers, Problems& problems) {
  for (auto& taper : tapers) {
    if (taper.measured == Measured::bare) continue;
    const auto varnish = varnish_of(options, taper, problems);
    if (!varnish) return;
    auto bare = on_basis(derived_from(taper), Measured::bare, *varnish);
    if (bare)
      taper = std::move(bare.value->taper);
    else
      problems.error(fmt::format("{}: {}", quoted_for_message(taper.name), bare.fault),
                     bare.remedy);
  }
}

std::optional<std::vector<Station>> stations_of(CompareOptions const& options,
                                                std::vector<Taper> const& tapers, Stretch stretch,
                                                Problems& problems) {
  if (options.stations.empty()) return common_stations(tapers, stretch);
  const auto step = parse_length(options.stations, tapers.front().unit);
  auto change = step ? cut(derived_from(tapers.front()), stretch.from, stretch.to)
                     : Change{std::nullopt, step.fault, step.remedy};
  if (change) change = at_every(std::move(*change.value), *step.value);
  if (!change) {
    problems.error("--stations: " + change.fault, change.remedy);
    return std::nullopt;
  }
  std::vector<Station> out;
  for (auto const& point : change.value->taper.points) out.push_back(point.at);
  return out;
}

std::optional<Comparison> compared(CompareOptions const& options, Problems& problems) {
  auto tapers = read_tapers(options, problems);
  if (problems.any_error()) return std::nullopt;
  make_bare(options, tapers, problems);
  if (problems.any_error()) return std::nullopt;
  const auto stretch = common_stretch(tapers);
  if (!stretch) {
    problems.error("no part of the rod that all of these tapers have",
                   "move one with `taper derive --move`");
    return std::nullopt;
  }
  const auto stations = stations_of(options, tapers, *stretch, problems);
  if (!stations) return std::nullopt;
  Comparison out{tapers.front().name, *stretch, tapers.front().unit, {}};
  if (!options.common.units.empty()) out.unit = *parse_unit(options.common.units).value;
  for (std::size_t i = 1; i < tapers.size(); ++i)
    out.others.push_back({tapers[i].name, compare_tapers(tapers.front(), tapers[i], *stations)});
  return out;
}

/// The rows of one taper, under its name where files hold several.
Table table_of(Comparison const& all, std::size_t first, std::size_t last) {
  Table table{"differences",
              {{"taper", ""},
               {"at", "station", true},
               {"first", "first~taper", true},
               {"flats", "this~taper", true},
               {"difference", "differ- ence", true},
               {"stiffness_pct", "stiffness %"},
               {"mass_pct", "mass~to here %"}},
              {}};
  for (std::size_t i = first; i < last; ++i)
    for (auto const& row : all.others[i].rows)
      table.rows.push_back({all.others[i].name, report::Place{row.at.from_zero()}, row.first,
                            row.second, row.difference(),
                            report::Number{row.stiffness_percent, 3, 1},
                            row.mass_percent ? Cell(report::Number{*row.mass_percent, 3, 1})
                                             : Cell(std::monostate{})});
  return table;
}

std::string text_of(Comparison const& all) {
  std::string out;
  for (std::size_t i = 0; i < all.others.size(); ++i) {
    if (i > 0) out += '\n';
    out += fmt::format("{} against {}, across flats of bare cane from {} to {}\n\n",
                       all.others[i].name, all.first,
                       format_short(all.stretch.from.from_zero(), all.unit),
                       format_short(all.stretch.to.from_zero(), all.unit));
    out += report::to_text(table_of(all, i, i + 1), all.unit);
  }
  return out +
         "\nStiffness goes with the fourth power of the flats; mass is counted from the tip.\n";
}

std::string printed(CompareOptions const& options, Comparison const& all) {
  const auto table = table_of(all, 0, all.others.size());
  switch (format_of(options.common)) {
    case Format::text:
      return text_of(all);
    case Format::csv:
      return report::to_csv(table, all.unit);
    case Format::json:
      return report::json_text({{"first", all.first},
                                {"unit", unit_name(all.unit)},
                                {"rows", report::to_json(table, all.unit)}});
  }
  return {};
}

ExitStatus run_compare(CompareOptions const& options, Streams streams) {
  Problems problems;
  const bool picture = !options.picture.path.empty();
  if (picture) may_be_written(options.picture, problems);
  if (options.tapers.size() < 2)
    problems.error("one taper alone", "name two or more: taper compare yarrow teasel");
  const auto all = problems.any_error() ? std::nullopt : compared(options, problems);
  auto written = ExitStatus::all_well;
  std::string copy;
  if (all && picture)
    written =
        write_file(options.picture, sheet::compare_picture(all->first, all->others, all->unit),
                   copy, problems);
  if (all && written == ExitStatus::all_well) streams.out << printed(options, *all);
  if (!copy.empty()) streams.err << fmt::format("{} as it was: {}\n", options.picture.path, copy);
  streams.err << problems.text();
  return std::max(written, status_of(problems));
}

}  // namespace

void add_taper_compare(Command group, Run& run) {
  auto options = std::make_shared<CompareOptions>();
  auto command =
      group.add_subcommand("compare", "tapers held against the first: flats, stiffness and mass");
  command.manual({{"stripwright taper compare yarrow teasel --out compare.svg"},
                  {"All are compared on bare cane, at the stations that any of them has."},
                  "all is well",
                  ""});
  command
      .add_option("TAPER", options->tapers,
                  "two or more taper files, or names of those in profiles")
      .required();
  command.add_option("--stations", options->stations, "at every such step instead, and both ends");
  command.add_option("--varnish", options->varnish,
                     "on each flat of those that are measured over varnish");
  command.add_option("--shop", options->common.shop, "the shop whose varnish they have");
  command.add_option("--out", options->picture.path, "a picture of the differences, .svg");
  command.add_flag("--force", options->picture.force,
                   "replace a picture that is there; a copy of it is kept beside it");
  add_output_options(command, options->common);
  command.on_given(run, [options](Streams streams) { return run_compare(*options, streams); });
}

}  // namespace stripwright::cli
