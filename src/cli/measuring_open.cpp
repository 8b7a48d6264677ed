#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <system_error>
#include <utility>

#include "cli/measuring.h"
#include "files/digest.h"

namespace stripwright::cli {
namespace {

/// Nearer than this the asked-for place is meant: a micrometre, far less than anyone can lay
/// a caliper, and more than a place loses when it is written.
constexpr Length kSameMark = Length::millimetres(1e-3);

bool has_bytes(std::string const& path) {
  std::error_code fault;
  return std::filesystem::exists(path, fault) && std::filesystem::file_size(path, fault) > 0 &&
         !fault;
}

/// How long a byte order mark the file has before this text.
std::size_t byte_order_mark_before(std::string_view text, std::string const& path) {
  std::error_code fault;
  const auto bytes = std::filesystem::file_size(path, fault);
  return fault ? 0 : static_cast<std::size_t>(bytes) - text.size();
}

MeasuringAnswer changed_meanwhile() {
  return {MeasuringOutcome::changed, 0,
          "nothing was done: the readings have changed since they were shown", std::nullopt};
}

MeasuringAnswer not_opened(Problems const& problems) {
  auto const& last = problems.list().back();
  return {MeasuringOutcome::not_opened, 0,
          fmt::format("{}: {}; {}", last.place.file, last.what, last.remedy), std::nullopt};
}

}  // namespace

std::optional<Measuring> Measuring::open(CheckOptions const& options, Inputs& inputs,
                                         Problems& problems) {
  const auto unit = readings_unit(options, problems);
  if (problems.any_error()) return std::nullopt;
  std::optional<HeadedReadings> there;
  auto kind =
      inspection::kind_of(inspection::stage_of(options.stage).value_or(inspection::Stage::milled));
  if (has_bytes(options.readings)) {
    there = read_header(options, problems);
    if (!there) return std::nullopt;
    kind = there->columns.kind;
  }
  auto bench = prepare_check(inputs, options, kind, problems);
  if (!bench) return std::nullopt;
  const auto header = new_header(*bench, options);
  const files::SourceText new_source(options.readings, header + "\n");
  auto const& source = there ? there->source : new_source;
  const auto columns =
      there ? std::optional(there->columns) : inspection::read_columns(new_source, unit, problems);
  std::vector<KeptReading> kept;
  if (there) kept = kept_readings(*bench, source, *columns, problems);
  if (!kept.empty() && problems.errors() == 0)
    inspection::read_readings(source, *columns, bench->order(), problems);
  if (!columns || problems.any_error()) return std::nullopt;
  auto asked = plan_asking(*bench, options, *columns, kept, problems);
  if (problems.any_error()) return std::nullopt;
  Measuring out(std::move(*bench), *columns, std::move(asked));
  out.path_ = options.readings;
  out.header_ = header;
  out.digest_ = files::sha256(source.text());
  out.take_over(kept);
  return out;
}

Measuring::Measuring(CheckBench bench, inspection::ReadingColumns const& columns,
                     std::vector<AskedReading> asked)
    : bench_(std::move(bench)),
      columns_(columns),
      asked_(std::move(asked)),
      values_(asked_.size()),
      left_out_(asked_.size(), false) {
  for (std::size_t i = 0; i < asked_.size(); ++i) {
    auto const& each = asked_[i];
    if (pieces_.empty() || pieces_.back().section != each.section ||
        pieces_.back().name != each.name)
      pieces_.push_back(
          {each.section, bench_.targets[each.section]->section().name, each.name, i, 0, 0});
    ++pieces_.back().places;
    piece_of_.push_back(pieces_.size() - 1);
  }
}

/// Takes over what the file holds, in its order.
void Measuring::take_over(std::vector<KeptReading> const& kept) {
  std::map<std::pair<std::size_t, std::string>, MeasuringPiece const*> pieces;
  for (auto const& each : pieces_) pieces.emplace(std::pair(each.section, each.name), &each);
  for (auto const& reading : kept) {
    const auto found = pieces.find({reading.section, reading.name});
    if (found == pieces.end()) continue;
    auto const& piece = *found->second;
    for (auto i = piece.first; i < piece.first + piece.places; ++i) {
      if (asked_[i].height != reading.height || abs(asked_[i].at - reading.at) >= kSameMark)
        continue;
      values_[i].push_back(reading.value);
      rows_.push_back({i, reading.offset, reading.alone});
      break;
    }
  }
  // Behind the last reading it goes on; what was left out before it comes last.
  now_ = rows_.empty() ? first_open(0) : first_open(rows_.back().index + 1);
  if (done()) now_ = first_open(0);
}

std::string Measuring::mark() const {
  std::string all;
  const auto out = std::back_inserter(all);
  for (auto const& each : asked_)
    fmt::format_to(out, "{} {} {} {}\n", each.section, files::csv_quoted(each.name),
                   each.at.from_zero().in_millimetres(), each.height);
  auto taken = std::vector<std::size_t>(size());
  for (auto const& [index, offset, alone] : rows_)
    fmt::format_to(out, "{} {} {} {}\n", index, offset, alone,
                   values_[index][taken[index]++].in_millimetres());
  return files::sha256(all);
}

std::optional<MeasuringAnswer> Measuring::hold(std::string_view seen, Problems& problems) {
  check_internal(!log_, "a file that is held already");
  if (seen != mark()) return changed_meanwhile();
  auto log = files::ReadingLog::open(path_, header_, problems);
  if (!log) return not_opened(problems);
  // Until it was held others could still add to it.
  const auto source = files::read_source(path_, problems);
  if (!source) return not_opened(problems);
  if (files::sha256(source->text()) != digest_) return changed_meanwhile();
  byte_order_mark_ = byte_order_mark_before(source->text(), path_);
  log_ = std::move(*log);
  return std::nullopt;
}

}  // namespace stripwright::cli
