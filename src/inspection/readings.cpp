#include "inspection/readings.h"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <numeric>
#include <unordered_map>

#include "inspection/impossible.h"
#include "inspection/one_cause.h"
#include "units/format.h"

namespace stripwright::inspection {
namespace {

constexpr std::uint32_t kNone = std::numeric_limits<std::uint32_t>::max();

/// A row with what follows from it: the section it belongs to, and its place among all places.
struct PlacedRow {
  std::uint32_t piece = kNone;
  std::uint32_t place = kNone;
};

class ReadingsReader {
 public:
  ReadingsReader(files::SourceText const& source, ReadingColumns const& columns,
                 ReadingsOrder const& order, Problems& problems)
      : source_(source),
        columns_(columns),
        order_(order),
        sections_(order.choice.sections),
        problems_(problems) {}

  std::optional<Readings> read() {
    const auto errors_before = problems_.errors();
    check_internal(!sections_.empty(), "readings of no section");
    rows_ = read_rows(source_, columns_, order_.choice, order_.nameless, problems_);
    placed_.resize(rows_.rows.size());
    find_sections();
    find_places();
    for (std::size_t i = 0; i < rows_.rows.size(); ++i)
      if (placed_[i].piece != kNone) check_row(i);
    if (problems_.errors() == errors_before && rows_.rows.empty()) refuse_empty();
    if (problems_.errors() > errors_before) return std::nullopt;
    bring_together();
    out_.kind = columns_.kind;
    out_.left_out = rows_.left_out;
    return std::move(out_);
  }

  ReadingRows const& rows() const { return rows_; }

 private:
  void refuse(ReadingRow const& row, std::string what, std::string remedy = {}) {
    refuse_at(row.offset, std::move(what), std::move(remedy));
  }

  void refuse_at(std::size_t offset, std::string what, std::string remedy) {
    problems_.add(source_.problem(offset, std::move(what), std::move(remedy)));
  }

  /// Where a column of a row begins: rows do not keep it, so it is read once more.
  std::size_t offset_in(ReadingRow const& row, std::size_t column) {
    files::CsvReader reader(source_, problems_, row.offset, columns_.separator);
    files::CsvRecord record;
    return reader.next(record) && column < record.fields.size() ? record.fields[column].offset
                                                                : row.offset;
  }

  void refuse_empty() {
    problems_.add(
        {Severity::error,
         {source_.name(), 0, 0},
         rows_.left_out > 0 ? "holds no readings of the sections asked for" : "holds no readings",
         "write a row for each reading under the header",
         {}});
  }

  std::string section_names() const {
    std::vector<std::string_view> names;
    for (auto const* each : sections_) names.push_back(each->section().name);
    return fmt::format("{}", fmt::join(names, ", "));
  }

  // --- which section a row belongs to

  /// The one section that holds the whole stretch, without or with its spare.
  std::optional<std::size_t> only_holder(Station from, Station to) const {
    for (const bool with_spare : {false, true}) {
      std::optional<std::size_t> holder;
      int holders = 0;
      for (std::size_t s = 0; s < sections_.size(); ++s) {
        const Station begins = with_spare ? sections_[s]->first() : sections_[s]->section().from;
        const Station ends = with_spare ? sections_[s]->last() : sections_[s]->section().to;
        if (from < begins - kSamePlace || to > ends + kSamePlace) continue;
        holder = s;
        ++holders;
      }
      if (holders == 1) return holder;
      if (holders > 1) return std::nullopt;
    }
    return std::nullopt;
  }

  void find_sections() {
    struct Stretch {
      bool any = false;
      Length from;
      Length to;
    };
    std::vector<Stretch> stretches(rows_.names.size());
    const bool by_station = columns_.place_from == PlaceFrom::rod_tip;
    if (sections_.size() > 1 && by_station)
      for (auto const& row : rows_.rows) {
        if (row.section) continue;
        auto& stretch = stretches[row.name];
        stretch.from = stretch.any ? std::min(stretch.from, row.place) : row.place;
        stretch.to = stretch.any ? std::max(stretch.to, row.place) : row.place;
        stretch.any = true;
      }
    std::vector<std::optional<std::size_t>> of_name(rows_.names.size());
    for (std::size_t n = 0; n < of_name.size(); ++n)
      if (stretches[n].any)
        of_name[n] = only_holder(Station(stretches[n].from), Station(stretches[n].to));
    pieces_of_.assign(rows_.names.size() * sections_.size(), kNone);
    for (std::size_t i = 0; i < rows_.rows.size(); ++i) {
      auto const& row = rows_.rows[i];
      std::optional<std::size_t> section = row.section;
      if (!section && sections_.size() == 1) section = 0;
      if (!section) section = of_name[row.name];
      if (!section && by_station) section = only_holder(Station(row.place), Station(row.place));
      if (section)
        placed_[i].piece = piece_of(row, *section);
      else
        refuse_sectionless(row, by_station);
    }
  }

  void refuse_sectionless(ReadingRow const& row, bool by_station) {
    const auto remedy = fmt::format(
        "add a column section, or call with --section; the sections are {}", section_names());
    if (!by_station) return refuse(row, "the section does not follow from the place", remedy);
    const Station at(row.place);
    const auto held = std::any_of(sections_.begin(), sections_.end(), [&](auto const* each) {
      return at > each->first() - kSamePlace && at < each->last() + kSamePlace;
    });
    const auto where = format_short(row.place, order_.unit);
    const auto offset = offset_in(row, columns_.place.column);
    if (held)
      return refuse_at(offset, fmt::format("station {} may be of several sections", where), remedy);
    auto guess = guess_about_place(at, columns_.place.unit, *sections_.front(), order_.unit);
    refuse_at(
        offset, fmt::format("station {} is on the strip of no section", where),
        guess.empty() ? fmt::format("the sections are {}", section_names()) : std::move(guess));
  }

  std::uint32_t piece_of(ReadingRow const& row, std::size_t section) {
    auto& piece = pieces_of_[row.name * sections_.size() + section];
    if (piece == kNone) {
      piece = static_cast<std::uint32_t>(out_.pieces.size());
      out_.pieces.push_back({rows_.names[row.name], section, {}});
    }
    return piece;
  }

  // --- where a row lies along the rod

  Station station_of(ReadingRow const& row, std::size_t section) const {
    switch (columns_.place_from) {
      case PlaceFrom::rod_tip:
        return Station(row.place);
      case PlaceFrom::strip_end:
        return sections_[section]->first() + row.place;
      case PlaceFrom::machine_zero:
        return sections_[section]->station_at(MachinePosition(row.place));
    }
    return {};
  }

  /// Numbers all places along the rod, those that are the same with the same number.
  void find_places() {
    std::unordered_map<std::uint64_t, std::uint32_t> known;
    std::vector<Station> seen;
    for (std::size_t i = 0; i < placed_.size(); ++i) {
      if (placed_[i].piece == kNone) continue;
      const Station at = station_of(rows_.rows[i], out_.pieces[placed_[i].piece].section);
      const auto bits = std::bit_cast<std::uint64_t>(at.from_zero().in_millimetres());
      const auto [found, is_new] = known.try_emplace(bits, static_cast<std::uint32_t>(seen.size()));
      if (is_new) seen.push_back(at);
      placed_[i].place = found->second;
    }
    std::vector<std::uint32_t> order(seen.size());
    std::iota(order.begin(), order.end(), 0U);
    std::sort(order.begin(), order.end(),
              [&](auto one, auto other) { return seen[one] < seen[other]; });
    std::vector<std::uint32_t> place_of(seen.size());
    for (const auto each : order) {
      if (places_.empty() || !same_place(places_.back(), seen[each])) places_.push_back(seen[each]);
      place_of[each] = static_cast<std::uint32_t>(places_.size() - 1);
    }
    for (auto& row : placed_)
      if (row.place != kNone) row.place = place_of[row.place];
    targets_of_.assign(places_.size() * sections_.size(), kNone);
  }

  std::uint32_t targets_of(std::size_t section, std::uint32_t place) {
    auto& index = targets_of_[place * sections_.size() + section];
    if (index == kNone) {
      index = static_cast<std::uint32_t>(out_.targets.size());
      out_.targets.push_back(sections_[section]->at(places_[place]));
    }
    return index;
  }

  // --- whether it can be

  void check_row(std::size_t i) {
    auto const& row = rows_.rows[i];
    const auto section = out_.pieces[placed_[i].piece].section;
    auto const& targets = *sections_[section];
    const Station at = places_[placed_[i].place];
    if (at < targets.first() - kSamePlace || at > targets.last() + kSamePlace)
      return refuse_place(row, targets);
    const PlaceTargets wanted = out_.targets[targets_of(section, placed_[i].place)];
    for (std::size_t h = 0; h < kMostHeights; ++h) {
      if (!has(row, h)) continue;
      if (!wanted[h])
        refuse(row, "the gauge's point cannot read the groove there",
               "take the row out, or use another point");
      else if (!can_be(row.values[h], wanted[h]->value))
        refuse_value(
            row, h, wanted[h]->value,
            {at, h, row.values[h], columns_.kind, columns_.heights[h]->unit, targets, sections_});
    }
  }

  void refuse_place(ReadingRow const& row, Targets const& targets) {
    const auto show = [&](Length l) { return format_short(l, order_.unit); };
    const bool groove = columns_.kind == ReadingKind::groove;
    auto remedy =
        columns_.place_from == PlaceFrom::rod_tip
            ? guess_about_place(Station(row.place), columns_.place.unit, targets, order_.unit)
            : std::string();
    if (remedy.empty() && columns_.place_from == PlaceFrom::rod_tip)
      remedy = fmt::format("the strip, spare included, goes from station {} to {}",
                           show(targets.first().from_zero()), show(targets.last().from_zero()));
    if (columns_.place_from == PlaceFrom::strip_end)
      remedy = fmt::format("the strip, spare included, is {} long",
                           show(targets.last() - targets.first()));
    if (groove) remedy = "readings are taken between the first and the last screw";
    refuse_at(offset_in(row, columns_.place.column),
              fmt::format("{} {} is off the {} of section {}",
                          groove                                      ? "machine position"
                          : columns_.place_from == PlaceFrom::rod_tip ? "station"
                                                                      : "the place",
                          show(row.place), groove ? "form" : "strip", targets.section().name),
              std::move(remedy));
  }

  void refuse_value(ReadingRow const& row, std::size_t h, Length target,
                    DoubtfulReading const& odd) {
    auto guess = guess_about_value(odd);
    refuse_at(
        offset_in(row, columns_.heights[h]->column),
        fmt::format("{} of {} cannot be: it should be near {}", word(heights_of(columns_.kind)[h]),
                    format_short(row.values[h], order_.unit),
                    format_length(target, order_.unit, bench_decimals(order_.unit))),
        guess.empty() ? "measure again, or correct the row" : std::move(guess));
  }

  // --- bringing the readings of each place together

  /// Rows by piece, then place, then as they stand in the file.
  std::vector<std::uint32_t> rows_in_order() const {
    std::vector<std::uint32_t> begins(out_.pieces.size() + 1, 0);
    for (auto const& row : placed_) ++begins[row.piece + 1];
    std::partial_sum(begins.begin(), begins.end(), begins.begin());
    std::vector<std::uint32_t> order(placed_.size());
    auto next = begins;
    for (std::uint32_t i = 0; i < placed_.size(); ++i) order[next[placed_[i].piece]++] = i;
    const auto by_place = [&](std::uint32_t one, std::uint32_t other) {
      return placed_[one].place < placed_[other].place;
    };
    for (std::size_t p = 0; p < out_.pieces.size(); ++p) {
      const auto from = order.begin() + begins[p];
      const auto to = order.begin() + begins[p + 1];
      if (!std::is_sorted(from, to, by_place)) std::stable_sort(from, to, by_place);
    }
    return order;
  }

  void bring_together() {
    const auto order = rows_in_order();
    for (std::size_t i = 0; i < order.size();) {
      const auto first = placed_[order[i]];
      std::size_t end = i + 1;
      while (end < order.size() && placed_[order[end]].piece == first.piece &&
             placed_[order[end]].place == first.place)
        ++end;
      auto& piece = out_.pieces[first.piece];
      PlaceReadings place{places_[first.place],
                          {},
                          targets_of(piece.section, first.place),
                          rows_.rows[order[i]].offset};
      for (std::size_t h = 0; h < kMostHeights; ++h) {
        values_.clear();
        for (std::size_t r = i; r < end; ++r)
          if (has(rows_.rows[order[r]], h)) values_.push_back(rows_.rows[order[r]].values[h]);
        place.heights[h] = repeated(values_);
      }
      piece.places.push_back(place);
      i = end;
    }
  }

  files::SourceText const& source_;
  ReadingColumns const& columns_;
  ReadingsOrder const& order_;
  std::vector<Targets const*> const& sections_;
  Problems& problems_;
  ReadingRows rows_;
  std::vector<PlacedRow> placed_;          // of rows_.rows
  std::vector<std::uint32_t> pieces_of_;   // by name and section
  std::vector<Station> places_;            // increasing
  std::vector<std::uint32_t> targets_of_;  // by place and section
  std::vector<Length> values_;
  Readings out_;
};

}  // namespace

std::optional<Readings> read_readings(files::SourceText const& source,
                                      ReadingColumns const& columns, ReadingsOrder const& order,
                                      Problems& problems) {
  Problems found;
  ReadingsReader reader(source, columns, order, found);
  auto out = reader.read();
  add_once(found, {source, columns, reader.rows(), order.choice.sections}, problems);
  return out;
}

}  // namespace stripwright::inspection
