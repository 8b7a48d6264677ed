#pragma once

#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "catch.h"
#include "cli/measuring.h"

namespace stripwright::cli {

// Nothing is added and nothing comes off, so that a strip is half as high as the rod is wide
// (docs/method.md, 3: D = 2 (h + g)): 1, 1.6 and 2.2 mm. The form's screws stand at the stations,
// and the flat of its gauge's point is 1.5 mm wide.
inline constexpr char kTaper[] =
    "format: stripwright-taper-1\nname: Dogrose\nunit: mm\ntaper: {0: 2, 300: 3.2, 600: 4.4}\n"
    "sections: {tip: {from: 0, to: 600}}\n";
inline constexpr char kShop[] =
    "format: stripwright-shop-1\nname: Mill Cottage\nunit: mm\n"
    "allowances: {cleanup: 0, glue_line: 0, varnish: 0, apex_relief: 0,\n"
    "  enamel: {thickness: 0, off: before-milling, face: flat}}\n"
    "spare: {tip_end: 0, butt_end: 0}\n"
    "tolerances: {strip: 0.01}\n"
    "gauges: {micrometer: {resolution: 0.001, standard_uncertainty: 0.0005}}\n"
    "decide: plain\n"
    "machines:\n"
    "  form: {kind: planing-form, screws: [0, 300, 600], strip_at: 0, screw_lead: 1,\n"
    "    closed_depth: {thin_end: 0.8, thick_end: 2},\n"
    "    depth_gauge: {tip: flat, diameter: 1.5}}\n";

/// A folder with taper and shop, and the call that measures into a file there.
class MeasuringFolder {
 public:
  MeasuringFolder() {
    std::string name = (std::filesystem::temp_directory_path() / "measuring-XXXXXX").string();
    REQUIRE(::mkdtemp(name.data()) != nullptr);
    folder_ = name;
    write("dogrose.yaml", kTaper);
    write("shop.yaml", kShop);
    options.common.taper = (folder_ / "dogrose.yaml").string();
    options.common.shop = (folder_ / "shop.yaml").string();
    options.readings = (folder_ / "tip.csv").string();
    options.strips = "2";
    options.heights = "a";
    Problems problems;
    inputs_ = read_inputs(options.common, problems);
    INFO(problems.text());
    REQUIRE(inputs_);
  }
  ~MeasuringFolder() { std::filesystem::remove_all(folder_); }
  MeasuringFolder(MeasuringFolder const&) = delete;
  MeasuringFolder& operator=(MeasuringFolder const&) = delete;

  Measuring look() {
    Problems problems;
    auto out = Measuring::open(options, *inputs_, problems);
    INFO(problems.text());
    REQUIRE(out);
    return std::move(*out);
  }
  Measuring held() {
    auto out = look();
    Problems problems;
    REQUIRE(!out.hold(out.mark(), problems));
    return out;
  }
  void write(std::string const& name, std::string const& bytes) const {
    std::ofstream(folder_ / name, std::ios::binary) << bytes;
  }
  bool there() const { return std::filesystem::exists(options.readings); }
  std::string bytes() const {
    std::ifstream file(options.readings, std::ios::binary);
    std::ostringstream out;
    out << file.rdbuf();
    return out.str();
  }

  CheckOptions options;

 private:
  std::filesystem::path folder_;
  std::optional<Inputs> inputs_;
};

inline MeasuringAnswer read(Measuring& measuring, std::size_t index, std::string const& typed) {
  Problems problems;
  auto out = measuring.read(index, typed, problems);
  CHECK(problems.empty());
  return out;
}

inline MeasuringAnswer read(Measuring& measuring, std::string const& typed) {
  return read(measuring, measuring.now(), typed);
}

inline MeasuringAnswer take_back(Measuring& measuring) {
  Problems problems;
  auto out = measuring.take_back(problems);
  CHECK(problems.empty());
  return out;
}

inline Length mm(double count) { return Length::millimetres(count); }

inline bool near(Length one, Length other) { return abs(one - other) < kSamePlace; }

inline std::string const kHeader = "strip,at_mm,a_mm,b_mm,c_mm\n";

}  // namespace stripwright::cli
