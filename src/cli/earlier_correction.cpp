#include "cli/earlier_correction.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <system_error>

#include "cli/setup_output.h"
#include "cli/sheet_head.h"
#include "files/keep_copy.h"
#include "files/present_files.h"

namespace stripwright::cli {
namespace {

using machine::SectionCorrection;

/// More than what a file's last digit is, in whichever unit it was written.
constexpr Length kLastDigit = Length::millimetres(1e-4);

bool says_the_same(SectionCorrection const* a, SectionCorrection const& b) {
  return a && std::equal(a->points.begin(), a->points.end(), b.points.begin(), b.points.end(),
                         [](auto const& p, auto const& q) {
                           return abs(p.at - q.at) < kLastDigit && abs(p.add - q.add) < kLastDigit;
                         });
}

/// Nothing where there is none, or one that belongs to something else.
std::optional<machine::Correction> correction_in(std::string const& file, std::string const& bytes,
                                                 machine::Correction const& instead) {
  if (bytes.empty()) return std::nullopt;
  // One that cannot be read was edited, and is not replaced without being asked for.
  Problems untold;
  auto out = machine::read_correction(files::SourceText(file, bytes), untold);
  if (out && (out->taper != instead.taper || out->machine != instead.machine)) return std::nullopt;
  return out;
}

bool is_file_of_call(std::string const& file, Inputs const& inputs) {
  std::error_code none;
  return inputs.correction_source &&
         std::filesystem::equivalent(file, inputs.correction_source->name(), none);
}

void sort_as_in(Taper const& taper, std::vector<SectionCorrection>& corrections) {
  const auto place = [&](SectionCorrection const& each) {
    return std::find_if(taper.sections.begin(), taper.sections.end(),
                        [&](auto const& section) { return section.name == each.section; });
  };
  std::stable_sort(corrections.begin(), corrections.end(),
                   [&](auto const& a, auto const& b) { return place(a) < place(b); });
}

}  // namespace

WithEarlier with_earlier(machine::Correction correction, std::string const& folder,
                         Inputs const& inputs, bool force, Problems& problems) {
  WithEarlier out{std::move(correction), {}, {}};
  const auto file = folder + "/" + kCorrectionFile;
  if (is_file_of_call(file, inputs)) {
    problems.error(
        fmt::format("{} would be replaced by what is put on it: the same call would add that a "
                    "second time",
                    file),
        fmt::format("name another folder for what it becomes: --out '{}-again'", folder));
    return out;
  }
  Problems untold;
  if (files::written_at(file)) out.earlier_bytes = files::read_bytes(file, untold).value_or("");
  const auto earlier = correction_in(file, out.earlier_bytes, out.correction);
  if (!earlier) return out;
  std::vector<SectionCorrection> kept;
  for (auto const& section : earlier->sections) {
    auto const* now = out.correction.of(section.section);
    auto const* named = inputs.correction ? inputs.correction->of(section.section) : nullptr;
    if (!now)
      kept.push_back(section);
    else if (!force && !says_the_same(now, section) && !says_the_same(named, section))
      problems.error(
          fmt::format("{} has another correction of section '{}', of {}: were these strips cut "
                      "with it?",
                      file, section.section, date_of(*files::written_at(file))),
          fmt::format("if they were, name it, and another folder: --correction '{}' --out "
                      "'{}-again'; if not, --force puts the new one in its place",
                      file, folder));
  }
  for (auto const& each : kept) out.kept.push_back(each.section);
  auto& sections = out.correction.sections;
  sections.insert(sections.end(), kept.begin(), kept.end());
  sort_as_in(inputs.taper, sections);
  return out;
}

}  // namespace stripwright::cli
