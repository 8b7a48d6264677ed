// Drawings as SVG and DXF. What other programs read out of whole patterns is in ../gcode.
#include "machine/drawing.h"

#include "catch.h"
#include "profiles.h"

using namespace stripwright;
using namespace stripwright::machine;
using profiles::mm;

namespace {

Drawing small_drawing() {
  Drawing drawing;
  drawing.title = "A <pattern> & \"more\"\n";
  drawing.lowest = {mm(-5), mm(-20)};
  drawing.highest = {mm(105), mm(30)};
  drawing.outlines = {{{mm(0), mm(10)}, {mm(100), mm(12.34567)}, {mm(100), mm(0)}, {mm(0), mm(0)}}};
  drawing.marks = {{{mm(0), mm(-10)}, {mm(100), mm(-10)}}};
  drawing.texts = {{{mm(3), mm(20)}, mm(3.6), "%%d W\xC3\xBCrz ^J", TextStands::from_place, false},
                   {{mm(50), mm(-2)}, mm(3.6), "5 in", TextStands::up_to_place, true}};
  return drawing;
}

bool has(std::string const& text, std::string const& part) {
  return text.find(part) != std::string::npos;
}

}  // namespace

// SVG 1.1: width and height are the size on paper, viewBox the units inside: 1 unit is 1 mm.
TEST_CASE("an SVG is as large as it says and has its y axis downwards") {
  const auto svg = to_svg(small_drawing());
  CHECK(has(svg, "width=\"110mm\" height=\"50mm\" viewBox=\"0 0 110 50\""));
  CHECK(has(svg, "points=\"5,20\n105,17.65433\n105,30\n5,30\n\""));
  CHECK(has(svg, "<line x1=\"5\" y1=\"40\" x2=\"105\" y2=\"40\"/>"));
  CHECK(has(svg, "<title>A &lt;pattern&gt; &amp; &quot;more&quot;\n</title>"));
  CHECK(has(svg,
            "<text x=\"55\" y=\"32\" font-size=\"5\" text-anchor=\"end\" transform=\"rotate(-90 55 "
            "32)\">5 in</text>"));
}

// Release 12 of DXF: $ACADVER AC1009, POLYLINE with 66 1 and 70 1 (closed), VERTEX, SEQEND.
TEST_CASE(
    "a DXF has the drawing's own coordinates, its outline on one layer and the rest on another") {
  const auto dxf = to_dxf(small_drawing());
  CHECK(has(dxf, "9\n$ACADVER\n1\nAC1009\n"));
  CHECK(has(dxf,
            "0\nPOLYLINE\n8\nOUTLINE_MM\n66\n1\n10\n0.00000\n20\n0.00000\n30\n0.00000\n70\n1\n"));
  CHECK(has(dxf, "0\nVERTEX\n8\nOUTLINE_MM\n10\n100.00000\n20\n12.34567\n30\n0.00000\n"));
  CHECK(has(dxf,
            "0\nLINE\n8\nMARKS_MM\n10\n0.00000\n20\n-10.00000\n30\n0.00000\n11\n100.00000\n21\n-10."
            "00000\n"));
  // Control codes of text, and what is not ASCII.
  CHECK(has(dxf, "1\n  d W?rz  J\n"));
  CHECK(has(dxf, "1\n5 in\n50\n90\n72\n2\n11\n50.00000\n21\n-2.00000\n"));
  CHECK(has(dxf, "0\nENDSEC\n0\nEOF\n"));
  for (const char c : dxf) REQUIRE((c == '\n' || (c >= ' ' && c <= '~')));
}
