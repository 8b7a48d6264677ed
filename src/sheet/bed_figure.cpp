#include "sheet/bed_figure.h"

#include <fmt/format.h>

#include <algorithm>

#include "report/ticks.h"
#include "units/format.h"

namespace stripwright::sheet {
namespace {

using report::Anchor;
using report::Fill;
using report::Pen;
using report::Spot;

constexpr double kWidth = 480;
constexpr double kLeft = 22;
constexpr double kRight = kWidth - 22;
constexpr double kLetters = 14;
constexpr double kBedTop = 86;
constexpr double kBedDepth = 12;
constexpr double kThin = 8;
constexpr double kThick = 26;
/// Screws closer than this have their numbers in two rows.
constexpr double kNumberRoom = 20;

class BedFigure {
 public:
  BedFigure(machine::Placement const& placement, RodSection const& section,
            std::vector<MachinePosition> const& screws, Unit unit)
      : placement_(placement),
        section_(section),
        screws_(screws),
        unit_(unit),
        low_(in_unit(placement.strip_begins().from_zero(), unit)),
        high_(in_unit(placement.strip_ends().from_zero(), unit)),
        canvas_(kWidth, screws.empty() ? 162 : 198,
                fmt::format("Where the strip of section {} lies on the machine", section.name)) {
    for (auto const& screw : screws) {
      low_ = std::min(low_, in_unit(screw.from_zero(), unit));
      high_ = std::max(high_, in_unit(screw.from_zero(), unit));
    }
  }

  report::Canvas draw() {
    canvas_.rectangle({kLeft - 10, kBedTop}, kRight - kLeft + 20, kBedDepth, Pen::thin,
                      Fill::light);
    strip();
    section_ends();
    screws();
    axis();
    return std::move(canvas_);
  }

 private:
  double across(double at) const { return kLeft + (at - low_) / (high_ - low_) * (kRight - kLeft); }
  double across(Station at) const {
    return across(in_unit(placement_.machine_at(at).from_zero(), unit_));
  }
  double top(Station at) const {
    const double share = (at - placement_.strip_tip_end()) / placement_.strip_length();
    return kBedTop - kThin - share * (kThick - kThin);
  }
  void part(Station from, Station to, Fill fill) {
    canvas_.polygon({{across(from), kBedTop},
                     {across(from), top(from)},
                     {across(to), top(to)},
                     {across(to), kBedTop}},
                    Pen::thin, fill);
  }
  void strip() {
    const Station tip = placement_.strip_tip_end();
    const Station butt = placement_.strip_butt_end();
    part(tip, section_.from, Fill::hatched);
    part(section_.from, section_.to, Fill::white);
    part(section_.to, butt, Fill::hatched);
    const bool tip_first = placement_.feeds() == Feeds::tip_first;
    end_name(tip, "tip end", tip_first);
    end_name(butt, "butt end", !tip_first);
  }
  /// The name of an end of the strip over it, inwards.
  void end_name(Station at, std::string_view name, bool left) {
    canvas_.text({across(at), 16}, name, kLetters, left ? Anchor::start : Anchor::end, false, true);
    canvas_.text(
        {across(at), 32},
        format_short(in_unit(placement_.machine_at(at).from_zero(), unit_), bench_decimals(unit_)) +
            fmt::format(" {}", unit_name(unit_)),
        kLetters, left ? Anchor::start : Anchor::end);
    canvas_.line({across(at), 36}, {across(at), top(at)}, Pen::thin);
  }
  void section_ends() {
    const double middle = (across(section_.from) + across(section_.to)) / 2;
    canvas_.text({middle, 42}, fmt::format("section {}", section_.name), kLetters, Anchor::middle);
    for (const Station at : {section_.from, section_.to})
      canvas_.line({across(at), 48}, {across(at), kBedTop + kBedDepth}, Pen::dotted);
    canvas_.line({across(section_.from), 50}, {across(section_.to), 50}, Pen::thin);
  }
  void screws() {
    double before = -kWidth;
    bool second_row = false;
    for (std::size_t i = 0; i < screws_.size(); ++i) {
      const double x = across(in_unit(screws_[i].from_zero(), unit_));
      second_row = x - before < kNumberRoom && !second_row;
      before = x;
      const double y = kBedTop + kBedDepth;
      canvas_.line({x, y}, {x, y + 12}, Pen::thick);
      canvas_.circle({x, y + 15}, 4, Pen::thin, Fill::white);
      canvas_.text({x, y + (second_row ? 48 : 34)}, fmt::format("{}", i + 1), kLetters,
                   Anchor::middle, false, true);
    }
  }
  void axis() {
    const double y = screws_.empty() ? 110 : 152;
    canvas_.line({kLeft, y}, {kRight, y}, Pen::thin);
    for (auto const& tick : report::decimal_ticks(low_, high_, 8)) {
      canvas_.line({across(tick.at), y}, {across(tick.at), y + 6}, Pen::thin);
      canvas_.text({across(tick.at), y + 21}, tick.label, kLetters, Anchor::middle);
    }
    canvas_.text({kRight, y + 40},
                 fmt::format("{}machine position, {}", screws_.empty() ? "" : "screws, and below ",
                             unit_name(unit_)),
                 kLetters, Anchor::end);
  }

  machine::Placement const& placement_;
  RodSection const& section_;
  std::vector<MachinePosition> const& screws_;
  Unit unit_;
  double low_;
  double high_;
  report::Canvas canvas_;
};

}  // namespace

report::Canvas bed_figure(machine::Placement const& placement, RodSection const& section,
                          std::vector<MachinePosition> const& screws, Unit unit) {
  return BedFigure(placement, section, screws, unit).draw();
}

}  // namespace stripwright::sheet
