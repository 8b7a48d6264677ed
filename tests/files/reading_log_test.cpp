#include "files/reading_log.h"

#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "catch.h"
#include "files/csv_reader.h"

namespace stripwright::files {
namespace {

namespace fs = std::filesystem;

constexpr char kHeader[] = "strip,at_in,a_in";

/// A folder of its own that goes away again.
class Folder {
 public:
  Folder() {
    std::string name = (fs::temp_directory_path() / "reading-log-XXXXXX").string();
    REQUIRE(::mkdtemp(name.data()));
    path_ = name;
  }
  ~Folder() { fs::remove_all(path_); }
  Folder(Folder const&) = delete;
  Folder& operator=(Folder const&) = delete;
  std::string file(std::string const& name = "tip.csv") const { return (path_ / name).string(); }
  fs::path const& path() const { return path_; }

 private:
  fs::path path_;
};

std::string bytes_of(std::string const& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

void write(std::string const& path, std::string const& bytes) {
  std::ofstream(path, std::ios::binary) << bytes;
}

/// The rows as any reader of CSV with remarks has them.
std::vector<std::string> rows_of(std::string const& path) {
  const SourceText source(path, bytes_of(path));
  Problems problems;
  CsvReader reader(source, problems);
  CsvRecord record;
  std::vector<std::string> out;
  while (reader.next(record)) {
    std::string row;
    for (auto const& field : record.fields)
      row += (row.empty() ? "" : "|") + std::string(field.text);
    out.push_back(row);
  }
  CHECK(problems.empty());
  return out;
}

using Rows = std::vector<std::string>;

TEST_CASE("a log makes its file with the header and adds to it") {
  const Folder folder;
  Problems problems;
  {
    auto log = ReadingLog::open(folder.file(), kHeader, problems);
    REQUIRE(log);
    CHECK(rows_of(folder.file()) == Rows{"strip|at_in|a_in"});
    REQUIRE(log->keep("\"s1\",0,0.0345", problems));
    REQUIRE(log->keep("\"s1\",5,0.0412", problems));
  }
  auto log = ReadingLog::open(folder.file(), kHeader, problems);
  REQUIRE(log);
  REQUIRE(log->keep("\"s1\",10,0.0490", problems));
  CHECK(bytes_of(folder.file()) ==
        "strip,at_in,a_in\n\"s1\",0,0.0345\n\"s1\",5,0.0412\n\"s1\",10,0.0490\n");
  CHECK(problems.empty());
  CHECK(std::distance(fs::directory_iterator(folder.path()), {}) == 1);  // nothing left over
}

TEST_CASE("taking back turns a row into a remark, wherever it stands") {
  const Folder folder;
  Problems problems;
  auto log = ReadingLog::open(folder.file(), kHeader, problems);
  REQUIRE(log);
  REQUIRE(log->keep("\"s1\",0,0.0345", problems));
  const auto first = *log->last_row();
  REQUIRE(log->keep("\"s1\",5,0.0412", problems));
  REQUIRE(log->take_back(*log->last_row(), problems));
  CHECK_FALSE(log->last_row());
  CHECK(rows_of(folder.file()) == Rows{"strip|at_in|a_in", "s1|0|0.0345"});
  REQUIRE(log->take_back(first, problems));
  CHECK(rows_of(folder.file()) == Rows{"strip|at_in|a_in"});
  CHECK(bytes_of(folder.file()) == "strip,at_in,a_in\n#s1\",0,0.0345\n#s1\",5,0.0412\n");
}

TEST_CASE(
    "a file that was cut short anywhere while a row was added still has all rows before it, "
    "and takes the next") {
  // What a row leaves in the file, step by step: first as a remark, then its first byte.
  const std::string before = "strip,at_in,a_in\n\"s1\",0,0.0345\n";
  const std::string added = "#s1\",5,0.0412\n";
  const Folder folder;
  for (std::size_t cut = 0; cut <= added.size(); ++cut) {
    INFO("cut after " << cut << " bytes");
    write(folder.file(), before + added.substr(0, cut));
    CHECK(rows_of(folder.file()) == Rows{"strip|at_in|a_in", "s1|0|0.0345"});
    Problems problems;
    auto log = ReadingLog::open(folder.file(), kHeader, problems);
    REQUIRE(log);
    REQUIRE(log->keep("\"s1\",5,0.0499", problems));
    CHECK(rows_of(folder.file()) == Rows{"strip|at_in|a_in", "s1|0|0.0345", "s1|5|0.0499"});
  }
}

TEST_CASE("a hand-made file keeps its line ends, its bytes, and a last line without an end") {
  const Folder folder;
  Problems problems;
  const std::string hand_made =
      "\xEF\xBB\xBFstrip,at_in,a_in\r\ns1,0,0.0345\r\n# by hand\r\ns1,5,0.0412";
  write(folder.file(), hand_made);
  auto log = ReadingLog::open(folder.file(), kHeader, problems);
  REQUIRE(log);
  REQUIRE(log->keep("\"s1\",10,0.0490", problems));
  CHECK(bytes_of(folder.file()) == hand_made + "\r\n\"s1\",10,0.0490\r\n");
  CHECK(bytes_of(folder.file()).substr(*log->last_row(), 4) == "\"s1\"");
}

TEST_CASE("an empty file gets the header; two programs do not add to one file") {
  const Folder folder;
  Problems problems;
  write(folder.file(), "");
  auto log = ReadingLog::open(folder.file(), kHeader, problems);
  REQUIRE(log);
  CHECK(bytes_of(folder.file()) == "strip,at_in,a_in\n");
  CHECK_FALSE(ReadingLog::open(folder.file(), kHeader, problems));
  REQUIRE(problems.list().size() == 1);
  CHECK(problems.list()[0].what == "another check --ask is adding to it");
  log.reset();
  Problems none;
  CHECK(ReadingLog::open(folder.file(), kHeader, none));
}

TEST_CASE("programs that make one file at the same time lose none of their rows") {
  const bool empty_before = GENERATE(false, true);
  constexpr int kPrograms = 3;
  // How they fall together is up to the system: a log that lets one replace what another has made
  // is found out within a few rounds.
  for (int round = 0; round < 12; ++round) {
    const Folder folder;
    if (empty_before) write(folder.file(), "");
    for (int program = 0; program < kPrograms; ++program) {
      if (::fork() != 0) continue;
      for (int tries = 0; tries < 1000; ++tries, ::usleep(500)) {
        Problems problems;
        auto log = ReadingLog::open(folder.file(), kHeader, problems);
        if (log) ::_exit(log->keep("\"s1\",0,0.0385", problems) ? 0 : 1);
      }
      ::_exit(2);
    }
    for (int program = 0; program < kPrograms; ++program) {
      int status = -1;
      REQUIRE(::wait(&status) > 0);
      CHECK(status == 0);
    }
    CHECK(rows_of(folder.file()).size() == 1 + kPrograms);
  }
}

TEST_CASE("what cannot be kept is told, and the file is as before") {
  const Folder folder;
  Problems problems;
  CHECK_FALSE(ReadingLog::open(folder.path().string(), kHeader, problems));
  CHECK_FALSE(ReadingLog::open(folder.file("no/such/folder.csv"), kHeader, problems));
  CHECK(problems.errors() == 2);
  // A disk that is full, the way Linux plays one.
  if (::access("/dev/full", W_OK) == 0)
    CHECK_FALSE(ReadingLog::open("/dev/full", kHeader, problems));
  CHECK_THROWS_AS(ReadingLog::open(folder.file(), kHeader, problems)->keep("#s1,1,2", problems),
                  std::logic_error);
}

}  // namespace
}  // namespace stripwright::files
