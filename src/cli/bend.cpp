#include "cli/bend.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <ostream>

#include "cli/command_line.h"
#include "cli/version.h"
#include "files/digest.h"
#include "files/slug.h"
#include "report/json.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

using bending::Deviation;
using inspection::ReadingKind;

ExitStatus finish(Problems const& problems, Streams streams) {
  streams.err << problems.text();
  return status_of(problems);
}

std::vector<std::string> section_names(Inputs const& inputs) {
  std::vector<std::string> out;
  for (auto const& section : inputs.sections) out.push_back(section.name);
  return out;
}

bending::Rod rod_of(Inputs const& inputs, BendSetting const& setting) {
  const bool varnished = inputs.taper.measured == Measured::varnished;
  bending::Rod rod(TaperCurve(inputs.taper),
                   varnished ? 2 * inputs.shop.allowances.varnish : Length{}, setting.material);
  auto const& sections = inputs.sections;
  for (std::size_t s = 0; setting.joint_mass && s + 1 < sections.size(); ++s) {
    // Midway, where sections do not meet.
    const Station middle = sections[s].to + (sections[s + 1].from - sections[s].to) / 2;
    rod.add_joint({middle - setting.joint_length / 2, middle + setting.joint_length / 2,
                   *setting.joint_mass});
  }
  return rod;
}

/// The rod's name, and its sections where not all of them are asked for.
std::string bent_what(Inputs const& inputs) {
  auto const& sections = inputs.sections;
  if (sections.size() == inputs.taper.sections.size()) return inputs.taper.name;
  return fmt::format("{}, {} {}", inputs.taper.name, sections.size() == 1 ? "section" : "sections",
                     fmt::join(section_names(inputs), ", "));
}

/// Where pictures go that nobody has named a folder for: sections have their own.
std::string bent_folder(Inputs const& inputs) {
  std::string out =
      "output/" + std::filesystem::path(inputs.taper_source.name()).stem().string() + "/bent";
  if (inputs.sections.size() < inputs.taper.sections.size())
    for (auto const& name : section_names(inputs))
      out += fmt::format("-{}", files::file_slug(name));
  return out;
}

/// The taper's own stations between tip and clamp, and both.
std::vector<Station> told_stations(Taper const& taper, bending::Loading const& loading) {
  std::vector<Station> out;
  for (auto const& point : taper.points)
    if (point.at > loading.tip && point.at < loading.clamp) out.push_back(point.at);
  out.insert(out.begin(), loading.tip);
  out.push_back(loading.clamp);
  return out;
}

/// More, for pictures: evenly between.
std::vector<Station> places_to_draw(std::vector<Station> const& told) {
  constexpr int kParts = 60;
  std::vector<Station> out = told;
  const Length length = told.back() - told.front();
  for (int i = 1; i < kParts; ++i) out.push_back(told.front() + length * i / kParts);
  std::sort(out.begin(), out.end());
  out.erase(
      std::unique(out.begin(), out.end(), [](Station a, Station b) { return same_place(a, b); }),
      out.end());
  return out;
}

/// What the readings say the flats of one section are off by.
struct SectionOff {
  std::vector<std::vector<Deviation>> single;  ///< a place each, a millimetre
  std::vector<Length> off;
  std::vector<Length> scatter;  ///< standard uncertainty of each by itself
  double per_reading = 1;       ///< flats for what was read: a strip's height counts twice
};

std::optional<SectionOff> section_off(CheckBench const& bench,
                                      std::vector<inspection::StationDeviation> const& stations,
                                      RodSection const& section) {
  SectionOff out;
  out.per_reading = bench.kind() == ReadingKind::strips ? 2 : 1;
  const Length u_gauge = bench.judge.gauge ? bench.judge.gauge->standard_uncertainty : Length{};
  std::vector<Station> places;
  for (auto const& station : stations) {
    if (station.at < section.from || station.at > section.to) continue;
    places.push_back(station.at);
    out.off.push_back(out.per_reading * station.mean);
    const double se = station.standard_error / Length::millimetres(1);
    const double common = u_gauge / Length::millimetres(1);
    out.scatter.push_back(
        Length::millimetres(out.per_reading * std::sqrt(std::max(0.0, se * se - common * common))));
  }
  if (places.empty()) return std::nullopt;
  out.single = bending::single_deviations(places, section.from, section.to);
  return out;
}

/// The stretch that the single ones add up to.
std::vector<Deviation> together(SectionOff const& section) {
  auto out = section.single.front();
  for (std::size_t k = 0; k < out.size(); ++k) {
    Length sum;
    for (std::size_t i = 0; i < section.off.size(); ++i)
      sum += section.off[i] * (section.single[i][k].flats / Length::millimetres(1));
    out[k].flats = sum;
  }
  return out;
}

class Bender {
 public:
  Bender(Inputs const& inputs, BendSetting const& setting, std::vector<Station> places)
      : setting_(setting), places_(std::move(places)), rod_(rod_of(inputs, setting)) {}

  bending::Rod const& rod() const { return rod_; }
  std::optional<bending::Bent> target() const {
    return bending::bend(rod_, setting_.loading, places_);
  }

  std::optional<std::vector<double>> tip_moves(std::vector<Station> const& stations) const {
    const auto found = bending::sensitivities(
        rod_, setting_.loading, {},
        bending::single_deviations(stations, stations.front(), stations.back()));
    if (!found) return std::nullopt;
    std::vector<double> out;
    for (auto const& each : *found) out.push_back(each.front());
    return out;
  }

  std::optional<AsMilled> milled(CheckBench const& bench, inspection::Readings const& readings,
                                 std::string_view readings_name, Problems& problems) const {
    Checker checker(bench, readings, false, false);
    for (auto const& piece : readings.pieces)
      warn_of_left_out(bench, readings_name, piece, checker.next(piece), problems);
    AsMilled out;
    out.left_out = checker.totals().left_out;
    auto rod = rod_;
    std::vector<SectionOff> off;
    for (std::size_t s = 0; s < bench.targets.size(); ++s) {
      auto const& section = bench.targets[s]->section();
      auto found = section_off(bench, checker.totals().groups[s].stations(), section);
      (found ? out.sections : out.not_measured).push_back(section.name);
      if (!found) continue;
      rod.add(together(*found));
      off.push_back(std::move(*found));
    }
    auto bent = bending::bend(rod, setting_.loading, places_);
    if (!bent) return std::nullopt;
    out.bent = std::move(*bent);
    for (auto const& place : out.bent.places)
      out.flats_off.push_back(rod.flats(place.at) - rod_.flats(place.at));
    if (!carry(rod, bench, off, out)) return std::nullopt;
    return out;
  }

 private:
  /// u² = Σ (S_i u_i)² + (Σ S_i u_gauge)², S_i how far a place moves for flats off at i: the gauge
  /// has one error for all readings.
  bool carry(bending::Rod const& rod, CheckBench const& bench, std::vector<SectionOff> const& off,
             AsMilled& out) const {
    const Length u_gauge = bench.judge.gauge ? bench.judge.gauge->standard_uncertainty : Length{};
    const auto mm = [](Length l) { return l.in_millimetres(); };
    std::vector<double> squares(out.bent.places.size(), 0), common(squares.size(), 0);
    for (auto const& section : off) {
      const auto moves = bending::sensitivities(rod, setting_.loading, places_, section.single);
      if (!moves) return false;
      for (std::size_t i = 0; i < moves->size(); ++i)
        for (std::size_t k = 0; k < squares.size(); ++k) {
          squares[k] += std::pow((*moves)[i][k] * mm(section.scatter[i]), 2);
          common[k] += (*moves)[i][k] * section.per_reading * mm(u_gauge);
        }
    }
    for (std::size_t k = 0; k < squares.size(); ++k)
      out.uncertainty.push_back(Length::millimetres(std::sqrt(squares[k] + common[k] * common[k])));
    return true;
  }

  BendSetting const& setting_;
  std::vector<Station> places_;
  bending::Rod rod_;
};

struct Measured {
  std::optional<HeadedReadings> headed;
  std::optional<CheckBench> bench;
  std::optional<inspection::Readings> readings;
};

bool measure(CheckOptions const& options, Inputs& inputs, Measured& out, Problems& problems) {
  out.headed = read_header(options, problems);
  if (!out.headed) return false;
  auto const& [source, columns] = *out.headed;
  if (columns.kind == ReadingKind::groove) {
    problems.error("readings of a groove bend no rod", "give those of strips or sections");
    return false;
  }
  out.bench = prepare_check(inputs, options, columns.kind, problems);
  if (!out.bench) return false;
  out.readings = inspection::read_readings(source, columns, out.bench->order(), problems);
  return out.readings.has_value();
}

ExitStatus write_pictures(BendReport& report, BendOptions const& options, Problems& problems) {
  const auto pictures = bend_pictures(report);
  report::Json record = {{"format", "stripwright-bend-1"},
                         {"program", fmt::format("stripwright {}", kVersion)}};
  report::Json outputs = report::Json::object();
  for (auto const& file : pictures) outputs[file.name] = files::sha256(file.bytes);
  record["outputs"] = std::move(outputs);
  const auto written = status_of(
      files::write_set(report.folder, pictures, record, options.check.common.force, problems));
  if (written != ExitStatus::all_well) return written;
  for (auto const& file : pictures) report.file_names.push_back(file.name);
  return ExitStatus::all_well;
}

ExitStatus print(BendReport const& report, BendOptions const& options, Problems const& problems,
                 Streams streams) {
  switch (format_of(options.check.common)) {
    case Format::text:
      streams.out << bend_text(report);
      break;
    case Format::csv:
      streams.out << bend_csv(report);
      break;
    case Format::json:
      streams.out << bend_json(report);
      break;
  }
  return finish(problems, streams);
}

ExitStatus run_bend(BendOptions const& options, Streams streams) {
  Problems problems;
  auto inputs = read_inputs(options.check.common, problems);
  if (!inputs) return finish(problems, streams);
  const auto setting = bend_setting(options, *inputs, problems);
  if (!setting) return finish(problems, streams);
  Measured measured;
  if (!options.check.readings.empty() && !measure(options.check, *inputs, measured, problems))
    return finish(problems, streams);
  const auto told = told_stations(inputs->taper, setting->loading);
  const Bender bender(*inputs, *setting, places_to_draw(told));
  for (const Station at : told)
    if (bender.rod().flats(at) <= Length{}) {
      problems.error(fmt::format("station {}: nothing is left under the varnish",
                                 format_short(at.from_zero(), inputs->unit)),
                     "check allowances: varnish");
      return finish(problems, streams);
    }
  auto target = bender.target();
  auto moves = target ? bender.tip_moves(told) : std::nullopt;
  if (!moves) {
    problems.unmet("so great a load lets the rod hang straight down: that is no bend",
                   "check --load and its unit, --modulus and --clamp");
    return finish(problems, streams);
  }
  BendReport report{*inputs,
                    bent_what(*inputs),
                    *setting,
                    told,
                    std::move(*target),
                    {},
                    {},
                    std::move(*moves),
                    {},
                    {},
                    {}};
  for (auto const& place : report.target.places) {
    report.stiffness.push_back(bender.rod().stiffness(place.at));
    report.flats.push_back(bender.rod().flats(place.at));
  }
  if (measured.readings)
    report.milled = bender.milled(*measured.bench, *measured.readings,
                                  measured.headed->source.name(), problems);
  report.folder =
      options.check.common.out.empty() ? bent_folder(*inputs) : options.check.common.out;
  const auto written = write_pictures(report, options, problems);
  if (written != ExitStatus::all_well) {
    finish(problems, streams);
    return written;
  }
  return print(report, options, problems, streams);
}

void add_bend_options(Command command, BendOptions& options) {
  command.add_option("--load", options.load,
                     "what hangs from the tip: 50 g, 2 oz, 140 gr (grains), 0.5 N");
  command.add_option("--line", options.line,
                     "or a fly line's number, 1 to 15, by its table weight");
  command.add_option("--line-out", options.line_out, "so much of that line; 30 ft if left out");
  command.add_option("--clamp", options.clamp,
                     "the station where it is held; the butt end if left out");
  command.add_option("--raised", options.raised,
                     "how far the rod points up there, degrees above level; 0 if left out");
  command.add_option("--modulus", options.modulus,
                     "of the cane along the fibre: 27 GPa, 3900 ksi; assumed if left out");
  command.add_option("--density", options.density,
                     "of the cane: 1 g/cm3, 950 kg/m3; assumed if left out");
  command.add_flag("--no-own-weight", options.weightless,
                   "only what hangs from the tip bends the rod, not what it weighs itself");
  command.add_option("--joint-mass", options.joint_mass,
                     "mass of each ferrule pair, which is stiff; no joints if left out");
  command.add_option("--joint-length", options.joint_length,
                     "over which length each is stiff; 2 in if left out");
  command.add_option("--readings", options.check.readings,
                     "measured strips or sections: the rod as it was made, beside the target");
  command.add_option("--stage", options.check.stage,
                     "when they were measured: milled, ready, glued, bare, varnished");
  command
      .add_option("--readings-unit", options.check.readings_unit,
                  "unit of the columns that name none")
      .one_of({"in", "mm"});
}

}  // namespace

void add_bend(Command program, Run& run) {
  auto options = std::make_shared<BendOptions>();
  auto command = program.add_subcommand(
      "bend", "deflection and stress under a load, target against as milled");
  command.manual({{"stripwright bend yarrow --shop saltmarsh-lane --line 5 --clamp 80"},
                  {},
                  "all is well",
                  "the load is too great"});
  add_taper_argument(command, options->check.common);
  command
      .add_option("--section", options->check.common.sections,
                  "only this section, by itself, held at its butt end; may be repeated")
      .one_value_each_time();
  add_bend_options(command, *options);
  add_shop_options(command, options->check.common);
  command.add_option("--gauge", options->check.common.gauge,
                     "which gauge, if the shop has several");
  add_output_options(command, options->check.common);
  add_folder_options(command, options->check.common,
                     "folder for the pictures; output/<taper>/bent if left out");
  command.on_given(run, [options](Streams streams) { return run_bend(*options, streams); });
}

}  // namespace stripwright::cli
