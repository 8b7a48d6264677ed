#include <fmt/format.h>

#include <algorithm>

#include "cli/choose_tables.h"
#include "cli/choose_words.h"
#include "machine/cautions.h"
#include "report/paragraph.h"

namespace stripwright::cli {
namespace {

std::string line(std::string const& text) { return report::paragraph(text, "", ""); }

std::string ring_text(ChooseReport const& report, ChosenSection const& section,
                      SectionWords const& words, std::size_t r) {
  const Unit unit = report.unit();
  std::string out = fmt::format("\nRing {}\n{}", section.ring_name(r),
                                report::to_text(ring_table(section, r, unit), unit));
  std::size_t place = 0;
  for (auto const& decision : words.decisions(r))
    out += report::paragraph(decision, fmt::format("  {}. ", ++place), "     ");
  for (auto const& item : words.amounts(r))
    out += report::paragraph(item.text, fmt::format("  {:<13}", item.name), std::string(15, ' '));
  return out +
         fmt::format("\nRing {}, across flats when glued\n{}", section.ring_name(r),
                     report::to_text(prediction_table(section.rings[r]), unit)) +
         line(SectionWords::about_flats());
}

std::string leftovers_text(ChosenSection const& section, SectionWords const& words) {
  const auto items = words.leftovers();
  if (items.empty()) return {};
  std::string out = fmt::format("\nLeft over of section {}\n", section.section.name);
  std::size_t widest = 0;
  for (auto const& each : items) widest = std::max(widest, each.name.size());
  widest = std::min<std::size_t>(widest, 20);
  for (auto const& each : items)
    out += report::paragraph(each.text, fmt::format("  {:<{}}  ", each.name, widest),
                             std::string(widest + 4, ' '));
  if (const auto rest = words.of_the_rest(); !rest.empty()) out += line(rest);
  return out;
}

std::string section_text(ChooseReport const& report, ChosenSection const& section) {
  const SectionWords words(report, section);
  std::string out = fmt::format("\nSECTION {}\n", words.title());
  for (auto const& fact : words.facts()) out += line(fact);
  for (std::size_t r = 0; r < section.rings.size(); ++r)
    out += ring_text(report, section, words, r);
  const auto proof = words.proof();
  if (!section.rings.empty()) out += '\n';
  out += line(proof.sentence);
  if (proof.table) out += report::to_text(proof_table(section, report.unit()), report.unit());
  if (!proof.afterwards.empty()) out += line(proof.afterwards);
  return out + leftovers_text(section, words);
}

}  // namespace

std::string choose_text(ChooseReport const& report) {
  std::string out;
  for (auto const& sentence : choose_head(report)) out += line(sentence);
  for (auto const& section : report.sections) out += section_text(report, section);
  if (!report.file_names.empty()) {
    out += '\n';
    out += report::paragraph(
        fmt::format("{} in {}", fmt::join(report.file_names, ", "), report.folder),
        "Written: ", "  ");
    out += "\nCautions\n";
    for (auto const& caution : machine::glue_cautions())
      out += report::paragraph(caution, "- ", "  ");
  }
  return out;
}

}  // namespace stripwright::cli
