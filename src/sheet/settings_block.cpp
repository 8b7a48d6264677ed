#include "sheet/settings_block.h"

#include <fmt/format.h>

#include <algorithm>

#include "files/slug.h"
#include "machine/path_notes.h"
#include "machine/setup_tables.h"
#include "sheet/frame.h"
#include "sheet/sentences.h"
#include "sheet/setting_rows.h"
#include "units/format.h"

namespace stripwright::sheet {
namespace {

using machine::FormPass;
using machine::MillPass;
using machine::SectionSetup;

constexpr std::string_view kCannot = "cannot be set";

// What a setting cannot be made without stands at it, too: its page may hang alone.
constexpr char kFormNote[] =
    "Turns count from bars touching. Come to each reading from the open side, closing.";
constexpr char kFormNoteWithoutTurns[] = "Come to each reading from the open side, closing.";
constexpr char kMillNote[] =
    "Isolate the machine and let the cutter stop. Come to each setting from the same side, raising "
    "the figure.";

class SettingsBlock {
 public:
  SettingsBlock(report::Html& html, SettingsOrder const& order)
      : html_(html),
        rod_(order.rod),
        setup_(order.setup),
        machine_(order.machine),
        unit_(order.unit),
        key_(order.key) {}

  void operator()(std::vector<FormPass> const& passes) const {
    one_table_a_pass(passes.size());
    steps(
        {"Close the bars until they touch. Open each screw by its turns, twice over all screws, "
         "for each one moves its neighbours.",
         "Come to the gauge reading of each screw from the open side, closing, to take up the "
         "play. Go on until none moves; then tick it.",
         between_screws_step(setup_, unit_)});
    if (const auto cone = cone_sentence(setup_, machine_, unit_); !cone.empty())
      html_.element("p", cone);
    for (auto const& pass : passes) form(pass, passes.size());
  }

  void operator()(std::vector<MillPass> const& passes) const {
    one_table_a_pass(passes.size());
    steps({"Isolate the machine and let the cutter stop.",
           "Come to each setting from the same side, raising the figure, to take up the backlash.",
           "Go over all screws again until none moves; then tick it.",
           turns_sentence(machine_, unit_)});
    for (auto const& pass : passes) mill(pass, passes.size());
  }

  void operator()(machine::PatternSettings const& settings) const {
    auto const& mill = std::get<PatternMill>(machine_.kind);
    const auto slug = files::file_slug(setup_.section.name);
    html_.element("p", "First isolate the machine and let the cutter stop.");
    auto rows = tools(settings.passes.front().pass);
    add(rows, "Pattern", fmt::format("pattern-{}", slug), "full size, as .svg and .dxf");
    add(rows, "Cutter diameter", exact(2 * mill.cutter_radius), "");
    add(rows, "Follower radius", exact(mill.follower_radius), "");
    add(rows, "Rise", format_short(mill.pattern_per_cutter, 6),
        "of the pattern, for 1 of the cutter");
    add(rows, "Base", exact(mill.base), "pattern under the follower, cutter at offset 0");
    add(rows, end_name(), brief(setup_.placement.strip_begins().from_zero()),
        "on the machine, and on the pattern");
    for (auto const& pass : settings.passes)
      if (settings.passes.size() > 1)
        add(rows, fmt::format("Pass {}", pass.pass.number), exact(pass.lift),
            fmt::format("raise the cutter; {}", leaves(pass.pass, settings.passes.size())));
    add_setting_rows(html_, rows);
    passes_and_notes();
  }

  void operator()(machine::CncSettings const& settings) const {
    auto const& mill = std::get<CncMill>(machine_.kind);
    html_.element("p", "First isolate the machine and let the cutter stop.");
    auto rows = tools(settings.passes.front().pass);
    add(rows, "Program", settings.can_run ? files::file_slug(setup_.section.name) + ".ngc" : "none",
        settings.can_run ? fmt::format("in {}", unit_ == Unit::inch ? "inches" : "millimetres")
                         : "the machine cannot run it: see the messages of setup");
    add(rows, "Cutter diameter", exact(2 * mill.cutter_radius),
        "its lowest point is what Z counts");
    add(rows, "X: " + end_name(), brief(setup_.placement.strip_begins().from_zero()),
        "X 0 is the zero of the machine's positions");
    add(rows, "Y", "0", "the middle of the strip, all along");
    add(rows, "Z 0", "bed", "the line where the strip's face lies");
    add(rows, "Clear height", exact(mill.clear_height), "start with the cutter above it");
    add(rows, "Feed", fmt::format("{} {}", number(mill.feed_per_minute), unit_name(unit_)),
        "a minute");
    add(rows, "Spindle", format_short(mill.spindle_rpm, 0), "turns a minute");
    add(rows, "Time", machine::minutes_text(settings.travel.minutes_at_feed),
        fmt::format("at the feed, over {}; fast moves come on top",
                    fmt::format("{} {}", format_short(in_unit(settings.travel.at_feed, unit_), 1),
                                unit_name(unit_))));
    add_setting_rows(html_, rows);
    passes_and_notes();
  }

 private:
  std::string bench(Length l) const { return format_number(l, unit_, bench_decimals(unit_)); }
  std::string number(Length l) const {
    return format_short(in_unit(l, unit_), bench_decimals(unit_));
  }
  /// A place, or a length that is not gauged.
  std::string brief(Length l) const { return fmt::format("{} {}", number(l), unit_name(unit_)); }
  /// What a tool is measured to.
  std::string exact(Length l) const { return format_length(l, unit_, bench_decimals(unit_)); }
  std::string with(std::string_view name, std::optional<Length> const& l) const {
    return l ? fmt::format("{} {}", name, bench(*l)) : std::string();
  }
  static std::string join(std::string const& a, std::string const& b,
                          std::string_view between = "; ") {
    return a.empty() || b.empty() ? a + b : fmt::format("{}{}{}", a, between, b);
  }
  std::string leaves(machine::Pass const& pass, std::size_t passes) const {
    return static_cast<std::size_t>(pass.number) == passes
               ? std::string("the final strip")
               : fmt::format("leaves {} over the final strip", exact(pass.left));
  }
  /// Says all that tells this table from others: it may hang at the machine alone.
  std::string caption(machine::Pass const& pass, std::size_t passes) const {
    const auto where = fmt::format("{}, section {}, {}", rod_, setup_.section.name, machine_.name);
    if (passes == 1) return fmt::format("{}; {}", where, unit_words(unit_));
    return fmt::format("{}: pass {} of {}, {}; {}", where, pass.number, passes,
                       leaves(pass, passes), unit_words(unit_));
  }
  std::string end_name() const {
    return setup_.placement.feeds() == Feeds::tip_first ? "strip's tip end" : "strip's butt end";
  }

  void one_table_a_pass(std::size_t passes) const {
    if (passes > 1)
      html_.element("p", fmt::format("There are {} passes, a table each: set the first, take all "
                                     "strips of the section through it, then set the next.",
                                     passes));
  }
  /// Those that are not empty.
  void steps(std::vector<std::string> const& lines) const {
    html_.open("ol", {{"class", "steps"}});
    for (auto const& line : lines)
      if (!line.empty()) html_.element("li", line);
    html_.close();
  }

  SettingRow screw_row(machine::ScrewPlace const& place) const {
    SettingRow row;
    row.what.set = fmt::format("{}", place.screw);
    row.what.beside = fmt::format("at {}", number(place.machine_at.from_zero()));
    row.label = fmt::format("screw {}", place.screw);
    return row;
  }
  /// Where the screw is on the rod.
  std::string station(machine::ScrewPlace const& place) const {
    return fmt::format("station {}{}", number(place.taper_at.from_zero()),
                       place.on_strip ? "" : ", no strip");
  }
  SettingRows screws(std::string const& head, long pass) const {
    SettingRows rows{head, {}, "screw", {}, {}, {}, {}};
    rows.key = fmt::format("{}-{}", key_, pass);
    return rows;
  }
  static BigValue turns_value(std::optional<double> const& turns, std::string beside) {
    return {turns ? one_blank(machine::turns_and_degrees(*turns)) : std::string(),
            std::move(beside)};
  }
  /// Words that were set under each other with blanks, as running text.
  static std::string one_blank(std::string const& text) {
    std::string out;
    for (const char c : text)
      if (c != ' ' || (!out.empty() && out.back() != ' ')) out += c;
    return out;
  }

  void form(FormPass const& pass, std::size_t passes) const {
    auto rows = screws(caption(pass.pass, passes), pass.pass.number);
    const auto any = [&](auto const& has) {
      return std::any_of(pass.screws.begin(), pass.screws.end(), has);
    };
    const bool turns = any([](auto const& screw) { return screw.turns.has_value(); });
    const bool gauge = any([](auto const& screw) { return screw.gauge && screw.gauge->reading; });
    const bool opening = !turns && any([](auto const& screw) { return screw.opening.has_value(); });
    rows.note = turns ? kFormNote : kFormNoteWithoutTurns;
    if (turns) rows.headings.emplace_back("turns");
    if (opening) rows.headings.emplace_back("opening");
    rows.measured = rows.headings.size();
    rows.headings.emplace_back(gauge ? "gauge" : "depth");
    for (auto const& screw : pass.screws) {
      auto row = screw_row(screw.place);
      if (turns)
        row.values.push_back(
            turns_value(screw.turns, join(station(screw.place), with("opening", screw.opening))));
      if (opening)
        row.values.push_back({screw.opening ? bench(*screw.opening) : "", station(screw.place)});
      row.values.push_back(depth_value(screw, gauge));
      if (!turns && !opening)
        row.values.back().beside = join(station(screw.place), row.values.back().beside);
      rows.rows.push_back(std::move(row));
    }
    add_setting_rows(html_, rows);
  }

  BigValue depth_value(machine::FormScrew const& screw, bool gauge) const {
    if (!screw.can_be_set) return {"", fmt::format("{}: {}", kCannot, with("depth", screw.depth))};
    if (!gauge) return {bench(screw.depth), ""};
    if (!screw.gauge || !screw.gauge->reading)
      return {"", fmt::format("no reading; depth {}", bench(screw.depth))};
    return {bench(*screw.gauge->reading),
            fmt::format("depth {}{}", bench(screw.depth),
                        screw.gauge->on == machine::Bearing::edges ? "; rests on the edges" : "")};
  }

  void mill(MillPass const& pass, std::size_t passes) const {
    auto rows = screws(caption(pass.pass, passes), pass.pass.number);
    const bool turns = std::any_of(pass.screws.begin(), pass.screws.end(),
                                   [](auto const& screw) { return screw.turns.has_value(); });
    rows.note = join(kMillNote, turns_sentence(machine_, unit_), " ");
    rows.headings.emplace_back("dial");
    rows.measured = 0;
    if (turns) rows.headings.emplace_back("turns");
    for (auto const& screw : pass.screws) {
      auto row = screw_row(screw.place);
      std::string beside = fmt::format("offset {}", bench(screw.offset));
      if (screw.residual && bench(*screw.residual) != bench(Length{}))
        beside += fmt::format("; rest {}", bench(*screw.residual));
      row.values.push_back(screw.dial ? BigValue{bench(*screw.dial), beside}
                                      : BigValue{"", fmt::format("{}: {}", kCannot, beside)});
      if (turns)
        row.values.push_back(turns_value(screw.turns_dialled, station(screw.place)));
      else
        row.values.back().beside = join(station(screw.place), row.values.back().beside);
      rows.rows.push_back(std::move(row));
    }
    add_setting_rows(html_, rows);
  }

  SettingRows tools(machine::Pass const& pass) const {
    SettingRows rows{caption(pass, 1), {}, "what", {"set"}, {}, {}, key_};
    rows.look = "settings tools";
    return rows;
  }
  static void add(SettingRows& rows, std::string what, std::string set, std::string beside) {
    rows.rows.push_back({{what, ""}, {{std::move(set), std::move(beside)}}, what});
  }

  void passes_and_notes() const {
    if (setup_.in_passes) html_.table(machine::pass_table(setup_), unit_, "Passes", "plain");
    for (auto const& note : machine::path_notes(setup_, unit_)) html_.element("p", note);
    const auto passes = machine::pass_count(setup_.settings);
    html_.table(machine::cutter_table(setup_, passes - 1), unit_,
                fmt::format("{} at the stations; all points are in cutter-{}.csv",
                            passes > 1 ? "The last pass" : "The cutter",
                            files::file_slug(setup_.section.name)),
                "plain");
  }

  report::Html& html_;
  std::string const& rod_;
  SectionSetup const& setup_;
  Machine const& machine_;
  Unit unit_;
  std::string const& key_;
};

}  // namespace

void add_settings(report::Html& html, SettingsOrder const& order) {
  std::visit(SettingsBlock(html, order), order.setup.settings);
}

}  // namespace stripwright::sheet
