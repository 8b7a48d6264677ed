#include "page/history.h"

#include <sys/stat.h>

#include <thread>

#include "bench.h"

using namespace stripwright;
using bench::Lane;
using page::Folder;
using page::History;
using page::Saved;

namespace {

/// A folder with a rod in it, and its history.
struct Kept {
  Kept() { lane.write("burnet.yaml", "one\n"); }
  Saved save(std::string const& old_bytes, std::string const& now) {
    Problems problems;
    const auto out = history.save("burnet.yaml", old_bytes, now, problems);
    CHECK((out == Saved::failed || out == Saved::changed_outside) == problems.any_error());
    return out;
  }
  std::string earlier(std::string const& id) const {
    Problems problems;
    return history.bytes("burnet.yaml", id, problems).value_or("none");
  }

  Lane lane;
  Folder folder{lane.path()};
  History history{folder};
};

}  // namespace

TEST_CASE("what was there before is kept, the last first, and nothing else is made") {
  Kept kept;
  CHECK(kept.history.list("burnet.yaml").empty());
  CHECK(kept.save("one\n", "two\n") == Saved::done);
  CHECK(kept.save("two\n", "three\n") == Saved::done);
  CHECK(kept.lane.bytes("burnet.yaml") == "three\n");
  const auto list = kept.history.list("burnet.yaml");
  REQUIRE(list.size() == 2);
  CHECK(kept.earlier(list[0].id) == "two\n");
  CHECK(kept.earlier(list[1].id) == "one\n");
  // `2026-01-31 14:05:09`
  CHECK(list[0].when.size() == 19);
  CHECK(list[0].when[4] == '-');
  CHECK(list[0].when[13] == ':');
  CHECK(kept.lane.all().size() == 3);
}

TEST_CASE("many savings in one second are all kept, in their order") {
  Kept kept;
  std::string now = "one\n";
  std::vector<std::string> before;
  for (int i = 0; i < 25; ++i) {
    const auto next = std::to_string(i) + "\n";
    REQUIRE(kept.save(now, next) == Saved::done);
    before.insert(before.begin(), now);
    now = next;
  }
  std::vector<std::string> found;
  for (auto const& each : kept.history.list("burnet.yaml")) found.push_back(kept.earlier(each.id));
  CHECK(found == before);
}

TEST_CASE("the same again is no saving") {
  Kept kept;
  CHECK(kept.save("one\n", "one\n") == Saved::same);
  CHECK(kept.history.list("burnet.yaml").empty());
}

TEST_CASE("a file that was changed outside is left as it is") {
  Kept kept;
  kept.lane.write("burnet.yaml", "mine\n");
  CHECK(kept.save("one\n", "two\n") == Saved::changed_outside);
  CHECK(kept.lane.bytes("burnet.yaml") == "mine\n");
  kept.lane.write("burnet.yaml", "");
  CHECK(kept.save("one\n", "two\n") == Saved::changed_outside);
  CHECK(kept.lane.bytes("burnet.yaml").empty());
}

TEST_CASE("a new file is made, but never over another") {
  Kept kept;
  Problems problems;
  CHECK(kept.history.save("new.yaml", std::nullopt, "x\n", problems) == Saved::done);
  CHECK(kept.lane.bytes("new.yaml") == "x\n");
  CHECK(problems.empty());
  CHECK(kept.history.save("burnet.yaml", std::nullopt, "x\n", problems) == Saved::failed);
  CHECK(problems.any_error());
  CHECK(kept.lane.bytes("burnet.yaml") == "one\n");
}

TEST_CASE("a file that is gone is not made by saving over it") {
  Kept kept;
  bench::fs::remove(kept.lane / "burnet.yaml");
  CHECK(kept.save("one\n", "two\n") == Saved::failed);
  CHECK_FALSE(bench::fs::exists(kept.lane / "burnet.yaml"));
}

TEST_CASE("two files never share their history") {
  const Lane lane;
  const Folder folder(lane.path());
  History history(folder);
  Problems problems;
  for (std::string const name : {"a/b.yaml", "a--b.yaml", "a-b.yaml"}) {
    lane.write(name, name);
    REQUIRE(history.save(name, name, "changed\n", problems) == Saved::done);
  }
  for (std::string const name : {"a/b.yaml", "a--b.yaml", "a-b.yaml"}) {
    const auto list = history.list(name);
    REQUIRE(list.size() == 1);
    CHECK(history.bytes(name, list[0].id, problems) == name);
  }
}

TEST_CASE("nothing but earlier states is given out") {
  Kept kept;
  REQUIRE(kept.save("one\n", "two\n") == Saved::done);
  for (std::string const id :
       {"", ".", "..", "../burnet.yaml", "../../../burnet.yaml", "/etc/passwd", "20260131-140509",
        "20260131-140509-001/..", "x", "99999999999999999"}) {
    INFO(id);
    CHECK(kept.earlier(id) == "none");
  }
  for (std::string const name : {"", "..", "../x", ".stripwright", "/etc/passwd"}) {
    INFO(name);
    Problems problems;
    CHECK(kept.history.list(name).empty());
    CHECK_FALSE(kept.history.bytes(name, kept.history.list("burnet.yaml")[0].id, problems));
    CHECK(kept.history.save(name, std::nullopt, "x\n", problems) == Saved::failed);
  }
}

TEST_CASE("history and notes lie in the folder, wherever links of these names lead") {
  namespace fs = bench::fs;
  const std::string id = "20260131-140509-001";
  for (std::string const link :
       {".stripwright", ".stripwright/before", ".stripwright/before/burnet.yaml",
        ".stripwright/notes", ".stripwright/notes/burnet.yaml"}) {
    INFO(link);
    Kept kept;
    const Lane outside;
    // Whatever the link stands for, there is something where it leads.
    for (std::string const folder : {"before/burnet.yaml/", "burnet.yaml/", ""})
      outside.write(folder + id, "a secret\n");
    for (std::string const folder : {"notes/", "x/"})
      outside.write(folder + "burnet.yaml", "theirs");
    const bool file = link == ".stripwright/notes/burnet.yaml";
    fs::create_directories((kept.lane / link).parent_path());
    fs::create_symlink(file ? outside / "x/burnet.yaml" : outside.path(), kept.lane / link);
    const auto before = outside.all();
    CHECK(kept.history.list("burnet.yaml").empty());
    CHECK(kept.earlier(id) == "none");
    CHECK(kept.history.note("burnet.yaml").empty());
    kept.history.keep_note("burnet.yaml", "/measure?file=burnet.yaml");
    const bool noted = link.find("notes") != std::string::npos;
    CHECK(kept.save("one\n", "two\n") == (noted ? Saved::done : Saved::failed));
    CHECK(kept.lane.bytes("burnet.yaml") == (noted ? "two\n" : "one\n"));
    CHECK(outside.all() == before);
  }
}

TEST_CASE("an earlier state that is a link, or no file, is none") {
  Kept kept;
  const Lane outside;
  outside.write("secret", "a secret\n");
  const auto folder = kept.lane / ".stripwright/before/burnet.yaml";
  bench::fs::create_directories(folder);
  bench::fs::create_symlink(outside / "secret", folder / "20260131-140509-001");
  REQUIRE(::mkfifo((folder / "20260131-140509-002").c_str(), 0600) == 0);
  bench::fs::create_directory(folder / "20260131-140509-003");
  for (std::string const id : {"001", "002", "003"}) {
    INFO(id);
    CHECK(kept.earlier("20260131-140509-" + id) == "none");
  }
}

TEST_CASE("in a folder that may not be written a saving fails, and all is as it was") {
  Kept kept;
  bench::fs::permissions(kept.lane.path(),
                         bench::fs::perms::owner_read | bench::fs::perms::owner_exec);
  if (::access(kept.lane.path().c_str(), W_OK) == 0) {  // root may all the same: another obstacle
    bench::fs::permissions(kept.lane.path(), bench::fs::perms::owner_all);
    kept.lane.write(".stripwright", "in the way");
  }
  CHECK(kept.save("one\n", "two\n") == Saved::failed);
  bench::fs::permissions(kept.lane.path(), bench::fs::perms::owner_all);
  CHECK(kept.lane.bytes("burnet.yaml") == "one\n");
}

TEST_CASE("of savings at once one is done, the others see that the file was changed") {
  for (int round = 0; round < 40; ++round) {
    Kept kept;
    std::atomic<int> done{0};
    std::atomic<int> ready{0};
    constexpr int kHands = 6;
    std::vector<std::thread> hands;
    for (int i = 0; i < kHands; ++i)
      hands.emplace_back([&, i] {
        for (++ready; ready < kHands;) std::this_thread::yield();
        Problems problems;
        done += kept.history.save("burnet.yaml", std::string("one\n"), std::to_string(i) + "\n",
                                  problems) == Saved::done;
      });
    for (auto& hand : hands) hand.join();
    CHECK(done == 1);
    const auto list = kept.history.list("burnet.yaml");
    REQUIRE_FALSE(list.empty());
    CHECK(kept.earlier(list.back().id) == "one\n");
  }
}
