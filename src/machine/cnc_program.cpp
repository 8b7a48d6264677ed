#include "machine/cnc_program.h"

#include <fmt/format.h>

#include "machine/path_notes.h"
#include "machine/plain.h"
#include "units/format.h"

namespace stripwright::machine {
namespace {

class CncProgram {
 public:
  CncProgram(SectionSetup const& setup, CncMill const& mill, SetupNames const& names, Unit unit)
      : setup_(setup),
        settings_(std::get<CncSettings>(setup.settings)),
        mill_(mill),
        names_(names),
        unit_(unit) {}

  Program program(std::vector<std::string> const& cautions) const {
    Program out{unit_, head(), mill_.spindle_rpm, mill_.feed_per_minute, mill_.clear_height, {}};
    for (auto const& caution : cautions) out.head.push_back("Caution: " + caution);
    for (auto const& pass : settings_.passes)
      out.parts.push_back({pass_heading(pass), moves_of(pass, mill_.clear_height)});
    return out;
  }

 private:
  std::string show(Length l) const { return format_short(l, unit_); }
  std::string brief(Length l) const { return format_length(l, unit_, bench_decimals(unit_)); }

  std::string pass_heading(CncPass const& pass) const {
    const auto count = settings_.passes.size();
    if (count == 1) return "The one pass: the final strip";
    const auto leaves = static_cast<std::size_t>(pass.pass.number) == count
                            ? std::string("the final strip")
                            : fmt::format("leaves {} over the final strip", brief(pass.pass.left));
    return fmt::format("Pass {} of {}: {}", pass.pass.number, count, leaves);
  }

  std::vector<std::string> head() const {
    auto const& section = setup_.section;
    auto const& placement = setup_.placement;
    const bool tip_first = placement.feeds() == Feeds::tip_first;
    auto const& way = settings_.passes.front().way;
    std::vector<std::string> out = {
        fmt::format("Rod: {}{}{}", names_.taper, names_.about.empty() ? "" : ", ", names_.about),
        fmt::format("Section: {}, from {} to {}; {} strips, each with this program", section.name,
                    show(section.from.from_zero()), show(section.to.from_zero()), 6 * section.make),
        fmt::format("Machine: {}, of the shop {}", names_.machine, names_.shop),
        fmt::format("Unit: {}", unit_ == Unit::inch ? "inch" : "millimetre"),
        fmt::format("Cutter: diameter {}; Z is the height of its lowest point, which stands square "
                    "over the strip at X",
                    show(2 * mill_.cutter_radius)),
        fmt::format("Strip: {} long, its face down on the bed, from X {} to X {}, the {} end at X "
                    "{}; rough height {}{}",
                    show(placement.strip_length()), show(placement.strip_begins().from_zero()),
                    show(placement.strip_ends().from_zero()), tip_first ? "tip" : "butt",
                    show(placement.strip_begins().from_zero()), brief(setup_.rough.height),
                    setup_.rough.over_taper ? " where it is highest" : ", a plain strip"),
        std::string(
            "Zero points: X 0 is the zero of the machine's positions; Y 0 is over the middle of "
            "the strip and stays; Z 0 is the line on the bed where the strip's face lies"),
        fmt::format("Clear height: Z {}; nothing may stand higher between X {} and X {}; start "
                    "with the cutter above it",
                    show(mill_.clear_height), show(way.front().machine_at.from_zero()),
                    show(way.back().machine_at.from_zero())),
    };
    if (const auto tapered = tapered_beforehand(setup_.rough, unit_); !tapered.empty())
      out.push_back("Caution: " + tapered);
    if (!names_.correction.empty())
      out.push_back(
          fmt::format("Correction: by {}, off the strip on purpose, to make up for the "
                      "machine",
                      names_.correction));
    for (auto const& note : path_notes(setup_, unit_)) out.push_back("Note: " + note);
    return out;
  }

  SectionSetup const& setup_;
  CncSettings const& settings_;
  CncMill const& mill_;
  SetupNames const& names_;
  Unit unit_;
};

}  // namespace

Program cnc_program(SectionSetup const& setup, CncMill const& mill, SetupNames const& names,
                    std::vector<std::string> const& cautions, Unit unit) {
  auto const* settings = std::get_if<CncSettings>(&setup.settings);
  plain::require(settings != nullptr && settings->can_run, "a program of a set-up that has none");
  return CncProgram(setup, mill, names, unit).program(cautions);
}

}  // namespace stripwright::machine
