#include <algorithm>
#include <fstream>
#include <random>
#include <sstream>

#include "catch.h"
#include "taper/read_taper.h"
#include "taper/write_taper.h"

using namespace stripwright;

namespace {

constexpr Length in(double count) { return Length::inches(count); }

struct File {
  std::string bytes;
  Taper taper;
};

File file_of(std::string bytes) {
  Problems problems;
  auto taper = read_taper(files::SourceText("rod.yaml", bytes), problems);
  INFO(bytes << "\n" << problems.text());
  REQUIRE(taper);
  return {std::move(bytes), std::move(*taper)};
}

template <class... Changes>
File derived(File const& from, std::vector<std::string> const& remarks, Changes const&... changes) {
  auto now = derived_from(from.taper);
  [[maybe_unused]] const auto make = [&](auto const& change) {
    auto made = change(std::move(now));
    INFO(made.fault);
    REQUIRE(made);
    now = std::move(*made.value);
  };
  (make(changes), ...);
  Problems problems;
  const auto bytes =
      derived_taper_text("rod.yaml", from.bytes, from.taper, now, "rod.yaml", remarks, problems);
  INFO(from.bytes << "\n" << problems.text());
  REQUIRE(bytes);
  return file_of(*bytes);
}

const std::vector<std::string> kNoRemarks;

auto factor_on_flats(double f) {
  return [f](DerivedTaper t) { return scale_flats(std::move(t), f); };
}
auto factor_on_length(double f) {
  return [f](DerivedTaper t) { return scale_length(std::move(t), f); };
}
auto added(Length l) {
  return [l](DerivedTaper t) { return add_flats(std::move(t), l); };
}
auto moved(Length l) {
  return [l](DerivedTaper t) { return move_stations(std::move(t), l); };
}
auto to_unit(Unit u) {
  return [u](DerivedTaper t) { return in_unit_of_file(std::move(t), u); };
}
auto to_basis(Measured m, Length v) {
  return [m, v](DerivedTaper t) { return on_basis(std::move(t), m, v); };
}

std::string bytes_of(std::string const& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream out;
  out << file.rdbuf();
  return out.str();
}

/// A taper file as makers write them: units of their own here and there, comments on lines and
/// between, maps with lines or in brackets, stations in any order.
class RandomFile {
 public:
  explicit RandomFile(unsigned seed) : random_(seed), inches_(below(2) == 0) {
    out_ = "# head\nformat: stripwright-taper-1\n";
    if (below(2) == 0) out_ += "name: 'Burdock'  # " + word() + "\n";
    out_ += std::string("unit: ") + (inches_ ? "in" : "mm") + "  # " + word() + "\n";
    if (below(2) == 0) out_ += "measured: bare\n";
    const auto count = 3 + below(12);
    std::vector<std::pair<int, int>> points;  // in hundredths of the unit; in the last digit
    for (unsigned i = 0, x = below(3); i < count; ++i, x += 3 + below(5))
      points.emplace_back(static_cast<int>(x), static_cast<int>(600 + 150 * i + below(90)));
    const bool brackets = below(3) == 0;
    out_ += brackets ? "taper: {" : "taper:  # " + word() + "\n";
    const auto first = points.front().first;
    const auto last = points.back().first;
    std::shuffle(points.begin(), points.end(), random_);
    for (auto const& [x, flats] : points) {
      const auto entry = station(x) + ": " + flats_text(flats);
      if (brackets)
        out_ += (out_.back() == '{' ? "" : ", ") + entry;
      else
        out_ += "  " + entry + (below(2) == 0 ? "  # " + word() : "") + "\n" +
                (below(5) == 0 ? "  # " + word() + "\n" : "");
    }
    if (brackets) out_ += "}\n";
    const int joint = (first + last) / 2;
    if (below(2) == 0 && joint > first) {
      out_ += "sections:\n  butt: {from: " + station(joint) + ", to: " + station(last) + "}  # " +
              word() + "\n  tip:\n    from: " + station(first) + "\n    to: " + station(joint) +
              "  # " + word() + "\n    make: 2\n";
      if (below(2) == 0)
        out_ += "ferrules:\n  - {at: " + station(joint) + ", bore: " +
                (below(2) == 0 ? "13/64 in"
                 : inches_     ? "0.0625"
                               : "1.6") +
                "}  # " + word() + "\n";
    }
    out_ += "# foot\n";
  }

  std::string const& text() const { return out_; }

 private:
  unsigned below(unsigned n) { return std::uniform_int_distribution<unsigned>(0, n - 1)(random_); }
  std::string word() { return "c" + std::to_string(words_++) + ": {it's} \"so"; }

  std::string station(int x) {
    const auto text = std::to_string(inches_ ? x : 25 * x);
    switch (below(6)) {
      case 0:
        return text + (inches_ ? " in" : " mm");
      case 1:
        return text + ".0";
      case 2:
        return "'" + text + "'";
      default:
        return text;
    }
  }

  /// Four or five decimals of an inch, up to five of a millimetre: all that files of ours print.
  std::string flats_text(int flats) {
    const auto digits = std::to_string(1000000 + flats * 10 + static_cast<int>(below(10)));
    const auto thousandths = digits.substr(2);  // five digits
    const std::string bare =
        inches_ ? "0." + thousandths : std::to_string(1 + flats / 500) + "." + thousandths;
    switch (below(8)) {
      case 0:
        return bare + (inches_ ? " in" : " mm");
      case 1:
        return inches_ ? std::to_string(40 + flats / 15) + " thou" : "0.125 in";
      case 2:
        return "\"" + bare + "\"";
      default:
        return bare;
    }
  }

  std::mt19937 random_;
  bool inches_;
  int words_ = 0;
  std::string out_;
};

std::vector<std::string> comments(std::string const& text) {
  std::vector<std::string> out;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);)
    if (const auto at = line.find('#'); at != std::string::npos) out.push_back(line.substr(at));
  return out;
}

/// The same lengths to the last bit but three: what is left of a decimal read twice.
void check_same(Taper const& a, Taper const& b) {
  const auto same = [](Length x, Length y) {
    return abs(x - y) <= Length::millimetres(1e-13) + 1e-15 * abs(x);
  };
  REQUIRE(a.points.size() == b.points.size());
  for (std::size_t i = 0; i < a.points.size(); ++i) {
    CHECK(same(a.points[i].at.from_zero(), b.points[i].at.from_zero()));
    CHECK(same(a.points[i].flats, b.points[i].flats));
  }
  REQUIRE(a.sections.size() == b.sections.size());
  for (std::size_t i = 0; i < a.sections.size(); ++i) {
    CHECK(a.sections[i].name == b.sections[i].name);
    CHECK(same(a.sections[i].from.from_zero(), b.sections[i].from.from_zero()));
    CHECK(same(a.sections[i].to.from_zero(), b.sections[i].to.from_zero()));
  }
  REQUIRE(a.ferrules.size() == b.ferrules.size());
  for (std::size_t i = 0; i < a.ferrules.size(); ++i) {
    CHECK(same(a.ferrules[i].at.from_zero(), b.ferrules[i].at.from_zero()));
    CHECK(same(a.ferrules[i].bore, b.ferrules[i].bore));
  }
}

}  // namespace

TEST_CASE("there and back again is the same taper, exactly, and no comment is lost") {
  for (unsigned seed = 1; seed <= 200; ++seed) {
    const auto file = file_of(RandomFile(seed).text());
    const Unit unit = file.taper.unit;
    const Unit other = unit == Unit::inch ? Unit::millimetre : Unit::inch;
    const Length some = Length::millimetres(0.0381);
    const auto there_and_back = [&](auto const& there, auto const& back) {
      INFO("seed " << seed << "\n" << file.bytes);
      const auto far = derived(file, kNoRemarks, there);
      INFO(far.bytes);
      const auto near = derived(far, kNoRemarks, back);
      INFO(near.bytes);
      check_same(file.taper, near.taper);
      CHECK(comments(near.bytes) == comments(file.bytes));
    };
    there_and_back(to_unit(other), to_unit(unit));
    there_and_back(factor_on_flats(2), factor_on_flats(0.5));
    there_and_back(factor_on_flats(1.25), factor_on_flats(0.8));
    there_and_back(factor_on_length(2), factor_on_length(0.5));
    there_and_back(to_basis(Measured::varnished, some), to_basis(Measured::bare, some));
    there_and_back(added(some), added(-some));
    there_and_back(moved(in(2.5)), moved(in(-2.5)));
  }
}

TEST_CASE("inch, millimetre, inch and millimetre: figures with all decimals of a file") {
  std::mt19937 random(11);
  for (int i = 0; i < 20'000; ++i) {
    const auto digits = std::uniform_int_distribution<int>(20'000, 600'000)(random);
    for (const Unit unit : {Unit::inch, Unit::millimetre}) {
      const Unit other = unit == Unit::inch ? Unit::millimetre : Unit::inch;
      // Six decimals of an inch, five of a millimetre.
      const Length length =
          unit == Unit::inch ? in(digits / 1e6) : Length::millimetres(digits / 1e5);
      const auto first = taper_number(length, unit, false);
      auto text = first;
      for (int k = 0; k < 3; ++k) {
        const auto far = taper_number(*parse_length(text, unit).value, other, false);
        text = taper_number(*parse_length(far, other).value, unit, false);
      }
      REQUIRE(text == first);
      REQUIRE(first.size() <= 8);
    }
  }
}

TEST_CASE("numbers are as short as they are exact") {
  CHECK(taper_number(in(0.068), Unit::inch, false) == "0.068");
  CHECK(taper_number(in(0.068), Unit::millimetre, false) == "1.7272");
  CHECK(taper_number(in(5), Unit::millimetre, false) == "127");
  CHECK(taper_number(Length::millimetres(1.9), Unit::inch, false) == "0.0748031");
  CHECK(taper_number(Length::millimetres(1.9), Unit::inch, true) == "0.074803");
  CHECK(taper_number(-in(0.5), Unit::inch, true) == "-0.5");
  CHECK(taper_number(Length(), Unit::inch, true) == "0");
}

TEST_CASE("of Yarrow's file only the flats change when something is added to them") {
  const auto yarrow = file_of(bytes_of(STRIPWRIGHT_SOURCE_DIR "/profiles/yarrow.yaml"));
  // By hand: in the lines of the taper the figure behind the colon, four decimals.
  std::string expected;
  std::istringstream lines(yarrow.bytes);
  bool in_taper = false;
  for (std::string line; std::getline(lines, line);) {
    if (in_taper && line.empty()) in_taper = false;
    if (in_taper) {
      const auto at = line.rfind(' ') + 1;
      const int ten_thousandths = std::stoi(line.substr(at + 2)) + 12;
      line = line.substr(0, at) + "0." + std::to_string(10000 + ten_thousandths).substr(1);
    }
    if (line.starts_with("taper:")) in_taper = true;
    if (line.starts_with("format:")) expected += "# Derived\n# twice\n";
    expected += line + "\n";
  }
  CHECK(derived(yarrow, {"Derived", "twice"}, added(in(0.0012))).bytes == expected);
  CHECK(derived(yarrow, kNoRemarks).bytes == yarrow.bytes);
}

TEST_CASE("stations, sections and ferrules are taken out and put in line by line") {
  const auto file = file_of(
      "format: stripwright-taper-1\nname: Teasel\nunit: in\ntaper:\n"
      "  0: 70 thou  # the top\n  # first half\n  10: 0.1  # ten\n  20: 0.13\n  40: 0.2\n"
      "sections:\n  tip: {from: 0, to: 20}  # T\n  butt: {from: 20, to: 40}\n"
      "ferrules:\n  - {at: 20, bore: 1/8}\n");
  const auto tip = derived(
      file, kNoRemarks,
      [](DerivedTaper t) { return cut(std::move(t), Station(), Station(in(15))); },
      [](DerivedTaper t) { return at_every(std::move(t), in(5)); });
  CHECK(tip.bytes ==
        "format: stripwright-taper-1\nname: Teasel\nunit: in\ntaper:\n"
        "  0: 70 thou  # the top\n  5: 0.085\n  # first half\n  10: 0.1  # ten\n  15: 0.115\n"
        "sections:\n  tip: {from: 0, to: 15}  # T\n");
  const auto whole = derived(tip, kNoRemarks, [&](DerivedTaper t) {
    auto butt = file.taper;
    butt.points = {{Station(), in(0.115)}, {Station(in(30)), in(0.3)}};
    butt.sections = {{"grip", Station(), Station(in(30)), 1}};
    butt.ferrules = {{Station(), in(0.1)}};
    return join(std::move(t), butt);
  });
  CHECK(whole.bytes ==
        "format: stripwright-taper-1\nname: Teasel\nunit: in\ntaper:\n"
        "  0: 70 thou  # the top\n  5: 0.085\n  # first half\n  10: 0.1  # ten\n  15: 0.115\n"
        "  45: 0.3\n"
        "sections:\n  tip: {from: 0, to: 15}  # T\n  grip: {from: 15, to: 45}\n"
        "ferrules:\n  - {at: 15, bore: 0.1}\n");
}

TEST_CASE("a taper in brackets keeps its comments when stations go and come") {
  const auto file = file_of(
      "format: stripwright-taper-1\nunit: in\n"
      "taper: {0: 0.07,   # the very tip\n        10: 0.1,   # ten\n"
      "        # the butt\n        40: 0.2}\n");
  const auto every = [](DerivedTaper taper) { return at_every(std::move(taper), in(20)); };
  CHECK(derived(file, kNoRemarks, every).bytes ==
        "format: stripwright-taper-1\nunit: in\n"
        "taper: {0: 0.07,   # the very tip\n        20: 0.133333,\n"
        "        # the butt\n        40: 0.2}\n");
}

TEST_CASE("one place in two units is one place in the other unit's file, cut there or not") {
  const auto file = file_of(
      "format: stripwright-taper-1\nunit: mm\ntaper: {0: 1.9, 1350: 5}\n"
      "sections:\n  tip: {from: 0, to: 675 mm}\n  butt: {from: '675', to: 1350}\n"
      "ferrules: [{at: 675, bore: 13/64 in}]\n");
  CHECK(derived(file, kNoRemarks, to_unit(Unit::inch)).bytes ==
        "format: stripwright-taper-1\nunit: in\ntaper: {0: 0.0748031, 53.1496063: 0.1968504}\n"
        "sections:\n  tip: {from: 0, to: 26.5748031}\n"
        "  butt: {from: '26.5748031', to: 53.1496063}\n"
        "ferrules: [{at: 26.5748031, bore: 13/64 in}]\n");
  const auto cut_there = [](DerivedTaper t) {
    return cut(std::move(t), Station(), Station(Length::millimetres(675)));
  };
  CHECK(derived(file, kNoRemarks, to_unit(Unit::inch), cut_there).taper.butt_end() ==
        Station(in(26.5748031)));
}

TEST_CASE("a rod without sections gets them where they say more than the whole") {
  const auto rod = file_of("format: stripwright-taper-1\nunit: in\ntaper: {0: 0.07, 40: 0.2}\n");
  CHECK(derived(rod, kNoRemarks, factor_on_length(2)).bytes ==
        "format: stripwright-taper-1\nunit: in\ntaper: {0: 0.07, 80: 0.2}\n");
  CHECK(derived(rod, kNoRemarks,
                [](DerivedTaper t) { return rename_section(std::move(t), "rod", "tip"); })
            .bytes ==
        "format: stripwright-taper-1\nunit: in\ntaper: {0: 0.07, 40: 0.2}\n"
        "sections:\n  tip: {from: 0, to: 40}\n");
}

TEST_CASE("name and about are put where they stand, or added, whatever is in them") {
  const auto rod = file_of(
      "format: stripwright-taper-1\nname: A  # n\nunit: in\n"
      "taper: {0: 0.07, 40: 0.2}\n");
  const auto other = derived(rod, kNoRemarks, [](DerivedTaper t) {
    t.taper.name = "Dog: 'rose' # 2";
    t.taper.about = "two\nlines: {x}";
    return Change{std::move(t), {}, {}};
  });
  CHECK(other.taper.name == "Dog: 'rose' # 2");
  CHECK(other.taper.about == "two\nlines: {x}");
  CHECK(other.bytes.find("name: \"Dog: 'rose' # 2\"  # n\n") != std::string::npos);
}

TEST_CASE("what may not stand in a file is not written") {
  const auto rod = file_of("format: stripwright-taper-1\nunit: in\ntaper: {0: 0.07, 40: 0.2}\n");
  const auto refused = [&](auto const& change) {
    Problems problems;
    auto made = change(derived_from(rod.taper));
    REQUIRE(made);
    CHECK(!derived_taper_text("rod.yaml", rod.bytes, rod.taper, *made.value, "rod.yaml", {},
                              problems));
    CHECK(problems.any_error());
  };
  refused(factor_on_flats(100));    // thicker than any rod
  refused(factor_on_length(1e-9));  // all stations in one place
  refused([](DerivedTaper t) {
    t.taper.name = std::string(300, 'x');
    return Change{std::move(t), {}, {}};
  });
  refused([](DerivedTaper t) {
    t.taper.about = "\x1b[2J";
    return Change{std::move(t), {}, {}};
  });
}

TEST_CASE("a new file holds the taper, and nothing is wrong or odd in it") {
  Taper taper;
  taper.name = "no";
  taper.about = "it's: # \"so\"";
  taper.unit = Unit::millimetre;
  taper.measured = Measured::varnished;
  taper.between = Between::smooth;
  for (int i = 0; i < 9; ++i)
    taper.points.push_back(
        {Station(Length::millimetres(127.5 * i)), Length::millimetres(1.8 + 0.375 * i)});
  taper.sections = {{"tip", taper.tip_end(), Station(Length::millimetres(500)), 2},
                    {"butt", Station(Length::millimetres(500)), taper.butt_end(), 1}};
  taper.ferrules = {{Station(Length::millimetres(500)), Length::millimetres(3.2)}};
  const auto text = new_taper_text(taper, {"Imported"});
  CHECK(text.starts_with("# Imported\nformat: stripwright-taper-1\nname: no\n"));
  Problems problems;
  const auto read = read_taper(files::SourceText("a.yaml", text), problems);
  INFO(text << problems.text());
  REQUIRE(read);
  CHECK(problems.empty());
  CHECK(read->name == taper.name);
  CHECK(read->about == taper.about);
  CHECK(read->measured == taper.measured);
  CHECK(read->between == taper.between);
  check_same(taper, *read);
}
