#include "sheet/taper_page.h"

#include <fmt/format.h>

#include "sheet/taper_figure.h"

namespace stripwright::sheet {
namespace {

/// A picture that is about as wide as a sheet of A4 leaves room for.
constexpr double kUnitsPerMillimetre = 2.7;

}  // namespace

std::string taper_page(SheetHead const& head, Taper const& taper, report::Table const& table) {
  report::Html html;
  html.element("h1", taper.name);
  if (!taper.about.empty()) html.element("p", taper.about);
  add_title_block(html, head);
  html.open("figure")
      .element("figcaption", "The taper")
      .markup(report::draw(taper_figure(taper, head.unit)).element())
      .close();
  html.table(
      table, head.unit,
      fmt::format("Stations, {}", taper.measured == Measured::bare ? "measured on bare cane"
                                                                   : "measured over varnish"),
      "plain");
  return sheet_page(head, taper.name, html.str());
}

std::string taper_picture(Taper const& taper, Unit unit) {
  return report::draw(taper_figure(taper, unit)).file(kUnitsPerMillimetre);
}

}  // namespace stripwright::sheet
