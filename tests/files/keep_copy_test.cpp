#include "files/keep_copy.h"

#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <thread>

#include "catch.h"

using namespace stripwright;
using files::Replaced;

namespace fs = std::filesystem;

namespace {

/// A folder of its own, taken away at the end.
class Folder {
 public:
  Folder() {
    std::string name = (fs::temp_directory_path() / "keep-copy-XXXXXX").string();
    REQUIRE(::mkdtemp(name.data()) != nullptr);
    path_ = name;
  }
  ~Folder() {
    fs::permissions(path_, fs::perms::owner_all);
    fs::remove_all(path_);
  }
  fs::path operator/(std::string const& name) const { return path_ / name; }
  std::size_t files() const {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(path_), {}));
  }
  fs::path const& path() const { return path_; }

 private:
  fs::path path_;
};

void write(fs::path const& path, std::string const& bytes) {
  std::ofstream(path, std::ios::binary) << bytes;
}

std::string bytes_of(fs::path const& path) {
  Problems problems;
  const auto bytes = files::read_bytes(path.string(), problems);
  REQUIRE(bytes);
  return *bytes;
}

}  // namespace

TEST_CASE("a file is replaced, and its old bytes lie beside it") {
  const Folder folder;
  const auto path = folder / "shop.yaml";
  const std::string old =
      "\xEF\xBB\xBF"
      "a: 1\r\n";
  write(path, old);
  REQUIRE(::chmod(path.c_str(), 0640) == 0);
  Problems problems;
  const auto first = files::replace_keeping_copy(path.string(), old, "a: 2\r\n", problems);
  CHECK(first.how == Replaced::done);
  CHECK(first.copy == fs::canonical(path).string() + ".bak");
  CHECK(bytes_of(path) == "a: 2\r\n");
  CHECK(bytes_of(first.copy) == old);
  CHECK((fs::status(path).permissions() & fs::perms::all) == fs::perms(0640));
  const auto second = files::replace_keeping_copy(path.string(), "a: 2\r\n", "a: 3\r\n", problems);
  CHECK(second.copy == fs::canonical(path).string() + ".bak2");
  CHECK(bytes_of(second.copy) == "a: 2\r\n");
  CHECK(bytes_of(first.copy) == old);
  CHECK(folder.files() == 3);
  CHECK(problems.empty());
}

TEST_CASE("nothing is written where nothing changes or the file has changed meanwhile") {
  const Folder folder;
  const auto path = folder / "shop.yaml";
  write(path, "a: 1\n");
  Problems problems;
  CHECK(files::replace_keeping_copy(path.string(), "a: 1\n", "a: 1\n", problems).how ==
        Replaced::same);
  CHECK(problems.empty());
  CHECK(files::replace_keeping_copy(path.string(), "a: 0\n", "a: 2\n", problems).how ==
        Replaced::refused);
  CHECK(problems.list().front().what.find("somebody else") != std::string::npos);
  CHECK(bytes_of(path) == "a: 1\n");
  CHECK(folder.files() == 1);
}

TEST_CASE("of many who add to one file at once none loses what another has added") {
  const Folder folder;
  const auto path = folder / "shop.yaml";
  write(path, "");
  constexpr int kMakers = 4;
  constexpr int kLines = 20;
  std::vector<std::thread> makers;
  for (int maker = 0; maker < kMakers; ++maker)
    makers.emplace_back([&, maker] {
      for (int line = 0; line < kLines;) {
        Problems problems;
        const auto old = files::read_bytes(path.string(), problems);
        const auto added = fmt::format("{}{}-{}\n", old.value_or(""), maker, line);
        const auto copy_name = [&](int i) {
          return (folder / fmt::format("{}-{}-{}", maker, line, i)).string();
        };
        if (old &&
            files::replace_keeping_copy(path.string(), *old, added, copy_name, problems).how ==
                Replaced::done)
          ++line;
      }
    });
  for (auto& each : makers) each.join();
  const auto all = bytes_of(path);
  for (int maker = 0; maker < kMakers; ++maker)
    for (int line = 0; line < kLines; ++line) {
      const auto added = fmt::format("{}-{}\n", maker, line);
      INFO(added);
      CHECK(all.find(added) != std::string::npos);
    }
  CHECK(folder.files() == 1 + kMakers * kLines);
}

TEST_CASE("of a link what it points to is replaced") {
  const Folder folder;
  write(folder / "real.yaml", "a: 1\n");
  fs::create_symlink("real.yaml", folder / "link.yaml");
  Problems problems;
  const auto done =
      files::replace_keeping_copy((folder / "link.yaml").string(), "a: 1\n", "a: 2\n", problems);
  CHECK(done.how == Replaced::done);
  CHECK(fs::is_symlink(folder / "link.yaml"));
  CHECK(bytes_of(folder / "real.yaml") == "a: 2\n");
  CHECK(bytes_of(folder / "real.yaml.bak") == "a: 1\n");
}

TEST_CASE("a file that is not there is told") {
  const Folder folder;
  Problems problems;
  CHECK(!files::read_bytes((folder / "none.yaml").string(), problems));
  CHECK(files::replace_keeping_copy((folder / "none.yaml").string(), "", "a", problems).how ==
        Replaced::failed);
  CHECK(problems.errors() == 2);
  CHECK(!files::read_bytes(folder.path().string(), problems));
}

TEST_CASE("a folder that cannot be written to leaves the file as it is") {
  if (::geteuid() == 0) {
    // Permissions do not hold root back: a folder that vanishes in a file's name does.
    const Folder folder;
    const auto path = folder / std::string(252, 'x');
    write(path, "a: 1\n");
    Problems problems;
    // The copy's name is over 255 bytes.
    CHECK(files::replace_keeping_copy(path.string(), "a: 1\n", "a: 2\n", problems).how ==
          Replaced::failed);
    CHECK(problems.list().front().what.find("cannot be written") != std::string::npos);
    CHECK(bytes_of(path) == "a: 1\n");
    return;
  }
  const Folder folder;
  const auto path = folder / "shop.yaml";
  write(path, "a: 1\n");
  fs::permissions(folder.path(), fs::perms::owner_read | fs::perms::owner_exec);
  Problems problems;
  CHECK(files::replace_keeping_copy(path.string(), "a: 1\n", "a: 2\n", problems).how ==
        Replaced::failed);
  CHECK(problems.any_error());
  CHECK(bytes_of(path) == "a: 1\n");
}
