#include "cli/learn_words.h"

#include <fmt/format.h>

#include <algorithm>

#include "cli/setup_output.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

using inspection::Allowance;
using inspection::LearnedAllowance;
using inspection::Reason;

std::string plural(std::size_t n, std::string_view what) {
  return fmt::format("{} {}{}", n, what, n == 1 ? "" : "s");
}

}  // namespace

std::string LearnWords::show(Length l) const {
  return format_number(l, unit_, bench_decimals(unit_) + 1);
}

std::size_t LearnWords::rods() const {
  std::size_t out = 0;
  for (auto const& each : report_.learned) out = std::max(out, each.rods);
  return out;
}

std::vector<std::string> LearnWords::head() const {
  std::vector<std::string> out = {fmt::format("Learned from {} of {}, for {}",
                                              plural(report_.rings.size(), "ring"),
                                              plural(rods(), "rod"), report_.shop.name)};
  if (auto assumed = assumed_line(report_.shop); !assumed.empty())
    out.push_back(std::move(assumed));
  return out;
}

std::vector<std::string> LearnWords::samples() const {
  std::vector<std::string> out;
  const auto count = rods();
  if (count >= inspection::kRodsForASample)
    out.emplace_back(
        "Each rod counts once, with the mean of its stations: stations of one rod have glue, "
        "hand and day in common.");
  else
    out.push_back(
        fmt::format("The sample is the stations of {}. They have glue, hand and day in common, "
                    "so the intervals are right for what is on {}, and too narrow for the next "
                    "one; from {} rods on, rods are the sample.",
                    count == 1 ? "one rod" : "two rods", count == 1 ? "it" : "them",
                    inspection::kRodsForASample));
  for (auto const& each : report_.learned)
    if (!each.interval)
      out.push_back(fmt::format("The {} was measured at one station only: no spread, no interval.",
                                words(each.allowance)));
  out.push_back(gauge());
  return out;
}

std::string LearnWords::gauge() const {
  if (!report_.gauge) return "No gauge is known: its own error is not in the intervals.";
  auto const& gauge = *report_.gauge;
  return fmt::format(
      "Measured with the {}, step {}, standard uncertainty {}. Half of that uncertainty is in the "
      "glue line and in clean-up less glue line, however many rods there are; in clean-up and "
      "varnish it cancels.",
      gauge.name, format_short(gauge.resolution, unit_),
      format_short(gauge.standard_uncertainty, unit_));
}

std::vector<CheckItem> LearnWords::notes() const {
  // Each note once, with the rings it is true of.
  std::vector<std::pair<std::string, std::vector<std::string_view>>> notes;
  for (std::size_t i = 0; i < report_.rings.size(); ++i)
    for (auto& note : notes_of(i)) {
      const auto known = std::find_if(notes.begin(), notes.end(),
                                      [&](auto const& each) { return each.first == note; });
      auto& rings =
          known == notes.end()
              ? notes.emplace_back(std::move(note), std::vector<std::string_view>{}).second
              : known->second;
      rings.push_back(report_.rings[i].ring.name);
    }
  std::vector<CheckItem> out;
  for (auto const& [note, rings] : notes) {
    const bool all = rings.size() == report_.rings.size() && rings.size() > 1;
    out.push_back(
        {all ? std::string("All rings")
             : fmt::format("Ring{} {}", rings.size() > 1 ? "s" : "", fmt::join(rings, ", ")),
         note});
  }
  return out;
}

std::vector<std::string> LearnWords::notes_of(std::size_t i) const {
  auto const& values = report_.values[i];
  auto const& ring = report_.rings[i].ring;
  std::vector<std::string> notes;
  const bool heights =
      std::any_of(values.values.begin(), values.values.end(), [](auto const& each) {
        return each.allowance == Allowance::glue_line ||
               each.allowance == Allowance::cleanup_less_glue_line;
      });
  if (values.enamel_by_ledger && heights)
    notes.emplace_back("strips measured as milled, less the enamel that the ledger has");
  if (!ring.marked)
    notes.emplace_back(
        "not marked, so only the means of the three flats and of the six strips count");
  auto const& strips = report_.rings[i].readings.heights;
  if (std::all_of(strips.begin(), strips.end(), [](auto const& each) { return each.empty(); })) {
    notes.emplace_back("its strips were not measured, so it says nothing of the glue line");
  } else if (!values.without_heights.empty()) {
    std::vector<std::string> stations;
    for (const auto at : values.without_heights)
      stations.push_back(format_short(in_unit(at.from_zero(), unit_), bench_decimals(unit_)));
    notes.push_back(fmt::format("left out for want of strips measured at the same place: {} {}",
                                fmt::join(stations, ", "), unit_name(unit_)));
  }
  if (!values.moisture_unknown.empty()) {
    std::vector<std::string_view> stages;
    for (const auto stage : values.moisture_unknown) stages.push_back(word(stage));
    notes.push_back(fmt::format("ASSUMED no change of moisture, for it is not known when {}",
                                fmt::join(stages, ", ")));
  }
  if (!report_.shop.allowances.moisture && !ring.percent_moisture.empty())
    notes.emplace_back("moistures are not used, for the shop file has no allowances: moisture");
  return notes;
}

std::vector<std::string> LearnWords::odd() const {
  std::vector<std::string> out;
  for (auto const& each : report_.learned) {
    if (each.odd.empty()) continue;
    for (auto const& value : each.odd) out.push_back(odd_words(value, each));
    out.push_back(fmt::format("{} without: {}, with: {}", words(each.allowance),
                              show(*each.mean_without_odd), show(each.mean)));
  }
  return out;
}

std::string LearnWords::about_odd() {
  return "They are in all figures above. Measure those places again; if the gauge slipped, "
         "correct the row or take it out.";
}

std::string LearnWords::odd_words(inspection::OddValue const& odd,
                                  LearnedAllowance const& allowance) const {
  auto const& ring = report_.rings[odd.value.ring].ring;
  std::string where =
      fmt::format("ring {}, station {}", ring.name, format_short(odd.value.at.from_zero(), unit_));
  if (odd.value.pair)
    where += fmt::format(", f{} over strips {} and {}", *odd.value.pair + 1,
                         ring.strips[*odd.value.pair], ring.strips[*odd.value.pair + 3]);
  return fmt::format("{}: {} of {} lies {:.1f} spreads off, and chance has it to {:.1f}", where,
                     words(allowance.allowance), show(odd.value.value), odd.times_spread,
                     odd.limit);
}

std::string LearnWords::impossible() const {
  const bool any = std::any_of(report_.proposals.begin(), report_.proposals.end(),
                               [](auto const& each) { return each.reason == Reason::impossible; });
  return any ? "What was measured would put a layer below 0, or over 2 mm: the readings contradict "
               "each other, so none of them is taken over. See whether the ring files name the "
               "right readings for each stage (glued and bare swapped?), then the order of the "
               "strips, the moistures and the shop's apex_relief; put it right and learn again."
             : "";
}

bool LearnWords::any_change() const {
  return std::any_of(report_.proposals.begin(), report_.proposals.end(),
                     [](auto const& each) { return each.changes(); });
}

}  // namespace stripwright::cli
