#include "inspection/allowance_values.h"

#include <algorithm>

namespace stripwright::inspection {
namespace {

using section::Step;

/// A quantity that belongs to a pair of opposite strips, or to all six.
struct OfPair {
  std::optional<std::size_t> pair;
  Length value;
};

class RingLearner {
 public:
  RingLearner(RingReadings const& ring, std::size_t index, Allowances const& allowances)
      : ring_(ring), index_(index), allowances_(allowances) {}

  RingValues take() {
    const Stage heights = ring_.heights_at;
    with_heights(Allowance::cleanup_less_glue_line, Stage::bare,
                 [&](Station at, Length across, Length f) {
                   return (across / swelling(heights, Stage::bare) - f) / 2 - lost_after_gluing(at);
                 });
    with_heights(Allowance::glue_line, Stage::glued, [&](Station, Length across, Length f) {
      return (f - across / swelling(heights, Stage::glued)) / 2;
    });
    between_stages(Allowance::cleanup, Stage::glued, Stage::bare,
                   [this](Station at, Length glued, Length bare) {
                     return (glued - bare) / 2 - lost_after_gluing(at);
                   });
    between_stages(Allowance::varnish, Stage::bare, Stage::varnished,
                   [](Station, Length bare, Length varnished) { return (varnished - bare) / 2; });
    std::sort(out_.without_heights.begin(), out_.without_heights.end());
    out_.enamel_by_ledger =
        heights == Stage::milled && allowances_.enamel.off == EnamelOff::before_gluing;
    return std::move(out_);
  }

 private:
  std::vector<SectionReading> const& of(Stage stage) const {
    static std::vector<SectionReading> const none;
    const auto found = ring_.flats.find(stage);
    return found == ring_.flats.end() ? none : found->second;
  }

  /// 1 + K (M_then - M_later).
  double swelling(Stage then, Stage later) {
    if (!allowances_.moisture) return 1;
    const auto before = ring_.percent_moisture.find(then);
    const auto after = ring_.percent_moisture.find(later);
    if (before != ring_.percent_moisture.end() && after != ring_.percent_moisture.end())
      return 1 + allowances_.moisture->swelling_per_percent * (before->second - after->second);
    for (auto const& [stage, known] : {std::pair(then, before), std::pair(later, after)})
      if (known == ring_.percent_moisture.end() &&
          std::find(out_.moisture_unknown.begin(), out_.moisture_unknown.end(), stage) ==
              out_.moisture_unknown.end())
        out_.moisture_unknown.push_back(stage);
    return 1;
  }

  /// Flats by pair; of a ring that is not marked the mean of all three, if there are three.
  std::vector<OfPair> flats(SectionReading const& reading) const {
    std::vector<OfPair> out;
    Length sum;
    for (std::size_t p = 0; p < kPairsOfFlats; ++p) {
      if (!reading.f[p]) continue;
      out.push_back({p, *reading.f[p]});
      sum += *reading.f[p];
    }
    if (ring_.marked) return out;
    if (out.size() < kPairsOfFlats) return {};
    return {{std::nullopt, sum / static_cast<double>(kPairsOfFlats)}};
  }

  /// h_i + h_j of the pair; over all six strips twice their mean.
  std::optional<Length> heights_across(std::optional<std::size_t> pair, Station at) const {
    Length sum;
    for (std::size_t strip = 0; strip < kStripsInARing; ++strip) {
      if (pair && strip % kPairsOfFlats != *pair) continue;
      const auto h = height(strip, at);
      if (!h) return std::nullopt;
      sum += *h;
    }
    return pair ? sum : sum / static_cast<double>(kPairsOfFlats);
  }

  std::optional<Length> height(std::size_t strip, Station at) const {
    const Length shift = ring_.shifts[strip];
    const Station place = at + shift;
    auto const& readings = ring_.heights[strip];
    const auto nearest =
        std::min_element(readings.begin(), readings.end(), [&](auto const& one, auto const& other) {
          return abs(one.at - place) < abs(other.at - place);
        });
    if (nearest == readings.end() || abs(nearest->at - place) > abs(shift) + kSamePlace)
      return std::nullopt;
    const Length a =
        same_place(nearest->at, place) ? nearest->a : target(place) + deviation(readings, place);
    if (ring_.heights_at == Stage::ready) return a + allowances_.apex_relief;
    const auto ledger = ring_.profile->ledger(place);
    const Length whole_when_ready = ledger[Step::strip_ready] + allowances_.apex_relief;
    return a - (ledger[Step::strip_milled] - whole_when_ready);
  }

  /// What a strip shall measure at a place when it was read: as milled, or ready to glue at the
  /// moisture that the ring tells.
  Length target(Station place) const {
    const auto ledger = ring_.profile->ledger(place);
    if (ring_.heights_at != Stage::ready) return ledger[Step::strip_milled];
    const Length apex = allowances_.apex_relief;
    return (ledger[Step::strip_ready] + apex) * swelling_since_milled() - apex;
  }

  double swelling_since_milled() const {
    auto const& moisture = allowances_.moisture;
    const auto now = ring_.percent_moisture.find(Stage::ready);
    if (!moisture || now == ring_.percent_moisture.end()) return 1;
    return moisture->swelling(now->second) / moisture->swelling(moisture->percent_at_milling);
  }

  /// By how much a strip is over its target at a place: straight between two readings, beyond the
  /// first and the last as it is there. (As choosing has it of strips that are moved.)
  Length deviation(std::vector<HeightReading> const& readings, Station place) const {
    HeightReading const* before = nullptr;
    HeightReading const* after = nullptr;
    for (auto const& each : readings) {
      if (each.at <= place && (!before || each.at > before->at)) before = &each;
      if (each.at >= place && (!after || each.at < after->at)) after = &each;
    }
    const auto over = [&](HeightReading const& reading) { return reading.a - target(reading.at); };
    if (!before || !after) return over(before ? *before : *after);
    const Length span = after->at - before->at;
    if (span <= kSamePlace) return over(*before);
    const double part = (place - before->at) / span;
    return (1 - part) * over(*before) + part * over(*after);
  }

  /// E where the face is made flat only after gluing; the ledger's glued flats are 2 E wider then.
  Length lost_after_gluing(Station at) const {
    const auto ledger = ring_.profile->ledger(at);
    return (ledger[Step::flats_glued] - ledger[Step::glued]) / 2;
  }

  void add(Allowance allowance, Station at, std::optional<std::size_t> pair, Length value) {
    out_.values.push_back({allowance, index_, at, pair, value});
  }

  /// Values from the flats of a stage and the heights that face each other there.
  template <class Formula>
  void with_heights(Allowance allowance, Stage stage, Formula formula) {
    for (auto const& reading : of(stage)) {
      bool any = false;
      for (auto const& [pair, f] : flats(reading)) {
        const auto across = heights_across(pair, reading.at);
        if (!across) continue;
        any = true;
        add(allowance, reading.at, pair, formula(reading.at, *across, f));
      }
      auto& without = out_.without_heights;
      if (!any && std::none_of(without.begin(), without.end(),
                               [&](Station at) { return same_place(at, reading.at); }))
        without.push_back(reading.at);
    }
  }

  /// Values from the flats of two stages at the same station.
  template <class Formula>
  void between_stages(Allowance allowance, Stage earlier, Stage later, Formula formula) {
    for (auto const& before : of(earlier)) {
      const auto after = std::find_if(of(later).begin(), of(later).end(), [&](auto const& each) {
        return same_place(each.at, before.at);
      });
      if (after == of(later).end()) continue;
      const double k = swelling(earlier, later);
      const auto flats_after = flats(*after);
      for (auto const& [pair, f] : flats(before))
        for (auto const& [other, f_after] : flats_after)
          if (pair == other) add(allowance, before.at, pair, formula(before.at, f / k, f_after));
    }
  }

  RingReadings const& ring_;
  std::size_t index_;
  Allowances const& allowances_;
  RingValues out_;
};

}  // namespace

std::string_view words(Allowance allowance) {
  switch (allowance) {
    case Allowance::cleanup_less_glue_line:
      return "clean-up less glue line";
    case Allowance::glue_line:
      return "glue line";
    case Allowance::cleanup:
      return "clean-up";
    case Allowance::varnish:
      return "varnish";
  }
  return "";
}

RingValues allowance_values(RingReadings const& ring, std::size_t index,
                            Allowances const& allowances) {
  return RingLearner(ring, index, allowances).take();
}

}  // namespace stripwright::inspection
