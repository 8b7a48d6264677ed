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
/// their width and their dashes, areas their hatching or grey. `grid` lies under lines and is not
/// taken for one.
enum class Pen { fine, thin, thick, dashed, dotted, long_dashed, dash_dotted, grid };
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

  /// Another drawing with its upper left corner at a spot.
  void place(Canvas const& drawing, Spot corner);
  double height() const { return height_; }

  /// The SVG element for a page, as many CSS pixels wide as it has units, or less where its
  /// place is narrower. The page has to hold `style()` and `definitions()`, once.
  std::string element() const;
  /// The same at a true size.
  std::string element_at_size(double units_per_millimetre) const;
  /// A whole SVG file, which stands alone.
  std::string file(double units_per_millimetre) const;

  /// What drawings look like, for a page's style sheet.
  static std::string_view style();
  /// What drawings refer to, for the page's first `svg`.
  static std::string_view definitions();

 private:
  double width_;
  double height_;
  std::string title_;
  std::string shapes_;
};

}  // namespace stripwright::report
