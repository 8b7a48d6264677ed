#include "machine/path_notes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "units/format.h"

namespace stripwright::machine {
namespace {

class Notes {
 public:
  Notes(SectionSetup const& setup, Unit unit) : setup_(setup), unit_(unit) {}

  std::vector<std::string> of(PatternSettings const& settings) {
    rests(settings.rests);
    misses(settings.unreached);
    if (settings.passes.size() > 1)
      add("All passes go over the one pattern, the cutter raised by the lift; the last by none.");
    add(fmt::format(
        "The slide goes {} along the pattern in a pass{}.", brief(settings.run),
        settings.passes.size() > 1
            ? fmt::format(", {} in all and as far back",
                          brief(static_cast<double>(settings.passes.size()) * settings.run))
            : ""));
    return std::move(out_);
  }

  std::vector<std::string> of(CncSettings const& settings) {
    rests(settings.rests);
    auto const& travel = settings.travel;
    add(fmt::format(
        "{}: {} of travel at the feed, {}; {} more at the machine's own fast speed.",
        settings.passes.size() == 1 ? "One pass" : fmt::format("{} passes", settings.passes.size()),
        brief(travel.at_feed), minutes_text(travel.minutes_at_feed), brief(travel.fast)));
    return std::move(out_);
  }

 private:
  void add(std::string note) { out_.push_back(std::move(note)); }
  std::string brief(Length l) const {
    return fmt::format("{} {}", format_short(in_unit(l, unit_), 1), unit_name(unit_));
  }
  /// Small amounts with a digit more than on the bench's tables.
  std::string fine(Length l) const { return format_length(l, unit_, bench_decimals(unit_) + 1); }
  std::string at(Station place) const { return format_short(round_place(place), unit_); }
  Length round_place(Station place) const {
    return of_unit(round_to_decimals(in_unit(place.from_zero(), unit_), 1), unit_);
  }
  bool in_section(Station place) const {
    return place >= setup_.section.from && place <= setup_.section.to;
  }

  void rests(std::vector<Rest> const& rests) {
    Rest const* most = nullptr;
    std::size_t count = 0;
    for (auto const& rest : rests) {
      if (!in_section(rest.at)) continue;
      ++count;
      if (!most || rest.size > most->size) most = &rest;
    }
    if (!most)
      add(fmt::format("The cutter reaches all of the section: it leaves less than {} anywhere.",
                      format_short(kLeastTold, unit_)));
    else
      add(
          fmt::format("In hollows the cutter leaves something standing: at most {} at station {} "
                      "({} in all).",
                      fine(most->size), at(most->at),
                      count == 1 ? "1 place" : fmt::format("{} places", count)));
  }

  void misses(std::vector<Unreached> const& unreached) {
    Unreached const* most = nullptr;
    std::size_t count = 0;
    for (auto const& miss : unreached) {
      if (!in_section(miss.at)) continue;
      ++count;
      if (!most || miss.at_cutter > most->at_cutter) most = &miss;
    }
    if (!most)
      add("The follower reaches all of its pattern.");
    else
      add(fmt::format(
          "The follower is too large for its pattern: the strip comes out thinner by at "
          "most {} at station {} ({} in all).",
          fine(most->at_cutter), at(most->at),
          count == 1 ? "1 place" : fmt::format("{} places", count)));
  }

  SectionSetup const& setup_;
  Unit unit_;
  std::vector<std::string> out_;
};

}  // namespace

std::vector<std::string> path_notes(SectionSetup const& setup, Unit unit) {
  Notes notes(setup, unit);
  if (auto const* pattern = std::get_if<PatternSettings>(&setup.settings))
    return notes.of(*pattern);
  if (auto const* cnc = std::get_if<CncSettings>(&setup.settings)) return notes.of(*cnc);
  return {};
}

std::string minutes_text(double minutes) {
  constexpr long kInAnHour = 60;
  if (minutes < 2) return fmt::format("{} s", std::lround(std::ceil(minutes * 60)));
  const long whole = std::lround(std::ceil(minutes));
  if (whole < kInAnHour) return fmt::format("{} min", whole);
  return fmt::format("{} h {} min", whole / kInAnHour, whole % kInAnHour);
}

}  // namespace stripwright::machine
