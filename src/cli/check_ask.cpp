#include "cli/check_ask.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <istream>
#include <ostream>

#include "cli/check_sheet.h"
#include "cli/measuring.h"
#include "report/paragraph.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

using inspection::Verdict;

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

/// Asks, and says what came of each line.
class Dialogue {
 public:
  Dialogue(Measuring& measuring, std::istream& in, bool terminal, std::ostream& out)
      : measuring_(measuring), in_(in), terminal_(terminal), out_(out) {}

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
      if (typed == "back" || (!is_a_word(typed) && !measuring_.done())) {
        if (!write(typed == "back", line, problems)) return false;
      } else {
        obey(typed);
      }
    }
    out_ << '\n';
    return true;
  }

 private:
  void say(std::string const& text, std::string_view indent = "") {
    out_ << report::paragraph(text, "", indent) << std::flush;
  }

  void greet() {
    say(fmt::format("One reading a line, then Enter. {}", kWords));
    if (const auto measured = measuring_.measured(); measured > 0)
      say(fmt::format("{} of {} are in the file already.", measured, measuring_.size()));
  }

  void prompt() {
    if (measuring_.done())
      out_ << "All are measured or left out. back, again or end: ";
    else
      out_ << fmt::format("{} of {}: {}: ", measuring_.now() + 1, measuring_.size(),
                          measuring_.place_words(measuring_.now()));
    out_ << std::flush;
  }

  /// A reading, or the last one taken back. False if the disk failed.
  bool write(bool back, std::string const& line, Problems& problems) {
    const auto answer =
        back ? measuring_.take_back(problems) : measuring_.read(measuring_.now(), line, problems);
    if (answer.outcome == MeasuringOutcome::disk_failed) return false;
    if (answer.judged)
      tell_verdict(answer);
    else
      say(answer.words);
    return true;
  }

  /// The words that leave the file alone.
  void obey(std::string const& typed) {
    if (typed == "again") {
      if (!measuring_.go_to_last()) say("nothing has been read yet");
    } else if (measuring_.done()) {
      say("everything is measured; the words are back, again and end");
    } else if (typed == "skip") {
      measuring_.skip();
    } else if (typed == "next") {
      measuring_.next_piece();
    } else {
      say(fmt::format("not understood: {}. {}", quoted_for_message(typed), kWords));
    }
  }

  void tell_verdict(MeasuringAnswer const& answer) {
    const auto verdict = answer.judged->verdict;
    std::string word(verdict_word(measuring_.bench().kind(), verdict));
    if (verdict != Verdict::right)
      std::transform(word.begin(), word.end(), word.begin(),
                     [](char c) { return static_cast<char>(c - 'a' + 'A'); });
    say(fmt::format("{:<8}{}", word, answer.words), "        ");
  }

  Measuring& measuring_;
  std::istream& in_;
  bool terminal_;
  std::ostream& out_;
};

/// Judges what the file holds in the end.
ExitStatus conclude(CheckOptions const& options, CheckBench const& bench, Problems& problems,
                    Streams streams) {
  const auto headed = read_header(options, problems);
  if (!headed) return finish(problems, streams);
  auto const& [source, columns] = *headed;
  // Without a single reading there is nothing to judge, and nothing wrong with that.
  if (kept_readings(bench, source, columns, problems).empty()) {
    streams.err << "no reading was kept\n";
    return finish(problems, streams);
  }
  const auto readings = inspection::read_readings(source, columns, bench.order(), problems);
  if (!readings) return finish(problems, streams);
  const auto status =
      print_and_write_check({bench, options, *readings}, source, streams.out, problems);
  return std::max(status, finish(problems, streams));
}

}  // namespace

ExitStatus ask_readings(CheckOptions const& options, Inputs& inputs, Problems& problems,
                        std::istream& in, Streams streams) {
  auto measuring = Measuring::open(options, inputs, problems);
  if (!measuring) return finish(problems, streams);
  if (const auto refused = measuring->hold(measuring->mark(), problems)) {
    if (refused->outcome == MeasuringOutcome::changed)
      problems.error("the file of readings was changed while it was opened", "call again");
    finish(problems, streams);
    return ExitStatus::failed;
  }
  const bool text = format_of(options.common) == Format::text;
  Dialogue dialogue(*measuring, in, ::isatty(STDIN_FILENO) != 0, text ? streams.out : streams.err);
  if (!dialogue.run(problems)) {
    finish(problems, streams);
    return ExitStatus::failed;
  }
  measuring->let_go();
  return conclude(options, measuring->bench(), problems, streams);
}

}  // namespace stripwright::cli
