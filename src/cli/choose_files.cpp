#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "cli/choose.h"
#include "files/slug.h"
#include "files/yaml_writing.h"
#include "inspection/ring.h"
#include "selection/pictures.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

namespace fs = std::filesystem;

/// A path as it is found from the ring file's folder: relative where both lie below the folder that
/// the program runs in, so that the whole of it can be moved; else from the root.
std::string path_from(std::string const& folder, std::string const& path) {
  std::error_code fault;
  const auto here = fs::current_path(fault);
  const auto target = fs::absolute(path, fault).lexically_normal();
  const auto base = fs::absolute(folder, fault).lexically_normal();
  const auto below = [&](fs::path const& p) {
    const auto relative = p.lexically_relative(here);
    return !relative.empty() && *relative.begin() != "..";
  };
  return below(target) && below(base) ? target.lexically_relative(base).string() : target.string();
}

std::string ring_text(ChooseReport const& report, ChosenSection const& section, std::size_t r) {
  const Unit unit = report.unit();
  auto const& ring = section.found.rings[r];
  std::vector<std::string> names;
  std::vector<std::string> shifts;
  for (const auto c : ring) {
    names.push_back(files::yaml_scalar(section.strip_name(c)));
    const Length shift = section.pool.pool.candidates[c].shift;
    if (abs(shift) > kSamePlace)
      shifts.push_back(fmt::format("{}: {}", names.back(),
                                   format_short(in_unit(shift, unit), file_decimals(unit))));
  }
  std::string out = fmt::format(
      "# Chosen by `stripwright choose`. Add the readings of the glued section here, and\n"
      "# `stripwright learn` takes it.\n"
      "format: stripwright-ring-1\n"
      "taper: {}\n"
      "section: {}\n"
      "unit: {}\n"
      "{}"
      "strips: [{}]  # round the section; opposite is three further on\n",
      files::yaml_scalar(path_from(report.folder, report.inputs().taper_source.name())),
      files::yaml_scalar(section.section.name), unit_name(unit),
      section.wanted > 1 ? fmt::format("piece: {}\n", files::yaml_scalar(section.ring_name(r)))
                         : std::string(),
      fmt::join(names, ", "));
  if (!shifts.empty())
    out += fmt::format("shifts: {{{}}}  # towards the tip\n", fmt::join(shifts, ", "));
  const auto stage = inspection::word(report.bench.stage);
  if (report.bench.moisture_now)
    out +=
        fmt::format("moisture: {{{}: {}}}\n", stage, format_short(*report.bench.moisture_now, 6));
  if (report.options.check.readings != "-")
    out += fmt::format("readings: {{{}: {}}}\n", stage,
                       files::yaml_scalar(path_from(report.folder, report.options.check.readings)));
  return out;
}

/// What is written must be what was chosen, read by the same reader that `learn` has.
void check_read_back(ChosenSection const& section, std::size_t r, std::string const& text) {
  Problems problems;
  const auto read = read_ring(files::SourceText("ring.yaml", text), problems);
  check_internal(read.has_value(), "the ring file cannot be read back: " + problems.text());
  for (std::size_t i = 0; i < selection::kRingSize; ++i) {
    const auto c = section.found.rings[r][i];
    check_internal(read->strips[i] == section.strip_name(c) &&
                       same_place(read->shifts[i], section.pool.pool.candidates[c].shift),
                   "the ring file does not say what was chosen");
  }
}

}  // namespace

std::vector<std::vector<std::string>> names_of_other_choices(
    ChooseReport const& report, std::vector<files::OutputFile> const& files) {
  std::vector<std::vector<std::string>> out;
  auto const& all = report.inputs().taper.sections;
  const auto is_section = [&](std::string const& slug) {
    return std::any_of(all.begin(), all.end(),
                       [&](auto const& s) { return files::file_slug(s.name) == slug; });
  };
  for (auto const& section : report.sections) {
    const auto slug = files::file_slug(section.section.name);
    for (std::size_t r = 0; r <= kMostRings; ++r) {
      const auto name = r == 0 ? slug : fmt::format("{}-{}", slug, r);
      if (r > 0 && is_section(name)) continue;
      std::vector<std::string> of_ring = {fmt::format("ring-{}.yaml", name),
                                          fmt::format("ring-{}.svg", name),
                                          fmt::format("nodes-{}.svg", name)};
      std::erase_if(of_ring, [&](std::string const& its) {
        return std::any_of(files.begin(), files.end(),
                           [&](auto const& f) { return f.name == its; });
      });
      out.push_back(std::move(of_ring));
    }
  }
  return out;
}

std::vector<files::OutputFile> choose_files(ChooseReport const& report) {
  std::vector<files::OutputFile> out;
  for (auto const& section : report.sections)
    for (std::size_t r = 0; r < section.found.rings.size(); ++r) {
      const auto name = files::file_slug(section.ring_name(r));
      auto text = ring_text(report, section, r);
      check_read_back(section, r, text);
      out.push_back({fmt::format("ring-{}.yaml", name), std::move(text)});
      const auto picture = selection::picture_of(
          fmt::format("{}, {}", report.inputs().taper.name, section.ring_name(r)),
          section.pool.pool, section.order, section.found.rings[r], report.unit());
      out.push_back({fmt::format("ring-{}.svg", name),
                     selection::draw_ring(picture).file(selection::kPictureScale)});
      if (section.nodes_known())
        out.push_back({fmt::format("nodes-{}.svg", name),
                       selection::draw_unrolled(picture).file(selection::kPictureScale)});
    }
  return out;
}

}  // namespace stripwright::cli
