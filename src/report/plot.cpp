#include "report/plot.h"

#include <algorithm>
#include <cmath>

#include "report/ticks.h"

namespace stripwright::report {
namespace {

constexpr double kWidth = 720;
constexpr double kLeft = 78;
constexpr double kRight = 22;
constexpr double kTop = 34;
constexpr double kBottom = 52;
constexpr double kLetters = 14;
/// Air above and below the lines, as a share of their range.
constexpr double kAir = 0.08;
constexpr int kTicksAcross = 10;
constexpr int kTicksUp = 5;

struct Axis {
  double low;
  double high;
};

/// The lines' range with air around it; a level line gets a range of its own.
Axis axis_of(std::vector<double> const& values, bool from_zero, double air) {
  if (values.empty()) return {0, 1};
  auto [low, high] = std::minmax_element(values.begin(), values.end());
  Axis axis{from_zero ? std::min(0.0, *low) : *low, *high};
  const double range = axis.high - axis.low;
  const double margin = range > 0 ? range * air : std::max(1e-6, std::fabs(axis.high) * 0.1);
  if (!from_zero || axis.low < 0 || range <= 0) axis.low -= margin;
  axis.high += margin;
  return axis;
}

class Drawer {
 public:
  Drawer(Plot const& plot, double height)
      : plot_(plot), height_(height), canvas_(kWidth, height, plot.title) {
    std::vector<double> xs;
    std::vector<double> ys;
    for (auto const& series : plot.series)
      for (auto const& point : series.points) {
        xs.push_back(point.x);
        ys.push_back(point.y);
      }
    for (auto const& band : plot.bands) {
      ys.push_back(band.low);
      ys.push_back(band.high);
    }
    x_ = axis_of(xs, false, 0);
    y_ = axis_of(ys, plot.y_from_zero, kAir);
  }

  Canvas draw() {
    canvas_.text({kLeft, 20}, plot_.title, kLetters + 1, Anchor::start, false, true);
    bands();
    grid();
    for (auto const& series : plot_.series) line(series);
    return std::move(canvas_);
  }

 private:
  double across(double value) const {
    return kLeft + (value - x_.low) / (x_.high - x_.low) * (kWidth - kLeft - kRight);
  }
  double up(double value) const {
    return height_ - kBottom - (value - y_.low) / (y_.high - y_.low) * (height_ - kTop - kBottom);
  }

  void bands() {
    for (auto const& band : plot_.bands) {
      canvas_.rectangle({kLeft, up(band.high)}, kWidth - kLeft - kRight,
                        up(band.low) - up(band.high), Pen::fine, Fill::light);
      canvas_.text({kLeft + 6, up(band.high) + kLetters}, band.name, kLetters - 2);
    }
  }

  void grid() {
    const double bottom = height_ - kBottom;
    for (const double mark : plot_.x_marks)
      if (mark >= x_.low && mark <= x_.high)
        canvas_.line({across(mark), kTop}, {across(mark), bottom}, Pen::fine);
    const auto ticks = plot_.x_in_fractions ? inch_fraction_ticks(x_.low, x_.high, kTicksAcross)
                                            : decimal_ticks(x_.low, x_.high, kTicksAcross);
    for (auto const& tick : ticks) {
      canvas_.line({across(tick.at), bottom}, {across(tick.at), bottom + 6}, Pen::thin);
      canvas_.text({across(tick.at), bottom + 20}, tick.label, kLetters - 1, Anchor::middle);
    }
    for (auto const& tick : decimal_ticks(y_.low, y_.high, kTicksUp)) {
      canvas_.line({kLeft, up(tick.at)}, {kWidth - kRight, up(tick.at)}, Pen::fine);
      canvas_.text({kLeft - 6, up(tick.at) + 4.5}, tick.label, kLetters - 1, Anchor::end);
    }
    canvas_.line({kLeft, bottom}, {kWidth - kRight, bottom}, Pen::thin);
    canvas_.line({kLeft, kTop}, {kLeft, bottom}, Pen::thin);
    canvas_.text({kWidth - kRight, height_ - 12}, plot_.x_name, kLetters, Anchor::end);
    canvas_.text({16, kTop + (bottom - kTop) / 2}, plot_.y_name, kLetters, Anchor::middle, true);
  }

  void line(Series const& series) {
    std::vector<Spot> spots;
    for (auto const& point : series.points) spots.push_back({across(point.x), up(point.y)});
    canvas_.polyline(spots, series.pen);
    if (series.dots)
      for (auto const& spot : spots) canvas_.circle(spot, 3, Pen::fine, Fill::black);
    if (!series.name.empty() && !spots.empty()) {
      // Named at the end, inside the frame, above the line.
      canvas_.text({spots.back().x - 4, spots.back().y - 7}, series.name, kLetters - 1,
                   Anchor::end);
    }
  }

  Plot const& plot_;
  double height_;
  Canvas canvas_;
  Axis x_{};
  Axis y_{};
};

}  // namespace

Canvas draw(Plot const& plot, double height) { return Drawer(plot, height).draw(); }

}  // namespace stripwright::report
