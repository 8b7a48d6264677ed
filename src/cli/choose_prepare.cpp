#include <fmt/format.h>

#include <algorithm>

#include "cli/choose.h"
#include "inspection/reading_columns.h"
#include "selection/several_rings.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

using inspection::Readings;
using inspection::Verdict;
using selection::kRingSize;

/// What is to be done with a strip that could not be chosen: the same as `check` says of it,
/// shorter.
class StripAdvice {
 public:
  StripAdvice(inspection::JudgedPiece const& judged, inspection::StripSummary const& summary,
              Unit unit)
      : judged_(judged), summary_(summary), unit_(unit) {}

  std::string words() const {
    std::vector<std::string> parts;
    for (auto const& each : summary_.read_again)
      parts.push_back(fmt::format("read {} at {} again: {} stands alone, its neighbours say {}",
                                  inspection::word(each.height), at(each.at),
                                  amount(each.read.mean), amount(each.lone.expected)));
    auto rest = of_the_rest();
    if (!rest.empty()) parts.push_back(std::move(rest));
    return fmt::format("{}", fmt::join(parts, "; "));
  }

 private:
  std::string amount(Length l) const { return format_length(l, unit_, bench_decimals(unit_)); }
  std::string at(Station s) const {
    return format_short(in_unit(s.from_zero(), unit_), bench_decimals(unit_));
  }

  std::string of_the_rest() const {
    const auto verdict = summary_.relied_on.worst();
    if (verdict == Verdict::thin) return thin();
    if (verdict == Verdict::thick && summary_.take_off) return thick();
    if (verdict == Verdict::unsure)
      return fmt::format("too close to call at {} place{}; measure again, or finer",
                         places_of(judged_, Verdict::unsure),
                         places_of(judged_, Verdict::unsure) == 1 ? "" : "s");
    return {};
  }

  std::string thin() const {
    const auto out = fmt::format("thin, {} at {}", amount(-summary_.thinnest->deviation),
                                 at(summary_.thinnest->at));
    auto const& shift = summary_.shift;
    if (shift && shift->right_then == summary_.relied_on.all())
      return out + fmt::format("; right if moved {} {} towards the {}",
                               format_short(in_unit(abs(shift->by), unit_), 2), unit_name(unit_),
                               shift->by > Length{} ? "tip" : "butt");
    return out + "; good for a finer taper, or to try a setting on";
  }

  std::string thick() const {
    auto const& off = *summary_.take_off;
    const bool any = amount(off.amount) != amount({});
    auto out = any ? fmt::format("thick; take up to {} off its height, most at {}",
                                 amount(off.amount), at(off.at))
                   : std::string("thick");
    if (off.one_flank_more)
      out +=
          "; one height is too thick where another is not: there one flank alone has to be "
          "planed, and check says how";
    return out;
  }

  inspection::JudgedPiece const& judged_;
  inspection::StripSummary const& summary_;
  Unit unit_;
};

std::string why_left_out(selection::LeftOut why) {
  switch (why) {
    case selection::LeftOut::not_right:
      return "not right";
    case selection::LeftOut::too_short:
      return "not measured over the whole section";
    case selection::LeftOut::without_height:
      return "height a not measured";
  }
  return {};
}

class SectionChooser {
 public:
  SectionChooser(CheckBench const& bench, Readings const& readings)
      : bench_(bench), readings_(readings), lone_(readings), unit_(bench.inputs->unit) {}

  void choose(ChosenSection& out, std::size_t section, selection::SearchLimits const& limits) {
    out.pool = selection::make_pool(readings_, section, out.order);
    const std::size_t possible = out.pool.pool.strips.size() / kRingSize;
    if (possible > 0)
      out.found = selection::choose_rings(out.pool.pool, std::min(out.wanted, possible), limits);
    for (auto const& ring : out.found.rings)
      out.rings.push_back(selection::report_on(out.pool, out.order, ring));
    tell_leftovers(out, limits);
  }

 private:
  void tell_leftovers(ChosenSection& out, selection::SearchLimits const& limits) {
    std::uint64_t used = 0;
    for (auto const& ring : out.found.rings)
      for (const auto c : ring) used |= std::uint64_t{1} << out.pool.pool.candidates[c].strip;
    const auto& strips = out.pool.pool.strips;
    for (std::size_t s = 0; s < strips.size(); ++s)
      if ((used >> s & 1) == 0) out.leftovers.push_back({strips[s].name, "", spare_for(out, s)});
    if (out.leftovers.size() >= kRingSize) {
      const auto rest = selection::without(out.pool.pool, used);
      out.of_the_rest = selection::choose_rings(rest.pool, 1, limits).value;
    }
    for (auto const& other : out.pool.others) {
      auto const& piece = readings_.pieces[other.piece];
      Leftover left{piece.name, why_left_out(other.why), ""};
      if (other.why == selection::LeftOut::not_right) {
        auto judged = inspection::judge(piece, readings_, bench_.judge);
        lone_.mark(judged);
        auto const& targets = *out.order.targets;
        inspection::judge_angles(judged, targets.face(), bench_.judge);
        auto summary = inspection::sum_up(judged, bench_.judge);
        inspection::sum_up_strip(summary, judged, targets, bench_.inputs->shop.spare, bench_.judge);
        left.use = StripAdvice(judged, summary, unit_).words();
      } else {
        left.use = "measure it at the stations that are missing";
      }
      out.leftovers.push_back(std::move(left));
    }
  }

  /// In which ring, and for which strip, a strip that is left would stand in best.
  std::string spare_for(ChosenSection const& out, std::size_t strip) const {
    std::optional<selection::Substitute> best;
    std::size_t in_ring = 0;
    for (std::size_t r = 0; r < out.found.rings.size(); ++r) {
      const auto here = selection::best_place_for(out.pool.pool, out.found.rings[r], strip);
      if (!best || here.value < best->value) {
        best = here;
        in_ring = r;
      }
    }
    if (!best) return "too few for a ring";
    const auto deviation = selection::to_length(best->value.deviation);
    auto text = fmt::format("in place of {}: deviation {}",
                            out.strip_name(out.found.rings[in_ring][best->instead_of]),
                            format_length(deviation, unit_, bench_decimals(unit_)));
    if (best->value.shortfall > 0)
      text += fmt::format(", nodes lack {} {}",
                          format_short(in_unit(selection::to_length(best->value.shortfall), unit_),
                                       unit_ == Unit::inch ? 2 : 1),
                          unit_name(unit_));
    return text;
  }

  CheckBench const& bench_;
  Readings const& readings_;
  inspection::LoneReadings lone_;
  Unit unit_;
};

std::optional<std::size_t> wanted_rings(std::string const& given, Problems& problems) {
  if (given.empty()) return std::nullopt;
  const auto parsed = parse_number(given);
  for (std::size_t n = 1; n <= kMostRings; ++n)
    if (parsed && *parsed.value == static_cast<double>(n)) return n;
  problems.error(fmt::format("--rings {} is no count of rings", quoted_for_message(given)),
                 "1 to 10");
  return std::nullopt;
}

std::optional<std::chrono::milliseconds> time_limit(std::string const& given, Problems& problems) {
  if (given.empty()) return std::nullopt;
  const auto parsed = parse_number(given);
  constexpr double kLongest = 1e6;
  if (parsed && *parsed.value >= 0 && *parsed.value <= kLongest)
    return std::chrono::milliseconds(static_cast<long>(*parsed.value * 1000));
  problems.error(fmt::format("--time {} is no number of seconds", quoted_for_message(given)),
                 "0 to 1000000");
  return std::nullopt;
}

/// In whole digits of the ring file, which has to say by how much a strip was moved: 10 mm are no
/// such number of inches.
std::vector<Length> shifts_of_file(Spare const& spare, Length step, Unit unit) {
  auto out = selection::shifts_within(spare, step);
  for (auto& shift : out)
    shift = of_unit(round_to_decimals(in_unit(shift, unit), file_decimals(unit)), unit);
  return out;
}

/// More strips or shifts than can be searched are a mistake, told before the work begins.
void check_size(ChosenSection const& section, std::size_t strips, Unit unit, Problems& problems) {
  constexpr std::size_t kMost = 60;
  constexpr std::size_t kMostCandidates = 2400;
  const std::size_t shifts_of_each = kMostCandidates / std::max<std::size_t>(strips, 1);
  if (strips > kMost)
    problems.error(fmt::format("{} strips of section '{}' where {} can be chosen from", strips,
                               section.section.name, kMost),
                   "leave the worst out of the readings");
  else if (strips * section.order.shifts.size() > kMostCandidates)
    problems.error(fmt::format("{} shifts of each of {} strips of section '{}' are too many",
                               section.order.shifts.size(), strips, section.section.name),
                   fmt::format("make --shift-step larger: {} or more",
                               format_short((section.order.shop->spare.tip_end +
                                             section.order.shop->spare.butt_end) /
                                                static_cast<double>(shifts_of_each - 2),
                                            unit)));
}

}  // namespace

std::string ChosenSection::ring_name(std::size_t ring) const {
  return wanted > 1 ? fmt::format("{}-{}", section.name, ring + 1) : section.name;
}

std::optional<std::vector<ChosenSection>> choose_sections(CheckBench const& bench,
                                                          ChooseOptions const& options,
                                                          Length shift_step,
                                                          files::SourceText const& source,
                                                          Problems& problems) {
  const auto errors_before = problems.errors();
  auto const& inputs = *bench.inputs;
  std::optional<culm::Culms> culms;
  if (!options.nodes.empty()) {
    const auto file = files::read_source(options.nodes, problems);
    if (file) culms = culm::read_culms(*file, problems);
  }
  const auto habits = node_habits(options.rules, culms ? culms->rules : culm::usual_node_habits(),
                                  inputs.taper, problems);
  const auto rings = wanted_rings(options.rings, problems);
  selection::SearchLimits limits{time_limit(options.time, problems), options.progress};
  const auto columns =
      inspection::read_columns(source, readings_unit(options.check, problems), problems);
  if (columns && columns->kind != inspection::ReadingKind::strips)
    problems.error(fmt::format("{} holds no readings of strips", source.name()),
                   "strips have the columns strip, at, a");
  auto densities =
      columns ? read_densities(source, *columns, problems) : std::map<std::string, double>();
  if (!columns || problems.errors() > errors_before) return std::nullopt;
  if (culms)
    for (auto const& strip : culms->strips)
      if (strip.density) densities.try_emplace(strip.name, *strip.density);
  const auto readings = inspection::read_readings(source, *columns, bench.order(), problems);
  if (!readings) return std::nullopt;
  for (auto const& [question, of_call] : better_explanations(bench, *readings, *columns))
    problems.warn(fmt::format("{}: {}", source.name(), question), "the choice is wrong if so");
  std::vector<ChosenSection> out;
  std::vector<std::size_t> index;
  for (std::size_t s = 0; s < inputs.sections.size(); ++s) {
    auto const& section = inputs.sections[s];
    const auto strips = static_cast<std::size_t>(
        std::count_if(readings->pieces.begin(), readings->pieces.end(),
                      [&](auto const& piece) { return piece.section == s; }));
    if (strips == 0) {
      if (!options.check.common.sections.empty())
        problems.error(fmt::format("the readings have no strip of section '{}'", section.name),
                       "name another section, or measure its strips");
      continue;
    }
    ChosenSection chosen;
    chosen.section = section;
    chosen.wanted = rings.value_or(static_cast<std::size_t>(section.make));
    chosen.order = {bench.of_stage[s],
                    &inputs.shop,
                    bench.judge,
                    bench.moisture_now,
                    section::table_stations(inputs.taper, section),
                    shifts_of_file(inputs.shop.spare, shift_step, inputs.unit),
                    options.all,
                    {habits.min_gap, habits.keep_clear,
                     selection::places_to_keep_clear(inputs.taper, section, habits.places)},
                    {},
                    densities};
    if (culms) chosen.order.nodes = culm::nodes_of_strips(*culms, section, inputs.shop.spare);
    check_size(chosen, strips, inputs.unit, problems);
    out.push_back(std::move(chosen));
    index.push_back(s);
  }
  if (problems.errors() > errors_before) return std::nullopt;
  SectionChooser chooser(bench, *readings);
  for (std::size_t i = 0; i < out.size(); ++i) chooser.choose(out[i], index[i], limits);
  return out;
}

}  // namespace stripwright::cli
