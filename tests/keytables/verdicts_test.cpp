#include <yaml-cpp/yaml.h>

#include "catch.h"
#include "culm/culms.h"
#include "inspection/ring.h"
#include "machine/correction.h"
#include "shop/read_shop.h"
#include "taper/read_taper.h"

using namespace stripwright;

TEST_CASE("the reader says of each file what verdicts.yaml says of it") {
  const auto verdicts = YAML::LoadFile(STRIPWRIGHT_SOURCE_DIR "/tests/keytables/verdicts.yaml");
  REQUIRE(verdicts.size() > 40);
  for (auto const& each : verdicts) {
    INFO(each["what"].as<std::string>());
    Problems problems;
    const files::SourceText source("file.yaml", each["text"].as<std::string>());
    const auto of = each["of"].as<std::string>();
    const bool accepted = of == "taper"  ? read_taper(source, problems).has_value()
                          : of == "ring" ? read_ring(source, problems).has_value()
                          : of == "correction"
                              ? machine::read_correction(source, problems).has_value()
                          : of == "culms" ? culm::read_culms(source, problems).has_value()
                                          : read_shop(source, problems).has_value();
    INFO(problems.text());
    CHECK(accepted == (each["reader"].as<std::string>() == "accepts"));
  }
}
