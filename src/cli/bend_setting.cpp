#include <fmt/format.h>

#include <algorithm>

#include "bending/line_weights.h"
#include "cli/bend.h"
#include "units/format.h"
#include "units/parse_amount.h"

namespace stripwright::cli {
namespace {

/// Of split cane's outer wall: no figure for the trade's own bamboo that one could rely on is
/// known; 20 to 35 GPa and 0.9 to 1.2 g/cm³ are plausible (from memory), and within the range of 8
/// to 32 GPa measured along Moso (Yu et al. 2008).
constexpr Pressure kAssumedModulus = Pressure::megapascals(27000);
constexpr Density kAssumedDensity = Density::grams_per_cubic_centimetre(1.0);
constexpr Length kJointLength = Length::inches(2);

class Setting {
 public:
  Setting(BendOptions const& options, Inputs const& inputs, Problems& problems)
      : options_(options), inputs_(inputs), problems_(problems) {}

  std::optional<BendSetting> read() {
    const auto before = problems_.errors();
    BendSetting out;
    out.material.modulus = assumed_or(out, options_.modulus, "--modulus", parse_pressure,
                                      kAssumedModulus, "modulus 27 GPa");
    out.material.density = assumed_or(out, options_.density, "--density", parse_density,
                                      kAssumedDensity, "density 1 g/cm3");
    out.loading.own_weight = !options_.weightless;
    if (out.material.modulus <= Pressure{})
      problems_.error("--modulus 0: a rod without stiffness", "give the cane's modulus: 27 GPa");
    check_neighbours();
    read_place(out);
    read_load(out);
    read_joints(out);
    if (problems_.errors() > before) return std::nullopt;
    return out;
  }

 private:
  template <class Kind>
  std::optional<Kind> given(std::string const& text, std::string_view option,
                            Parsed<Kind> (*parse)(std::string_view)) {
    const auto parsed = parse(text);
    if (!parsed) problems_.error(fmt::format("{} {}", option, parsed.fault), parsed.remedy);
    return parsed.value;
  }

  template <class Kind>
  Kind assumed_or(BendSetting& out, std::string const& text, std::string_view option,
                  Parsed<Kind> (*parse)(std::string_view), Kind assumed, std::string words) {
    if (!text.empty()) return given(text, option, parse).value_or(assumed);
    out.assumed.push_back(std::move(words));
    return assumed;
  }

  std::optional<Length> length(std::string const& text, std::string_view option) {
    const auto parsed = parse_length(text, inputs_.taper.unit);
    if (!parsed) problems_.error(fmt::format("{} {}", option, parsed.fault), parsed.remedy);
    return parsed.value;
  }

  std::string show(Station at) const { return format_short(at.from_zero(), inputs_.unit); }

  /// Sections that are bent together have no other between them.
  void check_neighbours() {
    auto const& all = inputs_.taper.sections;
    auto const& chosen = inputs_.sections;
    const auto named = [](std::string const& name) {
      return [&name](auto const& each) { return each.name == name; };
    };
    const auto first = std::find_if(all.begin(), all.end(), named(chosen.front().name));
    const auto last = std::find_if(all.begin(), all.end(), named(chosen.back().name));
    for (auto section = first; section < last; ++section)
      if (std::none_of(chosen.begin(), chosen.end(), named(section->name)))
        problems_.error(fmt::format("--section {} and --section {}: section '{}' is between them",
                                    chosen.front().name, chosen.back().name, section->name),
                        "name it too, or bend one of them alone");
  }

  void read_place(BendSetting& out) {
    auto const& sections = inputs_.sections;
    out.loading.tip = sections.front().from;
    out.loading.clamp = sections.back().to;
    if (!options_.clamp.empty())
      if (const auto at = length(options_.clamp, "--clamp")) out.loading.clamp = Station(*at);
    if (out.loading.clamp <= out.loading.tip || out.loading.clamp > sections.back().to)
      problems_.error(
          fmt::format("--clamp {}: the rod cannot be held there", show(out.loading.clamp)),
          fmt::format("a station behind {} and not beyond {}{}", show(out.loading.tip),
                      show(sections.back().to),
                      sections.size() < inputs_.taper.sections.size()
                          ? "; for the whole rod leave --section out"
                          : ""));
    if (options_.raised.empty()) return;
    const auto degrees = parse_number(options_.raised);
    constexpr double kUpright = 89;
    if (!degrees)
      problems_.error("--raised " + degrees.fault, degrees.remedy);
    else if (*degrees.value < -kUpright || *degrees.value > kUpright)
      problems_.error(fmt::format("--raised {}: a rod that points straight up or down",
                                  quoted_for_message(options_.raised)),
                      "degrees above level, -89 to 89");
    else
      out.loading.upwards = Angle::degrees(*degrees.value);
  }

  void read_load(BendSetting& out) {
    if (!options_.load.empty() && !options_.line.empty())
      problems_.error("--load and --line together", "the line is the load: give one of them");
    if (!options_.line_out.empty() && options_.line.empty())
      problems_.error("--line-out goes with --line", "say which line: --line 5");
    out.load_words = "Nothing hangs from the tip (--load, --line); the rod bends by its own weight";
    if (!options_.load.empty()) {
      const auto load = given(options_.load, "--load", parse_force);
      if (!load) return;
      out.loading.at_tip = *load;
      out.load_words = fmt::format("From the tip hang {} g ({} N)",
                                   format_short(load->as_weight().in_grams(), 2),
                                   format_short(load->in_newtons(), 4));
    }
    if (!options_.line.empty()) read_line(out);
    if (!options_.weightless) return;
    if (options_.load.empty() && options_.line.empty())
      problems_.error("--no-own-weight, and nothing hangs from the tip: nothing bends the rod",
                      "say what hangs there with --load or --line");
    out.load_words += "; the rod's own weight is left out";
  }

  /// Line is counted in feet or metres.
  std::string line_words(Length out) const {
    constexpr double kInchesInAFoot = 12;
    return inputs_.unit == Unit::inch ? format_short(out.in_inches() / kInchesInAFoot, 2) + " ft"
                                      : format_short(out.in_millimetres() / 1000, 3) + " m";
  }

  void read_line(BendSetting& out) {
    const auto number = parse_number(options_.line);
    Length line_out = bending::kWeighedLength;
    if (!options_.line_out.empty()) {
      // Not the taper's unit: nobody counts line in inches or millimetres.
      const auto given_out = parse_length(options_.line_out, std::nullopt);
      if (!given_out) {
        problems_.error("--line-out " + given_out.fault, "write 40 ft or 12 m");
        return;
      }
      line_out = *given_out.value;
    }
    const long line = number ? static_cast<long>(*number.value) : 0;
    const auto weight = bending::line_out(line, line_out);
    if (!weight || static_cast<double>(line) != *number.value) {
      problems_.error(fmt::format("--line {}: no such line", quoted_for_message(options_.line)),
                      "fly lines have numbers from 1 to 15");
      return;
    }
    if (line_out <= Length{}) {
      problems_.error("--line-out 0: no line is out", "leave --line out, or give a length");
      return;
    }
    out.line_beyond_weighed = line_out > bending::kWeighedLength + kSamePlace;
    out.loading.at_tip = Force::weight_of(*weight);
    out.load_words =
        fmt::format("From the tip hang {} g: {} of a number {} line, as standards weigh it",
                    format_short(weight->in_grams(), 2), line_words(line_out), line);
  }

  void read_joints(BendSetting& out) {
    out.joint_length = kJointLength;
    if (!options_.joint_length.empty() && options_.joint_mass.empty())
      problems_.error("--joint-length goes with --joint-mass", "give the mass of a ferrule pair");
    if (options_.joint_mass.empty()) return;
    out.joint_mass = given(options_.joint_mass, "--joint-mass", parse_mass);
    if (inputs_.sections.size() < 2)
      problems_.error("--joint-mass: a rod of one piece has no joint", "leave it out");
    if (options_.joint_length.empty()) return;
    if (const auto given_length = length(options_.joint_length, "--joint-length"))
      out.joint_length = *given_length;
    for (auto const& section : inputs_.sections)
      if (out.joint_length <= Length{} || out.joint_length > section.length())
        problems_.error(fmt::format("--joint-length {}: longer than section '{}', or nothing",
                                    quoted_for_message(options_.joint_length), section.name),
                        "the length over which a ferrule stiffens the rod");
  }

  BendOptions const& options_;
  Inputs const& inputs_;
  Problems& problems_;
};

}  // namespace

std::optional<BendSetting> bend_setting(BendOptions const& options, Inputs const& inputs,
                                        Problems& problems) {
  return Setting(options, inputs, problems).read();
}

}  // namespace stripwright::cli
