#include <fstream>
#include <sstream>

#include "catch.h"
#include "culm/culms.h"
#include "inspection/ring.h"
#include "machine/correction.h"
#include "shop/read_shop.h"
#include "taper/read_taper.h"

using namespace stripwright;

TEST_CASE("the example files of the document on file formats are read without complaint") {
  std::ifstream in(STRIPWRIGHT_SOURCE_DIR "/docs/file-formats.md");
  std::ostringstream all;
  all << in.rdbuf();
  const std::string document = all.str();
  // Examples of mistakes are marked with the name of a file, and are not looked at here.
  const std::string mark = "\n```yaml\n";
  int tapers = 0;
  int shops = 0;
  int rings = 0;
  int corrections = 0;
  int culms = 0;
  for (auto at = document.find(mark); at != std::string::npos; at = document.find(mark, at)) {
    at += mark.size();
    const auto text = document.substr(at, document.find("\n```\n", at) + 1 - at);
    Problems problems;
    const files::SourceText source("example.yaml", text);
    const bool taper = text.starts_with("format: stripwright-taper-1\n");
    const bool ring = text.starts_with("format: stripwright-ring-1\n");
    const bool correction = text.starts_with("format: stripwright-correction-1\n");
    const bool culm = text.starts_with("format: stripwright-culms-1\n");
    const bool read = taper        ? read_taper(source, problems).has_value()
                      : ring       ? read_ring(source, problems).has_value()
                      : correction ? machine::read_correction(source, problems).has_value()
                      : culm       ? culm::read_culms(source, problems).has_value()
                                   : read_shop(source, problems).has_value();
    INFO(text << problems.text());
    CHECK(read);
    CHECK(problems.empty());
    ++(taper ? tapers : ring ? rings : correction ? corrections : culm ? culms : shops);
  }
  CHECK(tapers >= 1);
  CHECK(shops >= 1);
  CHECK(rings >= 1);
  CHECK(corrections >= 1);
  CHECK(culms >= 1);
}
