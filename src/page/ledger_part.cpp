#include "page/ledger_part.h"

#include <fmt/format.h>

#include "units/format.h"

namespace stripwright::page {
namespace {

using section::Step;
using section::StripProfile;

void add_row(report::Html& html, StripProfile const& strip, StripProfile const* before, Station at,
             Unit unit, Step step) {
  const auto text = strip.rules().text(step);
  const auto cell = [&](Length length) {
    html.element("td", format_length(length, unit, file_decimals(unit)));
  };
  html.open("tr")
      .open("th", {{"scope", "row"}})
      .element("span", text.name)
      .element("span", fmt::format("{}: {}", text.formula, text.why), {{"class", "beside"}})
      .close();
  const auto now = strip.ledger(at)[step];
  if (before) cell(before->ledger(at)[step]);
  cell(now);
  if (before) cell(now - before->ledger(at)[step]);
  html.close();
}

}  // namespace

void add_ledger(report::Html& html, StripProfile const& strip, StripProfile const* before,
                Station at, Unit unit, std::string const& caption) {
  html.open("div", {{"class", "wide"},
                    {"tabindex", "0"},
                    {"role", "region"},
                    {"aria-label", "from the flats wanted to the strip"}});
  html.open("table", {{"class", "plain ledger"}})
      .element("caption", caption)
      .open("thead")
      .open("tr")
      .element("th", "step", {{"scope", "col"}});
  if (before) html.element("th", "as the file is", {{"scope", "col"}});
  html.element("th", before ? "with the changes" : "length", {{"scope", "col"}});
  if (before) html.element("th", "difference", {{"scope", "col"}});
  html.close().close().open("tbody");
  for (std::size_t i = 0; i < section::kSteps; ++i)
    add_row(html, strip, before, at, unit, static_cast<Step>(i));
  html.close().close().close();
}

}  // namespace stripwright::page
