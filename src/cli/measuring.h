#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "cli/ask_plan.h"
#include "cli/check.h"
#include "files/reading_log.h"
#include "inspection/judge.h"

namespace stripwright::cli {

/// How it came out when something was to be done to the readings.
enum class MeasuringOutcome : unsigned char {
  kept,                  ///< the reading is in the file, on the disk
  taken_back,            ///< the last one counts no more
  no_such_place,         ///< nothing is asked for at that index
  not_a_number,          ///< what was typed is no length
  cannot_be,             ///< a length, but far from what can have been measured
  cannot_be_read,        ///< the gauge's point does not reach the groove there
  nothing_to_take_back,  ///< no reading is left
  several_in_row,        ///< the last row holds several readings: to be changed in the file
  changed,               ///< the file is not as it was seen: to be looked at again
  not_opened,            ///< another program adds to the file, or the disk will not
  disk_failed            ///< the file is as before, or what was being added is a remark
};

/// What came of it. Only with `kept` and `taken_back` has anything changed.
struct MeasuringAnswer {
  MeasuringOutcome outcome = MeasuringOutcome::kept;
  std::size_t index = 0;  ///< the place that was read, or taken back
  std::string words;      ///< the same for people
  /// With `kept`: the mean of what was read there; its `lone` set where those that were read before
  /// do not bear it out.
  std::optional<inspection::Judged> judged;
};

/// One reading that is asked for, and what is known of it.
struct MeasuringPlace {
  std::size_t piece = 0;    ///< index into `Measuring::pieces`
  std::size_t section = 0;  ///< of the bench
  Station at;
  Length place;  ///< as it is shown: the station, or of a groove the place on the machine
  inspection::Height height = inspection::Height::a;
  Unit typed_in = Unit::inch;                ///< a number without a unit is taken so
  std::optional<inspection::Target> target;  ///< none where the gauge cannot read
  std::vector<Length> values;                ///< in the order in which they were read
  std::optional<inspection::Judged> judged;  ///< their mean; none while nothing is read
  bool left_out = false;                     ///< and not read all the same
};

/// A strip, section or groove that is being measured. Its places follow each other.
struct MeasuringPiece {
  std::size_t section = 0;  ///< of the bench
  std::string section_name;
  std::string name;          ///< of a groove the machine's
  std::size_t first = 0;     ///< index of its first place
  std::size_t places = 0;    ///< how many it has
  std::size_t measured = 0;  ///< of them
};

/// Measuring strips, sections or a groove one reading after the other into a file: what is asked
/// for, what is in the file, what comes next, what can be a reading, and its verdict. It says
/// nothing by itself; `check --ask` and the page of the shop talk.
///
/// `open` only looks. To write, `hold` takes the file, until the object is gone; each reading is on
/// the disk before `read` returns. What is left out is not in the file and lives as long as the
/// object: who opens anew for each request keeps `left_out()` and hands it in again.
class Measuring {
 public:
  /// Prepares the bench, reads the file, if it is there, and makes the plan. Nothing, and problems,
  /// where the call or the file is wrong. It is not locked nor made. `inputs` must outlive it; the
  /// options are taken as the command line lets them through (stage and heights one of their
  /// words, the file no `-`).
  static std::optional<Measuring> open(CheckOptions const& options, Inputs& inputs,
                                       Problems& problems);

  // What is known. An index is below `size()`; anything else stops the program, but for `read` and
  // `go_to`.
  CheckBench const& bench() const { return bench_; }
  std::size_t size() const { return asked_.size(); }  ///< readings asked for
  std::size_t measured() const;                       ///< of them
  std::size_t now() const { return now_; }            ///< the next to be read; `size()` if none is
  bool done() const { return now_ == asked_.size(); }
  MeasuringPlace place(std::size_t index) const;
  std::vector<MeasuringPiece> pieces() const;
  /// Indexes of what is left out, ascending; what was read all the same is not among them.
  std::vector<std::size_t> left_out() const;
  /// Where the last reading was taken; nothing if there is none.
  std::optional<std::size_t> last_read() const;
  /// What is asked for and what has been kept, as a word that changes with either and says
  /// nothing else: for `hold`.
  std::string mark() const;

  /// `tip s1, station 5, a`.
  std::string place_words(std::size_t index) const;
  /// `0.0450 in, 0.0006 in over its target: too close to call`; the verdict's own word is
  /// `verdict_word`.
  std::string judged_words(inspection::Judged const& judged) const;
  /// What is to be done about a verdict, or why it is none: the part of `judged_words` behind the
  /// colon; "" if there is nothing to say.
  std::string advice(inspection::Judged const& judged) const;

  // What comes next. None of these touches the file.
  /// False, and nothing, if there is no such place.
  bool go_to(std::size_t index);
  /// Back to where the last reading was taken, to read once more. False if there is none.
  bool go_to_last();
  /// Leaves out what is to be read now, and goes on.
  void skip();
  /// Leaves out what is open of this strip from here on, and goes on with the next one.
  void next_piece();
  /// Leaves these out; indexes of nothing are passed over. Goes on if now is among them.
  void leave_out(std::vector<std::size_t> const& indexes);

  // What is written.
  /// Takes the file for adding, and makes it if it is not there. `seen` is the `mark` of what the
  /// caller knows. Nothing if all is well; else why it may not be written to, a fault of the disk
  /// being among the problems too.
  std::optional<MeasuringAnswer> hold(std::string_view seen, Problems& problems);
  /// Lets others add to the file; what they do is seen by who opens anew.
  void let_go() { log_.reset(); }
  /// Takes what was typed, cleaned by `as_typed`, for a reading of a place, and goes on to the
  /// next open one behind it if it could be kept. Several readings of a place count by their mean.
  /// The file must be held. A fault of the disk is among the problems too.
  MeasuringAnswer read(std::size_t index, std::string_view typed, Problems& problems);
  /// Takes back the last reading and goes to its place. The file must be held. A fault of the
  /// disk is among the problems too.
  MeasuringAnswer take_back(Problems& problems);

 private:
  /// A reading in the file, in the order of its rows.
  struct Row {
    std::size_t index;
    std::size_t offset;  // in the file's text
    bool alone;
  };

  Measuring(CheckBench bench, inspection::ReadingColumns const& columns,
            std::vector<AskedReading> asked);
  void take_over(std::vector<KeptReading> const& kept);

  Unit unit() const;
  std::string show(Length length) const;
  bool is_open(std::size_t index) const { return values_[index].empty() && !left_out_[index]; }
  std::size_t first_open(std::size_t from) const;
  void go_on();
  std::optional<MeasuringAnswer> refusal(std::size_t index, Length value) const;
  std::optional<inspection::Judged> judge(std::size_t index,
                                          inspection::PlaceTargets const& wanted) const;
  inspection::JudgedPiece judged_piece(MeasuringPiece const& piece) const;
  std::optional<inspection::Lone> doubt(std::size_t index) const;

  CheckBench bench_;
  inspection::ReadingColumns columns_;
  std::vector<AskedReading> asked_;
  std::vector<MeasuringPiece> pieces_;       // `measured` is counted when they are asked for
  std::vector<std::size_t> piece_of_;        // of asked_
  std::vector<std::vector<Length>> values_;  // of asked_
  std::vector<bool> left_out_;               // of asked_
  std::vector<Row> rows_;
  std::size_t now_ = 0;
  std::string path_;
  std::string header_;               // of a new file
  std::string digest_;               // of the text that was read, or of the new file
  std::size_t byte_order_mark_ = 0;  // its length in the file
  std::optional<files::ReadingLog> log_;
};

/// What a caliper sends around a number taken away: blanks, a plus sign, zeros it pads with.
std::string as_typed(std::string_view line);

}  // namespace stripwright::cli
