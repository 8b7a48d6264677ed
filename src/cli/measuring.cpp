#include "cli/measuring.h"

#include <fmt/format.h>

#include <algorithm>

#include "inspection/impossible.h"
#include "inspection/lone_readings.h"
#include "units/format.h"

namespace stripwright::cli {
namespace {

using inspection::Judged;
using inspection::ReadingKind;
using inspection::Verdict;

MeasuringAnswer not_kept(MeasuringOutcome outcome, std::size_t index, std::string_view why) {
  return {outcome, index, fmt::format("not kept: {}", why), std::nullopt};
}

/// What the log has told last.
MeasuringAnswer disk_failed(std::size_t index, Problems const& problems) {
  auto const& last = problems.list().back();
  return {MeasuringOutcome::disk_failed, index, fmt::format("{}; {}", last.what, last.remedy),
          std::nullopt};
}

}  // namespace

std::size_t Measuring::measured() const {
  return static_cast<std::size_t>(std::count_if(values_.begin(), values_.end(),
                                                [](auto const& each) { return !each.empty(); }));
}

MeasuringPlace Measuring::place(std::size_t index) const {
  check_internal(index < size(), "a place that is not asked for");
  auto const& asked = asked_[index];
  const auto wanted = bench_.targets[asked.section]->at(asked.at);
  return {piece_of_[index],
          asked.section,
          asked.at,
          bench_.place(asked.section, asked.at),
          inspection::heights_of(bench_.kind())[asked.height],
          columns_.heights[asked.height]->unit,
          wanted[asked.height],
          values_[index],
          judge(index, wanted),
          left_out_[index] && values_[index].empty()};
}

std::vector<MeasuringPiece> Measuring::pieces() const {
  auto out = pieces_;
  for (std::size_t i = 0; i < size(); ++i)
    if (!values_[i].empty()) ++out[piece_of_[i]].measured;
  return out;
}

std::vector<std::size_t> Measuring::left_out() const {
  std::vector<std::size_t> out;
  for (std::size_t i = 0; i < size(); ++i)
    if (left_out_[i] && values_[i].empty()) out.push_back(i);
  return out;
}

std::optional<std::size_t> Measuring::last_read() const {
  return rows_.empty() ? std::nullopt : std::optional(rows_.back().index);
}

Unit Measuring::unit() const {
  return columns_.heights[0] ? columns_.heights[0]->unit : bench_.inputs->unit;
}

std::string Measuring::show(Length length) const {
  return format_length(length, unit(), bench_decimals(unit()));
}

std::string Measuring::place_words(std::size_t index) const {
  check_internal(index < size(), "a place that is not asked for");
  auto const& asked = asked_[index];
  const Unit of_taper = bench_.inputs->taper.unit;
  const auto at = format_short(in_unit(bench_.place(asked.section, asked.at), of_taper),
                               bench_decimals(of_taper));
  auto const& section = bench_.targets[asked.section]->section().name;
  const auto height = inspection::word(inspection::heights_of(bench_.kind())[asked.height]);
  if (bench_.kind() == ReadingKind::groove)
    return fmt::format("{}, machine position {}, gauge", section, at);
  return fmt::format("{} {}, station {}, {}", section, asked.name, at, height);
}

std::string Measuring::judged_words(Judged const& judged) const {
  const Length off = judged.deviation();
  const auto what_to_do = advice(judged);
  return fmt::format("{}{}, {} {} its target{}{}", show(judged.read.mean),
                     judged.read.count > 1 ? fmt::format(" (mean of {})", judged.read.count) : "",
                     show(abs(off)), off < Length{} ? "under" : "over",
                     what_to_do.empty() ? "" : ": ", what_to_do);
}

std::string Measuring::advice(Judged const& judged) const {
  // Nothing is to be cut for a reading that may be misread.
  if (judged.lone)
    return fmt::format(
        "what was read beside it says {}; take it back if it was misread, else read it once more, "
        "so that it counts",
        show(judged.lone->expected));
  if (judged.verdict == Verdict::unsure) return "too close to call";
  if (judged.verdict == Verdict::thick && bench_.kind() == ReadingKind::strips)
    return fmt::format("so much height is to come off, {} from each flank",
                       format_length(judged.deviation() / 2, unit(), bench_decimals(unit()) + 1));
  return "";
}

std::size_t Measuring::first_open(std::size_t from) const {
  while (from < size() && !is_open(from)) ++from;
  return from;
}

void Measuring::go_on() {
  const auto next = first_open(now_ + 1);
  now_ = next < size() ? next : first_open(0);
}

bool Measuring::go_to(std::size_t index) {
  if (index >= size()) return false;
  now_ = index;
  return true;
}

bool Measuring::go_to_last() {
  if (rows_.empty()) return false;
  now_ = rows_.back().index;
  return true;
}

void Measuring::skip() {
  if (done()) return;
  left_out_[now_] = true;
  go_on();
}

void Measuring::next_piece() {
  if (done()) return;
  for (const auto piece = piece_of_[now_]; now_ < size() && piece_of_[now_] == piece; ++now_)
    if (is_open(now_)) left_out_[now_] = true;
  now_ = first_open(now_);
  if (done()) now_ = first_open(0);
}

void Measuring::leave_out(std::vector<std::size_t> const& indexes) {
  for (const auto index : indexes)
    if (index < size()) left_out_[index] = true;
  if (!done() && left_out_[now_]) go_on();
}

MeasuringAnswer Measuring::take_back(Problems& problems) {
  check_internal(log_.has_value(), "a reading taken back from a file that is not held");
  if (rows_.empty())
    return {MeasuringOutcome::nothing_to_take_back, now_, "nothing is left to take back",
            std::nullopt};
  const auto last = rows_.back();
  if (!last.alone)
    return {MeasuringOutcome::several_in_row, last.index,
            "the last row of the file holds several readings: change it in the file", std::nullopt};
  if (!log_->take_back(last.offset + byte_order_mark_, problems))
    return disk_failed(last.index, problems);
  rows_.pop_back();
  values_[last.index].pop_back();
  now_ = last.index;
  return {MeasuringOutcome::taken_back, last.index,
          fmt::format("taken back: {}", place_words(last.index)), std::nullopt};
}

MeasuringAnswer Measuring::read(std::size_t index, std::string_view typed, Problems& problems) {
  check_internal(log_.has_value(), "a reading into a file that is not held");
  if (!go_to(index))
    return not_kept(MeasuringOutcome::no_such_place, index, "there is no such place");
  auto const& asked = asked_[index];
  const auto number = as_typed(typed);
  const auto parsed = files::csv_length(number, columns_.heights[asked.height]->unit);
  if (!parsed)
    return not_kept(MeasuringOutcome::not_a_number, index,
                    fmt::format("{}; {}", parsed.fault, parsed.remedy));
  if (auto refused = refusal(index, *parsed.value)) return *refused;
  if (!log_->keep(row_of(bench_, columns_, asked, number), problems))
    return disk_failed(index, problems);
  rows_.push_back({index, *log_->last_row() - byte_order_mark_, true});
  values_[index].push_back(*parsed.value);
  go_on();
  auto judged = judge(index, bench_.targets[asked.section]->at(asked.at));
  judged->lone = doubt(index);
  auto words = judged_words(*judged);
  return {MeasuringOutcome::kept, index, std::move(words), judged};
}

/// Why a length cannot be a reading of a place; nothing if it can.
std::optional<MeasuringAnswer> Measuring::refusal(std::size_t index, Length value) const {
  auto const& asked = asked_[index];
  auto const& targets = *bench_.targets[asked.section];
  const auto wanted = targets.at(asked.at)[asked.height];
  if (!wanted)
    return not_kept(MeasuringOutcome::cannot_be_read, index,
                    "the gauge's point cannot read the groove there; skip leaves it out");
  if (inspection::can_be(value, wanted->value)) return std::nullopt;
  const auto guess = inspection::guess_about_value({asked.at, asked.height, value, bench_.kind(),
                                                    columns_.heights[asked.height]->unit, targets,
                                                    bench_.order().choice.sections});
  return not_kept(MeasuringOutcome::cannot_be, index,
                  fmt::format("{} cannot be, it should be near {}; {}", format_short(value, unit()),
                              show(wanted->value), guess.empty() ? "read it again" : guess));
}

/// The verdict of what was read of one height at one place.
std::optional<Judged> Measuring::judge(std::size_t index,
                                       inspection::PlaceTargets const& wanted) const {
  auto const& asked = asked_[index];
  if (values_[index].empty() || !wanted[asked.height]) return std::nullopt;
  inspection::PlaceReadings read{asked.at, {}, 0, 0};
  read.heights[asked.height] = inspection::repeated(values_[index]);
  return inspection::judge(read, wanted, bench_.kind(), bench_.judge).heights[asked.height];
}

/// A piece as far as it has been read.
inspection::JudgedPiece Measuring::judged_piece(MeasuringPiece const& piece) const {
  inspection::JudgedPiece out{piece.name, piece.section, {}};
  for (auto i = piece.first; i < piece.first + piece.places; ++i) {
    if (values_[i].empty()) continue;
    auto const& asked = asked_[i];
    if (out.places.empty() || !same_place(out.places.back().at, asked.at))
      out.places.push_back({asked.at, 0, {}, {}});
    out.places.back().heights[asked.height] = judge(i, bench_.targets[asked.section]->at(asked.at));
  }
  std::sort(out.places.begin(), out.places.end(),
            [](auto const& one, auto const& other) { return one.at < other.at; });
  return out;
}

/// Whether the reading that was taken last at a place stands alone among those that are there.
std::optional<inspection::Lone> Measuring::doubt(std::size_t index) const {
  if (!bench_.doubts_lone_readings()) return std::nullopt;
  auto const& asked = asked_[index];
  const auto its = judged_piece(pieces_[piece_of_[index]]);
  const auto place = static_cast<std::size_t>(
      std::find_if(its.places.begin(), its.places.end(),
                   [&](auto const& each) { return same_place(each.at, asked.at); }) -
      its.places.begin());
  auto lone = inspection::lone_while_measuring(its, place, asked.height, {});
  if (!lone) return std::nullopt;
  // The others cost more, and hardly ever matter.
  std::vector<inspection::JudgedPiece> others;
  for (std::size_t p = 0; p < pieces_.size(); ++p)
    if (p != piece_of_[index] && pieces_[p].section == asked.section)
      others.push_back(judged_piece(pieces_[p]));
  return inspection::lone_while_measuring(its, place, asked.height, others);
}

std::string as_typed(std::string_view line) {
  const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\r'; };
  while (!line.empty() && blank(line.front())) line.remove_prefix(1);
  while (!line.empty() && blank(line.back())) line.remove_suffix(1);
  std::string sign;
  if (line.starts_with('+') || line.starts_with('-')) {
    if (line.front() == '-') sign = "-";
    line.remove_prefix(1);
    while (!line.empty() && blank(line.front())) line.remove_prefix(1);
  }
  while (line.size() > 1 && line[0] == '0' && line[1] >= '0' && line[1] <= '9')
    line.remove_prefix(1);
  return sign + std::string(line);
}

}  // namespace stripwright::cli
