#include "cli/measuring.h"

#include <fmt/format.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "catch.h"

namespace fs = std::filesystem;

namespace stripwright::cli {
namespace {

using inspection::Verdict;
using Outcome = MeasuringOutcome;

// Nothing is added and nothing comes off, so that a strip is half as high as the rod is wide
// (docs/method.md, 3: D = 2 (h + g)): 1, 1.6 and 2.2 mm. The form's screws stand at the stations,
// and the flat of its gauge's point is 1.5 mm wide.
constexpr char kTaper[] =
    "format: stripwright-taper-1\nname: Dogrose\nunit: mm\ntaper: {0: 2, 300: 3.2, 600: 4.4}\n"
    "sections: {tip: {from: 0, to: 600}}\n";
constexpr char kShop[] =
    "format: stripwright-shop-1\nname: Mill Cottage\nunit: mm\n"
    "allowances: {cleanup: 0, glue_line: 0, varnish: 0, apex_relief: 0,\n"
    "  enamel: {thickness: 0, off: before-milling, face: flat}}\n"
    "spare: {tip_end: 0, butt_end: 0}\n"
    "tolerances: {strip: 0.01}\n"
    "gauges: {micrometer: {resolution: 0.001, standard_uncertainty: 0.0005}}\n"
    "decide: plain\n"
    "machines:\n"
    "  form: {kind: planing-form, screws: [0, 300, 600], strip_at: 0, screw_lead: 1,\n"
    "    closed_depth: {thin_end: 0.8, thick_end: 2},\n"
    "    depth_gauge: {tip: flat, diameter: 1.5}}\n";

/// A folder with taper and shop, and the call that measures into a file there.
class Folder {
 public:
  Folder() {
    std::string name = (fs::temp_directory_path() / "measuring-XXXXXX").string();
    REQUIRE(::mkdtemp(name.data()) != nullptr);
    folder_ = name;
    write("dogrose.yaml", kTaper);
    write("shop.yaml", kShop);
    options.common.taper = (folder_ / "dogrose.yaml").string();
    options.common.shop = (folder_ / "shop.yaml").string();
    options.readings = (folder_ / "tip.csv").string();
    options.strips = "2";
    options.heights = "a";
    Problems problems;
    inputs_ = read_inputs(options.common, problems);
    INFO(problems.text());
    REQUIRE(inputs_);
  }
  ~Folder() { fs::remove_all(folder_); }
  Folder(Folder const&) = delete;
  Folder& operator=(Folder const&) = delete;

  Measuring look() {
    Problems problems;
    auto out = Measuring::open(options, *inputs_, problems);
    INFO(problems.text());
    REQUIRE(out);
    return std::move(*out);
  }
  Measuring held() {
    auto out = look();
    Problems problems;
    REQUIRE(!out.hold(out.mark(), problems));
    return out;
  }
  void write(std::string const& name, std::string const& bytes) const {
    std::ofstream(folder_ / name, std::ios::binary) << bytes;
  }
  bool there() const { return fs::exists(options.readings); }
  std::string bytes() const {
    std::ifstream file(options.readings, std::ios::binary);
    std::ostringstream out;
    out << file.rdbuf();
    return out.str();
  }

  CheckOptions options;

 private:
  fs::path folder_;
  std::optional<Inputs> inputs_;
};

MeasuringAnswer read(Measuring& measuring, std::size_t index, std::string const& typed) {
  Problems problems;
  auto out = measuring.read(index, typed, problems);
  CHECK(problems.empty());
  return out;
}

MeasuringAnswer read(Measuring& measuring, std::string const& typed) {
  return read(measuring, measuring.now(), typed);
}

MeasuringAnswer take_back(Measuring& measuring) {
  Problems problems;
  auto out = measuring.take_back(problems);
  CHECK(problems.empty());
  return out;
}

Length mm(double count) { return Length::millimetres(count); }

bool near(Length one, Length other) { return abs(one - other) < kSamePlace; }

std::string const kHeader = "strip,at_mm,a_mm,b_mm,c_mm\n";

}  // namespace

TEST_CASE("measuring goes strip by strip, from the tip to the butt") {
  Folder folder;
  auto measuring = folder.held();
  REQUIRE(measuring.size() == 6);
  const double targets[] = {1, 1.6, 2.2};
  for (std::size_t i = 0; i < 6; ++i) {
    CAPTURE(i);
    CHECK(measuring.now() == i);
    const auto place = measuring.place(i);
    CHECK(place.piece == i / 3);
    CHECK(near(place.at.from_zero(), mm(300.0 * static_cast<double>(i % 3))));
    CHECK(near(place.place, place.at.from_zero()));
    CHECK(place.height == inspection::Height::a);
    REQUIRE(place.target);
    CHECK(near(place.target->value, mm(targets[i % 3])));
    CHECK(near(place.target->limits.high, mm(targets[i % 3] + 0.01)));
    CHECK(place.values.empty());
    CHECK(!place.judged);
    CHECK(read(measuring, fmt::format("{}", targets[i % 3])).outcome == Outcome::kept);
  }
  CHECK(measuring.done());
  CHECK(measuring.place_words(4) == "tip s2, station 300, a");
  CHECK(folder.bytes() == kHeader +
                              "\"s1\",0,1,,\n\"s1\",300,1.6,,\n\"s1\",600,2.2,,\n"
                              "\"s2\",0,1,,\n\"s2\",300,1.6,,\n\"s2\",600,2.2,,\n");
}

TEST_CASE("looking at what is to be measured makes no file and takes none") {
  Folder folder;
  const auto one = folder.look();
  CHECK(!folder.there());
  auto holder = folder.held();
  const auto other = folder.look();
  CHECK(one.mark() == other.mark());
  CHECK(read(holder, "1.000").outcome == Outcome::kept);
  CHECK(folder.look().measured() == 1);
}

TEST_CASE("measuring tells each verdict and what to do about it") {
  Folder folder;
  auto measuring = folder.held();
  auto answer = read(measuring, "1.004");
  CHECK(answer.outcome == Outcome::kept);
  CHECK(answer.index == 0);
  REQUIRE(answer.judged);
  CHECK(answer.judged->verdict == Verdict::right);
  CHECK(near(answer.judged->deviation(), mm(0.004)));
  CHECK(answer.words == "1.004 mm, 0.004 mm over its target");
  CHECK(measuring.advice(*answer.judged).empty());
  answer = read(measuring, "1.62");
  CHECK(answer.judged->verdict == Verdict::thick);
  // Half of what the height is over: 0.02 / 2.
  CHECK(measuring.advice(*answer.judged) ==
        "so much height is to come off, 0.0100 mm from each flank");
  CHECK(answer.words == "1.620 mm, 0.020 mm over its target: " + measuring.advice(*answer.judged));
  answer = read(measuring, "2.18");
  CHECK(answer.judged->verdict == Verdict::thin);
  CHECK(answer.words == "2.180 mm, 0.020 mm under its target");
}

TEST_CASE("measuring goes on where it was after it is opened again") {
  Folder folder;
  std::string mark;
  {
    auto measuring = folder.held();
    read(measuring, "1.001");
    // A place that is not yet its turn.
    CHECK(read(measuring, 4, "1.603").outcome == Outcome::kept);
    CHECK(measuring.now() == 5);
    read(measuring, "bad");
    mark = measuring.mark();
  }
  auto again = folder.look();
  CHECK(again.mark() == mark);
  CHECK(again.now() == 5);
  CHECK(again.measured() == 2);
  CHECK(again.last_read() == 4);
  REQUIRE(again.place(4).judged);
  CHECK(near(again.place(4).judged->read.mean, mm(1.603)));
  const auto pieces = again.pieces();
  REQUIRE(pieces.size() == 2);
  CHECK(pieces[0].name == "s1");
  CHECK(pieces[1].name == "s2");
  CHECK(pieces[1].section_name == "tip");
  CHECK(pieces[1].first == 3);
  CHECK(pieces[1].places == 3);
  CHECK(pieces[0].measured == 1);
  CHECK(pieces[1].measured == 1);
  // What was passed over comes last.
  Problems problems;
  REQUIRE(!again.hold(mark, problems));
  read(again, "2.2");
  CHECK(again.now() == 1);
}

TEST_CASE("of two who measure into one file the second is told that it has changed") {
  Folder folder;
  auto first = folder.look();
  auto second = folder.look();
  const auto seen = second.mark();
  Problems problems;
  REQUIRE(!first.hold(first.mark(), problems));
  SECTION("while the first holds it") {
    const auto refused = second.hold(seen, problems);
    REQUIRE(refused);
    CHECK(refused->outcome == Outcome::not_opened);
    CHECK(refused->words.find("tip.csv: ") != std::string::npos);
    CHECK(problems.errors() == 1);
  }
  SECTION("when it was opened before, and what was seen is older than the file") {
    read(first, "1.001");
    first.let_go();
    const auto refused = second.hold(seen, problems);
    REQUIRE(refused);
    CHECK(refused->outcome == Outcome::changed);
    CHECK(problems.empty());
  }
  SECTION("when it is opened after, and what was seen is older than that") {
    read(first, "1.001");
    first.let_go();
    auto third = folder.look();
    const auto refused = third.hold(seen, problems);
    REQUIRE(refused);
    CHECK(refused->outcome == Outcome::changed);
    // Once it has seen, it may.
    CHECK(!third.hold(third.mark(), problems));
    CHECK(read(third, "1.602").index == 1);
  }
  SECTION("when a reading was taken back and another one typed in its place") {
    read(first, "1.001");
    const auto then = first.mark();
    CHECK(take_back(first).outcome == Outcome::taken_back);
    CHECK(first.mark() != then);
    read(first, "1.001");
    CHECK(first.mark() != then);
  }
  SECTION("though nothing of what was asked for has changed") {
    folder.write("tip.csv", kHeader + "s9,300,1.6,,\n");
    CHECK(folder.look().mark() == seen);
    first.let_go();
    const auto refused = second.hold(seen, problems);
    REQUIRE(refused);
    CHECK(refused->outcome == Outcome::changed);
  }
}

TEST_CASE("a reading can be taken back") {
  Folder folder;
  auto measuring = folder.held();
  CHECK(take_back(measuring).outcome == Outcome::nothing_to_take_back);
  read(measuring, "1.001");
  read(measuring, 5, "2.203");
  auto answer = take_back(measuring);
  CHECK(answer.outcome == Outcome::taken_back);
  CHECK(answer.index == 5);
  CHECK(answer.words == "taken back: tip s2, station 600, a");
  CHECK(measuring.now() == 5);
  CHECK(measuring.place(5).values.empty());
  CHECK(measuring.measured() == 1);
  CHECK(folder.bytes() == kHeader + "\"s1\",0,1.001,,\n#s2\",600,2.203,,\n");
  // The one before it, by who opens anew.
  const auto mark = measuring.mark();
  measuring.let_go();
  auto again = folder.look();
  CHECK(again.mark() == mark);
  Problems problems;
  REQUIRE(!again.hold(mark, problems));
  CHECK(take_back(again).index == 0);
  CHECK(take_back(again).outcome == Outcome::nothing_to_take_back);
  CHECK(folder.bytes() == kHeader + "#s1\",0,1.001,,\n#s2\",600,2.203,,\n");
}

TEST_CASE("the right byte is taken back behind a byte order mark") {
  Folder folder;
  folder.write("tip.csv", "\xEF\xBB\xBF" + kHeader + "s1,0,1.001,,\n");
  auto measuring = folder.held();
  read(measuring, "1.602");
  CHECK(measuring.mark() == folder.look().mark());
  CHECK(take_back(measuring).outcome == Outcome::taken_back);
  CHECK(take_back(measuring).outcome == Outcome::taken_back);
  CHECK(folder.bytes() == "\xEF\xBB\xBF" + kHeader + "#1,0,1.001,,\n#s1\",300,1.602,,\n");
}

TEST_CASE("a row of several readings is not taken back") {
  Folder folder;
  const auto bytes = kHeader + "s1,0,1.001,1.001,1.001\n";
  folder.write("tip.csv", bytes);
  folder.options.heights = "abc";
  auto measuring = folder.held();
  CHECK(measuring.now() == 3);
  CHECK(take_back(measuring).outcome == Outcome::several_in_row);
  CHECK(folder.bytes() == bytes);
  CHECK(measuring.measured() == 3);
}

TEST_CASE("what cannot be a reading is not kept") {
  Folder folder;
  auto measuring = folder.held();
  auto answer = read(measuring, "10.02");
  CHECK(answer.outcome == Outcome::cannot_be);
  CHECK(answer.words ==
        "not kept: 10.02 mm cannot be, it should be near 1.000 mm; a slip of the decimal point?");
  CHECK(read(measuring, "-1.002").outcome == Outcome::cannot_be);
  CHECK(read(measuring, "0").outcome == Outcome::cannot_be);
  for (const auto* typed : {"", "back", "1,002", "1.002\n1.002", "1.002,", "\"1.002\"", "1e0"}) {
    CAPTURE(typed);
    answer = read(measuring, typed);
    CHECK(answer.outcome == Outcome::not_a_number);
    CHECK(answer.words.starts_with("not kept: "));
  }
  CHECK(read(measuring, measuring.size(), "1.002").outcome == Outcome::no_such_place);
  CHECK(measuring.now() == 0);
  CHECK(measuring.measured() == 0);
  CHECK(folder.bytes() == kHeader);
  // What a caliper sends around a number is none of it; another unit is.
  CHECK(read(measuring, " +01.002\r").outcome == Outcome::kept);
  CHECK(read(measuring, "0.063 in").outcome == Outcome::kept);
  CHECK(folder.bytes() == kHeader + "\"s1\",0,1.002,,\n\"s1\",300,0.063 in,,\n");
  // 25.4 mm to the inch.
  CHECK(near(measuring.place(1).values.front(), mm(1.6002)));
}

TEST_CASE("readings of one place count by their mean") {
  Folder folder;
  auto measuring = folder.held();
  CHECK(!measuring.go_to_last());
  read(measuring, "1.004");
  CHECK(measuring.now() == 1);
  REQUIRE(measuring.go_to_last());
  CHECK(measuring.now() == 0);
  const auto answer = read(measuring, "1.020");
  REQUIRE(answer.judged);
  CHECK(answer.judged->read.count == 2);
  CHECK(near(answer.judged->read.mean, mm(1.012)));
  CHECK(answer.judged->verdict == Verdict::thick);
  CHECK(answer.words.starts_with("1.012 mm (mean of 2), 0.012 mm over its target: "));
  CHECK(measuring.now() == 1);
  CHECK(measuring.measured() == 1);
  CHECK(measuring.place(0).values.size() == 2);
  // One of them taken back leaves the other.
  take_back(measuring);
  CHECK(measuring.place(0).judged->verdict == Verdict::right);
}

TEST_CASE("where the gauge's point lies on the bars nothing can be read") {
  Folder folder;
  folder.options.stage = "groove";
  folder.options.heights = "";
  folder.options.strips = "";
  auto measuring = folder.held();
  REQUIRE(measuring.size() == 3);
  // A groove of 60° and 1 mm is 2 tan 30° = 1.155 mm wide at the top: less than the flat's 1.5 mm.
  CHECK(!measuring.place(0).target);
  const auto answer = read(measuring, "0.3");
  CHECK(answer.outcome == Outcome::cannot_be_read);
  CHECK(answer.words ==
        "not kept: the gauge's point cannot read the groove there; skip leaves it out");
  CHECK(measuring.now() == 0);
  measuring.skip();
  CHECK(measuring.now() == 1);
  // There it reads 1.6 - 0.75 / tan 30° = 1.6 - 0.75 √3 = 0.30096 mm.
  const auto place = measuring.place(1);
  REQUIRE(place.target);
  CHECK(abs(place.target->value - mm(0.30096)) < mm(0.00001));
  CHECK(place.height == inspection::Height::gauge);
  CHECK(near(place.place, mm(300)));
  CHECK(measuring.place_words(1) == "tip, machine position 300, gauge");
  CHECK(read(measuring, "0.301").judged->verdict == Verdict::right);
  CHECK(measuring.pieces().front().name == "form");
  CHECK(folder.bytes() == "machine_at_mm,gauge_mm\n300,0.301\n");
}

TEST_CASE("what is left out is passed over, and what is gone to is asked for") {
  Folder folder;
  auto measuring = folder.held();
  measuring.skip();
  CHECK(measuring.now() == 1);
  measuring.next_piece();
  CHECK(measuring.now() == 3);
  CHECK(measuring.left_out() == std::vector<std::size_t>{0, 1, 2});
  CHECK(measuring.place(1).left_out);
  // Read all the same, it is not left out any more.
  CHECK(!measuring.go_to(6));
  REQUIRE(measuring.go_to(1));
  CHECK(read(measuring, "1.6").outcome == Outcome::kept);
  CHECK(measuring.now() == 3);
  CHECK(!measuring.place(1).left_out);
  CHECK(measuring.left_out() == std::vector<std::size_t>{0, 2});
  measuring.next_piece();
  CHECK(measuring.done());
  measuring.skip();
  measuring.next_piece();
  CHECK(measuring.done());

  // It is not in the file: who opens anew hands it in.
  auto again = folder.look();
  CHECK(again.now() == 2);
  again.leave_out({0, 2, 99});
  CHECK(again.now() == 3);
  again.leave_out({3, 4, 5});
  CHECK(again.done());
  CHECK(again.left_out() == std::vector<std::size_t>{0, 2, 3, 4, 5});
}

TEST_CASE("a call that is wrong is told, and nothing is opened") {
  Folder folder;
  const auto fails = [&](std::string const& with) {
    Problems problems;
    Inputs inputs = *[&] {
      Problems none;
      return read_inputs(folder.options.common, none);
    }();
    CHECK(!Measuring::open(folder.options, inputs, problems));
    CAPTURE(problems.text());
    CHECK(problems.text().find(with) != std::string::npos);
    CHECK(!folder.there());
  };
  folder.options.strips = "s1,s1";
  fails("--strips 's1,s1'");
  folder.options.strips = "2";
  folder.options.readings_unit = "ft";
  fails("--readings-unit");
  folder.options.readings_unit = "";
  folder.options.common.gauge = "rule";
  fails("--gauge 'rule'");
}

}  // namespace stripwright::cli
