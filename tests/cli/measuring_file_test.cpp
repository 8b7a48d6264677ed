#include "catch.h"
#include "cli/measuring.h"
#include "measuring_folder.h"

namespace stripwright::cli {
namespace {

using Outcome = MeasuringOutcome;

TEST_CASE("looking at what is to be measured makes no file and takes none") {
  MeasuringFolder folder;
  const auto one = folder.look();
  CHECK(!folder.there());
  auto holder = folder.held();
  const auto other = folder.look();
  CHECK(one.mark() == other.mark());
  CHECK(read(holder, "1.000").outcome == Outcome::kept);
  CHECK(folder.look().measured() == 1);
}

TEST_CASE("measuring goes on where it was after it is opened again") {
  MeasuringFolder folder;
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
  MeasuringFolder folder;
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
  MeasuringFolder folder;
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
  MeasuringFolder folder;
  folder.write("tip.csv", "\xEF\xBB\xBF" + kHeader + "s1,0,1.001,,\n");
  auto measuring = folder.held();
  read(measuring, "1.602");
  CHECK(measuring.mark() == folder.look().mark());
  CHECK(take_back(measuring).outcome == Outcome::taken_back);
  CHECK(take_back(measuring).outcome == Outcome::taken_back);
  CHECK(folder.bytes() == "\xEF\xBB\xBF" + kHeader + "#1,0,1.001,,\n#s1\",300,1.602,,\n");
}

TEST_CASE("a row of several readings is not taken back") {
  MeasuringFolder folder;
  const auto bytes = kHeader + "s1,0,1.001,1.001,1.001\n";
  folder.write("tip.csv", bytes);
  folder.options.heights = "abc";
  auto measuring = folder.held();
  CHECK(measuring.now() == 3);
  CHECK(take_back(measuring).outcome == Outcome::several_in_row);
  CHECK(folder.bytes() == bytes);
  CHECK(measuring.measured() == 3);
}

}  // namespace
}  // namespace stripwright::cli
