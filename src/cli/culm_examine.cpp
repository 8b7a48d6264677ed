#include <fmt/format.h>

#include <algorithm>

#include "cli/culm.h"
#include "culm/culm_keys.h"
#include "files/key_spec.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

using culm::Culm;

/// The range of a culm's key, for the option that stands in for it.
files::Range range_of(std::string_view key) {
  return files::find_key(*files::find_key(culm::culm_file_keys(), "culms").map, key).range;
}

class Examiner {
 public:
  Examiner(Inputs const& inputs, CulmOptions const& options, Problems& problems)
      : inputs_(inputs), options_(options), problems_(problems) {}

  std::optional<CulmReport> examine() {
    const auto errors_before = problems_.errors();
    auto culms = read();
    const auto habits = node_habits(
        options_.rules, culms ? culms->rules : culm::usual_node_habits(), inputs_.taper, problems_);
    const auto step =
        shift_step(options_.shift_step, inputs_.taper.unit, ZeroStep::no_use, problems_);
    if (!culms || !step || problems_.errors() > errors_before) return std::nullopt;
    CulmReport out{inputs_, options_, habits, {}, {}, {}, {}};
    for (auto& each : culms->culms) {
      auto finding = examine(std::move(each));
      if (finding) out.culms.push_back(std::move(*finding));
    }
    if (problems_.errors() > errors_before) return std::nullopt;
    out.stack = examine_stack(inputs_.taper, out.culms, problems_);
    find_lengths(out, *step);
    return out;
  }

 private:
  std::optional<Length> length_of(std::string_view option, std::string const& text,
                                  std::string_view key) {
    if (text.empty()) return std::nullopt;
    const auto parsed = parse_length(text, inputs_.taper.unit);
    const auto range = range_of(key);
    if (!parsed) {
      problems_.error(fmt::format("{} {}", option, parsed.fault), parsed.remedy);
      return std::nullopt;
    }
    const double mm = parsed.value->in_millimetres();
    if (mm < range.lowest || mm > range.highest || (range.above && mm <= range.lowest)) {
      problems_.error(fmt::format("{} {} is out of its range", option, quoted_for_message(text)),
                      files::range_text(files::find_key(
                          *files::find_key(culm::culm_file_keys(), "culms").map, key)));
      return std::nullopt;
    }
    return parsed.value;
  }

  std::vector<Length> node_list() {
    std::vector<Length> out;
    std::string_view rest = options_.nodes;
    while (!rest.empty()) {
      const auto end = std::min(rest.find(','), rest.size());
      const std::string one(rest.substr(0, end));
      rest.remove_prefix(std::min(end + 1, rest.size()));
      if (one.find_first_not_of(' ') == std::string::npos)
        problems_.error("--nodes has nothing between two commas", "was a node left out there?");
      else if (const auto at = length_of("--nodes", one, "length"))
        out.push_back(*at);
    }
    std::sort(out.begin(), out.end());
    for (std::size_t i = 1; i < out.size(); ++i)
      if (same_place(out[i - 1], out[i]))
        problems_.error(fmt::format("--nodes has the node at {} twice",
                                    format_short(out[i], inputs_.taper.unit)),
                        "name each node once");
    return out;
  }

  bool any_of_a_culm() const {
    return !(options_.diameter.empty() && options_.wall.empty() && options_.power_fibre.empty() &&
             options_.length.empty() && options_.nodes.empty());
  }

  /// The culms of the file, or the one that the options tell of.
  std::optional<culm::Culms> read() {
    if (!options_.culms.empty()) {
      if (any_of_a_culm()) {
        problems_.error("CULMS and --diameter, --wall, --power-fibre, --length or --nodes together",
                        "write them into the culm file, or leave it out");
        return std::nullopt;
      }
      const auto source = files::read_source(options_.culms, problems_);
      auto culms = source ? culm::read_culms(*source, problems_) : std::nullopt;
      constexpr std::size_t kMostCulms = 40;
      if (culms && (culms->culms.empty() || culms->culms.size() > kMostCulms))
        problems_.error(fmt::format("{} has {} culms", options_.culms, culms->culms.size()),
                        "name 1 to 40 of them under culms:");
      return culms;
    }
    Culm one;
    one.name = "one";
    one.diameter = length_of("--diameter", options_.diameter, "diameter");
    one.wall = length_of("--wall", options_.wall, "wall");
    one.power_fibre = length_of("--power-fibre", options_.power_fibre, "power_fibre");
    one.length = length_of("--length", options_.length, "length");
    one.nodes = node_list();
    if (one.wall && one.power_fibre && *one.power_fibre > *one.wall)
      problems_.error(fmt::format("--power-fibre {} is deeper than the wall, {}",
                                  quoted_for_message(options_.power_fibre),
                                  format_short(*one.wall, inputs_.taper.unit)),
                      "measure both once more: the dense cane is the outer part of the wall");
    if (one.length && !one.nodes.empty() && one.nodes.back() > *one.length + kSamePlace)
      problems_.error(fmt::format("--nodes has a node at {}, beyond the culm's --length",
                                  format_short(one.nodes.back(), inputs_.taper.unit)),
                      "count from the thin end, along the culm");
    culm::Culms out;
    out.unit = inputs_.taper.unit;
    out.rules = culm::usual_node_habits();
    out.culms.push_back(std::move(one));
    return out;
  }

  std::optional<CulmFinding> examine(Culm culm) {
    auto allowances = inputs_.shop.allowances;
    const auto diameter = culm.diameter ? culm.diameter : allowances.enamel.culm_diameter;
    if (!diameter) {
      problems_.error(
          fmt::format("culm '{}' has no diameter, and the shop's has none either", culm.name),
          "measure it: --diameter, or diameter: in the culm file");
      return std::nullopt;
    }
    if (culm.wall && 2 * *culm.wall >= *diameter) {
      problems_.error(fmt::format("culm '{}': a wall of {} leaves no hollow in a diameter of {}",
                                  culm.name, format_short(*culm.wall, inputs_.unit),
                                  format_short(*diameter, inputs_.unit)),
                      "are wall and diameter mixed up?");
      return std::nullopt;
    }
    allowances.enamel.culm_diameter = diameter;
    CulmFinding out{std::move(culm), *diameter, {}};
    const section::LedgerRules rules(inputs_.taper.measured, allowances);
    const auto curve = std::make_shared<const TaperCurve>(inputs_.taper);
    for (auto const& section : inputs_.sections)
      out.sections.push_back(held_against(out.culm, *diameter, section, curve, rules));
    return out;
  }

  CulmSection held_against(Culm const& culm, Length diameter, RodSection const& section,
                           std::shared_ptr<const TaperCurve> const& curve,
                           section::LedgerRules const& rules) {
    CulmSection out;
    out.profile = std::make_shared<const section::StripProfile>(curve, section, rules);
    const auto stations = section::table_stations(inputs_.taper, section);
    bool carried = true;
    for (const Station at : stations) {
      const auto ledger = out.profile->ledger(at);
      carried &= ledger.culm_carries;
      // A taper that cannot be made is for the user to mend; a thin culm is what is asked about.
      if (ledger.row_at_or_below_zero())
        section::check_section(*out.profile, {at}, inputs_.unit, problems_);
    }
    out.need = culm::section_need(*out.profile, inputs_.shop.spare, inputs_.shop.rough);
    out.yield = culm::yield_of(out.need, diameter, culm.wall, carried);
    out.cane = culm::cane_along(*out.profile, stations, culm.wall, culm.power_fibre);
    return out;
  }

  Inputs const& inputs_;
  CulmOptions const& options_;
  Problems& problems_;
};

}  // namespace

bool CulmSection::nodes_can_be_placed() const {
  return std::any_of(lengths.begin(), lengths.end(),
                     [](auto const& length) { return length.keeps_rules(); });
}

std::optional<CulmReport> examine_culms(Inputs const& inputs, CulmOptions const& options,
                                        Problems& problems) {
  return Examiner(inputs, options, problems).examine();
}

}  // namespace stripwright::cli
