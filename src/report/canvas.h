#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace stripwright::report {

/// A point of a drawing, in the drawing's own units, y downwards.
struct Spot {
  double x;
  double y;
};

enum class Anchor { start, middle, end };

/// How a stroke or an area looks. Pictures are black on white: what tells lines apart is
/// their width and their dashes, areas their hatching or grey.
enum class Pen { fine, thin, thick, dashed, dotted };
enum class Fill { none, white, light, dark, hatched, black };

/// An SVG drawing as it is built up; text stays text.
class Canvas {
 public:
  /// Width and height in the drawing's units; `title` is what a screen reader says.
  Canvas(double width, double height, std::string_view title);

  void line(Spot a, Spot b, Pen pen);
  void polyline(std::vector<Spot> const& spots, Pen pen);
  void polygon(std::vector<Spot> const& spots, Pen pen, Fill fill);
  void rectangle(Spot corner, double width, double height, Pen pen, Fill fill);
  void circle(Spot centre, double radius, Pen pen, Fill fill);
  /// `size` is the height of the letters' body; `turned` reads upwards.
  void text(Spot at, std::string_view text, double size, Anchor anchor = Anchor::start,
            bool turned = false, bool bold = false);

  /// The SVG element for a page: as wide as its place allows, no wider than it is drawn.
  std::string element() const;
  /// A whole SVG file, one unit a millimetre.
  std::string file_in_millimetres() const;

 private:
  std::string body() const;

  double width_;
  double height_;
  std::string title_;
  std::string shapes_;
};

}  // namespace stripwright::report
