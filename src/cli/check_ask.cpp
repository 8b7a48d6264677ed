#include "cli/check_ask.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <istream>
#include <ostream>

#include "cli/ask_plan.h"
#include "cli/check_sheet.h"
#include "files/reading_log.h"
#include "inspection/impossible.h"
#include "report/paragraph.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

using inspection::ReadingColumns;
using inspection::ReadingKind;
using inspection::Verdict;

/// Nearer than this the asked-for place is meant: a micrometre, far less than anyone can lay
/// a caliper, and more than a place loses when it is written.
constexpr Length kSameMark = Length::millimetres(1e-3);

constexpr char kWords[] =
    "Words: back takes the last one back, again reads the last place once more (the mean counts), "
    "skip leaves one out, next goes on to the next strip, end ends.";

/// Something that nobody types for a number.
bool is_a_word(std::string const& typed) {
  return std::none_of(typed.begin(), typed.end(), [](char c) { return c >= '0' && c <= '9'; });
}

ExitStatus finish(Problems const& problems, Streams streams) {
  streams.err << problems.text();
  return status_of(problems);
}

/// What lies in the file before anything is asked.
struct OpenedReadings {
  files::SourceText source;
  ReadingColumns columns;
  std::size_t byte_order_mark = 0;  ///< its length in the file
};

class Dialogue {
 public:
  Dialogue(CheckBench const& bench, ReadingColumns const& columns, std::vector<AskedReading> asked,
           files::ReadingLog log, std::istream& in, bool terminal, std::ostream& out)
      : bench_(bench),
        columns_(columns),
        asked_(std::move(asked)),
        values_(asked_.size()),
        skipped_(asked_.size(), false),
        log_(std::move(log)),
        in_(in),
        terminal_(terminal),
        out_(out) {}

  /// Takes over what the file holds, in its order; offsets are those of the file.
  void take_over(std::vector<KeptReading> const& kept, std::size_t byte_order_mark) {
    for (auto const& reading : kept) {
      const auto found = std::find_if(asked_.begin(), asked_.end(), [&](AskedReading const& each) {
        return each.section == reading.section && each.height == reading.height &&
               each.name == reading.name && abs(each.at - reading.at) < kSameMark;
      });
      if (found == asked_.end()) continue;
      const auto index = static_cast<std::size_t>(found - asked_.begin());
      values_[index].push_back(reading.value);
      kept_.push_back({index, reading.offset + byte_order_mark, reading.alone});
    }
    // Behind the last reading it goes on; what was left out before it comes last.
    now_ = kept_.empty() ? first_open(0) : first_open(kept_.back().index + 1);
    if (now_ == asked_.size()) now_ = first_open(0);
  }

  /// False if the disk failed.
  bool run(Problems& problems) {
    greet();
    std::string line;
    while (prompt(), std::getline(in_, line)) {
      const auto typed = as_typed(line);
      // A terminal shows what is typed; a log of what came through a pipe should, too.
      if (!terminal_) out_ << typed << '\n';
      if (typed.empty()) continue;
      if (typed == "end") return true;
      if (!answer(typed, problems)) return false;
    }
    out_ << '\n';
    return true;
  }

 private:
  struct Kept {
    std::size_t index;
    std::size_t offset;
    bool alone;
  };

  Unit unit() const {
    return columns_.heights[0] ? columns_.heights[0]->unit : bench_.inputs->unit;
  }
  std::string show(Length l) const { return format_length(l, unit(), bench_decimals(unit())); }
  bool done() const { return now_ == asked_.size(); }
  bool open(std::size_t index) const { return values_[index].empty() && !skipped_[index]; }
  std::size_t first_open(std::size_t from) const {
    while (from < asked_.size() && !open(from)) ++from;
    return from;
  }
  void say(std::string const& text, std::string_view indent = "") {
    out_ << report::paragraph(text, "", indent) << std::flush;
  }

  void greet() {
    const auto measured = static_cast<std::size_t>(std::count_if(
        values_.begin(), values_.end(), [](auto const& each) { return !each.empty(); }));
    say(fmt::format("One reading a line, then Enter. {}", kWords));
    if (measured > 0)
      say(fmt::format("{} of {} are in the file already.", measured, asked_.size()));
  }

  void prompt() {
    if (done())
      out_ << "All are measured or left out. back, again or end: ";
    else
      out_ << fmt::format("{} of {}: {}: ", now_ + 1, asked_.size(), place_words(asked_[now_]));
    out_ << std::flush;
  }

  std::string place_words(AskedReading const& asked) const {
    const auto at =
        format_short(in_unit(bench_.place(asked.section, asked.at), bench_.inputs->taper.unit),
                     bench_decimals(bench_.inputs->taper.unit));
    auto const& section = bench_.targets[asked.section]->section().name;
    const auto height = inspection::word(inspection::heights_of(bench_.kind())[asked.height]);
    if (bench_.kind() == ReadingKind::groove)
      return fmt::format("{}, machine position {}, gauge", section, at);
    return fmt::format("{} {}, station {}, {}", section, asked.name, at, height);
  }

  /// False if the disk failed.
  bool answer(std::string const& typed, Problems& problems) {
    if (typed == "back") return take_back(problems);
    if (typed == "again") {
      if (kept_.empty())
        say("nothing has been read yet");
      else
        now_ = kept_.back().index;
      return true;
    }
    if (done()) {
      say("everything is measured; the words are back, again and end");
      return true;
    }
    if (typed == "skip") {
      skipped_[now_] = true;
      go_on();
    } else if (typed == "next") {
      next_strip();
    } else if (is_a_word(typed)) {
      say(fmt::format("not understood: {}. {}", quoted_for_message(typed), kWords));
    } else {
      return reading(typed, problems);
    }
    return true;
  }

  void go_on() {
    const auto next = first_open(now_ + 1);
    now_ = next < asked_.size() ? next : first_open(0);
  }

  void next_strip() {
    const auto name = asked_[now_].name;
    const auto section = asked_[now_].section;
    for (; now_ < asked_.size() && asked_[now_].name == name && asked_[now_].section == section;
         ++now_)
      if (open(now_)) skipped_[now_] = true;
    now_ = first_open(now_);
    if (done()) now_ = first_open(0);
  }

  bool take_back(Problems& problems) {
    if (kept_.empty()) {
      say("nothing is left to take back");
      return true;
    }
    const auto last = kept_.back();
    if (!last.alone) {
      say("the last row of the file holds several readings: change it in the file");
      return true;
    }
    if (!log_.take_back(last.offset, problems)) return false;
    kept_.pop_back();
    values_[last.index].pop_back();
    now_ = last.index;
    say(fmt::format("taken back: {}", place_words(asked_[now_])));
    return true;
  }

  bool reading(std::string const& typed, Problems& problems) {
    auto const& asked = asked_[now_];
    const auto parsed = files::csv_length(typed, columns_.heights[asked.height]->unit);
    if (!parsed) {
      say(fmt::format("not kept: {}; {}", parsed.fault, parsed.remedy));
      return true;
    }
    auto const& targets = *bench_.targets[asked.section];
    const auto wanted = targets.at(asked.at);
    if (!wanted[asked.height]) {
      say("not kept: the gauge's point cannot read the groove there; skip leaves it out");
      return true;
    }
    if (!inspection::can_be(*parsed.value, wanted[asked.height]->value)) {
      auto guess = inspection::guess_about_value(
          {asked.at, asked.height, *parsed.value, bench_.kind(),
           columns_.heights[asked.height]->unit, targets, bench_.order().choice.sections});
      say(fmt::format("not kept: {} cannot be, it should be near {}; {}",
                      format_short(*parsed.value, unit()), show(wanted[asked.height]->value),
                      guess.empty() ? "read it again" : guess));
      return true;
    }
    if (!log_.keep(row_of(bench_, columns_, asked, typed), problems)) return false;
    kept_.push_back({now_, *log_.last_row(), true});
    values_[now_].push_back(*parsed.value);
    tell_verdict(asked, wanted);
    go_on();
    return true;
  }

  void tell_verdict(AskedReading const& asked, inspection::PlaceTargets const& wanted) {
    inspection::PlaceReadings place{asked.at, {}, 0, 0};
    place.heights[asked.height] = inspection::repeated(values_[now_]);
    const auto judged =
        *inspection::judge(place, wanted, bench_.kind(), bench_.judge).heights[asked.height];
    std::string word(verdict_word(bench_.kind(), judged.verdict));
    if (judged.verdict != Verdict::right)
      std::transform(word.begin(), word.end(), word.begin(),
                     [](char c) { return static_cast<char>(c - 'a' + 'A'); });
    const Length off = judged.deviation();
    std::string text =
        fmt::format("{:<8}{}{}, {} {} its target", word, show(judged.read.mean),
                    judged.read.count > 1 ? fmt::format(" (mean of {})", judged.read.count) : "",
                    show(abs(off)), off < Length{} ? "under" : "over");
    if (judged.verdict == Verdict::unsure) text += ": too close to call";
    if (judged.verdict == Verdict::thick && bench_.kind() == ReadingKind::strips)
      text += fmt::format(": so much height is to come off, {} from each flank",
                          format_length(off / 2, unit(), bench_decimals(unit()) + 1));
    say(text, "        ");
  }

  CheckBench const& bench_;
  ReadingColumns const& columns_;
  std::vector<AskedReading> asked_;
  std::vector<std::vector<Length>> values_;  // of asked_
  std::vector<bool> skipped_;                // of asked_
  std::vector<Kept> kept_;                   // in the order of the file
  std::size_t now_ = 0;                      // index into asked_, its size when all is done
  files::ReadingLog log_;
  std::istream& in_;
  bool terminal_;
  std::ostream& out_;
};

bool has_bytes(std::string const& path) {
  std::error_code fault;
  return std::filesystem::exists(path, fault) && std::filesystem::file_size(path, fault) > 0 &&
         !fault;
}

std::optional<OpenedReadings> open_existing(CheckOptions const& options, Problems& problems) {
  auto source = files::read_source(options.readings, problems);
  const auto unit = readings_unit(options, problems);
  if (!source || problems.any_error()) return std::nullopt;
  const auto columns = inspection::read_columns(*source, unit, problems);
  if (!columns) return std::nullopt;
  std::error_code fault;
  const auto bytes = std::filesystem::file_size(options.readings, fault);
  const auto mark = fault ? 0 : static_cast<std::size_t>(bytes) - source->text().size();
  return OpenedReadings{std::move(*source), *columns, mark};
}

/// Judges what the file holds in the end.
ExitStatus conclude(CheckOptions const& options, CheckBench const& bench, Problems& problems,
                    Streams streams) {
  const auto opened = open_existing(options, problems);
  if (!opened) return finish(problems, streams);
  // Without a single reading there is nothing to judge, and nothing wrong with that.
  if (kept_readings(bench, opened->source, opened->columns, problems).empty()) {
    streams.err << "no reading was kept\n";
    return finish(problems, streams);
  }
  const auto readings =
      inspection::read_readings(opened->source, opened->columns, bench.order(), problems);
  if (!readings) return finish(problems, streams);
  const auto status =
      print_and_write_check({bench, options, *readings}, opened->source, streams.out, problems);
  return std::max(status, finish(problems, streams));
}

}  // namespace

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

ExitStatus ask_readings(CheckOptions const& options, Inputs& inputs, Problems& problems,
                        std::istream& in, Streams streams) {
  std::optional<OpenedReadings> opened;
  auto kind =
      inspection::kind_of(inspection::stage_of(options.stage).value_or(inspection::Stage::milled));
  if (has_bytes(options.readings)) {
    opened = open_existing(options, problems);
    if (!opened) return finish(problems, streams);
    kind = opened->columns.kind;
  }
  const auto bench = prepare_check(inputs, options, kind, problems);
  if (!bench) return finish(problems, streams);
  const auto header = new_header(*bench, options);
  const files::SourceText new_source(options.readings, header + "\n");
  const auto columns =
      opened ? std::optional(opened->columns)
             : inspection::read_columns(new_source, readings_unit(options, problems), problems);
  std::vector<KeptReading> kept;
  if (opened) kept = kept_readings(*bench, opened->source, opened->columns, problems);
  if (!kept.empty() && problems.errors() == 0)
    inspection::read_readings(opened->source, opened->columns, bench->order(), problems);
  if (!columns || problems.any_error()) return finish(problems, streams);
  auto asked = plan_asking(*bench, options, *columns, kept, problems);
  if (problems.any_error()) return finish(problems, streams);
  auto log = files::ReadingLog::open(options.readings, header, problems);
  if (!log) {
    finish(problems, streams);
    return ExitStatus::failed;
  }
  const bool text = format_of(options.common) == Format::text;
  bool kept_all = true;
  {
    Dialogue dialogue(*bench, *columns, std::move(asked), std::move(*log), in,
                      ::isatty(STDIN_FILENO) != 0, text ? streams.out : streams.err);
    dialogue.take_over(kept, opened ? opened->byte_order_mark : 0);
    kept_all = dialogue.run(problems);
  }
  if (!kept_all) {
    finish(problems, streams);
    return ExitStatus::failed;
  }
  return conclude(options, *bench, problems, streams);
}

}  // namespace stripwright::cli
