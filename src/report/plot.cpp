#include "report/plot.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/ticks.h"

namespace stripwright::report {
namespace {

/// Narrow, so that on a phone its letters still are letters.
constexpr double kWidth = 480;
constexpr double kTop = 26;
constexpr double kBottom = 48;
constexpr double kLetters = 14;
/// A figure's width of these letters, generous.
constexpr double kDigit = 0.64 * kLetters;
constexpr double kNameLine = 20;
/// From the frame to a name at a line's end; a stroke joins the two.
constexpr double kToName = 16;
/// Air above and below the lines, as a share of their range.
constexpr double kAir = 0.08;
constexpr int kTicksAcross = 8;
constexpr int kTicksUp = 5;

struct Axis {
  double low;
  double high;
};

/// The lines' range with air around it; a level line gets a range of its own.
Axis axis_of(std::vector<double> const& values, bool from_zero, double air) {
  if (values.empty()) return {0, 1};
  auto [low, high] = std::minmax_element(values.begin(), values.end());
  Axis axis{from_zero ? std::min(0.0, *low) : *low, from_zero ? std::max(0.0, *high) : *high};
  const double range = axis.high - axis.low;
  const double margin = range > 0 ? range * air : std::max(1e-6, std::fabs(axis.high) * 0.1);
  if (!from_zero || axis.low < 0 || range <= 0) axis.low -= margin;
  if (!from_zero || axis.high > 0 || range <= 0) axis.high += margin;
  return axis;
}

/// Heights for marks that each want one, moved as little as keeps them apart.
std::vector<double> spread(std::vector<double> const& wanted, double apart, double lowest,
                           double highest) {
  std::vector<std::size_t> order(wanted.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return wanted[a] < wanted[b]; });
  std::vector<double> out = wanted;
  double least = lowest;
  for (const auto i : order) {
    out[i] = std::max(wanted[i], least);
    least = out[i] + apart;
  }
  // What ran over the end is pushed back.
  double most = highest;
  std::reverse(order.begin(), order.end());
  for (const auto i : order) {
    out[i] = std::min(out[i], most);
    most = out[i] - apart;
  }
  return out;
}

class Drawer {
 public:
  Drawer(Plot const& plot, double height)
      : plot_(plot),
        bottom_(height - kBottom),
        names_(count_of_names()),
        legend_(names_below(plot)),
        canvas_(kWidth, height + kNameLine * static_cast<double>(legend_), plot.title) {
    std::vector<double> xs;
    std::vector<double> ys;
    for (auto const& series : plot.series)
      for (auto const& point : series.points) {
        xs.push_back(point.x);
        ys.push_back(point.y);
      }
    for (auto const& area : plot.areas)
      for (auto const* edge : {&area.upper, &area.lower})
        for (auto const& point : *edge) ys.push_back(point.y);
    for (auto const& band : plot.bands) {
      ys.push_back(band.low);
      ys.push_back(band.high);
    }
    for (auto const& mark : plot.x_marks) xs.push_back(mark.at);
    x_ = axis_of(xs, false, 0);
    y_ = axis_of(ys, plot.y_from_zero, kAir);
    y_ticks_ = decimal_ticks(y_.low, y_.high, kTicksUp);
    std::size_t widest = 0;
    for (auto const& tick : y_ticks_) widest = std::max(widest, tick.label.size());
    left_ = 34 + kDigit * static_cast<double>(widest);
    right_ = kWidth - (plot.names_at_ends ? kToName + widest_name() : names_ > 1 ? 34 : 18);
  }

  PlotScale scale() const {
    return {{left_, kTop}, {right_, bottom_}, {x_.low, y_.low}, {x_.high, y_.high}};
  }

  Canvas draw() {
    bands();
    for (auto const& each : plot_.areas) area(each);
    grid();
    for (auto const& series : plot_.series) line(series);
    if (plot_.names_at_ends) names_at_ends();
    if (legend_ > 0) legend();
    return std::move(canvas_);
  }

 private:
  std::size_t count_of_names() const {
    return static_cast<std::size_t>(std::count_if(plot_.series.begin(), plot_.series.end(),
                                                  [](auto const& s) { return !s.name.empty(); }));
  }
  std::size_t names_below(Plot const& plot) const {
    if (plot.names_at_ends) return plot.areas.size();
    return names_ > 1 || !plot.areas.empty() ? names_ + plot.areas.size() : 0;
  }
  double widest_name() const {
    std::size_t most = 0;
    for (auto const& series : plot_.series) most = std::max(most, series.name.size());
    return kDigit * static_cast<double>(most);
  }
  double across(double value) const { return scale().spot_of({value, 0}).x; }
  double up(double value) const { return scale().spot_of({0, value}).y; }

  void bands() {
    for (auto const& band : plot_.bands) {
      canvas_.rectangle({left_, up(band.high)}, right_ - left_, up(band.low) - up(band.high),
                        Pen::fine, Fill::light);
      canvas_.text({left_ + 6, up(band.high) + kLetters + 1}, band.name, kLetters - 1);
    }
  }

  void area(Area const& area) {
    std::vector<Spot> spots;
    for (auto const& point : area.upper) spots.push_back({across(point.x), up(point.y)});
    for (std::size_t i = area.lower.size(); i-- > 0;)
      spots.push_back({across(area.lower[i].x), up(area.lower[i].y)});
    canvas_.polygon(spots, Pen::fine, Fill::hatched);
  }

  void grid() {
    for (auto const& mark : plot_.x_marks) {
      canvas_.line({across(mark.at), kTop}, {across(mark.at), bottom_}, Pen::dotted);
      const bool at_end = across(mark.at) > right_ - 60;
      canvas_.text({across(mark.at), kTop - 8}, mark.name, kLetters - 1,
                   at_end ? Anchor::end : Anchor::start);
    }
    const auto ticks = plot_.x_in_fractions ? inch_fraction_ticks(x_.low, x_.high, kTicksAcross)
                                            : decimal_ticks(x_.low, x_.high, kTicksAcross);
    for (auto const& tick : ticks) {
      canvas_.line({across(tick.at), bottom_}, {across(tick.at), bottom_ + 6}, Pen::thin);
      canvas_.text({across(tick.at), bottom_ + 20}, tick.label, kLetters, Anchor::middle);
    }
    for (auto const& tick : y_ticks_) {
      canvas_.line({left_, up(tick.at)}, {right_, up(tick.at)}, Pen::grid);
      canvas_.text({left_ - 6, up(tick.at) + 5}, tick.label, kLetters, Anchor::end);
    }
    canvas_.line({left_, bottom_}, {right_, bottom_}, Pen::thin);
    canvas_.line({left_, kTop}, {left_, bottom_}, Pen::thin);
    if (y_.low < 0 && y_.high > 0) canvas_.line({left_, up(0)}, {right_, up(0)}, Pen::fine);
    canvas_.text({right_, bottom_ + 40}, plot_.x_name, kLetters, Anchor::end);
    canvas_.text({16, kTop + (bottom_ - kTop) / 2}, plot_.y_name, kLetters, Anchor::middle, true);
  }

  void line(Series const& series) {
    std::vector<Spot> spots;
    for (auto const& point : series.points) spots.push_back({across(point.x), up(point.y)});
    if (series.joined == Joined::line) canvas_.polyline(spots, series.pen);
    if (series.joined == Joined::stems)
      for (auto const& spot : spots) canvas_.line({spot.x, up(0)}, spot, series.pen);
    if (series.dots)
      for (auto const& spot : spots) canvas_.circle(spot, 3.2, Pen::fine, Fill::black);
    // A single name is written at its line's end, inside the frame.
    if (legend_ == 0 && !plot_.names_at_ends && !series.name.empty() && !spots.empty())
      canvas_.text({spots.back().x - 6, spots.back().y - 8}, series.name, kLetters, Anchor::end);
  }

  /// Where the words at the ends of lines with names stand, so that none lies upon another.
  std::vector<double> heights_at_ends() const {
    std::vector<double> wanted;
    for (auto const& series : plot_.series)
      if (!series.name.empty())
        wanted.push_back(series.points.empty() ? bottom_ : up(series.points.back().y) + 5);
    return spread(wanted, kLetters, kTop + 5, bottom_ + 5);
  }

  void names_at_ends() {
    const auto heights = heights_at_ends();
    std::size_t i = 0;
    for (auto const& series : plot_.series) {
      if (series.name.empty()) continue;
      const double y = heights[i++];
      if (series.points.empty()) continue;
      canvas_.line({right_ + 1, up(series.points.back().y)}, {right_ + kToName - 3, y - 5},
                   Pen::fine);
      canvas_.text({right_ + kToName, y}, series.name, kLetters);
    }
  }

  /// A row for each name, beside a piece of its line or a patch of its area.
  void legend() {
    const auto heights = heights_at_ends();
    std::size_t i = 0;
    for (auto const& series : plot_.series) {
      if (series.name.empty() || plot_.names_at_ends) continue;
      const double y = row(i);
      // One line alone needs no number.
      const std::string number = names_ > 1 ? fmt::format("{}", i + 1) : "";
      if (!series.points.empty())
        canvas_.text({right_ + 8, heights[i]}, number, kLetters, Anchor::start, false, true);
      canvas_.text({left_, y}, number, kLetters, Anchor::end, false, true);
      canvas_.line({left_ + 10, y - 5}, {left_ + 50, y - 5}, series.pen);
      canvas_.text({left_ + 60, y}, series.name, kLetters);
      ++i;
    }
    for (auto const& area : plot_.areas) {
      const double y = row(i++);
      canvas_.rectangle({left_ + 10, y - 12}, 40, 14, Pen::fine, Fill::hatched);
      canvas_.text({left_ + 60, y}, area.name, kLetters);
    }
  }
  double row(std::size_t i) const {
    return bottom_ + kBottom + kNameLine * (static_cast<double>(i) + 0.5);
  }

  Plot const& plot_;
  double bottom_;
  std::size_t names_;   ///< of lines
  std::size_t legend_;  ///< its rows
  Canvas canvas_;
  Axis x_{};
  Axis y_{};
  std::vector<Tick> y_ticks_;
  double left_ = 0;
  double right_ = 0;
};

}  // namespace

Canvas draw(Plot const& plot, double height) { return Drawer(plot, height).draw(); }

Spot PlotScale::values_at(Spot spot) const {
  return {least.x + (spot.x - upper_left.x) / (lower_right.x - upper_left.x) * (most.x - least.x),
          least.y + (lower_right.y - spot.y) / (lower_right.y - upper_left.y) * (most.y - least.y)};
}

Spot PlotScale::spot_of(Spot values) const {
  return {
      upper_left.x + (values.x - least.x) / (most.x - least.x) * (lower_right.x - upper_left.x),
      lower_right.y - (values.y - least.y) / (most.y - least.y) * (lower_right.y - upper_left.y)};
}

PlotScale scale_of(Plot const& plot, double height) { return Drawer(plot, height).scale(); }

}  // namespace stripwright::report
