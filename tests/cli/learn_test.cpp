#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "catch.h"
#include "cli/run.h"

namespace fs = std::filesystem;

namespace {

std::string const kShop =
    "\xEF\xBB\xBF# The shop of the tests.\r\n"
    "format: stripwright-shop-1\r\n"
    "name: Mill Cottage\r\n"
    "unit: mm\r\n"
    "allowances:\r\n"
    "  cleanup: 0.0200  # by feel\r\n"
    "  glue_line: '0.05'\r\n"
    "  enamel: {thickness: 0, off: before-milling, face: flat}\r\n"
    "  apex_relief: 0\r\n"
    "gauges: {micrometer: {resolution: 0.001, standard_uncertainty: 0.0005}}";

std::string const kTaper =
    "format: stripwright-taper-1\nname: Dogrose\nunit: mm\ntaper: {0: 2, 300: 3.2, 600: 4.4, 1200: "
    "7}\nsections: {tip: {from: 0, to: 600}, butt: {from: 600, to: 1200}}\n";

std::string const kRing =
    "format: stripwright-ring-1\ntaper: dogrose.yaml\nsection: tip\nunit: mm\n"
    "strips: [s1, s2, s3, s4, s5, s6]\n"
    "readings: {ready: strips.csv, glued: glued.csv, bare: bare.csv, varnished: done.csv}\n";

/// A folder with a shop, a taper, a ring and its readings: glue line 0.030, clean-up 0.021, varnish
/// 0.040, with a scatter of a thousandth.
class Bench {
 public:
  Bench() {
    std::string name = (fs::temp_directory_path() / "learn-XXXXXX").string();
    REQUIRE(::mkdtemp(name.data()) != nullptr);
    folder_ = fs::canonical(name);
    write("shop.yaml", kShop);
    write("dogrose.yaml", kTaper);
    write("ring.yaml", kRing);
    std::string strips = "strip,at_mm,a_mm\n";
    std::string glued = "piece,at_mm,f1_mm,f2_mm,f3_mm\n";
    std::string bare = glued;
    std::string varnished = glued;
    for (int i = 0; i <= 6; ++i) {
      const double at = 100.0 * i;
      const double h = 1 + 0.002 * at;
      const double scatter = i % 2 == 0 ? 0.001 : -0.001;
      for (int s = 1; s <= 6; ++s)
        strips += row("s" + std::to_string(s), at, {h + 0.001 * (s % 3)});
      for (const int stage : {0, 1, 2}) {
        std::vector<double> f;
        for (int p = 1; p <= 3; ++p)
          f.push_back(2 * (h + 0.001 * (p % 3)) + 0.060 + scatter -
                      (stage > 0 ? 0.042 + scatter * 2 : 0) + (stage > 1 ? 0.080 : 0));
        (stage == 0 ? glued : stage == 1 ? bare : varnished) += row("A", at, f);
      }
    }
    write("strips.csv", strips);
    write("glued.csv", glued);
    write("bare.csv", bare);
    write("done.csv", varnished);
  }
  ~Bench() { fs::remove_all(folder_); }
  Bench(Bench const&) = delete;
  Bench& operator=(Bench const&) = delete;

  std::string operator/(std::string const& name) const { return (folder_ / name).string(); }
  void write(std::string const& name, std::string const& bytes) const {
    std::ofstream(folder_ / name, std::ios::binary) << bytes;
  }
  std::string bytes(std::string const& name) const {
    std::ifstream file(folder_ / name, std::ios::binary);
    std::ostringstream out;
    out << file.rdbuf();
    return out.str();
  }
  /// Puts a text in the place of another, once, in a file.
  void change(std::string const& name, std::string const& old, std::string const& replaced) const {
    auto text = bytes(name);
    const auto at = text.find(old);
    REQUIRE(at != std::string::npos);
    write(name, text.replace(at, old.size(), replaced));
  }
  std::size_t files() const {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(folder_), {}));
  }

  struct Ran {
    int status = 0;
    std::string out;
    std::string err;
    /// In what is printed, or in a message, wherever its lines are broken.
    bool says(std::string const& text) const {
      std::string in_one_line;
      for (const char c : err) {
        const bool blank = c == ' ' || c == '\n';
        if (!blank || !in_one_line.ends_with(' ')) in_one_line += blank ? ' ' : c;
      }
      return (out + err).find(text) != std::string::npos ||
             in_one_line.find(text) != std::string::npos;
    }
  };
  Ran learn(std::vector<std::string> more = {}, std::string const& ring = "ring.yaml") const {
    std::vector<std::string> arguments{"learn", *this / ring, "--shop", *this / "shop.yaml"};
    arguments.insert(arguments.end(), more.begin(), more.end());
    return run(arguments);
  }
  static Ran run(std::vector<std::string> const& arguments) {
    std::ostringstream out;
    std::ostringstream err;
    const int status = stripwright::cli::run(arguments, out, err);
    return {status, out.str(), err.str()};
  }

 private:
  static std::string row(std::string const& name, double at, std::vector<double> const& values) {
    std::ostringstream out;
    out.precision(7);
    out << name << ',' << at;
    for (const double value : values) out << ',' << std::fixed << value << std::defaultfloat;
    return out.str() + "\n";
  }
  fs::path folder_;
};

}  // namespace

TEST_CASE("learn tells what the sections say, and leaves the shop file alone") {
  const Bench bench;
  const auto ran = bench.learn();
  INFO(ran.out << ran.err);
  CHECK(ran.status == 1);
  CHECK(ran.err.empty());
  CHECK(ran.says("Learned from 1 ring of 1 rod, for Mill Cottage"));
  CHECK(ran.says("clean-up less glue line   -0.0089"));
  CHECK(ran.says("The sample is the stations of one rod."));
  CHECK(ran.says("  cleanup: 0.0211  # was 0.02; new"));
  CHECK(ran.says("  glue_line: 0.0301  # was 0.05; new: the old value is outside the interval"));
  CHECK(ran.says("  varnish: 0.04  # new: it was not in the file"));
  CHECK(ran.says("--write puts it into the shop file"));
  CHECK(bench.bytes("shop.yaml") == kShop);
  std::istringstream lines(ran.out);
  for (std::string line; std::getline(lines, line);) CHECK(line.size() <= 80);
}

TEST_CASE("learn --write changes the values and nothing else, and keeps a copy") {
  const Bench bench;
  const auto files_before = bench.files();
  const auto ran = bench.learn({"--write"});
  INFO(ran.out << ran.err);
  CHECK(ran.status == 0);
  auto expected = kShop;
  expected.replace(expected.find("0.0200"), 6, "0.0211");
  expected.replace(expected.find("'0.05'"), 6, "'0.0301'");
  const std::string relief = "  apex_relief: 0\r\n";
  expected.insert(expected.find(relief) + relief.size(), "  varnish: 0.04\r\n");
  CHECK(bench.bytes("shop.yaml") == expected);
  CHECK(bench.bytes("shop.yaml.bak") == kShop);
  CHECK(ran.says("Written into"));
  CHECK(ran.says("shop.yaml.bak"));
  CHECK(bench.files() == files_before + 1);
  const auto again = bench.learn({"--write"});
  CHECK(again.status == 0);
  CHECK(again.says("Nothing needs to change."));
  CHECK(bench.files() == files_before + 1);
}

TEST_CASE("learn as csv and json") {
  const Bench bench;
  const auto csv = bench.learn({"--format", "csv"});
  CHECK(csv.status == 1);
  CHECK(
      csv.out.starts_with("allowance,measured_mm,low_mm,high_mm,shop_mm,off_mm,differs,assumed,"
                          "spread_mm,standard_error_mm,gauge_part_mm,sample_of,sample,rods,"
                          "stations,values,odd_values,without_odd_mm\r\n"));
  CHECK(std::count(csv.out.begin(), csv.out.end(), '\n') == 5);
  const auto json = nlohmann::json::parse(bench.learn({"--format", "json", "--units", "in"}).out);
  CHECK(json["unit"] == "in");
  CHECK(json["allowances"].size() == 4);
  CHECK(json["allowances"][1]["allowance"] == "glue line");
  CHECK(json["allowances"][1]["measured_in"].get<double>() ==
        Approx(0.0300714 / 25.4).margin(1e-6));
  CHECK(json["values"].size() == 4 * 7 * 3);
  CHECK(json["shop_file"]["unit"] == "mm");
  CHECK(json["shop_file"]["keys"][0]["value"].get<double>() == Approx(0.0211).margin(1e-4));
  CHECK(json["shop_file"]["written"].is_null());
}

TEST_CASE("a reading that slipped is named, and the shop file is not in order") {
  const Bench bench;
  bench.learn({"--write"});
  bench.change("glued.csv", "A,300,3.2610000,3.2630000", "A,300,3.2610000,3.3630000");
  const auto ran = bench.learn();
  INFO(ran.out);
  CHECK(ran.status == 1);
  CHECK(ran.says("Readings that do not go with the others"));
  CHECK(ran.says("ring ring, station 300 mm, f2 over strips s2 and s5"));
}

TEST_CASE("three rods are a sample of rods") {
  const Bench bench;
  for (auto const* name : {"b.yaml", "c.yaml"}) bench.write(name, kRing);
  const auto ran = bench.learn({bench / "b.yaml", bench / "c.yaml"});
  CHECK(ran.says("Learned from 3 rings of 3 rods"));
  CHECK(ran.says("Each rod counts once"));
  for (auto const* name : {"b.yaml", "c.yaml"}) bench.write(name, kRing + "rod: Dogrose 1\n");
  CHECK(bench.learn({bench / "b.yaml", bench / "c.yaml"}).says("Learned from 3 rings of 2 rods"));
}

TEST_CASE("a ring without its strips' readings is said to be one") {
  const Bench bench;
  bench.change("ring.yaml", "ready: strips.csv, ", "");
  const auto ran = bench.learn();
  INFO(ran.out << ran.err);
  CHECK(ran.says("its strips were not measured, so it says nothing of the glue line"));
  CHECK(!ran.says("left out for want of strips"));
}

TEST_CASE("what learn takes for granted is said") {
  const Bench bench;
  bench.change("ring.yaml", "ready: strips.csv", "milled: strips.csv");
  bench.change("ring.yaml", "unit: mm\n", "unit: mm\nmarked: false\nmoisture: {bare: 7}\n");
  bench.change("shop.yaml", "thickness: 0, off: before-milling",
               "thickness: 0.001, off: before-gluing");
  bench.change("bare.csv", "A,600", "A,550");
  const auto ran = bench.learn();
  INFO(ran.out << ran.err);
  CHECK(ran.says("less the enamel that the ledger"));
  CHECK(ran.says("not marked"));
  CHECK(ran.says("left out for want of strips measured at the same place: 550 mm"));
  CHECK(ran.says("moistures are not used"));
  bench.change("shop.yaml", "apex_relief: 0",
               "apex_relief: 0\r\n  moisture: {per_percent: 0.001, at_milling: 9, in_service: 7}");
  CHECK(bench.learn().says("ASSUMED no change of moisture"));
  bench.change("shop.yaml",
               "gauges: {micrometer: {resolution: 0.001, standard_uncertainty: 0.0005}}", "");
  CHECK(bench.learn().says("the shop has no gauge"));
}

TEST_CASE("calls and files that are wrong are refused with the way out") {
  const Bench bench;
  const auto refused = [&](std::string const& what, std::vector<std::string> more = {}) {
    const auto ran = bench.learn(std::move(more));
    INFO(ran.out << ran.err);
    CHECK(ran.status == 2);
    CHECK(ran.out.empty());
    CHECK(ran.says(what));
    CHECK(bench.bytes("shop.yaml").find("0.0211") == std::string::npos);
  };
  SECTION("the built-in shop cannot be written to") {
    const auto ran = Bench::run({"learn", bench / "ring.yaml", "--write"});
    CHECK(ran.status == 2);
    CHECK(ran.says("name your own shop file with --shop"));
  }
  SECTION("a ring file twice") {
    refused("the same ring file a second time", {bench / "./ring.yaml"});
  }
  SECTION("a section that the taper has not") {
    bench.change("ring.yaml", "section: tip", "section: mid");
    refused("the taper has no section 'mid'");
    refused("its sections are tip, butt");
  }
  SECTION("a strip without readings") {
    bench.change("ring.yaml", "s3", "s7");
    refused("strip 's7' has no readings of height a in");
    refused("of this section it holds s1, s2, s3, s4, s5, s6", {"--write"});
  }
  SECTION("a shift beyond the spare") {
    bench.change("ring.yaml", "unit: mm", "unit: mm\nshifts: {s2: -40}");
    refused("farther than the spare");
  }
  SECTION("readings of another kind") {
    bench.change("ring.yaml", "glued: glued.csv", "glued: strips.csv");
    refused("are not the readings that stage glued has");
  }
  SECTION("several pieces") {
    bench.change("glued.csv", "A,600", "B,600");
    refused("holds several pieces of section tip");
    bench.change("ring.yaml", "unit: mm", "unit: mm\npiece: C");
    refused("holds no piece 'C'");
  }
  SECTION("nothing to learn from") {
    bench.change("ring.yaml", "glued: glued.csv, bare: bare.csv, ", "");
    refused("nothing can be learned from these readings");
  }
  SECTION("no two stages at the same stations") {
    bench.change("ring.yaml",
                 "{ready: strips.csv, glued: glued.csv, bare: bare.csv, varnished: done.csv}",
                 "{glued: glued.csv, bare: else.csv}");
    bench.write("else.csv", "piece,at_mm,f1_mm\nA,50,2.2\n");
    refused("nowhere measured at the same stations");
  }
  SECTION("several gauges") {
    bench.change("shop.yaml",
                 "{micrometer:", "{caliper: {resolution: 0.01, max_error: 0.02}, micrometer:");
    refused("choose with --gauge: caliper, micrometer");
    CHECK(bench.learn({"--gauge", "caliper"}).status == 1);
  }
  SECTION("a file that is not there") {
    fs::remove(bench / "bare.csv");
    refused("no such file");
  }
  SECTION("a shop file that cannot be edited safely") {
    // Legal, but with an indent of its own for a block text.
    bench.change("shop.yaml", "'0.05'", "|2-\r\n    0.05");
    refused("without risk", {"--write"});
  }
}

TEST_CASE("a file of readings may hold other sections too") {
  const Bench bench;
  const auto alone = bench.learn();
  auto strips = bench.bytes("strips.csv");
  for (int s = 1; s <= 6; ++s)
    for (int at : {700, 900})
      strips += "b" + std::to_string(s) + "," + std::to_string(at) + "," +
                std::to_string(2.2 + (at - 600) * 0.0022) + "\n";
  bench.write("strips.csv", strips);
  CHECK(bench.learn().out == alone.out);
  bench.write("strips.csv", strips + "b1,650,22\n");
  const auto refused = bench.learn();
  INFO(refused.err);
  CHECK(refused.status == 2);
  CHECK(refused.says("strips.csv:56:"));
}

TEST_CASE("readings whose columns name no unit take the ring's") {
  const Bench bench;
  bench.change("glued.csv", "piece,at_mm,f1_mm,f2_mm,f3_mm", "piece,at,f1,f2,f3");
  CHECK(bench.learn().says("  glue_line: 0.0301"));
}
