#include <fmt/format.h>

#include "cli/learn_words.h"
#include "report/paragraph.h"

namespace stripwright::cli {
namespace {

std::string line(std::string const& text) { return report::paragraph(text, "", ""); }

std::string shop_file_text(LearnReport const& report, LearnWords const& words) {
  if (report.proposals.empty()) return {};
  auto out = fmt::format("\nFor the shop file (unit: {})\n{}", unit_name(report.shop.unit),
                         fragment(report));
  if (const auto impossible = words.impossible(); !impossible.empty())
    return out + line(impossible) + line("Nothing is written.");
  if (!report.written.empty())
    return out + line(fmt::format("Written into {}; as it was it is kept in {}.", report.written,
                                  report.copy));
  return out + line(words.any_change()
                        ? "Nothing is written: --write puts it into the shop file and keeps a copy."
                        : "Nothing needs to change.");
}

}  // namespace

std::string learn_text(LearnReport const& report) {
  const LearnWords words(report);
  std::string out;
  for (auto const& sentence : words.head()) out += line(sentence);
  out += "\nWhat the sections say (from, to: 95 % interval)\n" +
         report::to_text(allowance_table(report), report.unit) + "\n";
  for (auto const& sentence : words.samples()) out += line(sentence);
  for (auto const& note : words.notes())
    out += report::paragraph(note.text, note.name + ": ", "  ");
  const auto odd = words.odd();
  if (!odd.empty()) {
    out += "\nReadings that do not go with the others\n";
    for (auto const& each : odd) out += report::paragraph(each, "  ", "    ");
    out += line(LearnWords::about_odd());
  }
  return out + shop_file_text(report, words);
}

}  // namespace stripwright::cli
