#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <atomic>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <thread>

#include "catch.h"
#include "files/keep_copy.h"

using namespace stripwright;
namespace fs = std::filesystem;

namespace {

class Folder {
 public:
  Folder() {
    std::string name = (fs::temp_directory_path() / "stripwright-XXXXXX").string();
    REQUIRE(::mkdtemp(name.data()));
    path_ = name;
  }
  ~Folder() { fs::remove_all(path_); }
  Folder(Folder const&) = delete;
  Folder& operator=(Folder const&) = delete;
  std::string operator/(std::string const& name) const { return (path_ / name).string(); }
  std::size_t count() const {
    return static_cast<std::size_t>(
        std::distance(fs::directory_iterator(path_), fs::directory_iterator()));
  }

 private:
  fs::path path_;
};

std::string bytes_of(std::string const& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream out;
  out << file.rdbuf();
  return out.str();
}

}  // namespace

TEST_CASE("a new file is written whole, with the usual permissions, and nothing beside it") {
  const Folder folder;
  Problems problems;
  const std::string bytes(100'000, 'x');
  const mode_t old = ::umask(022);
  CHECK(files::write_new_file(folder / "a.yaml", bytes, problems));
  ::umask(old);
  CHECK(problems.empty());
  CHECK(bytes_of(folder / "a.yaml") == bytes);
  CHECK(folder.count() == 1);
  struct stat info {};
  REQUIRE(::stat((folder / "a.yaml").c_str(), &info) == 0);
  CHECK((info.st_mode & 0777U) == 0644U);
}

TEST_CASE("a file made while others are has the usual permissions, and so has a later one") {
  const Folder folder;
  const mode_t old = ::umask(027);
  std::atomic<bool> done = false;
  std::atomic<int> open_to_others = 0;
  std::thread other([&] {
    for (int i = 0; !done; ++i) {
      const auto name = folder / fmt::format("other-{}", i % 2);
      fs::create_directory(name);
      if ((fs::status(name).permissions() & fs::perms::others_all) != fs::perms::none)
        ++open_to_others;
      fs::remove(name);
    }
  });
  std::vector<std::thread> makers;
  for (int maker = 0; maker < 4; ++maker)
    makers.emplace_back([&, maker] {
      // What cannot be written is soonest done, and so most often.
      for (int i = 0; i < 20'000; ++i) {
        Problems problems;
        files::write_new_file(folder / fmt::format("no/{}", maker), "x", problems);
      }
    });
  for (auto& each : makers) each.join();
  done = true;
  other.join();
  CHECK(open_to_others == 0);
  CHECK(::umask(old) == 027);
}

TEST_CASE("a new file never takes another's place") {
  const Folder folder;
  std::ofstream(folder / "a.yaml") << "the maker's";
  fs::create_symlink(folder / "nowhere", folder / "link.yaml");
  fs::create_directory(folder / "folder.yaml");
  for (auto const* name : {"a.yaml", "link.yaml", "folder.yaml"}) {
    Problems problems;
    INFO(name);
    CHECK(!files::write_new_file(folder / name, "new", problems));
    CHECK(problems.any_error());
  }
  CHECK(bytes_of(folder / "a.yaml") == "the maker's");
  CHECK(!fs::exists(folder / "nowhere"));
  CHECK(folder.count() == 3);
}

TEST_CASE("a folder that is not there is told") {
  const Folder folder;
  Problems problems;
  CHECK(!files::write_new_file(folder / "no/a.yaml", "x", problems));
  CHECK(problems.text().find("No such file") != std::string::npos);
}
