#include "files/output_set.h"

#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "catch.h"
#include "files/digest.h"

using namespace stripwright;
using namespace stripwright::files;
namespace fs = std::filesystem;

namespace {

/// A folder of its own for each test, removed at its end.
class Scratch {
 public:
  Scratch() {
    std::string name = (fs::temp_directory_path() / "output-set-XXXXXX").string();
    path_ = mkdtemp(name.data());
  }
  ~Scratch() { fs::remove_all(path_); }
  Scratch(Scratch const&) = delete;
  Scratch& operator=(Scratch const&) = delete;
  std::string in(std::string const& name) const { return (path_ / name).string(); }

 private:
  fs::path path_;
};

std::string slurp(std::string const& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

void spill(std::string const& path, std::string const& text) {
  std::ofstream(path, std::ios::binary) << text;
}

nlohmann::ordered_json record_of(std::vector<OutputFile> const& files) {
  nlohmann::ordered_json outputs;
  for (auto const& file : files) outputs[file.name] = sha256(file.bytes);
  return {{"outputs", outputs}};
}

Written write(std::string const& folder, std::vector<OutputFile> const& files, bool force = false) {
  Problems problems;
  return write_set(folder, files, record_of(files), force, problems);
}

std::size_t count(std::string const& folder) {
  return static_cast<std::size_t>(
      std::distance(fs::directory_iterator(folder), fs::directory_iterator()));
}

}  // namespace

TEST_CASE("SHA-256 of the standard's own examples") {
  // FIPS 180-4 / NIST example values for SHA-256: the empty text and "abc" (from memory).
  CHECK(sha256("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  CHECK(sha256("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
}

TEST_CASE("a set is written whole, with its record, into a folder that is made") {
  const Scratch scratch;
  const auto folder = scratch.in("a/b");
  REQUIRE(write(folder, {{"x.csv", "1\r\n"}, {"y.csv", "2\r\n"}}) == Written::all);
  CHECK(slurp(folder + "/x.csv") == "1\r\n");
  CHECK(recorded_outputs(slurp(folder + "/setup.json")).at("y.csv") == sha256("2\r\n"));
  CHECK(count(folder) == 3);
}

TEST_CASE("the same set again changes nothing, not even the record") {
  const Scratch scratch;
  const std::vector<OutputFile> files = {{"x.csv", "1"}};
  write(scratch.in("o"), files);
  const auto before = fs::last_write_time(scratch.in("o/setup.json"));
  const auto record = slurp(scratch.in("o/setup.json"));
  REQUIRE(write(scratch.in("o"), files) == Written::all);
  CHECK(slurp(scratch.in("o/setup.json")) == record);
  CHECK(fs::last_write_time(scratch.in("o/setup.json")) == before);
}

TEST_CASE("a file as the last set-up left it is replaced silently") {
  const Scratch scratch;
  write(scratch.in("o"), {{"x.csv", "1"}});
  REQUIRE(write(scratch.in("o"), {{"x.csv", "2"}}) == Written::all);
  CHECK(slurp(scratch.in("o/x.csv")) == "2");
}

TEST_CASE("a file that was edited, or that no set-up wrote, needs force; nothing is written") {
  const Scratch scratch;
  write(scratch.in("o"), {{"x.csv", "1"}, {"y.csv", "1"}});
  spill(scratch.in("o/x.csv"), "mine");
  CHECK(write(scratch.in("o"), {{"x.csv", "2"}, {"y.csv", "2"}}) == Written::refused);
  CHECK(slurp(scratch.in("o/x.csv")) == "mine");
  CHECK(slurp(scratch.in("o/y.csv")) == "1");
  CHECK(write(scratch.in("o"), {{"x.csv", "2"}, {"y.csv", "2"}}, true) == Written::all);
  CHECK(slurp(scratch.in("o/x.csv")) == "2");

  fs::create_directories(scratch.in("p"));
  spill(scratch.in("p/x.csv"), "somebody's");
  CHECK(write(scratch.in("p"), {{"x.csv", "1"}}) == Written::refused);
  CHECK_FALSE(fs::exists(scratch.in("p/setup.json")));
}

TEST_CASE("what was made from a file replaces that file and no other") {
  const Scratch scratch;
  const std::string folder = scratch.in("out");
  CHECK(write(folder, {{"sum", "1", ""}}) == Written::all);
  CHECK(write(folder, {{"sum", "2", "1"}}) == Written::all);
  // Another run that has read 1 as well comes too late, and so does one that found no file.
  for (auto const* seen : {"1", ""}) {
    Problems problems;
    const std::vector<OutputFile> files{{"a", "new"}, {"sum", "3", seen}};
    CHECK(write_set(folder, files, record_of(files), true, problems) == Written::refused);
    CHECK(problems.text().find("sum") != std::string::npos);
    CHECK(slurp(folder + "/sum") == "2");
    CHECK_FALSE(fs::exists(folder + "/a"));
  }
}

TEST_CASE("files of others are left alone") {
  const Scratch scratch;
  fs::create_directories(scratch.in("o"));
  spill(scratch.in("o/notes.txt"), "keep");
  REQUIRE(write(scratch.in("o"), {{"x.csv", "1"}}) == Written::all);
  CHECK(slurp(scratch.in("o/notes.txt")) == "keep");
}

TEST_CASE("another section set up later does not make the first one's files strangers") {
  const Scratch scratch;
  write(scratch.in("o"), {{"cutter-tip.csv", "1"}});
  write(scratch.in("o"), {{"cutter-butt.csv", "1"}});
  CHECK(write(scratch.in("o"), {{"cutter-tip.csv", "2"}, {"cutter-butt.csv", "2"}}) ==
        Written::all);
  // But one that was edited in between is not kept as ours.
  write(scratch.in("p"), {{"cutter-tip.csv", "1"}});
  spill(scratch.in("p/cutter-tip.csv"), "mine");
  write(scratch.in("p"), {{"cutter-butt.csv", "1"}});
  CHECK(write(scratch.in("p"), {{"cutter-tip.csv", "2"}}) == Written::refused);
}

TEST_CASE(
    "files beside that are outdated go, unless they were edited: these are told until they go") {
  const Scratch scratch;
  // Drawn from what the record says it was made from.
  const auto set = [&](std::vector<OutputFile> const& files, int from) {
    auto record = record_of(files);
    record["from"] = from;
    EarlierFiles earlier;
    Problems problems;
    CHECK(write_set(
              scratch.in("o"), files, record, false, problems,
              [&](std::string const& name, nlohmann::ordered_json const& before) {
                return name.starts_with("cutter-") && before["from"] != from;
              },
              &earlier) == Written::all);
    return earlier;
  };
  const std::vector<OutputFile> rod = {
      {"cutter-tip.csv", "1"}, {"cutter-butt.csv", "1"}, {"x", "1"}};
  const std::vector<OutputFile> tip = {{"cutter-tip.csv", "2"}};
  using Names = std::vector<std::string>;
  set(rod, 1);
  auto earlier = set(tip, 1);
  CHECK(earlier.kept == Names{"cutter-butt.csv", "x"});
  CHECK(slurp(scratch.in("o/cutter-butt.csv")) == "1");
  earlier = set(tip, 2);
  CHECK(earlier.removed == Names{"cutter-butt.csv"});
  CHECK(earlier.kept == Names{"x"});
  CHECK_FALSE(fs::exists(scratch.in("o/cutter-butt.csv")));
  CHECK(slurp(scratch.in("o/x")) == "1");

  set(rod, 3);
  spill(scratch.in("o/cutter-butt.csv"), "mine");
  for (int again = 0; again < 2; ++again) {
    earlier = set(tip, 4);
    CHECK(earlier.removed.empty());
    CHECK(earlier.edited == Names{"cutter-butt.csv"});
    CHECK(slurp(scratch.in("o/cutter-butt.csv")) == "mine");
  }
  // As it was written: nobody's own any more, and as outdated as before.
  spill(scratch.in("o/cutter-butt.csv"), "1");
  CHECK(set(tip, 4).removed == Names{"cutter-butt.csv"});
  // A link with the bytes of ours is somebody's own.
  set(rod, 5);
  spill(scratch.in("theirs"), "1");
  fs::remove(scratch.in("o/cutter-butt.csv"));
  fs::create_symlink(scratch.in("theirs"), scratch.in("o/cutter-butt.csv"));
  CHECK(set(tip, 6).edited == Names{"cutter-butt.csv"});
  CHECK(fs::is_symlink(scratch.in("o/cutter-butt.csv")));
}

TEST_CASE("a kill before outdated files went leaves them to the next run") {
  const Scratch scratch;
  write(scratch.in("o"), {{"cutter-tip.csv", "1"}, {"cutter-butt.csv", "1"}});
  // As a killed run leaves it: its note and its file, the record still the old one.
  const std::vector<OutputFile> tip = {{"cutter-tip.csv", "2"}};
  spill(scratch.in("o/.setup.json.pending"), record_of(tip).dump());
  spill(scratch.in("o/cutter-tip.csv"), "2");
  Problems problems;
  EarlierFiles earlier;
  REQUIRE(write_set(
              scratch.in("o"), tip, record_of(tip), false, problems,
              [](std::string const&, nlohmann::ordered_json const&) { return true; },
              &earlier) == Written::all);
  CHECK(earlier.removed == std::vector<std::string>{"cutter-butt.csv"});
  CHECK(count(scratch.in("o")) == 2);
}

TEST_CASE("after a kill between two renames the next run knows its own files") {
  const Scratch scratch;
  write(scratch.in("o"), {{"x.csv", "1"}, {"y.csv", "1"}});
  // As a killed run leaves it: its note, one file renamed, the record still the old one.
  spill(scratch.in("o/.setup.json.pending"), record_of({{"x.csv", "2"}, {"y.csv", "2"}}).dump());
  spill(scratch.in("o/x.csv"), "2");
  REQUIRE(write(scratch.in("o"), {{"x.csv", "3"}, {"y.csv", "3"}}) == Written::all);
  CHECK(slurp(scratch.in("o/y.csv")) == "3");
  CHECK_FALSE(fs::exists(scratch.in("o/.setup.json.pending")));
}

TEST_CASE("a folder or a link where a file should be is told, and nothing is written") {
  const Scratch scratch;
  fs::create_directories(scratch.in("o/x.csv"));
  CHECK(write(scratch.in("o"), {{"x.csv", "1"}}, true) == Written::refused);
  fs::create_directories(scratch.in("p"));
  spill(scratch.in("elsewhere"), "safe");
  fs::create_symlink(scratch.in("elsewhere"), scratch.in("p/x.csv"));
  CHECK(write(scratch.in("p"), {{"x.csv", "1"}}, true) == Written::refused);
  CHECK(slurp(scratch.in("elsewhere")) == "safe");
}

TEST_CASE("a folder that cannot be is told as a failure of the disk") {
  const Scratch scratch;
  spill(scratch.in("file"), "");
  fs::create_symlink("round", scratch.in("round"));
  for (std::string const name : {"file", "file/deeper", "round", "round/deeper"}) {
    INFO(name);
    Problems problems;
    CHECK(write_set(scratch.in(name), {{"x", "1"}}, record_of({}), false, problems) ==
          Written::failed);
    CHECK(problems.errors() == 1);
  }
}

TEST_CASE("a record that is none is as good as no record") {
  CHECK(recorded_outputs("").empty());
  CHECK(recorded_outputs("[1]").empty());
  CHECK(recorded_outputs(R"({"outputs": {"x": 1}})").empty());
  CHECK(recorded_outputs(R"({"outputs": 1, "kept": {"x": "y"}})").size() == 1);
}
