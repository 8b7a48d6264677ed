// What pages and pictures are made from: escaping, HTML, axis marks, drawings.
#include <cmath>
#include <regex>

#include "catch.h"
#include "report/html.h"
#include "report/markup.h"
#include "report/plot.h"
#include "report/ticks.h"

using namespace stripwright;
using namespace stripwright::report;

namespace {

std::string labels(std::vector<Tick> const& ticks) {
  std::string out;
  for (auto const& tick : ticks) out += (out.empty() ? "" : " | ") + tick.label;
  return out;
}

std::size_t count(std::string const& text, std::string const& part) {
  std::size_t n = 0;
  for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++n;
  return n;
}

}  // namespace

TEST_CASE("text from a file stays text in a page") {
  CHECK(escaped("<script>alert(\"x\" & 'y')</script>") ==
        "&lt;script&gt;alert(&quot;x&quot; &amp; &#39;y&#39;)&lt;/script&gt;");
  CHECK(escaped(std::string("a\0b\x1b", 4)) == "a?b?");
  Html html;
  html.element("h1", "<script>", {{"title", "\"><b>"}});
  CHECK(html.str() == "<h1 title=\"&quot;&gt;&lt;b&gt;\">&lt;script&gt;</h1>\n");
}

TEST_CASE("elements are closed in order, and none is left open") {
  Html html;
  html.open("main").open("p").text("a").close();
  CHECK_THROWS(html.str());
  html.close();
  CHECK(html.str() == "<main>\n<p>\na</p>\n</main>\n");
  CHECK_THROWS(html.close());
}

TEST_CASE("a table has its caption, and heads with their scope") {
  Table table{"t", {{"at", "station", true}, {"note", "note"}, {"hidden", ""}}, {}};
  table.rows.push_back({Place{Length::inches(5)}, std::string("a<b"), 3L});
  Html html;
  html.table(table, Unit::inch, "Stations");
  const auto text = html.str();
  CHECK(text.find("<caption>Stations</caption>") != std::string::npos);
  CHECK(text.find("<th scope=\"col\">station, in</th>") != std::string::npos);
  CHECK(text.find("<th scope=\"row\">5</th>") != std::string::npos);
  CHECK(text.find("<td>a&lt;b</td>") != std::string::npos);
  CHECK(count(text, "<t") == count(text, "</t"));
  CHECK(text.find("hidden") == std::string::npos);
}

TEST_CASE("marks on an axis are round numbers with no more decimals than the step") {
  CHECK(labels(decimal_ticks(0, 90, 9)) == "0 | 10 | 20 | 30 | 40 | 50 | 60 | 70 | 80 | 90");
  CHECK(labels(decimal_ticks(0.068, 0.318, 5)) == "0.10 | 0.15 | 0.20 | 0.25 | 0.30");
  CHECK(labels(decimal_ticks(-0.0004, 0.0004, 4)) ==
        "-0.0004 | -0.0002 | 0.0000 | 0.0002 | 0.0004");
  CHECK(labels(decimal_ticks(0, 0.95, 1)) == "0");
  CHECK(decimal_ticks(3, 3, 5).size() == 1);
}

TEST_CASE("marks in inches by the rule are its fractions") {
  CHECK(labels(inch_fraction_ticks(0, 0.0625, 4)) == "0 | 1/64 | 1/32 | 3/64 | 1/16");
  CHECK(labels(inch_fraction_ticks(1, 1.5, 4)) == "1 | 1 1/8 | 1 1/4 | 1 3/8 | 1 1/2");
  CHECK(labels(inch_fraction_ticks(-0.25, 0.25, 4)) == "-1/4 | -1/8 | 0 | 1/8 | 1/4");
  CHECK(labels(inch_fraction_ticks(0, 40, 4)) == "0 | 10 | 20 | 30 | 40");
}

TEST_CASE("an area of a plot is hatched between its two lines, and named beside a patch of it") {
  Plot plot{"t", "station, in", "lower by, in", {{"as milled", {{0, 0}, {10, 1}}}}};
  const auto numbers = [](std::string const& svg, std::string const& kind) {
    std::vector<double> out;
    std::smatch points;
    REQUIRE(std::regex_search(svg, points, std::regex("<" + kind + " [^>]*points=\"([^\"]*)\"")));
    const std::string list = points[1];
    const std::regex number("-?[0-9.]+");
    for (std::sregex_iterator it(list.begin(), list.end(), number), end; it != end; ++it)
      out.push_back(std::stod(it->str()));
    return out;
  };
  const auto plain = draw(plot);
  plot.areas.push_back({"what it may be", {{0, 0.5}, {10, 3}}, {{0, -0.5}, {10, -1}}});
  const auto canvas = draw(plot);
  const auto svg = canvas.element();
  const auto line = numbers(svg, "polyline"), area = numbers(svg, "polygon");
  REQUIRE(line.size() == 4);
  REQUIRE(area.size() == 8);
  // Along the upper line and back along the lower one, in the lines' own scale.
  const double scale = line[1] - line[3];
  for (const std::size_t i : {0U, 6U}) CHECK(area[i] == Approx(line[0]));
  for (const std::size_t i : {2U, 4U}) CHECK(area[i] == Approx(line[2]));
  CHECK(line[1] - area[1] == Approx(0.5 * scale).margin(2e-3));
  CHECK(line[3] - area[3] == Approx(2 * scale).margin(2e-3));
  CHECK(area[5] - line[3] == Approx(2 * scale).margin(2e-3));
  CHECK(area[7] - line[1] == Approx(0.5 * scale).margin(2e-3));
  // Two rows more, and a patch that is hatched as the area is.
  CHECK(count(svg, "f4\"") == 2);
  CHECK(svg.find("what it may be") != std::string::npos);
  CHECK(canvas.height() == plain.height() + 40);
}

TEST_CASE("names at their lines' ends stand apart, and take no rows below") {
  Plot plot{"t", "station, in", "added, in", {}};
  for (const auto* name : {"one", "two", "three"})
    plot.series.push_back({name, {{0, 0}, {10, 1}}, Pen::thin});
  plot.series.push_back({"low", {{0, 0}, {10, 0}}, Pen::dash_dotted});
  const auto below = draw(plot).height();
  plot.names_at_ends = true;
  const auto canvas = draw(plot);
  CHECK(canvas.height() == below - 4 * 20);
  const auto svg = canvas.element();
  std::vector<double> heights;
  for (const auto* name : {"one", "two", "three", "low"}) {
    INFO(name);
    std::smatch found;
    REQUIRE(std::regex_search(
        svg, found,
        std::regex(std::string("<text x=\"([0-9.]+)\" y=\"([0-9.]+)\"[^>]*>") + name + "<")));
    CHECK(std::stod(found[1]) < 480 - 30);
    for (const double other : heights) CHECK(std::fabs(other - std::stod(found[2])) >= 13.9);
    heights.push_back(std::stod(found[2]));
  }
}

TEST_CASE("a plot's grid does not look like any of its lines") {
  const auto svg =
      draw({"t", "x", "y", {{"", {{0, 0.1}, {10, 1}}, Pen::thin}}, {}, {}, true}).element();
  CHECK(count(svg, "<line class=\"p8\"") >= 2);
  const std::string style(Canvas::style());
  CHECK(style.find(".p8{stroke:#888;stroke-width:.6;stroke-dasharray:1 3}") != std::string::npos);
}

TEST_CASE("a drawing carries its title, its text as text, and its size in millimetres") {
  Canvas canvas(120, 80, "A <plan>");
  canvas.text({1, 2}, "tip & butt", 5);
  canvas.polygon({{0, 0}, {10, 0}, {5, 8.66}}, Pen::thin, Fill::hatched);
  const auto file = canvas.file(1);
  CHECK(file.find("width=\"120mm\" height=\"80mm\" viewBox=\"0 0 120 80\"") != std::string::npos);
  CHECK(file.find("<title>A &lt;plan&gt;</title>") != std::string::npos);
  CHECK(file.find(">tip &amp; butt</text>") != std::string::npos);
  CHECK(count(file, "id=\"hatch\"") == 1);
  CHECK(Canvas(1, 1, "x").file(1).find("hatch\"") == std::string::npos);
}

TEST_CASE("a plot keeps its lines within its frame and names its axes") {
  Plot plot{"Taper", "station, in", "across flats, in", {}, {}, {}, false, false};
  plot.series.push_back({"Yarrow", {{0, 0.068}, {45, 0.2055}, {90, 0.318}}, Pen::thick, true});
  plot.bands.push_back({0.1, 0.12, "limits"});
  const auto svg = draw(plot).element();
  CHECK(svg.find(">station, in</text>") != std::string::npos);
  CHECK(svg.find(">Yarrow</text>") != std::string::npos);
  CHECK(count(svg, "<circle") == 3);
  // The first and the last point stand on the frame's sides.
  CHECK(svg.find("<line class=\"p2\" x1=\"60.88\" y1=\"26\" x2=\"60.88\" y2=\"222\"/>") !=
        std::string::npos);
  CHECK(svg.find("points=\"60.88,") != std::string::npos);
  CHECK(svg.find(" 462,") != std::string::npos);
}

TEST_CASE("lines that end close to each other have their numbers apart, and a name each") {
  Plot plot{"Steps", "station", "added", {}, {}, {}, true, false};
  for (const double y : {1.0, 1.001, 1.002, 0.0})
    plot.series.push_back({"line", {{0, 0}, {10, y}}, Pen::thin, false});
  const auto svg = draw(plot).element();
  CHECK(count(svg, ">line</text>") == 4);
  const std::regex number("<text x=\"454\" y=\"([0-9.]+)\"");
  std::vector<double> heights;
  for (std::sregex_iterator it(svg.begin(), svg.end(), number), end; it != end; ++it)
    heights.push_back(std::stod((*it)[1]));
  REQUIRE(heights.size() == 4);
  for (std::size_t i = 0; i < 4; ++i)
    for (std::size_t k = 0; k < i; ++k) CHECK(std::fabs(heights[i] - heights[k]) >= 13.9);
}

TEST_CASE("stems go from 0 to their points") {
  Plot plot{"Miss", "station", "too deep", {}, {}, {}, true, false};
  plot.series.push_back({"", {{0, -1}, {5, 2}, {10, 1}}, Pen::thick, true, Joined::stems});
  const auto svg = draw(plot).element();
  CHECK(count(svg, "<polyline") == 0);
  CHECK(count(svg, "<line class=\"p3\"") == 3);
}

TEST_CASE("a drawing on a page has its true size: 96 pixels are an inch") {
  // CSS Values and Units 3, 5.2: 1in = 2.54cm = 96px (from memory).
  const auto svg = Canvas(4 * 127, 4 * 25.4, "x").element_at_size(4);
  CHECK(svg.find("viewBox=\"0 0 508 101.6\" width=\"480\" height=\"96\"") != std::string::npos);
}

TEST_CASE("a page stands alone: language, title, nothing from elsewhere") {
  const auto page = html_page({"A & B", "body{}", "", "", "<p>x</p>"});
  CHECK(page.starts_with("<!DOCTYPE html>\n<html lang=\"en\">"));
  CHECK(page.find("<title>A &amp; B</title>") != std::string::npos);
  CHECK(page.find("://") == std::string::npos);
  CHECK(page.find("<script") == std::string::npos);
  CHECK(page.find("Content-Security-Policy") == std::string::npos);
}
