#include "cli/measuring.h"

#include <fmt/format.h>

#include "catch.h"
#include "measuring_folder.h"

namespace stripwright::cli {
namespace {

using inspection::Verdict;
using Outcome = MeasuringOutcome;

TEST_CASE("measuring goes strip by strip, from the tip to the butt") {
  MeasuringFolder folder;
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

TEST_CASE("measuring tells each verdict and what to do about it") {
  MeasuringFolder folder;
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
  MeasuringFolder another;
  auto thin = another.held();
  answer = read(thin, "0.98");
  CHECK(answer.judged->verdict == Verdict::thin);
  CHECK(answer.words == "0.980 mm, 0.020 mm under its target");
}

TEST_CASE("a reading that jumps off what was read beside it is doubted before anything is cut") {
  MeasuringFolder folder;
  auto measuring = folder.held();
  read(measuring, "1.004");
  auto answer = read(measuring, "1.69");
  CHECK(answer.outcome == Outcome::kept);
  CHECK(answer.judged->verdict == Verdict::thick);
  REQUIRE(answer.judged->lone);
  CHECK(
      answer.words ==
      "1.690 mm, 0.090 mm over its target: what was read beside it says 1.604 mm; take it back if "
      "it was misread, else read it once more, so that it counts");
  // Taken back and read right, nothing is left of it.
  Problems problems;
  measuring.take_back(problems);
  answer = read(measuring, "1.602");
  CHECK_FALSE(answer.judged->lone);
  // Read twice alike it counts, and then there is something to take off.
  MeasuringFolder another;
  auto twice = another.held();
  read(twice, "1.004");
  read(twice, "1.69");
  twice.go_to_last();
  answer = read(twice, "1.691");
  CHECK_FALSE(answer.judged->lone);
  CHECK(answer.words.find("is to come off") != std::string::npos);
}

TEST_CASE("what cannot be a reading is not kept") {
  MeasuringFolder folder;
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
  MeasuringFolder folder;
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
  MeasuringFolder folder;
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
  MeasuringFolder folder;
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
  MeasuringFolder folder;
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
  folder.options.strips = "s0";
  for (int i = 1; i < 1000; ++i) folder.options.strips += ",s" + std::to_string(i);
  fails("1000 names");
  folder.options.strips = "2";
  folder.options.readings_unit = "ft";
  fails("--readings-unit");
  folder.options.readings_unit = "";
  folder.options.common.gauge = "rule";
  fails("--gauge 'rule'");
}

}  // namespace
}  // namespace stripwright::cli
