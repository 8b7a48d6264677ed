#include "cli/import_sections.h"

#include <fmt/format.h>

#include <algorithm>

#include "files/map_reader.h"
#include "inspection/rod_pieces.h"
#include "inspection/rod_taper.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

std::vector<std::string> split(std::string const& text, char at) {
  std::vector<std::string> out;
  std::size_t begin = 0;
  for (std::size_t end = text.find(at); end != std::string::npos; end = text.find(at, begin)) {
    out.push_back(text.substr(begin, end - begin));
    begin = end + 1;
  }
  out.push_back(text.substr(begin));
  return out;
}

std::optional<Length> length(std::string const& text, Unit unit, std::string const& option,
                             Problems& problems) {
  const auto parsed = parse_length(text, unit);
  if (!parsed) problems.error(fmt::format("{} {}", option, parsed.fault), parsed.remedy);
  return parsed.value;
}

}  // namespace

std::vector<RodSection> parse_sections(std::vector<std::string> const& written, Unit unit,
                                       Problems& problems) {
  std::vector<RodSection> out;
  for (auto const& each : written) {
    const auto refuse = [&](std::string what, std::string remedy) {
      problems.error(fmt::format("--section {}: {}", quoted_for_message(each), what),
                     std::move(remedy));
    };
    const auto equals = each.find('=');
    const auto places = split(equals == std::string::npos ? "" : each.substr(equals + 1), ':');
    if (places.size() < 2 || places.size() > 3) {
      refuse("not a name and two stations",
             "write --section tip=0:45, or --section tip=0:45:2 where two of it are to be made");
      continue;
    }
    RodSection section;
    section.name = each.substr(0, equals);
    if (!files::is_name(section.name))
      refuse("that is no name of a section", "a name has letters, digits, blanks and hyphens");
    if (const auto from = length(places[0], unit, "--section", problems))
      section.from = Station(*from);
    if (const auto to = length(places[1], unit, "--section", problems)) section.to = Station(*to);
    if (places.size() == 3) {
      const auto make = parse_number(places[2]);
      section.make = make ? static_cast<long>(*make.value) : 0;
      if (section.make < 1 || static_cast<double>(section.make) != *make.value)
        refuse("how many of it are to be made is no whole number", "write --section tip=0:45:2");
    }
    out.push_back(std::move(section));
  }
  std::stable_sort(out.begin(), out.end(),
                   [](auto const& a, auto const& b) { return a.from < b.from; });
  return out;
}

std::vector<Ferrule> parse_ferrules(std::vector<std::string> const& written, Unit unit,
                                    Problems& problems) {
  std::vector<Ferrule> out;
  for (auto const& each : written) {
    const auto parts = split(each, '=');
    if (parts.size() != 2) {
      problems.error(
          fmt::format("--ferrule {}: not a station and a bore", quoted_for_message(each)),
          "write --ferrule 45=13/64in");
      continue;
    }
    const auto at = length(parts[0], unit, "--ferrule", problems);
    const auto bore = length(parts[1], unit, "--ferrule", problems);
    if (at && bore) out.push_back({Station(*at), *bore});
  }
  return out;
}

bool counted_from_the_tip(bool from_butt, files::SourceText const& source,
                          inspection::RodReadings const& readings, Problems& problems) {
  if (const auto clash = inspection::clashing_pieces(readings.readings)) {
    auto const& reading = readings.readings[clash->reading];
    problems.add(source.problem(
        reading.offset,
        fmt::format("{} and {} were both read at {}, and one is much thicker there",
                    quoted_for_message(clash->thinner), quoted_for_message(clash->thicker),
                    format_short(reading.at.from_zero(), readings.unit)),
        "stations are counted from the rod's tip end through all pieces; where each was counted "
        "from its own, import it alone with --piece, and put them together with taper derive "
        "--join"));
    return false;
  }
  const auto stations = inspection::rod_stations(readings.readings, std::nullopt);
  if (!inspection::falls_all_along(stations)) return true;
  const auto show = [&](inspection::RodStation const& at) {
    return fmt::format(
        "{} at {}", format_length(at.readings.mean, readings.unit, bench_decimals(readings.unit)),
        format_short(at.at.from_zero(), readings.unit));
  };
  problems.add({Severity::error,
                {source.name(), 0, 0},
                fmt::format("the flats fall all along, from {} to {}{}", show(stations.front()),
                            show(stations.back()), from_butt ? ", counted from the tip end" : ""),
                from_butt ? "leave --from-butt out: the table counts from the tip end"
                          : "if the table counts from the butt end, say --from-butt",
                {}});
  return false;
}

std::string section_words(std::vector<RodSection> const& sections, Unit unit) {
  std::vector<std::string> out;
  for (auto const& section : sections)
    out.push_back(fmt::format("{} from {} to {}", section.name,
                              format_short(section.from.from_zero(), unit),
                              format_short(section.to.from_zero(), unit)));
  return fmt::format("{}", fmt::join(out, ", "));
}

}  // namespace stripwright::cli
