#include <fmt/format.h>

#include <array>
#include <filesystem>
#include <map>
#include <memory>
#include <ostream>

#include "cli/command_line.h"
#include "cli/profiles.h"
#include "cli/taper_commands.h"
#include "cli/taper_write.h"
#include "diagnostics/utf8.h"
#include "files/keep_copy.h"
#include "report/paragraph.h"
#include "taper/derive.h"
#include "taper/read_taper.h"
#include "taper/write_taper.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

/// One change in the order in which it was asked for: the option and its values.
/// One change, in the order of the call.
using Step = Command::Given;

struct DeriveOptions {
  std::string taper;
  FileTarget to;
  std::string varnish;
  std::map<std::string, std::vector<std::string>> values;  ///< by option
  std::vector<Step> steps;
};

/// What changes a taper: the option, what its values are called, and what it does.
struct Operation {
  std::string_view option;
  std::string_view values;
  int count;
  std::string_view meaning;
};

constexpr std::array<Operation, 15> kOperations = {{
    {"--scale-length", "FACTOR", 1, "all places along the rod times this"},
    {"--scale-flats", "FACTOR", 1, "all across flats times this; ferrule bores stay"},
    {"--add", "LENGTH", 1, "so much on all across flats; off them if negative"},
    {"--stations", "STEP", 1, "other stations: every STEP, and both ends"},
    {"--stations-from", "TAPER", 1, "the stations of another taper, and both ends"},
    {"--unit", "in|mm", 1, "the file in the other unit"},
    {"--basis", "bare|varnished", 1, "on bare cane or over varnish; --varnish says how thick"},
    {"--cut", "FROM:TO", 1, "only the part between two stations"},
    {"--join", "TAPER", 1, "another taper behind the butt end"},
    {"--move", "LENGTH", 1, "all stations moved, towards the butt if above 0"},
    {"--blend", "TAPER SHARE", 2, "mixed with SHARE (0 to 1) of another taper"},
    {"--smooth", "LENGTH", 1, "smoothed by straight lines that reach so far to either side"},
    {"--rename-section", "OLD=NEW", 1, "another name for a section"},
    {"--name", "NAME", 1, "what the rod is called now"},
    {"--about", "TEXT", 1, "what it is for now, where it comes from"},
}};

Change fault_of(std::string what, std::string remedy) {
  return {std::nullopt, std::move(what), std::move(remedy)};
}

/// Makes one change after the other; files that it needs are read as they are needed.
class Deriver {
 public:
  Deriver(DeriveOptions const& options, Problems& problems)
      : options_(options), problems_(problems) {}

  /// Nothing, and problems told, where a change cannot be made.
  std::optional<DerivedTaper> make(Taper const& taper) {
    auto now = derived_from(taper);
    for (auto const& step : options_.steps) {
      unit_ = now.taper.unit;
      const auto errors_before = problems_.errors();
      auto change = changed(step, std::move(now));
      if (!change) {
        if (problems_.errors() == errors_before)
          problems_.error(step.option + ": " + change.fault, change.remedy);
        return std::nullopt;
      }
      now = std::move(*change.value);
    }
    return now;
  }

 private:
  template <class Use>
  Change with_number(std::string const& text, Use const& use) {
    const auto number = parse_number(text);
    return number ? use(*number.value) : fault_of(number.fault, number.remedy);
  }

  template <class Use>
  Change with_length(std::string const& text, Use const& use) {
    const auto length = parse_length(text, unit_);
    return length ? use(*length.value) : fault_of(length.fault, length.remedy);
  }

  template <class Use>
  Change with_taper(std::string const& name, Use const& use) {
    const auto source = open_profile(name, ProfileKind::taper, problems_);
    const auto taper = source ? read_taper(*source, problems_) : std::nullopt;
    return taper ? use(*taper) : Change{};
  }

  Change changed(Step const& step, DerivedTaper now) {
    auto const& value = step.values.front();
    auto const& option = step.option;
    if (option == "--scale-length")
      return with_number(value, [&](double f) { return scale_length(std::move(now), f); });
    if (option == "--scale-flats")
      return with_number(value, [&](double f) { return scale_flats(std::move(now), f); });
    if (option == "--add")
      return with_length(value, [&](Length l) { return add_flats(std::move(now), l); });
    if (option == "--move")
      return with_length(value, [&](Length l) { return move_stations(std::move(now), l); });
    if (option == "--stations")
      return with_length(value, [&](Length l) { return at_every(std::move(now), l); });
    if (option == "--smooth")
      return with_length(value, [&](Length l) { return smooth(std::move(now), l); });
    if (option == "--unit") return unit(value, std::move(now));
    if (option == "--basis") return basis(value, std::move(now));
    if (option == "--cut") return cut_out(value, std::move(now));
    if (option == "--rename-section") return renamed(value, std::move(now));
    if (option == "--stations-from")
      return with_taper(value, [&](Taper const& other) {
        std::vector<Station> stations;
        for (auto const& point : other.points) stations.push_back(point.at);
        return at_stations(std::move(now), std::move(stations));
      });
    if (option == "--join")
      return with_taper(value, [&](Taper const& other) { return join(std::move(now), other); });
    if (option == "--blend")
      return with_number(step.values[1], [&](double share) {
        return with_taper(value,
                          [&](Taper const& other) { return blend(std::move(now), other, share); });
      });
    check_internal(option == "--name" || option == "--about", "a change that nobody makes");
    (option == "--name" ? now.taper.name : now.taper.about) = value;
    return {std::move(now), {}, {}};
  }

  static Change unit(std::string const& value, DerivedTaper now) {
    const auto unit = parse_unit(value);
    return unit ? in_unit_of_file(std::move(now), *unit.value) : fault_of(unit.fault, unit.remedy);
  }

  Change basis(std::string const& value, DerivedTaper now) {
    if (value != "bare" && value != "varnished")
      return fault_of(fmt::format("{} is no basis", quoted_for_message(value)),
                      "write bare or varnished");
    if (options_.varnish.empty())
      return fault_of("how thick the varnish is, is not said",
                      "add --varnish with what is on each flat: --varnish 0.0015in");
    const auto varnish = parse_length(options_.varnish, unit_);
    if (!varnish) return fault_of(fmt::format("--varnish {}", varnish.fault), varnish.remedy);
    // As thick as the shop file's reader takes it for a layer.
    if (*varnish.value < Length{} || *varnish.value > Length::millimetres(2))
      return fault_of(fmt::format("--varnish {} is no thickness of a layer of varnish",
                                  quoted_for_message(options_.varnish)),
                      "0 to 2 mm; are inch and millimetre mixed up?");
    return on_basis(std::move(now), value == "bare" ? Measured::bare : Measured::varnished,
                    *varnish.value);
  }

  Change cut_out(std::string const& value, DerivedTaper now) {
    const auto colon = value.find(':');
    if (colon == std::string::npos)
      return fault_of(fmt::format("{} are not two stations", quoted_for_message(value)),
                      "write both with a colon between: --cut 0:45");
    return with_length(value.substr(0, colon), [&](Length from) {
      return with_length(value.substr(colon + 1), [&](Length to) {
        return cut(std::move(now), Station(from), Station(to));
      });
    });
  }

  static Change renamed(std::string const& value, DerivedTaper now) {
    const auto equals = value.find('=');
    if (equals == std::string::npos)
      return fault_of(fmt::format("{} are not two names", quoted_for_message(value)),
                      "write both with = between: --rename-section rod=tip");
    return rename_section(std::move(now), value.substr(0, equals), value.substr(equals + 1));
  }

  DeriveOptions const& options_;
  Problems& problems_;
  Unit unit_ = Unit::inch;
};

/// A step as a remark in the file tells it; of a taper's path only the file's name.
std::string in_remark(Step const& step) {
  std::string out = step.option;
  const bool names_taper =
      step.option == "--join" || step.option == "--blend" || step.option == "--stations-from";
  for (std::size_t i = 0; i < step.values.size(); ++i) {
    const auto value = names_taper && i == 0
                           ? std::filesystem::path(step.values[i]).filename().string()
                           : step.values[i];
    const bool plain = value.find_first_of(" #'\"") == std::string::npos && !value.empty();
    out += fmt::format(" {}", printable(plain ? value : fmt::format("\"{}\"", value)));
  }
  return out;
}

std::vector<std::string> remarks_of(DeriveOptions const& options, files::SourceText const& source,
                                    DerivedTaper const& derived) {
  std::string how;
  for (auto const& step : options.steps) how += fmt::format(" {}", in_remark(step));
  if (!options.varnish.empty()) how += fmt::format(" --varnish {}", printable(options.varnish));
  std::vector<std::string> out = {fmt::format("Derived by {} from {}{}:", program_in_remark(),
                                              named_in_remark(source), date_in_remark()),
                                  how.substr(how.empty() ? 0 : 1)};
  for (auto const& remark : derived.remarks) out.push_back(printable(remark));
  return out;
}

ExitStatus finish(Problems const& problems, Streams streams) {
  streams.err << problems.text();
  return status_of(problems);
}

ExitStatus run_derive(DeriveOptions const& options, Streams streams) {
  Problems problems;
  if (options.steps.empty())
    problems.error("no change is asked for", "taper derive --help names them");
  const auto source = open_profile(options.taper, ProfileKind::taper, problems);
  const auto bytes = source ? files::read_bytes(source->name(), problems) : std::nullopt;
  const files::SourceText now(source ? source->name() : "", bytes.value_or(""));
  const auto taper = bytes ? read_taper(now, problems) : std::nullopt;
  may_be_written(options.to, problems);
  if (!taper || problems.any_error()) return finish(problems, streams);
  // What is odd in the taper it comes from is told again if it is in the new one, too.
  problems = Problems();
  const auto derived = Deriver(options, problems).make(*taper);
  if (!derived) return finish(problems, streams);
  const auto text = derived_taper_text(now.name(), *bytes, *taper, *derived, options.to.path,
                                       remarks_of(options, now, *derived), problems);
  if (!text) return finish(problems, streams);
  std::string copy;
  const auto written = write_file(options.to, *text, copy, problems);
  if (written == ExitStatus::all_well) {
    for (auto const& remark : derived->remarks) problems.warn(remark);
    streams.out << fmt::format("{}: {}, {} stations\n", options.to.path, derived->taper.name,
                               derived->taper.points.size());
    if (!copy.empty()) streams.out << fmt::format("as it was: {}\n", copy);
  }
  return std::max(written, finish(problems, streams));
}

}  // namespace

void add_taper_derive(Command group, Run& run) {
  auto options = std::make_shared<DeriveOptions>();
  auto command = group.add_subcommand("derive", "another taper from one, by changes in order");
  command.footer(
      "Example: stripwright taper derive yarrow --to longer.yaml --scale-length 96/90\n"
      "Changes are made in the order in which they are given, each as often as you like.\n"
      "The maker's comments, order and own units stay; a remark says where the taper is from.\n"
      "Exit status: 0 written, 2 the call or a file is wrong, nothing written, 3 disk failure");
  command.add_option("TAPER", options->taper, "a taper file, or the name of one in profiles")
      .required();
  command.add_option("--to", options->to.path, "the new file, its name ending in .yaml").required();
  std::vector<std::pair<std::string_view, int>> counts;
  for (auto const& operation : kOperations) {
    command
        .add_option(std::string(operation.option), options->values[std::string(operation.option)],
                    std::string(operation.meaning))
        .values_each_time(operation.values, operation.count);
    counts.emplace_back(operation.option, operation.count);
  }
  command.add_option("--varnish", options->varnish, "on each flat, for --basis");
  command.add_flag("--force", options->to.force,
                   "replace a file that is there; a copy of it is kept beside it");
  command.on_given(run, [options, command, counts](Streams streams) {
    options->steps = command.given_in_order(counts);
    return run_derive(*options, streams);
  });
}

}  // namespace stripwright::cli
