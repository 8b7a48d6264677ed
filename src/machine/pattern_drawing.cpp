#include "machine/pattern_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <sstream>

#include "machine/plain.h"
#include "report/paragraph.h"
#include "units/format.h"

namespace stripwright::machine {

using plain::length;
using plain::mm;

namespace {

// Sizes on the sheet.
constexpr Length kMargin = Length::millimetres(10);
constexpr Length kLetters = Length::millimetres(2.6);
constexpr Length kLine = Length::millimetres(5);
constexpr Length kTick = Length::millimetres(3);
/// From a tick's end to its words, and what turned words need side by side.
constexpr Length kLeader = Length::millimetres(4);
constexpr Length kAbreast = Length::millimetres(4.5);
constexpr Length kRule = Length::millimetres(100);
constexpr Length kRuleStep = Length::millimetres(10);
/// A pattern that is less deep than this gets its straight edge further away.
constexpr Length kLeastDepth = Length::millimetres(5);
constexpr double kEdgeAway = 10;  // mm, then on to the next whole 5 mm
constexpr double kEdgeStep = 5;

/// Names as long as they may be on a drawing.
std::string cut_short(std::string const& name) {
  constexpr std::size_t kMost = 40;
  std::size_t characters = 0;
  for (std::size_t i = 0; i < name.size(); ++i) {
    if ((static_cast<unsigned char>(name[i]) & 0xC0U) == 0x80U) continue;
    if (++characters > kMost) return name.substr(0, i) + "...";
  }
  return name;
}

class PatternDrawing {
 public:
  PatternDrawing(SectionSetup const& setup, PatternMill const& mill, SetupNames const& names,
                 Unit unit)
      : setup_(setup),
        settings_(std::get<PatternSettings>(setup.settings)),
        mill_(mill),
        names_(names),
        unit_(unit),
        below_(mill.pattern_per_cutter > 0) {}

  Drawing draw() {
    edges();
    body();
    const Length labels_end = labels();
    const Length highest = below_ ? highest_ : labels_end;
    const Length lowest = below_ ? labels_end : lowest_;
    rule(lowest - kMargin);
    head(highest + kMargin);
    bounds();
    return std::move(drawing_);
  }

 private:
  std::string show(Length l) const { return format_short(l, unit_); }
  std::string brief(Length l) const { return format_length(l, unit_, bench_decimals(unit_)); }

  void edges() {
    const auto [low, high] = std::minmax_element(
        settings_.outline.begin(), settings_.outline.end(),
        [](DrawnPoint const& a, DrawnPoint const& b) { return a.height < b.height; });
    lowest_ = low->height;
    highest_ = high->height;
    if (below_)
      edge_ = lowest_ >= kLeastDepth
                  ? Length{}
                  : length(std::floor((mm(lowest_) - kEdgeAway) / kEdgeStep) * kEdgeStep);
    else
      edge_ = highest_ <= -kLeastDepth
                  ? Length{}
                  : length(std::ceil((mm(highest_) + kEdgeAway) / kEdgeStep) * kEdgeStep);
    lowest_ = std::min(lowest_, edge_);
    highest_ = std::max(highest_, edge_);
  }

  void body() {
    std::vector<DrawingPlace> outline;
    for (auto const& point : settings_.outline)
      outline.push_back({point.x.from_zero(), point.height});
    left_ = outline.front().x;
    right_ = outline.back().x;
    outline.push_back({right_, edge_});
    outline.push_back({left_, edge_});
    drawing_.outlines.push_back(std::move(outline));
  }

  std::string label_of(Station at) const {
    std::string out = show(at.from_zero());
    auto const& placement = setup_.placement;
    if (same_place(at, setup_.section.from)) out += ", section's tip end";
    if (same_place(at, setup_.section.to)) out += ", section's butt end";
    if (same_place(at, placement.strip_tip_end())) out += ", strip's tip end";
    if (same_place(at, placement.strip_butt_end())) out += ", strip's butt end";
    return out;
  }

  /// Returns how far the words reach away from the pattern.
  Length labels() {
    const double away = below_ ? -1 : 1;
    const Length words_at = edge_ + away * (kTick + kLeader);
    Length longest, free_from = left_;
    for (auto const& point : settings_.passes.back().points) {
      if (!point.cutter.at_station) continue;
      const Length x = point.cutter.machine_at.from_zero();
      const Length words_x = std::max(x, free_from);
      free_from = words_x + kAbreast;
      drawing_.marks.push_back({{x, point.pattern}, {x, edge_ + away * kTick}});
      drawing_.marks.push_back(
          {{x, edge_ + away * kTick}, {words_x, words_at - away * kLeader / 4}});
      const auto words = fmt::format("{}: {} deep", label_of(point.cutter.taper_at),
                                     brief(abs(point.pattern - edge_)));
      drawing_.texts.push_back({{words_x + kLetters / 2, words_at},
                                kLetters,
                                words,
                                below_ ? TextStands::up_to_place : TextStands::from_place,
                                true});
      longest = std::max(longest, width_of(words, kLetters));
      right_ = std::max(right_, words_x + kLetters);
    }
    return words_at + away * longest;
  }

  void rule(Length y) {
    drawing_.marks.push_back({{left_, y}, {left_ + kRule, y}});
    for (Length at; at <= kRule + kSamePlace; at += kRuleStep)
      drawing_.marks.push_back({{left_ + at, y}, {left_ + at, y - kTick}});
    right_ = std::max(right_, left_ + kRule);
    words(left_, y - kTick - kLine, "100 mm; print at 100 % and measure this rule before you cut");
    bottom_ = y - kTick - kLine;
  }

  void words(Length x, Length y, std::string text) {
    right_ = std::max(right_, x + width_of(text, kLetters));
    drawing_.texts.push_back({{x, y}, kLetters, std::move(text)});
  }

  std::vector<std::string> head_lines() const {
    std::vector<std::string> out = {
        drawing_.title,
        fmt::format(
            "Cutter diameter {}, follower radius {}; the pattern rises {} times as much as the "
            "cutter; base {}",
            show(2 * mill_.cutter_radius), show(mill_.follower_radius),
            format_short(mill_.pattern_per_cutter, 6), show(mill_.base)),
        fmt::format("Cut to the curved edge, drawn within {}; beside each station stands the depth "
                    "from the straight edge, which lies at height {}, to the curve",
                    show(mill_.outline_tolerance), show(edge_)),
        fmt::format(
            "The pattern is longer than the strip, which the cutter touches before it stands "
            "over it; the strip's {} end lies to the left",
            setup_.placement.feeds() == Feeds::tip_first ? "tip" : "butt"),
    };
    if (settings_.passes.size() > 1) out.push_back(lifts());
    if (!names_.correction.empty())
      out.push_back(
          fmt::format("Corrected by {}: off the strip on purpose, to make up for the "
                      "machine",
                      cut_short(names_.correction)));
    out.emplace_back(
        "Prove the pattern on a scrap strip; the machine's manual comes before this sheet");
    return out;
  }

  std::string lifts() const {
    std::vector<std::string> out;
    for (auto const& pass : settings_.passes)
      if (out.size() < 8) out.push_back(brief(pass.lift));
    return fmt::format("Raise the cutter over this pattern in the passes by {}{}",
                       fmt::join(out, ", "),
                       out.size() < settings_.passes.size() ? ", ... (see the table)" : "");
  }

  void head(Length y) {
    drawing_.title =
        fmt::format("{}, section {}: pattern for the {} of {}", cut_short(names_.taper),
                    setup_.section.name, cut_short(names_.machine), cut_short(names_.shop));
    std::vector<std::string> lines;
    for (auto const& text : head_lines()) {
      std::istringstream broken(report::paragraph(text, "", "   "));
      for (std::string line; std::getline(broken, line);) lines.push_back(line);
    }
    for (std::size_t i = 0; i < lines.size(); ++i)
      words(left_, y + kLine * static_cast<double>(lines.size() - 1 - i), lines[i]);
    top_ = y + kLine * static_cast<double>(lines.size());
  }

  void bounds() {
    drawing_.lowest = {left_ - kMargin, bottom_ - kMargin};
    drawing_.highest = {right_ + kMargin, top_ + kMargin};
  }

  SectionSetup const& setup_;
  PatternSettings const& settings_;
  PatternMill const& mill_;
  SetupNames const& names_;
  Unit unit_;
  bool below_;  ///< the pattern lies below its curved edge
  Drawing drawing_;
  Length edge_, lowest_, highest_, left_, right_, bottom_, top_;
};

}  // namespace

Drawing pattern_drawing(SectionSetup const& setup, PatternMill const& mill, SetupNames const& names,
                        Unit unit) {
  plain::require(std::holds_alternative<PatternSettings>(setup.settings),
                 "a pattern of a machine that has none");
  return PatternDrawing(setup, mill, names, unit).draw();
}

}  // namespace stripwright::machine
