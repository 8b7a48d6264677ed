#include "sheet/glue_sheet.h"

#include <fmt/format.h>

#include "sheet/setting_rows.h"
#include "units/format.h"

namespace stripwright::sheet {
namespace {

class GluePage {
 public:
  explicit GluePage(GlueOrder const& order) : order_(order), unit_(order.head.unit) {}

  std::string page() {
    html_.element("h1", order_.what);
    add_title_block(html_, order_.head);
    add_remarks(html_, order_.head.remarks);
    add_cautions(html_, order_.cautions, "h2");
    add_print_rule(html_);
    for (std::size_t r = 0; r < order_.rings.size(); ++r) ring(r);
    return sheet_page(order_.head, order_.what, html_.str());
  }

 private:
  void ring(std::size_t r) {
    auto const& ring = order_.rings[r];
    const auto key = fmt::format("ring-{}", r + 1);
    open_part(html_, order_.head, key, fmt::format("ring {}", ring.name));
    html_.element("h2", fmt::format("Ring {}", ring.name));
    add_remarks(html_, ring.remarks);
    strips(ring, key);
    for (std::size_t p = 0; p < ring.pictures.size(); ++p)
      html_.open("figure")
          .element("figcaption", ring.captions[p])
          .markup(ring.pictures[p].element())
          .close();
    flats(ring, key);
    close_part(html_);
  }

  void strips(GluedRing const& ring, std::string const& key) {
    SettingRows rows{"Lay the strips in this order, as seen from the butt, clockwise",
                     {},
                     "place",
                     {"strip", "moved"},
                     {},
                     {},
                     key,
                     "settings tools"};
    for (std::size_t i = 0; i < ring.strips.size(); ++i) {
      auto const& strip = ring.strips[i];
      rows.rows.push_back({{std::to_string(i + 1), ""},
                           {{strip.name, strip.beside}, {strip.moved, ""}},
                           fmt::format("place {}", i + 1)});
    }
    add_setting_rows(html_, rows);
  }

  /// What it should measure, and room for what it does.
  void flats(GluedRing const& ring, std::string const& key) {
    html_.open("table", {{"class", "plain to-fill"}})
        .element("caption", "Across flats when glued, as expected; write down what is measured")
        .open("thead")
        .open("tr");
    for (auto const* heading : {"station", "target", "f1", "f2", "f3"})
      html_.element("th", heading, {{"scope", "col"}});
    html_.close().close().open("tbody");
    for (std::size_t s = 0; s < ring.stations.size(); ++s) {
      auto const& here = ring.stations[s];
      const auto at = format_short(in_unit(here.at, unit_), bench_decimals(unit_));
      html_.open("tr").element("th", at, {{"scope", "row"}});
      html_.element("td", format_number(here.target, unit_, bench_decimals(unit_)));
      // Under each figure there is room for what was read: beside it a phone is too narrow.
      for (std::size_t f = 0; f < here.flats.size(); ++f) {
        html_.open("td").text(format_number(here.flats[f], unit_, bench_decimals(unit_)));
        add_blank(html_, fmt::format("{}-at-{}-f{}", key, s + 1, f + 1),
                  fmt::format("f{} measured at station {}", f + 1, at));
        html_.close();
      }
      html_.close();
    }
    html_.close().close();
    html_.element("p", fmt::format("All in {}. f1 crosses places 1 and 4, f2 2 and 5, f3 3 and 6.",
                                   unit_words(unit_)));
  }

  GlueOrder const& order_;
  Unit unit_;
  report::Html html_;
};

}  // namespace

std::string glue_sheet(GlueOrder const& order) { return GluePage(order).page(); }

}  // namespace stripwright::sheet
