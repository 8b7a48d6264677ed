#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "cli/profiles.h"
#include "files/keep_copy.h"
#include "files/yaml_editor.h"
#include "inspection/reading_columns.h"
#include "page/frame.h"
#include "page/learn_view.h"
#include "section/strip_profile.h"
#include "taper/read_taper.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::page {
namespace {

using inspection::Stage;
using report::Html;

constexpr std::size_t kFlats = 3;
constexpr std::array<std::pair<Stage, std::string_view>, 3> kStages = {
    {{Stage::glued, "glued, binding off, not cleaned"},
     {Stage::bare, "cleaned and flat"},
     {Stage::varnished, "varnished"}}};

/// The stations at which the ring's section is measured: those of its taper's table. Empty where
/// the taper or the section cannot be read.
std::vector<Station> stations_of(Folder const& folder, Ring const& ring) {
  Problems told_elsewhere;
  const std::filesystem::path path(ring.taper);
  // A bare name means here what it means in a call.
  std::error_code fault;
  const bool bare = !path.has_extension() && !std::filesystem::exists(path, fault);
  const auto source =
      bare ? cli::open_profile(path.filename().string(), cli::ProfileKind::taper, told_elsewhere)
      : folder.may_read(ring.taper, told_elsewhere) ? files::read_source(ring.taper, told_elsewhere)
                                                    : std::nullopt;
  const auto taper = source ? read_taper(*source, told_elsewhere) : std::nullopt;
  if (!taper) return {};
  const auto found = std::find_if(taper->sections.begin(), taper->sections.end(),
                                  [&](auto const& each) { return each.name == ring.section; });
  return found == taper->sections.end() ? std::vector<Station>()
                                        : section::table_stations(*taper, *found);
}

std::vector<Option> open_stages(Ring const& ring) {
  std::vector<Option> out;
  for (auto const& [stage, words] : kStages)
    if (!ring.readings.contains(stage))
      out.push_back({std::string(word(stage)), std::string(words)});
  return out;
}

void add_form(Html& html, FolderRing const& each, std::size_t number,
              std::vector<Station> const& stations, std::vector<Option> const& stages) {
  auto const& ring = *each.ring;
  html.open("details").element("summary", fmt::format("{}, section {}", each.name, ring.section));
  html.open("form", {{"data-send", "/learn/flats"}});
  html.single("input", {{"type", "hidden"}, {"name", "ring"}, {"value", each.name}});
  const auto stage_id = fmt::format("stage-{}", number);
  html.open("p", {{"class", "field"}})
      .element("label", "Measured when", {{"for", stage_id}})
      .open("select", {{"id", stage_id}, {"name", "stage"}});
  for (auto const& stage : stages) html.element("option", stage.words, {{"value", stage.value}});
  html.close().close();
  html.open("div", {{"class", "wide"},
                    {"tabindex", "0"},
                    {"role", "region"},
                    {"aria-label", fmt::format("across flats of {}", each.name)}});
  html.open("table", {{"class", "plain edit"}})
      .element("caption", fmt::format("Across flats, {}; leave empty what was not measured",
                                      unit_name(ring.unit)))
      .open("thead")
      .open("tr")
      .element("th", "station", {{"scope", "col"}});
  for (std::size_t f = 0; f < kFlats; ++f)
    html.open("th", {{"scope", "col"}})
        .text(fmt::format("f{}", f + 1))
        .element("span", fmt::format("{}, {}", ring.strips[f], ring.strips[f + kFlats]),
                 {{"class", "beside"}})
        .close();
  html.close().close().open("tbody");
  for (std::size_t s = 0; s < stations.size(); ++s) {
    const auto at = format_short(stations[s].from_zero(), ring.unit);
    html.open("tr").element("th", at, {{"scope", "row"}});
    for (std::size_t f = 0; f < kFlats; ++f) {
      const auto label = fmt::format("f{} at station {}", f + 1, at);
      html.open("td")
          .single("input", {{"name", fmt::format("f{}-{}", f + 1, s)},
                            {"inputmode", "decimal"},
                            {"autocomplete", "off"},
                            {"aria-label", label}})
          .close();
    }
    html.close();
  }
  html.close().close().close();
  html.element("button", "Keep these readings", {{"class", "main"}}).close().close();
}

/// The rows of a readings file from the fields of the form; "" where nothing was entered.
std::string readings_text(Ring const& ring, std::vector<Station> const& stations, Order const& sent,
                          Problems& problems) {
  const auto unit = unit_name(ring.unit);
  std::string rows;
  for (std::size_t s = 0; s < stations.size(); ++s) {
    const auto at =
        format_short(in_unit(stations[s].from_zero(), ring.unit), file_decimals(ring.unit));
    std::string row = fmt::format("{},{}", ring.piece.empty() ? ring.section : ring.piece, at);
    bool any = false;
    for (std::size_t f = 0; f < kFlats; ++f) {
      const auto text = text_in(sent, fmt::format("f{}-{}", f + 1, s).c_str());
      row += ',';
      if (text.find_first_not_of(' ') == std::string::npos) continue;
      const auto parsed = parse_length(text, ring.unit);
      if (!parsed || *parsed.value <= Length{}) {
        problems.error(fmt::format("f{} at {}: {}", f + 1, at,
                                   parsed ? std::string("must be above 0") : parsed.fault),
                       parsed ? std::string() : parsed.remedy);
        continue;
      }
      row += format_short(in_unit(*parsed.value, ring.unit), file_decimals(ring.unit));
      any = true;
    }
    if (any) rows += row + '\n';
  }
  if (rows.empty()) return {};
  return fmt::format("piece,at_{0},f1_{0},f2_{0},f3_{0}\n", unit) + rows;
}

/// Where the readings of a stage go, beside the ring file. One that is there has these bytes: it
/// was left by a stop before the ring was saved.
struct FlatsFile {
  std::string name;  ///< in the ring file's own folder
  bool is_new = true;
};

/// The first name that is free. What another file of that name holds is not known, nor who reads
/// it.
FlatsFile file_for(Folder const& folder, std::filesystem::path const& beside,
                   std::string const& name, std::string const& text) {
  constexpr int kMost = 99;
  for (int i = 1; i <= kMost; ++i) {
    auto each = i == 1 ? fmt::format("{}.csv", name) : fmt::format("{}-{}.csv", name, i);
    Problems ignored;
    const auto path = folder.path_of((beside / each).generic_string(), ignored);
    const auto there = path ? files::read_bytes(*path, ignored) : std::nullopt;
    if (there == text) return {std::move(each), false};
    std::error_code fault;
    if (path && !std::filesystem::exists(*path, fault)) return {std::move(each), true};
  }
  return {fmt::format("{}.csv", name), true};
}

/// Readings and ring, both or none.
Saved save_flats(Desk const& desk, std::string const& ring, std::string const& old_ring,
                 std::string const& new_ring, std::optional<std::string> const& flats,
                 std::string const& text, Problems& problems) {
  if (flats && desk.history.save(*flats, std::nullopt, text, problems) != Saved::done)
    return Saved::changed_outside;
  const auto saved = desk.history.save(ring, old_ring, new_ring, problems);
  if (saved == Saved::done || !flats) return saved;
  Problems ignored;
  std::error_code fault;
  if (const auto path = desk.folder.path_of(*flats, ignored)) std::filesystem::remove(*path, fault);
  return saved;
}

}  // namespace

std::string flats_forms(Folder const& folder, std::vector<FolderRing> const& rings) {
  Html html;
  bool any = false;
  for (std::size_t i = 0; i < rings.size(); ++i) {
    if (!rings[i].ring) continue;
    const auto stages = open_stages(*rings[i].ring);
    const auto stations =
        stages.empty() ? std::vector<Station>() : stations_of(folder, *rings[i].ring);
    if (stations.empty()) continue;
    if (!any)
      html.element("h2", "What a glued section measures")
          .element("p",
                   "Measure at the same stations as the strips: f1 crosses strips 1 and 4 of the "
                   "ring, f2 strips 2 and 5, f3 strips 3 and 6.");
    any = true;
    add_form(html, rings[i], i, stations, stages);
  }
  return html.str();
}

Response keep_flats(Desk const& desk, Request const&, Order const& sent) {
  // From the look at the ring on: two stages of one ring may be sent at once.
  const std::lock_guard lock(desk.writing);
  Problems problems;
  const auto name = text_in(sent, "ring");
  const auto path = desk.folder.path_of(name, problems);
  const auto bytes = path ? files::read_bytes(*path, problems) : std::nullopt;
  if (!bytes) return refusal(problems, 404);
  const auto ring = read_ring(files::SourceText(*path, *bytes), problems);
  if (!ring) return refusal(problems);
  const auto stage = inspection::stage_of(text_in(sent, "stage"));
  if (!stage || inspection::kind_of(*stage) != inspection::ReadingKind::sections ||
      ring->readings.contains(*stage))
    return refusal("These readings are there already, or it is not said when it was measured.",
                   422);
  const auto text = readings_text(*ring, stations_of(desk.folder, *ring), sent, problems);
  if (text.empty() && !problems.any_error())
    problems.error("nothing was entered", "measure one station or more");
  if (problems.any_error()) return refusal(problems);
  const auto folder = std::filesystem::path(name).parent_path();
  const auto file =
      file_for(desk.folder, folder, fmt::format("{}-{}", ring->name, word(*stage)), text);
  const auto flats = (folder / file.name).generic_string();
  const auto edit =
      files::edit_yaml(name, *bytes, {{{"readings", std::string(word(*stage))}, file.name}});
  if (!edit) {
    problems.add(edit.problem);
    return refusal(problems);
  }
  const auto saved = save_flats(desk, name, *bytes, *edit.bytes,
                                file.is_new ? std::optional(flats) : std::nullopt, text, problems);
  if (saved != Saved::done) return refusal(problems, saved == Saved::failed ? 500 : 409);
  Parts parts;
  parts.say = fmt::format("Kept in {}.", flats);
  auto json = parts.json();
  json["go"] = "/learn";
  return json_response(json);
}

}  // namespace stripwright::page
