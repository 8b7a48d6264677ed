#include "page/folder.h"

#include <sys/stat.h>

#include "bench.h"

using namespace stripwright;
using bench::Lane;
using page::FileKind;
using page::Folder;

namespace {

bool is_refused(Folder const& folder, std::string const& name) {
  Problems problems;
  const auto path = folder.path_of(name, problems);
  CHECK(path.has_value() != problems.any_error());
  return !path;
}

std::string listed(Folder const& folder) {
  std::string out;
  for (auto const& entry : folder.list())
    out += entry.name + "=" + std::to_string(static_cast<int>(entry.kind)) + " ";
  return out;
}

std::string kind(FileKind kind, std::string const& name) {
  return name + "=" + std::to_string(static_cast<int>(kind)) + " ";
}

}  // namespace

TEST_CASE("names that go down from the folder are files of it, be they there or not") {
  const Lane lane;
  lane.write("burnet.yaml", bench::kBurnet);
  lane.write("shops/bench.yaml", "format: stripwright-shop-1\n");
  const Folder folder(lane.path());
  for (std::string const name : {"burnet.yaml", "shops/bench.yaml", "new.yaml", "a/b/new.yaml",
                                 "Wei\xC3\x9F dorn.yaml", "a..b.yaml", "-rf", "~", "%2e%2e"}) {
    INFO(name);
    Problems problems;
    const auto path = folder.path_of(name, problems);
    REQUIRE(path);
    CHECK(*path == (lane / name).string());
  }
}

TEST_CASE("names that lead elsewhere are none") {
  using namespace std::string_literals;
  const Lane lane;
  lane.write("a/b/c/d/e/deep.yaml", bench::kBurnet);
  const Folder folder(lane.path());
  const std::string names[] = {"",
                               ".",
                               "..",
                               "/",
                               "//",
                               "../x.yaml",
                               "a/../x.yaml",
                               "a/../../x.yaml",
                               "a/..",
                               "./x.yaml",
                               "/etc/passwd",
                               "//etc/passwd",
                               lane.path().string() + "/x.yaml",
                               "a//b.yaml"s + "/",
                               ".hidden.yaml",
                               "a/.hidden/x.yaml",
                               ".stripwright/before/x",
                               "x.yaml\0"s,
                               "x\0.yaml"s,
                               "\0"s,
                               "x\n.yaml",
                               "x\r.yaml",
                               "\x1b[2J.yaml",
                               "x\x7f.yaml",
                               "a\\b.yaml",
                               "..\\x.yaml",
                               "C:x.yaml",
                               "x.yaml:stream",
                               "a/b/c/d/e/deep.yaml",
                               "a/b/c",
                               std::string(201, 'x'),
                               std::string(100000, 'x'),
                               std::string(100000, '/'),
                               "a/" + std::string(5000, '.')};
  for (auto const& name : names) {
    INFO(name.substr(0, 100));
    CHECK(is_refused(folder, name));
    Problems problems;
    CHECK_FALSE(folder.read(name, problems));
  }
}

TEST_CASE("links lead nowhere but into the folder") {
  const Lane outside;
  outside.write("secret.yaml", bench::kBurnet);
  const Lane lane;
  lane.write("burnet.yaml", bench::kBurnet);
  lane.write("sub/x.yaml", bench::kBurnet);
  bench::fs::create_symlink(outside / "secret.yaml", lane / "out.yaml");
  bench::fs::create_symlink(outside / "not-there.yaml", lane / "dangling.yaml");
  bench::fs::create_directory_symlink(outside.path(), lane / "out");
  bench::fs::create_symlink("burnet.yaml", lane / "in.yaml");
  bench::fs::create_symlink("loop.yaml", lane / "loop.yaml");
  const Folder folder(lane.path());
  for (std::string const name :
       {"out.yaml", "dangling.yaml", "out/secret.yaml", "out/new.yaml", "loop.yaml"}) {
    INFO(name);
    CHECK(is_refused(folder, name));
  }
  CHECK_FALSE(is_refused(folder, "in.yaml"));
  CHECK(listed(folder) == kind(FileKind::taper, "burnet.yaml") + kind(FileKind::taper, "in.yaml") +
                              kind(FileKind::taper, "sub/x.yaml"));
}

TEST_CASE("a folder beside it whose name begins alike is not in it") {
  const Lane lane;
  lane.write("lane/burnet.yaml", bench::kBurnet);
  lane.write("lane2/secret.yaml", bench::kBurnet);
  bench::fs::create_symlink("../lane2/secret.yaml", lane / "lane/out.yaml");
  CHECK(is_refused(Folder(lane / "lane"), "out.yaml"));
}

TEST_CASE("a folder reached by a link is a folder") {
  const Lane lane;
  lane.write("real/burnet.yaml", bench::kBurnet);
  bench::fs::create_directory_symlink("real", lane / "link");
  const Folder folder(lane / "link");
  CHECK_FALSE(is_refused(folder, "burnet.yaml"));
  CHECK(folder.names(FileKind::taper) == std::vector<std::string>{"burnet.yaml"});
}

TEST_CASE("what is no plain file is none, and is not waited for") {
  const Lane lane;
  lane.write("sub/x.yaml", bench::kBurnet);
  REQUIRE(::mkfifo((lane / "pipe.yaml").c_str(), 0600) == 0);
  std::ofstream(lane / "huge.yaml").close();
  bench::fs::resize_file(lane / "huge.yaml", 65'000'000);  // a hole: takes no room
  const Folder folder(lane.path());
  for (std::string const name : {"pipe.yaml", "sub", "huge.yaml"}) {
    INFO(name);
    CHECK(is_refused(folder, name));
    Problems problems;
    CHECK_FALSE(folder.read(name, problems));
  }
  CHECK(listed(folder) == kind(FileKind::taper, "sub/x.yaml"));
}

TEST_CASE("files are told apart by what is in them") {
  const Lane lane;
  lane.write("burnet.yaml", bench::kBurnet);
  lane.write("bench.yml", "# mine\n\nformat:   stripwright-shop-1\n");
  lane.write("ring.yaml", "format: stripwright-ring-1\n");
  lane.write("correction.yaml", "format: 'stripwright-correction-1'\n");
  lane.write("culms.yaml", "format: stripwright-culms-1\n");
  lane.write("readings.csv", "strip,at_in,a_in,b_in,c_in\ntip 1,5,0.04,0.04,0.04\n");
  lane.write("unitless.csv", "strip,at,a,b,c\ntip 1,5,0.04,0.04,0.04\n");
  lane.write("table.csv", "day,weather\nMonday,rain\n");
  lane.write("other.yaml", "name: nothing of ours # format: stripwright-taper-1\n");
  lane.write("inside.yaml", "about: |\n  format: stripwright-taper-1\n");
  lane.write("empty.yaml", "");
  lane.write("notes.txt", bench::kBurnet);
  lane.write(".hidden.yaml", bench::kBurnet);
  lane.write(".git/x.yaml", bench::kBurnet);
  lane.write("a/b/c.yaml", bench::kBurnet);
  lane.write("a/b/c/d.yaml", bench::kBurnet);
  lane.write("burnet.yaml.bak", bench::kBurnet);
  CHECK(listed(Folder(lane.path())) ==
        kind(FileKind::taper, "a/b/c.yaml") + kind(FileKind::shop, "bench.yml") +
            kind(FileKind::taper, "burnet.yaml") + kind(FileKind::correction, "correction.yaml") +
            kind(FileKind::culms, "culms.yaml") + kind(FileKind::readings, "readings.csv") +
            kind(FileKind::ring, "ring.yaml") + kind(FileKind::readings, "unitless.csv"));
}

TEST_CASE("of very many files so many are listed, and a folder that cannot be read is empty") {
  const Lane lane;
  for (std::size_t i = 0; i < Folder::kMostFiles + 10; ++i)
    std::ofstream(lane / (std::to_string(i) + ".yaml")) << "format: stripwright-taper-1\n";
  CHECK(Folder(lane.path()).list().size() == Folder::kMostFiles);
  const Lane gone;
  const Folder folder(gone.path());
  bench::fs::remove_all(gone.path());
  CHECK(folder.list().empty());
}

TEST_CASE("a file's name in messages is that within the folder") {
  const Lane lane;
  lane.write("shops/bench.yaml", "x: 1\n");
  Problems problems;
  const auto file = Folder(lane.path()).read("shops/bench.yaml", problems);
  REQUIRE(file);
  CHECK(file->name() == "shops/bench.yaml");
  CHECK(file->text() == "x: 1\n");
}
