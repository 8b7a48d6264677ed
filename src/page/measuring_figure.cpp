#include "page/measuring_figure.h"

#include <algorithm>

namespace stripwright::page {
namespace {

using report::Anchor;
using report::Canvas;
using report::Fill;
using report::Pen;
using report::Spot;

constexpr double kWidth = 720;
constexpr double kSide = 30;
constexpr double kBase = 132;    // the outer face
constexpr double kTallest = 64;  // of the piece's drawing
constexpr double kLetters = 17;
constexpr double kShape = 9;

void draw_shape(Canvas& canvas, Spot at, PlaceState state, double size) {
  const auto triangle = [&](double up) {
    canvas.polygon({{at.x - size, at.y + up * size},
                    {at.x + size, at.y + up * size},
                    {at.x, at.y - up * size}},
                   Pen::thin, Fill::black);
  };
  switch (state) {
    case PlaceState::open:
      return canvas.circle(at, size * 0.6, Pen::thin, Fill::white);
    case PlaceState::right:
      return canvas.circle(at, size * 0.85, Pen::thin, Fill::black);
    case PlaceState::thick:
      return triangle(1);
    case PlaceState::thin:
      return triangle(-1);
    case PlaceState::unsure:
      canvas.rectangle({at.x - size, at.y - size}, 2 * size, 2 * size, Pen::thin, Fill::white);
      return canvas.text({at.x, at.y + size * 0.75}, "?", 2 * size, Anchor::middle, false, true);
    case PlaceState::left_out:
      canvas.line({at.x - size, at.y - size}, {at.x + size, at.y + size}, Pen::thin);
      return canvas.line({at.x - size, at.y + size}, {at.x + size, at.y - size}, Pen::thin);
  }
}

class Figure {
 public:
  Figure(std::vector<FigurePlace> const& places, std::size_t next, std::string const& title)
      : places_(places), next_(next), canvas_(kWidth, kBase + 34, title) {
    for (auto const& place : places) tallest_ = std::max(tallest_, place.height);
  }

  Canvas draw() {
    piece();
    names();
    for (std::size_t i = 0; i < places_.size(); ++i)
      draw_shape(canvas_, {across(i), kBase - kTallest - 22}, places_[i].state, kShape);
    if (next_ < places_.size()) arrow();
    return std::move(canvas_);
  }

 private:
  double across(std::size_t i) const {
    const double length = places_.back().at - places_.front().at;
    const double share = length > 0 ? (places_[i].at - places_.front().at) / length : 0.5;
    return kSide + share * (kWidth - 2 * kSide);
  }
  double top(std::size_t i) const {
    return kBase - (tallest_ > 0 ? places_[i].height / tallest_ : 0) * kTallest;
  }

  void piece() {
    std::vector<Spot> outline = {{across(0) - 14, kBase}, {across(0) - 14, top(0)}};
    for (std::size_t i = 0; i < places_.size(); ++i) outline.push_back({across(i), top(i)});
    outline.push_back({across(places_.size() - 1) + 14, top(places_.size() - 1)});
    outline.push_back({across(places_.size() - 1) + 14, kBase});
    canvas_.polygon(outline, Pen::thick, Fill::light);
    for (std::size_t i = 0; i < places_.size(); ++i)
      canvas_.line({across(i), kBase}, {across(i), top(i)}, Pen::fine);
  }

  /// Names below, as many as have room; that of the next place always.
  void names() {
    double free = 0;
    for (std::size_t i = 0; i < places_.size(); ++i) {
      const double half = 0.34 * kLetters * static_cast<double>(places_[i].name.size());
      const double at = across(i);
      const bool meets_next =
          next_ < places_.size() && i != next_ && std::abs(across(next_) - at) < 2 * half + 24;
      if (i != next_ && (at - half < free || meets_next)) continue;
      canvas_.text({at, kBase + 24}, places_[i].name, i == next_ ? kLetters + 4 : kLetters,
                   Anchor::middle, false, i == next_);
      free = at + half + 10;
    }
  }

  void arrow() {
    const double x = across(next_);
    canvas_.polygon({{x - 13, 2}, {x + 13, 2}, {x, 26}}, Pen::thick, Fill::black);
    canvas_.line({x, kBase}, {x, top(next_)}, Pen::thick);
  }

  std::vector<FigurePlace> const& places_;
  std::size_t next_;
  double tallest_ = 0;
  Canvas canvas_;
};

}  // namespace

Canvas measuring_figure(std::vector<FigurePlace> const& places, std::size_t next,
                        std::string const& title) {
  if (places.empty()) return Canvas(kWidth, 1, title);
  return Figure(places, next, title).draw();
}

Canvas state_shape(PlaceState state, double size) {
  Canvas out(size, size, state_word(state));
  draw_shape(out, {size / 2, size / 2}, state, size * 0.4);
  return out;
}

std::string_view state_word(PlaceState state) {
  switch (state) {
    case PlaceState::open:
      return "not measured";
    case PlaceState::right:
      return "right";
    case PlaceState::thin:
      return "thin";
    case PlaceState::thick:
      return "thick";
    case PlaceState::unsure:
      return "unsure";
    case PlaceState::left_out:
      return "left out";
  }
  return {};
}

}  // namespace stripwright::page
