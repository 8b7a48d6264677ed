#include "report/canvas.h"

#include <fmt/format.h>

#include <cmath>

#include "report/markup.h"
#include "units/format.h"
#include "units/length.h"

namespace stripwright::report {
namespace {

/// A coordinate, short and the same in any locale.
std::string n(double value) { return format_short(value, 3); }

std::string_view pen_class(Pen pen) {
  switch (pen) {
    case Pen::fine:
      return "p1";
    case Pen::thin:
      return "p2";
    case Pen::thick:
      return "p3";
    case Pen::dashed:
      return "p4";
    case Pen::dotted:
      return "p5";
    case Pen::long_dashed:
      return "p6";
    case Pen::dash_dotted:
      return "p7";
    case Pen::grid:
      return "p8";
  }
  return "";
}

std::string_view fill_class(Fill fill) {
  switch (fill) {
    case Fill::none:
      return "f0";
    case Fill::white:
      return "f1";
    case Fill::light:
      return "f2";
    case Fill::dark:
      return "f3";
    case Fill::hatched:
      return "f4";
    case Fill::black:
      return "f5";
  }
  return "";
}

constexpr std::string_view kStyle =
    ".p1,.p2,.p3,.p4,.p5,.p6,.p7,.p8{stroke:#000;stroke-linejoin:round;stroke-linecap:round}\n"
    ".p1{stroke-width:.4}.p2{stroke-width:.9}.p3{stroke-width:2}\n"
    ".p4{stroke-width:1.4;stroke-dasharray:7 4}.p5{stroke-width:1.6;stroke-dasharray:1 4}\n"
    ".p6{stroke-width:1.4;stroke-dasharray:16 4}.p7{stroke-width:1.4;stroke-dasharray:9 4 1 4}\n"
    ".p8{stroke:#888;stroke-width:.6;stroke-dasharray:1 3}\n"
    ".f0{fill:none}.f1{fill:#fff}.f2{fill:#e4e4e4}.f3{fill:#9a9a9a}.f4{fill:url(#hatch)}"
    ".f5{fill:#000}\n"
    "svg text{font-family:'DejaVu Sans','Liberation Sans',Arial,sans-serif;fill:#000}\n";

constexpr std::string_view kHatch =
    "<defs><pattern id=\"hatch\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\" "
    "patternTransform=\"rotate(45)\"><rect width=\"5\" height=\"5\" fill=\"#fff\"/>"
    "<line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"5\" stroke=\"#000\" "
    "stroke-width=\"1\"/></pattern></defs>";

/// A page's pixel is 1/96 in on paper (CSS Values and Units 3, 5.2).
double css_pixels(double millimetres) { return 96 * Length::millimetres(millimetres).in_inches(); }

std::string points(std::vector<Spot> const& spots) {
  std::string out;
  for (auto const& spot : spots) {
    if (!out.empty()) out += ' ';
    out += n(spot.x) + ',' + n(spot.y);
  }
  return out;
}

}  // namespace

Canvas::Canvas(double width, double height, std::string_view title)
    : width_(width), height_(height), title_(title) {}

void Canvas::line(Spot a, Spot b, Pen pen) {
  shapes_ += fmt::format("<line class=\"{}\" x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"/>",
                         pen_class(pen), n(a.x), n(a.y), n(b.x), n(b.y));
}

void Canvas::polyline(std::vector<Spot> const& spots, Pen pen) {
  shapes_ +=
      fmt::format("<polyline class=\"{} f0\" points=\"{}\"/>", pen_class(pen), points(spots));
}

void Canvas::polygon(std::vector<Spot> const& spots, Pen pen, Fill fill) {
  shapes_ += fmt::format("<polygon class=\"{} {}\" points=\"{}\"/>", pen_class(pen),
                         fill_class(fill), points(spots));
}

void Canvas::rectangle(Spot corner, double width, double height, Pen pen, Fill fill) {
  shapes_ +=
      fmt::format("<rect class=\"{} {}\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>",
                  pen_class(pen), fill_class(fill), n(corner.x), n(corner.y), n(width), n(height));
}

void Canvas::circle(Spot centre, double radius, Pen pen, Fill fill) {
  shapes_ += fmt::format("<circle class=\"{} {}\" cx=\"{}\" cy=\"{}\" r=\"{}\"/>", pen_class(pen),
                         fill_class(fill), n(centre.x), n(centre.y), n(radius));
}

void Canvas::text(Spot at, std::string_view text, double size, Anchor anchor, bool turned,
                  bool bold) {
  const std::string_view anchors[] = {"start", "middle", "end"};
  shapes_ += fmt::format(
      "<text x=\"{0}\" y=\"{1}\" font-size=\"{2}\" text-anchor=\"{3}\"{4}{5}>{6}</text>", n(at.x),
      n(at.y), n(size), anchors[static_cast<int>(anchor)],
      turned ? fmt::format(" transform=\"rotate(-90 {} {})\"", n(at.x), n(at.y)) : "",
      bold ? " font-weight=\"bold\"" : "", escaped(text));
}

void Canvas::place(Canvas const& drawing, Spot corner) {
  shapes_ += fmt::format("<g transform=\"translate({} {})\">{}</g>", n(corner.x), n(corner.y),
                         drawing.shapes_);
}

std::string_view Canvas::style() { return kStyle; }
std::string_view Canvas::definitions() { return kHatch; }

std::string Canvas::element() const {
  // HTML wants whole pixels.
  return fmt::format(
      "<svg class=\"drawing\" role=\"img\" aria-label=\"{2}\" viewBox=\"0 0 {0} {1}\" "
      "width=\"{0}\" height=\"{1}\">{3}</svg>\n",
      n(std::ceil(width_)), n(std::ceil(height_)), escaped(title_), shapes_);
}

std::string Canvas::element_at_size(double units_per_millimetre) const {
  // Whole pixels, as HTML has them; the drawing gets the little that is over as white.
  const double across = std::ceil(css_pixels(width_ / units_per_millimetre));
  const double down = std::ceil(css_pixels(height_ / units_per_millimetre));
  const double units = units_per_millimetre / css_pixels(1);
  return fmt::format(
      "<svg class=\"drawing\" role=\"img\" aria-label=\"{2}\" viewBox=\"0 0 {0} {1}\" "
      "width=\"{4}\" height=\"{5}\">{3}</svg>\n",
      n(across * units), n(down * units), escaped(title_), shapes_, n(across), n(down));
}

std::string Canvas::file(double units_per_millimetre) const {
  const bool hatched = shapes_.find("f4\"") != std::string::npos;
  return fmt::format(
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" "
      "width=\"{2}mm\" height=\"{3}mm\" viewBox=\"0 0 {0} {1}\">\n<title>{4}</title>\n"
      "<style>\n{5}</style>\n{6}{7}</svg>\n",
      n(width_), n(height_), n(width_ / units_per_millimetre), n(height_ / units_per_millimetre),
      escaped(title_), kStyle, hatched ? kHatch : "", shapes_);
}

}  // namespace stripwright::report
