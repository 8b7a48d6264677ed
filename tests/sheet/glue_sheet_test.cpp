#include "sheet/glue_sheet.h"

#include "catch.h"

using namespace stripwright;
using namespace stripwright::sheet;

namespace {

std::size_t count_of(std::string const& text, std::string const& part) {
  std::size_t count = 0;
  for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++count;
  return count;
}

GlueOrder order() {
  GlueOrder out;
  out.head.rod = "Nettle <& co>";
  out.head.unit = Unit::inch;
  out.what = "Nettle <& co>: strips to glue";
  out.cautions = {"Adhesives harm."};
  GluedRing ring;
  ring.name = "tip-2";
  ring.remarks = {"The node rules give."};
  for (std::size_t i = 0; i < 6; ++i)
    ring.strips[i] = {"t" + std::to_string(10 + i),
                      i == 2 ? "0.5 in towards the butt" : "not moved",
                      "opposite t" + std::to_string(10 + (i + 3) % 6)};
  ring.pictures.emplace_back(100, 50, "the ring");
  ring.captions = {"The section from its butt end"};
  ring.stations = {{Length::inches(0),
                    Length::inches(0.07),
                    {Length::inches(0.0701), Length::inches(0.07), Length::inches(0.0699)}},
                   {Length::inches(12.5),
                    Length::inches(0.11),
                    {Length::inches(0.1102), Length::inches(0.11), Length::inches(0.1098)}}};
  out.rings = {ring, ring};
  out.rings[1].name = "tip-3";
  return out;
}

}  // namespace

TEST_CASE("a gluing sheet has each strip at its place, once a ring, and blanks for what is read") {
  const auto page = glue_sheet(order());
  CHECK(page.find("Nettle &lt;&amp; co&gt;: strips to glue") != std::string::npos);
  CHECK(page.find("<& co>") == std::string::npos);
  CHECK(page.find("Ring tip-2") < page.find("Ring tip-3"));
  CHECK(page.find("<p class=\"whose\">Nettle &lt;&amp; co&gt;, ring tip-2</p>") !=
        std::string::npos);
  for (int i = 0; i < 6; ++i) {
    const auto name = ">t" + std::to_string(10 + i) + "<";
    INFO(name);
    CHECK(count_of(page, name) == 2);
  }
  // Places in their order.
  for (int i = 0; i + 1 < 6; ++i)
    CHECK(page.find(">t" + std::to_string(10 + i) + "<") <
          page.find(">t" + std::to_string(11 + i) + "<"));
  CHECK(count_of(page, "0.5 in towards the butt") == 2);
  CHECK(count_of(page, "class=\"tick\"") == 2 * 6);
  CHECK(count_of(page, "class=\"blank\"") == 2 * 2 * 3);
  CHECK(count_of(page, "id=\"ring-1-at-2-f3\"") == 1);
  CHECK(count_of(page, "id=\"ring-2-at-2-f3\"") == 1);
  CHECK(page.find("0.1102") != std::string::npos);
  CHECK(page.find("f2 measured at station 12.5") != std::string::npos);
  CHECK(page.find("The node rules give.") != std::string::npos);
  CHECK(page.find("Adhesives harm.") != std::string::npos);
}

TEST_CASE("a gluing sheet speaks the unit it is asked for") {
  auto in_millimetres = order();
  in_millimetres.head.unit = Unit::millimetre;
  const auto page = glue_sheet(in_millimetres);
  CHECK(page.find("2.799") != std::string::npos);
  CHECK(page.find("All in millimetres.") != std::string::npos);
}
