#include "page/site.h"

#include <fmt/format.h>

#include <random>
#include <regex>
#include <thread>

#include "bench.h"
#include "cli/run.h"

using namespace stripwright;
using bench::get;
using bench::Lane;
using bench::post;
using Json = nlohmann::ordered_json;
using page::Request;
using page::Response;
using page::Site;

namespace {

struct Bench {
  Bench() {
    lane.write("burnet.yaml", bench::kBurnet);
    lane.copy("yarrow.yaml", "yarrow.yaml");
    lane.copy("shops/saltmarsh-lane.yaml", "shops/saltmarsh-lane.yaml");
    lane.write("broken.yaml", "format: stripwright-taper-1\ntaper: [\n");
    lane.write("odd.yaml", "format: stripwright-taper-1\ntaper: {0: x, -5: 0.1}\nunit: furlong\n");
    lane.write("readings.csv", "strip,at_in,a_in,b_in,c_in\ntip 1,5,0.04,0.04,0.04\n");
  }
  Response answer(Request const& request) { return site.answer(request); }
  /// All addresses, some scripts' and one that is none.
  std::vector<std::string> paths() const {
    auto out = site.paths();
    out.insert(out.end(), {"/page.css", "/page.js", "/nowhere"});
    return out;
  }

  Lane lane;
  Site site{lane.path(), {bench::kHost}};
};

std::string header(Response const& response, std::string_view name) {
  for (auto const& [key, value] : response.headers)
    if (key == name) return value;
  return {};
}

void check_guarded(Response const& response) {
  CHECK(header(response, "Content-Security-Policy").find("default-src 'none'") !=
        std::string::npos);
  CHECK(header(response, "X-Content-Type-Options") == "nosniff");
  CHECK(header(response, "Referrer-Policy") == "same-origin");
  CHECK(header(response, "Cross-Origin-Resource-Policy") == "same-origin");
  CHECK_FALSE(header(response, "Cache-Control").empty());
  CHECK(header(response, "Access-Control-Allow-Origin").empty());
}

Json change(std::string const& station, Json was, Json now) {
  return {{"path", {"taper", station}}, {"was", std::move(was)}, {"now", std::move(now)}};
}

Json order(std::string const& file, std::vector<Json> changes = {}) {
  return {{"file", file},
          {"shop", "shops/saltmarsh-lane.yaml"},
          {"machine", "steel form"},
          {"changes", std::move(changes)}};
}

}  // namespace

TEST_CASE("sheets are shown in no other site's page, and send nothing anywhere") {
  Bench bench;
  bench.lane.write("output/glue.html", "<form action='https://bramble.example/'><input></form>");
  for (auto const& request : {get("/rod/sheet", {{"file", "yarrow.yaml"},
                                                 {"shop", "shops/saltmarsh-lane.yaml"},
                                                 {"machine", "steel form"}}),
                              get("/measure/sheet", {{"file", "yarrow.yaml"},
                                                     {"shop", "shops/saltmarsh-lane.yaml"},
                                                     {"section", "tip"},
                                                     {"readings", "readings.csv"}}),
                              get("/choose/sheet", {{"file", "output/glue.html"}})}) {
    INFO(request.path);
    const auto response = bench.answer(request);
    REQUIRE(response.status == 200);
    const auto policy = header(response, "Content-Security-Policy");
    CHECK(policy.find("script-src 'sha256-") != std::string::npos);
    for (auto const* part : {"frame-ancestors 'none'", "form-action 'none'", "base-uri 'none'"})
      CHECK(policy.find(part) != std::string::npos);
  }
}

TEST_CASE("each answer carries the headers that keep other sites out, whatever was asked") {
  Bench bench;
  for (auto const& path : bench.paths()) {
    INFO(path);
    check_guarded(bench.answer(get(path)));
    check_guarded(bench.answer(get(path, {{"file", "yarrow.yaml"}})));
    check_guarded(bench.answer(post(path, "{}")));
    check_guarded(bench.answer(post(path, "nonsense")));
    auto foreign = get(path);
    foreign.host = "bramble.example";
    CHECK(bench.answer(foreign).status == 421);
    check_guarded(bench.answer(foreign));
  }
}

TEST_CASE("pages hold no script or style of their own, so that none can be smuggled in") {
  Bench bench;
  bench.lane.write("evil.yaml",
                   "format: stripwright-taper-1\nname: \"<script>alert(1)</script>\"\nunit: in\n"
                   "about: \"<img src=x onerror=alert(1)>\"\ntaper: {0: 0.07, 30: 0.159}\n"
                   "sections: {\"<b onclick=x>\": {from: 0, to: 30}}\n");
  for (auto const& request :
       {get("/"), get("/rod", {{"file", "evil.yaml"}}), get("/rod", {{"file", "yarrow.yaml"}}),
        get("/rod", {{"file", "<script>alert(1)</script>"}}), get("/nowhere"),
        get("/rod", {{"file", "yarrow.yaml"}, {"shop", "\"><script>"}, {"machine", "'\"<b>"}})}) {
    const auto html = bench.answer(request).body;
    INFO(html);
    // What stands between quotes is a value, be it as hostile as it likes.
    const auto bare = std::regex_replace(html, std::regex("=\"[^\"]*\""), "=");
    const std::regex handlers("<[^>]*\\s(on[a-z]+|style)=", std::regex::icase);
    CHECK_FALSE(std::regex_search(bare, handlers));
    CHECK_FALSE(std::regex_search(
        html, std::regex("<script(?! type=\"module\" src=\"/[a-z]+\\.js\"></script>)")));
    CHECK(html.find("<style") == std::string::npos);
    CHECK(html.find("javascript:") == std::string::npos);
  }
  const auto sent = bench.answer(
      post("/rod/figures",
           Json{{"file", "evil.yaml"}, {"whole", true}, {"choose", true}, {"at", "<b>"}}));
  const auto parts = bench::json_of(sent)["parts"];
  for (auto const& [id, part] : parts.items()) {
    INFO(id);
    CHECK(part.get<std::string>().find("<b ") == std::string::npos);
    CHECK(part.get<std::string>().find("<script") == std::string::npos);
  }
}

TEST_CASE("nonsense is refused, never fallen over, and changes nothing") {
  Bench bench;
  const auto before = bench.lane.all();
  std::vector<std::string> bodies = {
      "",
      "{",
      "}",
      "null",
      "[]",
      "1",
      "\"x\"",
      "{}",
      "{\"file\":1}",
      "{\"file\":null}",
      "\xFF",
      "\0",
      "{\"file\":\"\"}",
      "{\"file\":\"..\"}",
      "{\"file\":\"../x.yaml\",\"changes\":[]}",
      "{\"file\":\"yarrow.yaml\",\"changes\":{}}",
      "{\"file\":\"yarrow.yaml\",\"changes\":[1]}",
      "{\"file\":\"yarrow.yaml\",\"changes\":[{\"path\":[\"taper\",\"5\"],\"was\":\"9\",\"now\":"
      "\"8\"}]}",
      "{\"file\":\"yarrow.yaml\",\"changes\":[{\"path\":[\"taper\"],\"was\":null,\"now\":null}]}",
      "{\"file\":\"broken.yaml\",\"changes\":[{\"path\":[\"a\"],\"now\":\"b\"}]}",
      "{\"file\":\"odd.yaml\",\"whole\":true,\"choose\":true}",
      "{\"file\":\"readings.csv\",\"changes\":[]}",
      "{\"file\":\"yarrow.yaml\",\"machine\":\"<b>\",\"section\":\"none\",\"gauge\":\"x\",\"at\":"
      "\"1e9\"}",
      "{\"file\":\"yarrow.yaml\",\"at\":\"5\",\"drag\":true,\"x\":1e308,\"y\":-1e308}",
      "{\"file\":\"yarrow.yaml\",\"at\":\"5\",\"drag\":true,\"x\":0,\"y\":1e999}",
      "{\"file\":\"yarrow.yaml\",\"at\":\"5\",\"steps\":-1e300}",
      "{\"units\":\"furlong; Path=/x\"}",
      "{\"example\":\"taper:../../etc/passwd\"}",
      "{\"example\":\":\"}",
      "{\"name\":\"\",\"to\":\"0\",\"step\":\"-1\"}",
      "{\"name\":\"x\",\"to\":\"99999999 "
      "in\",\"step\":\"0.000001\",\"thin\":\"1\",\"thick\":\"1\"}",
      "{\"name\":\"/"
      "\",\"to\":\"90\",\"step\":\"5\",\"thin\":\"0.07\",\"thick\":\"0\",\"sections\":\"-1\"}",
      "{\"file\":\"yarrow.yaml\",\"id\":\"../../x\"}"};
  bodies.push_back(std::string(500'000, '['));
  std::string deep = "{\"changes\":";
  for (int i = 0; i < 100'000; ++i) deep += "[";
  for (int i = 0; i < 100'000; ++i) deep += "]";
  bodies.push_back(deep + "}");
  bodies.push_back("{\"file\":\"" + std::string(900'000, 'x') + "\",\"changes\":[]}");
  std::vector<std::multimap<std::string, std::string>> queries = {
      {},
      {{"file", ""}},
      {{"file", "../x"}},
      {{"file", "/etc/passwd"}},
      {{"file", std::string(1, '\0')}},
      {{"file", "broken.yaml"}},
      {{"file", "odd.yaml"}, {"at", "\xFF"}},
      {{"file", "readings.csv"}},
      {{"file", "yarrow.yaml"}, {"shop", "yarrow.yaml"}},
      {{"file", "shops/saltmarsh-lane.yaml"}},
      {{"file", "yarrow.yaml"}, {"machine", "\xFF"}, {"section", "x"}, {"gauge", "y"}},
      {{"file", "yarrow.yaml"}, {"file", "burnet.yaml"}, {"key", "x"}}};
  for (auto const& path : bench.paths()) {
    // Some of it is a sound order for files to be written.
    if (path == "/rod/files") continue;
    for (auto const& body : bodies) {
      INFO(path << " " << body.substr(0, 120));
      const auto response = bench.answer(post(path, body));
      INFO(response.body.substr(0, 400));
      CHECK(response.status < 500);
    }
    for (auto const& query : queries) {
      INFO(path << " " << (query.empty() ? "" : query.begin()->second));
      auto request = get(path, query);
      request.cookies = "units=\xFF; units=mm";
      const auto response = bench.answer(request);
      INFO(response.body.substr(0, 400));
      CHECK(response.status < 500);
    }
  }
  CHECK(bench.answer(post("/file/save", std::string(page::kLongestBody + 1, ' '))).status == 413);
  CHECK(bench.answer(post("/", "{}")).status == 405);
  CHECK(bench.answer(get("/file/save")).status == 405);
  CHECK(bench.answer(post("/nowhere", "{}")).status == 404);
  CHECK(bench.answer(get("/nowhere")).status == 404);
  CHECK(bench.answer(get("/rod", {{"file", "not-there.yaml"}})).status == 404);
  CHECK(bench.answer(post("/file/save", order("../burnet.yaml"))).status == 404);
  CHECK(bench.lane.all() == before);
}

TEST_CASE("random orders are answered, and never with a failure of the server's own") {
  Bench bench;
  std::mt19937 engine(7);
  const auto below = [&](std::size_t limit) {
    return std::uniform_int_distribution<std::size_t>(0, limit - 1)(engine);
  };
  const std::vector<std::string> keys = {
      "file",    "shop",         "machine",  "gauge", "section",  "at",   "changes",
      "whole",   "choose",       "x",        "y",     "steps",    "drag", "units",
      "example", "example-file", "name",     "unit",  "measured", "to",   "step",
      "thin",    "thick",        "sections", "id"};
  const std::vector<std::string> texts = {
      "",           "yarrow.yaml",  "burnet.yaml",  "odd.yaml", "shops/saltmarsh-lane.yaml",
      "steel form", "copier",       "tip",          "butt",     "5",
      "0",          "-1",           "1/0",          "9e9",      "mm",
      "in",         "taper:yarrow", "\xE2\x80\xAE", "..",       "2130 mm",
      "caliper"};
  const std::function<Json(int)> any = [&](int depth) -> Json {
    switch (below(depth > 2 ? 5 : 7)) {
      case 0:
        return nullptr;
      case 1:
        return below(2) == 0;
      case 2:
        return static_cast<double>(below(1000)) - 500.0;
      case 3:
        return 1e300 * (static_cast<double>(below(3)) - 1.0);
      case 5: {
        Json out = Json::array();
        for (std::size_t i = below(4); i > 0; --i) out.push_back(any(depth + 1));
        return out;
      }
      case 6:
        return Json{
            {"path", {"taper", texts[below(texts.size())]}}, {"was", any(3)}, {"now", any(3)}};
      default:
        return texts[below(texts.size())];
    }
  };
  const auto paths = bench.paths();
  for (int round = 0; round < 1500; ++round) {
    Json sent = {{"file", below(3) == 0 ? texts[below(texts.size())] : std::string("yarrow.yaml")}};
    for (std::size_t i = below(6); i > 0; --i) sent[keys[below(keys.size())]] = any(0);
    // What makes files is left out: the folder would fill.
    auto const& path = paths[below(paths.size())];
    if (path == "/rods/new" || path == "/rods/example" || path == "/rod/files") continue;
    INFO(path << " " << sent.dump());
    const auto response = bench.answer(post(path, sent));
    INFO(response.body.substr(0, 300));
    REQUIRE(response.status < 500);
  }
}

TEST_CASE("styles and scripts are told by a tag, and not sent twice") {
  Bench bench;
  auto request = get("/page.css");
  const auto first = bench.answer(request);
  CHECK(first.status == 200);
  CHECK(first.type.starts_with("text/css"));
  request.known_tag = header(first, "ETag");
  CHECK(request.known_tag.size() > 8);
  const auto second = bench.answer(request);
  CHECK(second.status == 304);
  CHECK(second.body.empty());
  CHECK(bench.answer(get("/rod.js")).type.starts_with("text/javascript"));
}

// ---- Saving.

TEST_CASE("a saving goes into the file as it is now, and what was there is kept") {
  Bench bench;
  const auto seen =
      bench::json_of(bench.answer(get("/file/state", {{"file", "burnet.yaml"}})))["seen"];
  const auto saved =
      bench.answer(post("/file/save", order("burnet.yaml", {change("10", "0.0955", "0.097")})));
  CHECK(saved.status == 200);
  std::string wanted = bench::kBurnet;
  wanted.replace(wanted.find("0.0955"), 6, "0.097");
  CHECK(bench.lane.bytes("burnet.yaml") == wanted);
  CHECK(bench::json_of(saved)["seen"] != seen);
  CHECK(bench::json_of(bench.answer(get("/file/state", {{"file", "burnet.yaml"}})))["seen"] ==
        bench::json_of(saved)["seen"]);
  const auto list = bench::json_of(bench.answer(
      get("/file/earlier", {{"file", "burnet.yaml"}})))["parts"]["earlier"]
                        .get<std::string>();
  std::smatch id;
  REQUIRE(std::regex_search(list, id, std::regex("data-back=\"([0-9-]+)\"")));
  CHECK(
      bench.answer(post("/file/back", Json{{"file", "burnet.yaml"}, {"id", id[1].str()}})).status ==
      200);
  CHECK(bench.lane.bytes("burnet.yaml") == bench::kBurnet);
  // A file that is gone comes back, too.
  bench::fs::remove(bench.lane / "burnet.yaml");
  CHECK(
      bench.answer(post("/file/back", Json{{"file", "burnet.yaml"}, {"id", id[1].str()}})).status ==
      200);
  CHECK(bench.lane.bytes("burnet.yaml") == bench::kBurnet);
}

TEST_CASE("each of several who put an earlier state back at once has it put back") {
  Bench bench;
  constexpr int kHands = 4;
  constexpr int kTimes = 25;
  const auto id = [](int hand) { return "20260131-140509-00" + std::to_string(hand); };
  for (int hand = 0; hand < kHands; ++hand)
    bench.lane.write(".stripwright/before/burnet.yaml/" + id(hand), std::to_string(hand) + "\n");
  std::atomic<int> refused = 0;
  std::vector<std::thread> hands;
  for (int hand = 0; hand < kHands; ++hand)
    hands.emplace_back([&, order = Json{{"file", "burnet.yaml"}, {"id", id(hand)}}] {
      for (int i = 0; i < kTimes; ++i)
        if (bench.answer(post("/file/back", order)).status != 200) ++refused;
    });
  for (auto& each : hands) each.join();
  CHECK(refused == 0);
}

TEST_CASE("what no command could read is not saved") {
  Bench bench;
  const auto before = bench.lane.all();
  for (std::string const text : {"", "thick", "0", "-0.1", "1e-3", "0.1 furlong"}) {
    INFO(text);
    const auto saved =
        bench.answer(post("/file/save", order("burnet.yaml", {change("10", "0.0955", text)})));
    CHECK(saved.status == 422);
    CHECK(bench::json_of(saved)["parts"]["problems"].get<std::string>().find("Wrong") !=
          std::string::npos);
  }
  CHECK(bench.lane.all() == before);
}

TEST_CASE("a station that is there twice is not saved") {
  Bench bench;
  auto renamed = change("20", "0.127", "0.127");
  renamed["key"] = "10";
  const auto saved = bench.answer(post("/file/save", order("burnet.yaml", {renamed})));
  CHECK(saved.status == 422);
  CHECK(bench.lane.bytes("burnet.yaml") == bench::kBurnet);
}

TEST_CASE("a clash is told and nothing saved, until it is settled") {
  Bench bench;
  std::string outside = bench::kBurnet;
  outside.replace(outside.find("0.0955"), 6, "0.099");
  bench.lane.write("burnet.yaml", outside);
  const auto saved =
      bench.answer(post("/file/save", order("burnet.yaml", {change("10", "0.0955", "0.097")})));
  CHECK(saved.status == 409);
  CHECK(bench::json_of(saved)["clashes"] == 1);
  CHECK(bench.lane.bytes("burnet.yaml") == outside);
  const auto parts = bench::json_of(bench.answer(
      post("/rod/figures", order("burnet.yaml", {change("10", "0.0955", "0.097")}))))["parts"];
  CHECK(parts["clashes"].get<std::string>().find("keep 0.097") != std::string::npos);
  CHECK(parts["clashes"].get<std::string>().find("take 0.099") != std::string::npos);
  CHECK(bench.answer(post("/file/save", order("burnet.yaml", {change("10", "0.099", "0.097")})))
            .status == 200);
}

// ---- The figures are the command's, to the digit.

namespace {

using Table = std::vector<std::vector<std::string>>;

std::string unescaped(std::string text) {
  for (auto const& [from, to] :
       {std::pair("&lt;", "<"), std::pair("&gt;", ">"), std::pair("&quot;", "\""),
        std::pair("&#39;", "'"), std::pair("&amp;", "&")})
    for (auto at = text.find(from); at != std::string::npos; at = text.find(from, at + 1))
      text.replace(at, std::strlen(from), to);
  return text;
}

/// The tables of a page whose captions begin so: heads first, then rows.
std::vector<Table> tables(std::string const& html, std::string const& caption) {
  std::vector<Table> out;
  for (auto at = html.find("<caption>" + caption); at != std::string::npos;
       at = html.find("<caption>" + caption, at + 1)) {
    const auto text = html.substr(at, html.find("</table>", at) - at);
    Table table;
    for (auto row = text.find("<tr>"); row != std::string::npos; row = text.find("<tr>", row + 1)) {
      const auto cells = text.substr(row, text.find("</tr>", row) - row);
      table.emplace_back();
      static const std::regex cell("<t[hd][^>]*>([^<]*)</t[hd]>");
      for (std::sregex_iterator each(cells.begin(), cells.end(), cell), end; each != end; ++each)
        table.back().push_back(unescaped((*each)[1]));
    }
    out.push_back(std::move(table));
  }
  return out;
}

Table csv(std::string const& text) {
  Table out;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) {
    if (line.ends_with('\r')) line.pop_back();
    out.emplace_back();
    std::istringstream cells(line);
    for (std::string each; std::getline(cells, each, ',');) out.back().push_back(each);
    out.back().resize(std::max(out.back().size(), out.front().size()));
  }
  return out;
}

/// The column of a CSV table whose name begins so; none if -1.
int column(Table const& table, std::string const& name) {
  for (std::size_t i = 0; i < table[0].size(); ++i)
    if (table[0][i].starts_with(name)) return static_cast<int>(i);
  return -1;
}

/// At the bench a mill's turns are those to the figure on its dial, so much less as the rest is of
/// the offset; in files they are those of the exact offset.
Table dialled(Table file) {
  const int turns = column(file, "turns"), rest = column(file, "residual_"),
            offset = column(file, "cutter_offset_");
  if (turns < 0 || rest < 0) return file;
  for (std::size_t row = 1; row < file.size(); ++row) {
    const auto cell = [&](int at) -> std::string& {
      return file[row][static_cast<std::size_t>(at)];
    };
    if (cell(turns).empty() || cell(rest).empty() || std::stod(cell(offset)) == 0) continue;
    const double exact = std::stod(cell(offset));
    cell(turns) =
        fmt::format("{:.6f}", std::stod(cell(turns)) * (exact - std::stod(cell(rest))) / exact);
  }
  return file;
}

/// Names in files of what stands at the bench, as docs/file-formats.md has them.
std::string file_name(std::string const& heading, std::string const& unit) {
  const std::map<std::string, std::string> names = {{"screw", "screw"},
                                                    {"machine at", "machine_at_"},
                                                    {"station", "taper_at_"},
                                                    {"gauge", "gauge_"},
                                                    {"gauge bears on", "gauge_on"},
                                                    {"opening", "opening_"},
                                                    {"cut", "cut_"},
                                                    {"cutter offset", "cutter_offset_"},
                                                    {"pattern", "pattern_"},
                                                    {"dial", "dial_"},
                                                    {"rest", "residual_"},
                                                    {"turns + degrees", "turns"},
                                                    {"groove depth", "cutter_offset_"},
                                                    {"strip a", "strip_milled_"}};
  const auto words = heading.ends_with(", " + unit)
                         ? heading.substr(0, heading.size() - unit.size() - 2)
                         : heading;
  const auto found = names.find(words);
  return found == names.end() ? std::string() : found->second;
}

/// Whether a number of a file, cut to as many decimals as the bench has, reads so: half a unit of
/// the last decimal either way, and half a unit of the file's own last one.
bool reads_so(std::string const& bench, std::string const& file) {
  if (bench == file) return true;
  if (const auto plus = bench.find(" + "); plus != std::string::npos) {  // turns + degrees
    const double turns =
        std::stod(bench) + std::copysign(std::stod(bench.substr(plus + 3)) / 360, std::stod(bench));
    return std::fabs(turns - std::stod(file)) <= 0.5 / 360 + 0.0001;
  }
  char* end = nullptr;
  const double shown = std::strtod(bench.c_str(), &end);
  if (bench.empty() || file.empty() || *end != '\0') return false;
  const auto decimals = [](std::string const& text) {
    const auto point = text.find('.');
    return point == std::string::npos ? 0 : static_cast<int>(text.size() - point - 1);
  };
  const double step = std::pow(10, -decimals(bench));
  return std::fabs(shown - std::stod(file)) <= 0.5 * step + 0.51 * std::pow(10, -decimals(file));
}

}  // namespace

TEST_CASE("figures of the page are the command's to the digit") {
  const auto profiles = std::string(STRIPWRIGHT_SOURCE_DIR) + "/profiles";
  const Lane lane;
  for (std::string const name : {"yarrow.yaml", "teasel.yaml", "burdock.yaml"})
    lane.copy(name, name);
  const std::map<std::string, std::vector<std::string>> machines = {
      {"saltmarsh-lane.yaml", {"steel form", "lifting bed", "copier", "router"}},
      {"screw-bed-mm.yaml", {"screw bed"}},
      {"steel-form-inches.yaml", {"steel form"}}};
  for (auto const& [shop, unused] : machines) lane.copy("shops/" + shop, shop);
  Site site(lane.path(), {bench::kHost});
  std::size_t compared = 0;
  for (std::string const taper : {"yarrow.yaml", "teasel.yaml", "burdock.yaml"})
    for (auto const& [shop, names] : machines)
      for (auto const& machine : names)
        for (std::string const unit : {"in", "mm"}) {
          INFO(taper << " " << shop << " " << machine << " " << unit);
          std::ostringstream out;
          std::ostringstream err;
          const auto status =
              cli::run({"setup", (lane / taper).string(), "--shop", (lane / shop).string(),
                        "--machine", machine, "--units", unit, "--format", "csv", "--out",
                        (lane / ".out").string(), "--force"},
                       out, err);
          auto request = get("/rod", {{"file", taper}, {"shop", shop}, {"machine", machine}});
          request.cookies = "units=" + unit;
          const auto page = site.answer(request).body;
          const auto shown = tables(page, "What to set");
          INFO(err.str());
          CHECK(shown.empty() == (status != 0));
          if (status != 0) continue;
          const auto file = dialled(csv(out.str()));
          // All rows that the page shows are of the file, each of its section and pass, in order.
          std::size_t next = 1;
          for (auto const& table : shown) {
            std::vector<std::pair<std::size_t, int>> columns;
            for (std::size_t i = 0; i < table[0].size(); ++i) {
              const auto name = file_name(table[0][i], unit);
              const int at = name.empty() ? -1 : column(file, name);
              INFO("column " << table[0][i]);
              CHECK(at >= 0);
              if (at >= 0) columns.emplace_back(i, at);
            }
            REQUIRE(columns.size() >= 3);
            for (std::size_t row = 1; row < table.size(); ++row) {
              const auto agrees = [&](std::size_t at) {
                return std::all_of(columns.begin(), columns.end(), [&](auto const& each) {
                  return reads_so(table[row][each.first],
                                  file[at][static_cast<std::size_t>(each.second)]);
                });
              };
              while (next < file.size() && !agrees(next)) ++next;
              INFO("row " << row << " begins " << table[row][0]);
              REQUIRE(next < file.size());
              ++next;
              compared += columns.size();
            }
          }
          if (column(file, "screw") >= 0) CHECK(next == file.size());
        }
  CHECK(compared > 3000);
}

TEST_CASE("figures of a draft are those of the saved file") {
  Bench bench;
  const auto drafted = bench::json_of(
      bench.answer(post("/rod/figures", order("burnet.yaml", {change("10", "0.0955", "0.097")}))));
  REQUIRE(bench.answer(post("/file/save", order("burnet.yaml", {change("10", "0.0955", "0.097")})))
              .status == 200);
  const auto saved = bench::json_of(bench.answer(post("/rod/figures", order("burnet.yaml"))));
  for (std::string const part : {"figures", "curve", "ledger", "problems"}) {
    INFO(part);
    CHECK(drafted["parts"][part] == saved["parts"][part]);
  }
  CHECK(saved["parts"]["figures"].get<std::string>().find("<caption>What to set") !=
        std::string::npos);
}

TEST_CASE("a folder without a shop gets the built-in one as an example, over no file of its own") {
  const Lane lane;
  Site site(lane.path(), {bench::kHost});
  const Json order{{"example", "built-in"}};
  CHECK(site.answer(get("/", {})).body.find("Put an example shop here, shop.yaml") !=
        std::string::npos);
  const auto put = site.answer(post("/rods/example", order));
  REQUIRE(put.status == 200);
  CHECK(bench::json_of(put)["go"] == "/shop?file=shop.yaml");
  const auto bytes = lane.bytes("shop.yaml");
  std::ostringstream out;
  std::ostringstream err;
  CHECK(cli::run({"shop", "lint", (lane / "shop.yaml").string()}, out, err) == 0);
  CHECK(bytes.find("yaml-language-server") == std::string::npos);
  CHECK(site.answer(get("/", {})).body.find("Put an example shop here") == std::string::npos);
  // A second time, or where the maker's own file has that name, nothing is replaced.
  lane.write("shop.yaml", "mine\n");
  CHECK(site.answer(post("/rods/example", order)).status == 422);
  CHECK(lane.bytes("shop.yaml") == "mine\n");
}
