#include "files/source_text.h"

#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>

#include "catch.h"

using namespace stripwright;
using namespace stripwright::files;

namespace {

/// Line and column of the first occurrence of a mark.
std::pair<std::size_t, std::size_t> place_of(SourceText const& source, std::string_view mark) {
  const auto at = source.text().find(mark);
  REQUIRE(at != std::string_view::npos);
  const auto place = source.place(at);
  CHECK(place.file == source.name());
  return {place.line, place.column};
}

using LineColumn = std::pair<std::size_t, std::size_t>;

/// The one fault that check_bytes finds in a text, "" if none.
std::string byte_fault(std::string bytes) {
  Problems problems;
  const SourceText source("f.yaml", std::move(bytes));
  const bool clean = check_bytes(source, problems);
  CHECK(clean == problems.empty());
  if (clean) return "";
  REQUIRE(problems.list().size() == 1);
  auto const& found = problems.list().front();
  return std::to_string(found.place.line) + ":" + std::to_string(found.place.column) + ": " +
         found.what;
}

class TemporaryFolder {
 public:
  TemporaryFolder() : path_(std::filesystem::temp_directory_path() / "stripwright-XXXXXX") {
    std::string name = path_.string();
    REQUIRE(mkdtemp(name.data()));
    path_ = name;
  }
  TemporaryFolder(TemporaryFolder const&) = delete;
  TemporaryFolder& operator=(TemporaryFolder const&) = delete;
  ~TemporaryFolder() { std::filesystem::remove_all(path_); }
  std::string file(std::string const& name) const { return (path_ / name).string(); }

 private:
  std::filesystem::path path_;
};

}  // namespace

TEST_CASE("lines and columns count from 1, in characters") {
  const SourceText source("f.yaml", "one\ntwo @\n\n  \xC3\xBC\xE7\xAB\xB9\xF0\x9F\x8E\xA3#\nlast");
  CHECK(place_of(source, "one") == LineColumn{1, 1});
  CHECK(place_of(source, "@") == LineColumn{2, 5});
  CHECK(place_of(source, "\n\n") == LineColumn{2, 6});
  CHECK(place_of(source, "#") == LineColumn{4, 6});
  CHECK(place_of(source, "last") == LineColumn{5, 1});
  CHECK(source.line_at(source.text().find("@")) == "two @");
  CHECK(source.line_at(0) == "one");
  CHECK(source.line_at(10) == "");
  // Beyond the end: where the text ends.
  CHECK(source.place(10'000).line == 5);
  CHECK(source.place(10'000).column == 5);
  CHECK(source.line_at(10'000) == "last");
}

TEST_CASE("carriage returns and a byte order mark are no part of a line") {
  const SourceText source("f.yaml",
                          "\xEF\xBB\xBF"
                          "one\r\ntwo @\r\n");
  CHECK(source.text().starts_with("one"));
  CHECK(place_of(source, "one") == LineColumn{1, 1});
  CHECK(place_of(source, "@") == LineColumn{2, 5});
  CHECK(source.line_at(0) == "one");
  CHECK(source.line_at(5) == "two @");
  CHECK(SourceText("f", "\xEF\xBB\xBF").text().empty());
  CHECK(SourceText("f", "").place(0).line == 1);
  CHECK(SourceText("f", "").line_at(0).empty());
}

TEST_CASE("a problem brings its line") {
  const SourceText source("f.yaml", "a: 1\nb: x\n");
  const auto problem = source.problem(8, "what", "remedy", Severity::warning);
  CHECK(problem.place.line == 2);
  CHECK(problem.place.column == 4);
  CHECK(problem.source_line == "b: x");
  CHECK(problem.severity == Severity::warning);
  CHECK(problem.what == "what");
  CHECK(problem.remedy == "remedy");
}

TEST_CASE("of a line of a megabyte the part around the place is kept") {
  std::string bytes;
  for (int i = 0; i < 400'000; ++i) bytes += "\xC3\xBC";
  bytes.replace(600'000, 1, "!");  // In the middle of a character: a byte that is none follows.
  bytes.erase(600'001, 1);
  const SourceText source("f.yaml", "x: 1\n" + bytes);
  const auto problem = source.problem(600'005, "what");
  CHECK(problem.place.column == 300'001);
  CHECK(problem.source_line.size() < 1000);
  Problems problems;
  problems.add(problem);
  const auto text = problems.text();
  // The caret is below the mark: as many columns, though each letter before has two bytes.
  const auto line = text.substr(text.find('\n') + 1);
  const auto caret_line = line.substr(line.find('\n') + 1);
  const auto columns_before = [](std::string_view part) {
    return std::count_if(part.begin(), part.end(), [](char c) { return (c & 0xC0) != 0x80; });
  };
  CHECK(columns_before(line.substr(0, line.find('!'))) ==
        columns_before(caret_line.substr(0, caret_line.find('^'))));
}

TEST_CASE("problems beyond those kept are counted") {
  const SourceText source("f.yaml", std::string(5000, 'x'));
  Problems problems;
  for (std::size_t i = 0; i < 5000; ++i) add_problem(problems, source, i, "what");
  CHECK(problems.errors() == 5000);
  CHECK(problems.list().size() == 1000);
}

TEST_CASE("bytes that no text file has are told with their place") {
  using namespace std::string_literals;
  CHECK(byte_fault("") == "");
  CHECK(byte_fault("a: 1\r\n\tb: \xC3\xBC\xE2\x88\x9A\xF0\x9F\x8E\xA3\n") == "");
  CHECK(byte_fault("\xEF\xBB\xBF"
                   "a: 1\n") == "");
  CHECK(byte_fault("a: 1\nb: \0\n"s) == "2:4: a NUL byte");
  CHECK(byte_fault("a\x04") == "1:2: a control character (0x04)");
  CHECK(byte_fault("a: \x1b[31m") == "1:4: a control character (0x1B)");
  CHECK(byte_fault("a\x7F") == "1:2: a control character (0x7F)");
  CHECK(byte_fault("a\xC2\x85") == "1:2: a control character (0x85)");
  CHECK(byte_fault("\xC3\xBC\xC2\x9B") == "1:2: a control character (0x9B)");
  CHECK(byte_fault("a: \xFC\n") == "1:4: a byte that is not UTF-8 (0xFC)");
  CHECK(byte_fault("\xC3\xBC \xC3\n") == "1:3: a byte that is not UTF-8 (0xC3)");
  CHECK(byte_fault("a\rb") == "1:2: a carriage return without a line feed");
  CHECK(byte_fault("a\r") == "1:2: a carriage return without a line feed");
  CHECK(byte_fault("a\xEF\xBB\xBF") == "1:2: a byte order mark inside the text");
  // UTF-16, as some editors save "Unicode".
  CHECK(byte_fault("\xFF\xFE"
                   "a\0"s) == "1:1: a byte that is not UTF-8 (0xFF)");
}

TEST_CASE("a line may be a megabyte long, and no longer") {
  const std::string longest(1'000'000, 'x');
  CHECK(byte_fault("a\n" + longest + "\nb") == "");
  CHECK(byte_fault("a\n" + longest + "x\nb") == "2:1: a line of over 1 MB");
  CHECK(byte_fault(longest + "x") == "1:1: a line of over 1 MB");
}

TEST_CASE("tabs in indents are told, each of them") {
  Problems problems;
  const SourceText source("f.yaml", "a:\t1\n\tb: 2\n  \t c: 3\n\t \n \t\r\nd: x\ty\n\t# remark\n");
  CHECK_FALSE(check_indents(source, problems));
  REQUIRE(problems.list().size() == 3);
  CHECK(problems.list()[0].place.line == 2);
  CHECK(problems.list()[0].place.column == 1);
  CHECK(problems.list()[1].place.line == 3);
  CHECK(problems.list()[1].place.column == 3);
  CHECK(problems.list()[2].place.line == 7);
  Problems none;
  CHECK(check_indents(SourceText("f", "a:\n  b: 1\n\t"), none));
  CHECK(none.empty());
}

TEST_CASE("a file is read whole, or the reason is told") {
  const TemporaryFolder folder;
  const auto read = [](std::string const& path, std::string_view says) {
    Problems problems;
    CHECK_FALSE(read_source(path, problems));
    REQUIRE(problems.list().size() == 1);
    CHECK(problems.list().front().place.file == path);
    CHECK(problems.list().front().what.find(says) != std::string::npos);
  };
  const std::string bytes =
      "\xEF\xBB\xBF"
      "a: 1\r\n";
  std::ofstream(folder.file("sound.yaml"), std::ios::binary) << bytes;
  Problems problems;
  const auto source = read_source(folder.file("sound.yaml"), problems);
  REQUIRE(source);
  CHECK(problems.empty());
  CHECK(source->text() == "a: 1\r\n");
  CHECK(source->name() == folder.file("sound.yaml"));

  read(folder.file("gone.yaml"), "no such file");
  read(folder.file("sound.yaml") + "/x", "cannot be read: Not a directory");
  read(folder.file(""), "is a folder");
  if (geteuid() != 0) {  // Nothing is forbidden to root.
    std::ofstream(folder.file("shut.yaml")) << bytes;
    chmod(folder.file("shut.yaml").c_str(), 0);
    read(folder.file("shut.yaml"), "cannot be read: Permission denied");
  }
  // Sparse: it takes no room on the disk.
  std::ofstream(folder.file("large.yaml")) << "a: 1";
  std::filesystem::resize_file(folder.file("large.yaml"), 64'000'001);
  read(folder.file("large.yaml"), "over 64 MB");
  std::filesystem::resize_file(folder.file("large.yaml"), 64'000'000);
  CHECK(read_source(folder.file("large.yaml"), problems));
  // A device has no size to be told by.
  read("/dev/zero", "over 64 MB");
}
