#include "taper/write_taper.h"

#include <fmt/format.h>

#include "files/yaml_writing.h"
#include "units/format.h"

namespace stripwright {
namespace {

/// Below it lengths are the same in a file: less than half of what the last decimals of either
/// unit can tell apart (5 decimals of a millimetre, 6 of an inch), and more than half of what they
/// can with one decimal more. So a figure with the usual decimals, changed to the other unit
/// and back, is the only one so near with so few decimals.
constexpr Length kSameInFile = Length::millimetres(2e-6);

bool only_the_rod(Taper const& taper) {
  return taper.sections.size() == 1 && taper.sections.front().name == "rod" &&
         taper.sections.front().make == 1 &&
         same_place(taper.sections.front().from, taper.tip_end()) &&
         same_place(taper.sections.front().to, taper.butt_end());
}

}  // namespace

std::string taper_number(Length length, Unit unit, bool computed) {
  const double value = in_unit(length, unit);
  const int most = file_decimals(unit) + (computed ? 0 : 1);
  for (int decimals = 0; decimals < most; ++decimals)
    if (abs(of_unit(round_to_decimals(value, decimals), unit) - length) <= kSameInFile)
      return format_short(value, decimals);
  return format_short(value, most);
}

std::string new_taper_text(Taper const& taper, std::vector<std::string> const& remarks) {
  const auto number = [&](Length length) { return taper_number(length, taper.unit, false); };
  std::string out;
  for (auto const& line : remarks) out += "# " + line + "\n";
  out += "format: stripwright-taper-1\n";
  if (!taper.name.empty()) out += "name: " + files::yaml_scalar(taper.name) + "\n";
  if (!taper.about.empty()) out += "about: " + files::yaml_scalar(taper.about) + "\n";
  out += fmt::format("unit: {}\nmeasured: {}\nbetween: {}\n", unit_name(taper.unit),
                     taper.measured == Measured::bare ? "bare" : "varnished",
                     taper.between == Between::linear ? "linear" : "smooth");
  out += "taper:  # distance from the tip end: across flats\n";
  for (auto const& point : taper.points)
    out += fmt::format("  {}: {}\n", number(point.at.from_zero()), number(point.flats));
  if (!only_the_rod(taper)) {
    out += "sections:\n";
    for (auto const& section : taper.sections)
      out += fmt::format("  {}: {{from: {}, to: {}, make: {}}}\n", files::yaml_scalar(section.name),
                         number(section.from.from_zero()), number(section.to.from_zero()),
                         section.make);
  }
  if (!taper.ferrules.empty()) out += "ferrules:\n";
  for (auto const& ferrule : taper.ferrules)
    out += fmt::format("  - {{at: {}, bore: {}}}\n", number(ferrule.at.from_zero()),
                       number(ferrule.bore));
  return out;
}

}  // namespace stripwright
