#include "sheet/why_block.h"

#include <fmt/format.h>

#include "sheet/frame.h"
#include "sheet/ledger_figure.h"
#include "sheet/strip_figure.h"
#include "units/format.h"

namespace stripwright::sheet {
namespace {

using section::Step;

/// Low, so that all these figures stand on one page with the ledger.
constexpr double kLedgerFigureHeight = 220;

void add_ledger(report::Html& html, section::StripProfile const& strip,
                std::vector<Station> const& places, std::vector<std::string> const& names,
                Unit unit) {
  std::vector<section::Ledger> ledgers;
  for (const Station at : places) ledgers.push_back(strip.ledger(at));
  html.open("table", {{"class", "plain ledger"}})
      .element("caption", fmt::format("The ledger, in {}", unit_words(unit)))
      .open("thead")
      .open("tr")
      .element("th", "step", {{"scope", "col"}});
  for (std::size_t i = 0; i < places.size(); ++i)
    html.element(
        "th",
        fmt::format("{} {}", names[i],
                    format_short(in_unit(places[i].from_zero(), unit), bench_decimals(unit))),
        {{"scope", "col"}});
  html.close().close().open("tbody");
  for (std::size_t i = 0; i < section::kSteps; ++i) {
    const auto step = static_cast<Step>(i);
    const auto text = strip.rules().text(step);
    html.open("tr").open("th", {{"scope", "row"}});
    html.element("span", text.name);
    html.element("span", fmt::format("{}: {}", text.formula, text.why), {{"class", "beside"}});
    html.close();
    for (auto const& ledger : ledgers)
      html.element("td", format_number(ledger[step], unit, bench_decimals(unit)));
    html.close();
  }
  html.close().close();
}

std::string letters_line(section::LedgerRules const& rules, Unit unit) {
  std::string out = "With";
  for (auto const& [letter, value] : rules.letters(unit))
    out += fmt::format(" {} = {},", letter, value);
  out.back() = '.';
  return out;
}

}  // namespace

void add_why(report::Html& html, machine::SectionSetup const& setup, Allowances const& allowances,
             Unit unit) {
  auto const& strip = *setup.strip;
  auto const& section = setup.section;
  const std::vector<Station> places = {section.from, section.from + section.length() / 2,
                                       section.to};
  const std::vector<std::string> names = {"tip end", "middle", "butt end"};
  add_ledger(html, strip, places, names, unit);
  html.element("p", letters_line(strip.rules(), unit), {{"class", "letters"}});
  html.open("figure")
      .element("figcaption",
               "Where each hundredth goes: what is added to half the taper's flats to make a")
      .markup(report::draw(ledger_figure(strip, unit), kLedgerFigureHeight).element())
      .close();
  const auto figure = strip_figure(strip, allowances, places, names, unit);
  html.open("figure")
      .element("figcaption", fmt::format("The strip as it is milled, {} to 1 when printed at 100 %",
                                         figure.scale))
      .markup(figure.drawing.element_at_size(kStripFigureUnits))
      .close();
}

}  // namespace stripwright::sheet
