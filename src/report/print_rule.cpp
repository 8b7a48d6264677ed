#include "report/print_rule.h"

#include <fmt/format.h>

#include "units/length.h"

namespace stripwright::report {
namespace {

constexpr double kLeft = 6;
constexpr double kLetters = 13;

double units(Length length) { return length.in_millimetres() * kPrintRuleUnits; }

/// A line with marks upwards; every so many marks a longer one.
void rule(Canvas& canvas, double y, Length step, int steps, int long_every) {
  canvas.line({kLeft, y}, {kLeft + units(steps * step), y}, Pen::thin);
  for (int i = 0; i <= steps; ++i) {
    const double x = kLeft + units(i * step);
    const bool end = i == 0 || i == steps;
    canvas.line({x, y}, {x, y - (end ? 16 : i % long_every == 0 ? 11 : 6)}, Pen::thin);
  }
}

}  // namespace

Canvas print_rule() {
  Canvas canvas(kLeft + units(Length::millimetres(102)), 74,
                "Two rules to check the scale of a print by: 100 millimetres and 4 inches");
  rule(canvas, 20, Length::millimetres(5), 20, 2);
  canvas.text({kLeft, 34}, "100 mm", kLetters);
  rule(canvas, 56, Length::inches(0.125), 32, 8);
  canvas.text({kLeft, 70}, "4 in", kLetters);
  return canvas;
}

}  // namespace stripwright::report
