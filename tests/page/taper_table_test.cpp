#include "bench.h"

using bench::get;
using bench::post;
using stripwright::page::Site;

namespace {

using Json = nlohmann::ordered_json;

Json change(std::string const& station, std::string const& was, std::string const& now) {
  return {{"path", {"taper", station}}, {"was", was}, {"now", now}};
}

/// What the fields of Burnet are told to be wrong with these changes.
Json told(std::vector<Json> changes) {
  const bench::Lane lane;
  lane.write("burnet.yaml", bench::kBurnet);
  Site site(lane.path(), {bench::kHost});
  const auto request =
      post("/rod/figures", Json{{"file", "burnet.yaml"}, {"changes", std::move(changes)}});
  return bench::json_of(site.answer(request))["wrong"];
}

}  // namespace

TEST_CASE("what is wrong with a taper's flats is told at their field, all at once") {
  const auto wrong = told({change("10", "0.0955", "thick"), change("20", "0.127", "0,13")});
  CHECK(wrong.size() == 2);
  for (auto const& [id, words] :
       {std::pair("flats-1", "'thick'"), std::pair("flats-2", "write a decimal point")}) {
    INFO(wrong.dump());
    REQUIRE(wrong.contains(id));
    CHECK(wrong[id]["wrong"] == true);
    CHECK(wrong[id]["text"].get<std::string>().find(words) != std::string::npos);
  }
}

TEST_CASE("what is wrong with a station itself is told at the station") {
  auto moved = change("10", "0.0955", "0.0955");
  moved["key"] = "here";
  auto wrong = told({moved});
  REQUIRE(wrong.contains("station-1"));
  CHECK(wrong["station-1"]["wrong"] == true);
  CHECK_FALSE(wrong.contains("flats-1"));
  CHECK(told({}).empty());
}

TEST_CASE("the page's table says it too, and its fields are marked") {
  const bench::Lane lane;
  std::string bad = bench::kBurnet;
  bad.replace(bad.find("0.0955"), 6, "thick");
  lane.write("burnet.yaml", bad);
  Site site(lane.path(), {bench::kHost});
  const auto html = site.answer(get("/rod", {{"file", "burnet.yaml"}})).body;
  CHECK(html.find("id=\"flats-1\"") != std::string::npos);
  const auto field = html.substr(html.find("id=\"flats-1\""), 400);
  CHECK(field.find("aria-invalid=\"true\"") != std::string::npos);
  const auto words = html.substr(html.find("id=\"flats-1-wrong\""), 80);
  CHECK(words.find("Wrong: ") != std::string::npos);
}
