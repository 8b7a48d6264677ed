#include <fmt/format.h>

#include <algorithm>

#include "cli/setup_output.h"
#include "files/slug.h"
#include "machine/cautions.h"
#include "machine/path_notes.h"
#include "machine/setup_tables.h"
#include "report/paragraph.h"
#include "sheet/sentences.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

using machine::SectionSetup;

class SetupText {
 public:
  explicit SetupText(SetupResult const& result) : result_(result), unit_(result.inputs.unit) {}

  std::string text() {
    head();
    for (auto const& setup : result_.setups) section(setup);
    tail();
    return std::move(out_);
  }

 private:
  std::string bench(Length l) const { return format_length(l, unit_, bench_decimals(unit_)); }
  std::string brief(Length l) const {
    return format_short(round_to_decimals(in_unit(l, unit_), bench_decimals(unit_)),
                        bench_decimals(unit_)) +
           fmt::format(" {}", unit_name(unit_));
  }
  void line(std::string const& text) { out_ += report::paragraph(text, "", ""); }
  void item(std::string const& name, std::string const& text) {
    out_ += report::paragraph(text, fmt::format("{:<14}", name), std::string(14, ' '));
  }

  static std::string cutter_file(SectionSetup const& setup) {
    return fmt::format("cutter-{}.csv", files::file_slug(setup.section.name));
  }

  void head() {
    line(fmt::format("{}, set up on the {} ({}) of {}", result_.inputs.taper.name,
                     result_.machine.name, kind_word(result_.machine), result_.inputs.shop.name));
    if (result_.inputs.shop_is_built_in)
      line(
          "No --shop named: the built-in shop serves, with its allowances, not yours (stripwright "
          "shop list shows others).");
    if (auto const& correction = result_.inputs.correction_source)
      line(fmt::format(
          "Corrected by {}: the settings are off the strip on purpose, to make up for the machine.",
          correction->name()));
    if (!result_.unused_correction.empty()) line(result_.unused_correction);
    if (const auto assumed = assumed_line(result_.inputs.shop); !assumed.empty()) line(assumed);
  }

  void section(SectionSetup const& setup) {
    out_ += '\n';
    line(fmt::format("SECTION {}: {} to make, {} strips", setup.section.name, setup.section.make,
                     6 * setup.section.make));
    start_from(setup);
    out_ +=
        "\nWhat the strip shall measure\n" + report::to_text(machine::station_table(setup), unit_);
    line(sheet::proven_sentence(setup, result_.inputs.shop, result_.gauge, unit_,
                                "from `proven from` to `proven to`"));
    if (const auto moisture = sheet::moisture_sentence(result_.inputs.shop); !moisture.empty())
      line(moisture);
    const auto passes = machine::pass_count(setup.settings);
    if (!machine::bar_of(setup.settings, 0)) return way(setup, passes);
    for (std::size_t p = 0; p < passes; ++p) settings(setup, p, passes);
  }

  /// A pattern or a program: its last pass at the stations, and what else there is to know.
  void way(SectionSetup const& setup, std::size_t passes) {
    if (setup.in_passes) out_ += "\nPasses\n" + report::to_text(machine::pass_table(setup), unit_);
    const bool pattern = std::holds_alternative<machine::PatternSettings>(setup.settings);
    const auto table = machine::cutter_table(setup, passes - 1);
    out_ += fmt::format("\n{}, {} at the stations\n",
                        pattern ? "What the pattern is" : "Where the cutter goes",
                        passes > 1 ? "the last pass" : "its points");
    out_ += report::to_text(table, unit_);
    line(fmt::format("All {} points are in {}: straight lines between them are exact to 0.0001 mm.",
                     machine::cutter_table(setup).rows.size(), cutter_file(setup)));
    for (auto const& note : machine::path_notes(setup, unit_)) line(note);
  }

  void start_from(SectionSetup const& setup) {
    auto const& spare = result_.inputs.shop.spare;
    auto const& placement = setup.placement;
    item("Start from",
         fmt::format("rough strips {} high{}, {} wide on the face; split them {} wide or more",
                     bench(setup.rough.height),
                     setup.rough.over_taper ? " where they are highest" : "",
                     bench(setup.rough.face_width), bench(setup.rough.split_width)));
    if (const auto tapered = machine::tapered_beforehand(setup.rough, unit_); !tapered.empty())
      item("CAUTION", tapered);
    item("Length",
         fmt::format("{}: the section's {}, and spare of {} at the tip end and {} at the butt end",
                     brief(placement.strip_length()), brief(setup.section.length()),
                     brief(spare.tip_end), brief(spare.butt_end)));
    const bool tip_first = placement.feeds() == Feeds::tip_first;
    item("Lay it",
         fmt::format("from {} to {} on the machine, {} end at {}",
                     brief(placement.strip_begins().from_zero()),
                     brief(placement.strip_ends().from_zero()), tip_first ? "tip" : "butt",
                     brief(placement.strip_begins().from_zero())));
  }

  void settings(SectionSetup const& setup, std::size_t pass, std::size_t passes) {
    auto const& its = machine::pass_of(setup.settings, pass);
    const bool form = std::holds_alternative<std::vector<machine::FormPass>>(setup.settings);
    std::string heading = form ? "What to set on the form" : "What to set on the mill";
    if (passes > 1)
      heading += fmt::format(", pass {} of {}: {}", its.number, passes,
                             pass + 1 == passes
                                 ? "the final strip"
                                 : fmt::format("leaves {} over the final strip", bench(its.left)));
    out_ += '\n' + heading + '\n' + report::to_text(machine::cutter_table(setup, pass), unit_);
    if (pass + 1 == passes) below_settings(setup, form);
  }

  void below_settings(SectionSetup const& setup, bool form) {
    line(sheet::miss_sentence(setup, unit_));
    if (form) {
      line(
          "Turns count from bars touching. Come to each setting from the open side, closing, to "
          "take up the play.");
      if (const auto cone = sheet::cone_sentence(setup, result_.machine, unit_); !cone.empty())
        line(cone);
      return;
    }
    line(
        "Come to each setting from the same side, raising the figure, to take up the backlash. "
        "`rest` is what the dial's divisions leave.");
    if (const auto turns = sheet::turns_sentence(result_.machine, unit_); !turns.empty())
      line(turns);
  }

  void tail() {
    out_ += "\nCautions\n";
    for (auto const& caution : machine::cautions(result_.machine, result_.inputs.shop.allowances))
      out_ += report::paragraph(caution, "- ", "  ");
    out_ += fmt::format("\nFiles in {}/\n", result_.folder);
    line(fmt::format("{}", fmt::join(result_.file_names, ", ")));
    if (result_.kept_names.empty()) return;
    std::vector<std::string> sections;
    for (auto const& setup : result_.setups) sections.push_back(setup.section.name);
    line(
        fmt::format("{} {} there of an earlier set-up from the same files; sheet.html and "
                    "stations.csv are of section {} alone.",
                    fmt::join(result_.kept_names, ", "),
                    result_.kept_names.size() == 1 ? "is" : "are", fmt::join(sections, " and ")));
  }

  SetupResult const& result_;
  Unit unit_;
  std::string out_;
};

}  // namespace

std::string assumed_line(Shop const& shop) {
  auto const& assumed = shop.allowances.assumed;
  if (assumed.empty()) return {};
  return fmt::format("ASSUMED 0, for the shop file leaves it out: {}", fmt::join(assumed, ", "));
}

std::string setup_text(SetupResult const& result) { return SetupText(result).text(); }

}  // namespace stripwright::cli
