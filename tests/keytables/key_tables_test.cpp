#include <nlohmann/json.hpp>

#include "catch.h"
#include "keytables/json_schema.h"
#include "keytables/key_table_markdown.h"

using namespace stripwright;
using files::KeySpec;
using files::MapSpec;
using files::ValueKind;

namespace {

// A file that no reader reads, with what the real tables do not have or have but once.
constexpr std::string_view kWords[] = {"left|right", "straight"};
constexpr KeySpec kSpanKeys[] = {
    {.name = "at", .kind = ValueKind::length, .range = {.lowest = 15, .highest = 200}},
    {.name = "drop", .kind = ValueKind::length, .range = {.lowest = -100, .highest = -25.4}},
};
constexpr MapSpec kSpan{"a span", kSpanKeys};
constexpr KeySpec kPostKeys[] = {
    {.name = "span", .kind = ValueKind::map, .map = &kSpan},
};
constexpr MapSpec kPost{"a post", kPostKeys};
constexpr KeySpec kFileKeys[] = {
    {.name = "painted", .kind = ValueKind::yes_no, .standard = "true"},
    {.name = "keeper", .kind = ValueKind::name, .meaning = "who keeps it", .required = true},
    {.name = "lean", .kind = ValueKind::choice, .choices = kWords},
    {.name = "tilt",
     .kind = ValueKind::number,
     .standard = "0.5",
     .range = {.lowest = -1.25, .highest = 1}},
    {.name = "posts", .kind = ValueKind::named_maps, .map = &kPost},
    {.name = "spans", .kind = ValueKind::map_list, .map = &kSpan},
    {.name = "wide",
     .kind = ValueKind::length,
     .range = {.lowest = 0},
     .map = &kSpan,
     .or_kind = ValueKind::map},
};
constexpr MapSpec kFile{"a fence file", kFileKeys};

}  // namespace

TEST_CASE("a schema tells each kind of value") {
  auto schema = nlohmann::json::parse(keytables::json_schema(kFile, "A fence"));
  CHECK(schema["title"] == "A fence");
  CHECK(schema["required"] == nlohmann::json{"keeper"});
  CHECK(schema["additionalProperties"] == false);
  auto& keys = schema["properties"];
  CHECK(keys.size() == std::size(kFileKeys));
  CHECK(keys["painted"]["enum"][0] == true);
  CHECK(keys["keeper"]["allOf"][0]["$ref"] == "#/definitions/name");
  CHECK(keys["lean"]["enum"] == nlohmann::json{"left|right", "straight"});
  CHECK(keys["tilt"]["minimum"] == -1.25);
  CHECK(keys["tilt"]["maximum"] == 1);
  CHECK(keys["tilt"]["default"] == 0.5);
  CHECK(keys["wide"]["anyOf"][0]["$ref"] == "#/definitions/length-from-0");
  CHECK(keys["wide"]["anyOf"][1]["$ref"] == "#/definitions/a-span");
  CHECK(keys["spans"]["items"]["$ref"] == "#/definitions/a-span");
}

TEST_CASE("a plain length is held to what is wrong in inches and in millimetres alike") {
  auto schema = nlohmann::json::parse(keytables::json_schema(kFile, "A fence"));
  auto& keys = schema["definitions"]["a-span"]["properties"];
  // 15 mm is 0.590551... in: a smaller number is too small in either unit. Above
  // 200 it is too large in millimetres and in inches.
  CHECK(keys["at"]["minimum"] == 0.5905);
  CHECK(keys["at"]["maximum"] == 200);
  // -25.4 mm is -1 in.
  CHECK(keys["drop"]["minimum"] == -100);
  CHECK(keys["drop"]["maximum"] == -1);
}

TEST_CASE("a key table says where a map stands, and shows it once") {
  const auto text = keytables::key_table_markdown(kFile);
  CHECK(text.find("| `painted` | true or false | true |  |\n") != std::string::npos);
  CHECK(text.find("| must be there | who keeps it |\n") != std::string::npos);
  CHECK(text.find("| left\\|right or straight |") != std::string::npos);
  CHECK(text.find("| a length, from 0, or a map: [a span](#a-span) |") != std::string::npos);
  CHECK(text.find("#### A post\n\nUnder `posts: NAME:`.\n") != std::string::npos);
  const std::string span =
      "#### A span\n\nUnder `posts: NAME: span:` and `spans:` and `wide:`.\n\n| key |";
  const auto at = text.find(span);
  REQUIRE(at != std::string::npos);
  CHECK(text.find("A span", at + 10) == std::string::npos);
}
