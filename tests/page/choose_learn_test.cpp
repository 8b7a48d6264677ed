#include <fmt/format.h>
#include <sys/stat.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>
#include <string>
#include <thread>
#include <vector>

#include "catch.h"
#include "cli/run.h"
#include "page/choice_shelf.h"
#include "page/desk.h"
#include "page/gate.h"
#include "page/site.h"
#include "sheet/frame.h"

// What the pages for choosing and learning show and write is held against what the commands
// `choose` and `learn` print and write for the same call: they are the pages' reference.

namespace {

namespace fs = std::filesystem;
using nlohmann::ordered_json;
using stripwright::page::Request;
using stripwright::page::Response;
using stripwright::page::Site;
using stripwright::page::Verb;

std::string bytes_of(fs::path const& path) {
  std::ifstream file(path, std::ios::binary);
  REQUIRE(file.good());
  std::stringstream out;
  out << file.rdbuf();
  return out.str();
}

void put(fs::path const& path, std::string const& bytes) {
  if (path.has_parent_path()) fs::create_directories(path.parent_path());
  std::ofstream(path, std::ios::binary) << bytes;
}

/// A maker's folder of its own, in which the test runs, as the server does in the maker's.
class Lane {
 public:
  Lane() : here_(fs::temp_directory_path() / ("lane-" + stripwright::page::random_letters(12))) {
    fs::create_directories(here_ / "inner");
    fs::current_path(here_ / "inner");
    site_ = std::make_unique<Site>(".", std::set<std::string>{kHost});
  }
  ~Lane() {
    fs::current_path(fs::temp_directory_path());
    fs::remove_all(here_);
  }
  Lane(Lane const&) = delete;
  Lane& operator=(Lane const&) = delete;

  Response get(std::string const& path, std::multimap<std::string, std::string> query = {}) {
    Request request;
    request.path = path;
    request.query = std::move(query);
    request.host = kHost;
    request.cookies = cookies;
    return site_->answer(request);
  }
  Response post(std::string const& path, ordered_json const& order) {
    Request request;
    request.verb = Verb::post;
    request.path = path;
    request.host = kHost;
    request.origin = std::string("http://") + kHost;
    request.content_type = "application/json";
    request.body = order.dump();
    request.cookies = cookies;
    return site_->answer(request);
  }

  std::string cookies;

 private:
  static constexpr char kHost[] = "127.0.0.1:1";
  fs::path here_;
  std::unique_ptr<Site> site_;
};

std::string part(Response const& response, char const* id) {
  const auto json = ordered_json::parse(response.body);
  INFO(response.body.substr(0, 2000));
  REQUIRE(json["parts"].contains(id));
  return json["parts"][id].get<std::string>();
}

std::string says(Response const& response) {
  const auto json = ordered_json::parse(response.body);
  return json.contains("say") ? json["say"].get<std::string>() : std::string();
}

struct Printed {
  int status = 0;
  std::string out;
};
Printed command(std::vector<std::string> const& arguments) {
  std::ostringstream out, err;
  const int status = stripwright::cli::run(arguments, out, err);
  INFO(err.str());
  REQUIRE(status < 2);
  return {status, out.str()};
}

std::string unescaped(std::string text) {
  for (auto const& [from, to] :
       {std::pair("&lt;", "<"), std::pair("&gt;", ">"), std::pair("&#39;", "'"),
        std::pair("&quot;", "\""), std::pair("&amp;", "&")})
    for (auto at = text.find(from); at != std::string::npos; at = text.find(from, at + 1))
      text.replace(at, std::string(from).size(), to);
  return text;
}

/// The rows of the page's tables with this caption: cells with a blank between, for a terminal's
/// table has them so, too.
std::vector<std::string> rows_under(std::string const& html, std::string const& caption) {
  std::vector<std::string> out;
  for (auto at = html.find("<caption>" + caption); at != std::string::npos;
       at = html.find("<caption>" + caption, at + 1)) {
    const auto table =
        html.substr(html.find("<tbody>", at), html.find("</table>", at) - html.find("<tbody>", at));
    for (auto row = table.find("<tr>"); row != std::string::npos;
         row = table.find("<tr>", row + 1)) {
      std::string cells;
      const auto end = table.find("</tr>", row);
      for (auto cell = table.find("<t", row + 1); cell < end; cell = table.find("<t", cell + 1)) {
        const auto from = table.find('>', cell) + 1;
        const auto text = table.substr(from, table.find("</t", from) - from);
        if (!text.empty()) cells += (cells.empty() ? "" : " ") + text;
      }
      out.push_back(unescaped(cells));
    }
  }
  return out;
}

/// The lines of a terminal's text with single blanks.
std::vector<std::string> lines_of(std::string const& text) {
  std::vector<std::string> out;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    std::istringstream words(line);
    std::string all;
    for (std::string word; words >> word;) all += (all.empty() ? "" : " ") + word;
    out.push_back(all);
  }
  return out;
}

void check_all_printed(std::vector<std::string> const& rows, std::string const& text,
                       std::size_t at_least) {
  const auto lines = lines_of(text);
  CHECK(rows.size() >= at_least);
  for (auto const& row : rows) {
    INFO("row of the page: " << row);
    CHECK(std::find(lines.begin(), lines.end(), row) != lines.end());
  }
}

std::vector<std::string> split(std::string const& line, char at) {
  std::vector<std::string> out;
  std::istringstream parts(line);
  for (std::string each; std::getline(parts, each, at);) out.push_back(each);
  return out;
}

std::string source(std::string const& path) {
  return bytes_of(fs::path(STRIPWRIGHT_SOURCE_DIR) / path);
}

/// Yarrow, its shop, its culms, and readings of strips that are off the command's own targets by a
/// few tenths of a thousandth; one is thick, one thin.
void put_yarrow(std::string const& second_name = "t2") {
  put("yarrow.yaml", source("profiles/yarrow.yaml"));
  put("bench.yaml", source("profiles/shops/saltmarsh-lane.yaml"));
  put("culms.yaml", source("profiles/culms/saltmarsh-lane.yaml"));
  command({"setup", "yarrow.yaml", "--shop", "bench.yaml", "--machine", "lifting bed", "--section",
           "tip", "--out", "../targets"});
  std::string strips = "strip,section,at_in,a_in\n";
  for (int k = 1; k <= 9; ++k) {
    std::istringstream rows(bytes_of("../targets/stations.csv"));
    std::string line;
    std::getline(rows, line);
    const auto heads = split(line, ',');
    const auto column = [&](std::string const& name) {
      return static_cast<std::size_t>(std::find(heads.begin(), heads.end(), name) - heads.begin());
    };
    for (int s = 0; std::getline(rows, line); ++s) {
      const auto cells = split(line, ',');
      const double off = 0.00006 * ((k * 7 + s * (k % 3)) % 11 - 5) + (k == 8   ? 0.003
                                                                       : k == 9 ? -0.003
                                                                                : 0);
      strips +=
          fmt::format("{},tip,{},{:.5f}\n", k == 2 ? second_name : fmt::format("t{}", k),
                      cells[column("at_in")], std::stod(cells[column("strip_milled_in")]) + off);
    }
  }
  put("strips.csv", strips);
}

ordered_json choose_order() {
  return {{"file", "yarrow.yaml"}, {"shop", "bench.yaml"}, {"readings", "strips.csv"},
          {"stage", "milled"},     {"rings", "1"},         {"nodes", "culms.yaml"},
          {"time", "60"}};
}

std::vector<std::string> choose_call(std::string const& format, std::string const& out) {
  return {"choose",  "yarrow.yaml", "strips.csv", "--shop",     "bench.yaml",
          "--rings", "1",           "--nodes",    "culms.yaml", "--time",
          "60",      "--format",    format,       "--out",      out};
}

/// The files of a whole-program case.
void put_case(std::string const& name) {
  const auto text = source("tests/cases/" + name);
  const auto from = text.find("## files\n");
  const auto files = text.substr(from, text.find("\n## run", from) - from);
  for (auto at = files.find("\n### "); at != std::string::npos; at = files.find("\n### ", at + 1)) {
    const auto end = files.find('\n', at + 1);
    const auto next = files.find("\n### ", end);
    auto bytes = files.substr(end + 1, next == std::string::npos ? next : next - end - 1);
    while (bytes.ends_with("\n\n")) bytes.pop_back();
    if (!bytes.ends_with('\n')) bytes += '\n';
    put(files.substr(at + 5, end - at - 5), bytes);
  }
}

ordered_json learn_order() {
  return {{"shop", "shop.yaml"}, {"rings", {"ring1.yaml", "ring2.yaml", "ring3.yaml"}}};
}

std::vector<std::string> learn_call(std::vector<std::string> const& more) {
  std::vector<std::string> out = {"learn",      "ring1.yaml", "ring2.yaml",
                                  "ring3.yaml", "--shop",     "shop.yaml"};
  out.insert(out.end(), more.begin(), more.end());
  return out;
}

std::string seen_in(std::string const& html) {
  const auto at = html.find("data-seen=\"");
  REQUIRE(at != std::string::npos);
  const auto from = at + 11;
  return html.substr(from, html.find('"', from) - from);
}

std::string choice_in(std::string const& html) {
  const auto at = html.find("data-keep=\"");
  REQUIRE(at != std::string::npos);
  const auto from = at + 11;
  return html.substr(from, html.find('"', from) - from);
}

}  // namespace

TEST_CASE("what the page chooses is what the command chooses, figure by figure") {
  Lane lane;
  put_yarrow();
  const bool millimetres = GENERATE(false, true);
  auto call = choose_call("text", "../out");
  if (millimetres) {
    lane.cookies = "units=mm";
    call.insert(call.end(), {"--units", "mm"});
  }
  const auto text = command(call).out;
  const auto html = part(lane.post("/choose/run", choose_order()), "choice");
  check_all_printed(rows_under(html, "Strips round the section"), text, 6);
  check_all_printed(rows_under(html, "Across flats when glued"), text, 10);
  check_all_printed(rows_under(html, "How far it is known"), text, 0);
  check_all_printed(rows_under(html, "What they are still good for"), text, 3);
  // The headings name the unit of the figures.
  CHECK((html.find(">moved, mm<") != std::string::npos) == millimetres);
  CHECK((html.find(">moved, in<") != std::string::npos) != millimetres);
  const auto csv = split(command(choose_call("csv", "../out2")).out, '\n');
  const auto rows = rows_under(html, "Strips round the section");
  REQUIRE(csv.size() == 7);
  for (std::size_t i = 0; i < 6; ++i) {
    const auto cells = split(csv[i + 1], ',');
    CHECK(rows[i].starts_with(fmt::format("{} {} {} ", cells[2], cells[3], cells[4])));
  }
}

TEST_CASE("what is kept is what the command writes, byte for byte") {
  Lane lane;
  put_yarrow();
  const auto html = part(lane.post("/choose/run", choose_order()), "choice");
  CHECK_FALSE(fs::exists("output"));
  const auto kept = lane.post("/choose/keep", {{"choice", choice_in(html)}});
  CHECK(kept.status == 200);
  const auto here = fs::current_path();
  std::map<std::string, std::string> ours;
  for (auto const& file : fs::directory_iterator("output/yarrow"))
    ours[file.path().filename().string()] = bytes_of(file.path());
  fs::remove_all("output");
  command(choose_call("text", "output/yarrow"));
  std::size_t theirs = 0;
  for (auto const& file : fs::directory_iterator("output/yarrow")) {
    ++theirs;
    INFO(file.path());
    CHECK(ours[file.path().filename().string()] == bytes_of(file.path()));
  }
  CHECK(theirs == ours.size());
  CHECK(ours.contains("glue.html"));

  const auto sheet = lane.get("/choose/sheet", {{"file", "output/yarrow/glue.html"}});
  CHECK(sheet.status == 200);
  CHECK(sheet.body == ours["glue.html"]);
  std::string policy;
  for (auto const& [name, value] : sheet.headers)
    if (name == "Content-Security-Policy") policy += value;
  CHECK(policy.starts_with(stripwright::sheet::sheet_policy()));
  CHECK(lane.get("/choose", {{"file", "yarrow.yaml"}}).body.find("output/yarrow/glue.html") !=
        std::string::npos);
}

TEST_CASE("ring files that were edited are replaced only when asked, and stay in the history") {
  Lane lane;
  put_yarrow();
  const auto id = choice_in(part(lane.post("/choose/run", choose_order()), "choice"));
  REQUIRE(lane.post("/choose/keep", {{"choice", id}}).status == 200);
  const fs::path ring = "output/yarrow/ring-tip.yaml";
  const auto edited = bytes_of(ring) + "rod: Yarrow 3\n";
  put(ring, edited);
  const auto refused = lane.post("/choose/keep", {{"choice", id}});
  CHECK(refused.status == 409);
  CHECK(part(refused, "kept").find("data-replace") != std::string::npos);
  CHECK(part(refused, "kept").find("--") == std::string::npos);
  CHECK(bytes_of(ring) == edited);
  CHECK(lane.post("/choose/keep", {{"choice", id}, {"replace", true}}).status == 200);
  CHECK(bytes_of(ring) != edited);
  bool found = false;
  for (auto const& file : fs::directory_iterator(".stripwright/before/output/yarrow/ring-tip.yaml"))
    found = found || bytes_of(file.path()) == edited;
  CHECK(found);
}

TEST_CASE("what was chosen from files that have changed since is not kept") {
  Lane lane;
  put_yarrow();
  const auto id = choice_in(part(lane.post("/choose/run", choose_order()), "choice"));
  for (auto const* name : {"yarrow.yaml", "strips.csv", "bench.yaml"}) {
    const auto before = bytes_of(name);
    put(name, before + "\n# later\n");
    INFO(name);
    CHECK(lane.post("/choose/keep", {{"choice", id}}).status == 409);
    CHECK_FALSE(fs::exists("output"));
    put(name, before);
  }
  CHECK(lane.post("/choose/keep", {{"choice", "nothing"}}).status == 410);
}

TEST_CASE("a strip's name is text on the pages, whatever it is") {
  Lane lane;
  put_yarrow("<script>alert(1)</script>");
  auto order = choose_order();
  order["all"] = true;
  const auto html = part(lane.post("/choose/run", order), "choice");
  CHECK(html.find("<script") == std::string::npos);
  CHECK(html.find("&lt;script&gt;alert(1)") != std::string::npos);
  REQUIRE(lane.post("/choose/keep", {{"choice", choice_in(html)}}).status == 200);
  put("output/yarrow/ring-two.yaml",
      "format: stripwright-ring-1\ntaper: ../../yarrow.yaml\nsection: tip\nunit: in\n"
      "strips: ['<script>x', t3, t4, t5, t6, t7]\n");
  const auto learn = lane.get("/learn").body;
  CHECK(learn.find("&lt;script&gt;x") != std::string::npos);
  CHECK(learn.find("<script>x") == std::string::npos);
}

TEST_CASE("names that lead out of the folder are refused") {
  Lane lane;
  put_yarrow();
  put("../yarrow.yaml", bytes_of("yarrow.yaml"));
  put("../strips.csv", bytes_of("strips.csv"));
  put("../bench.yaml", bytes_of("bench.yaml"));
  put("../culms.yaml", bytes_of("culms.yaml"));
  put("../glue.html", "secret");
  for (auto const& [field, name] :
       {std::pair("file", "../yarrow.yaml"), std::pair("readings", "../strips.csv"),
        std::pair("shop", "../bench.yaml"), std::pair("nodes", "../culms.yaml"),
        std::pair("readings", "/etc/passwd"), std::pair("readings", "-"), std::pair("file", "")}) {
    auto order = choose_order();
    order[field] = name;
    INFO(field << ' ' << name);
    CHECK(lane.post("/choose/run", order).status == 422);
  }
  CHECK(lane.get("/choose/sheet", {{"file", "../glue.html"}}).body.find("secret") ==
        std::string::npos);
  CHECK(lane.get("/choose/sheet", {{"file", "strips.csv"}}).status == 404);
  put_case("learn.case");
  fs::copy_file("ring1.yaml", "../ring1.yaml");
  const auto html =
      part(lane.post("/learn/figures", {{"shop", "shop.yaml"}, {"rings", {"../ring1.yaml"}}}),
           "problems");
  CHECK(html.find("../ring1.yaml") != std::string::npos);
  CHECK(lane.post("/learn/take", {{"shop", "../bench.yaml"}, {"rings", {"ring1.yaml"}}}).status ==
        422);
  CHECK(lane.post("/learn/flats", {{"ring", "../ring1.yaml"}, {"stage", "bare"}}).status == 404);
}

TEST_CASE("what a ring file names is read only where it lies in the folder") {
  Lane lane;
  put_case("learn.case");
  fs::create_directory("../outer");
  fs::copy_file("nettle.yaml", "../outer/nettle.yaml");
  fs::copy_file("glued1.csv", "../outer/glued1.csv");
  put("../outer/secret.csv", "word of my safe is,hunter2,0.1\n");
  put("../outer/secret.yaml", "hunter2: word of my safe\n");
  fs::copy_file("glued1.csv", ".glued1.csv");
  fs::create_symlink("../outer/glued1.csv", "link.csv");
  REQUIRE(::mkfifo("pipe.csv", 0600) == 0);
  const auto outer = fs::canonical("../outer").string();
  const auto ring = bytes_of("ring1.yaml");
  for (auto const& [was, now] : {std::pair("nettle.yaml", std::string("../outer/nettle.yaml")),
                                 std::pair("nettle.yaml", outer + "/nettle.yaml"),
                                 std::pair("nettle.yaml", std::string("../outer/secret.yaml")),
                                 std::pair("nettle.yaml", std::string("/dev/stdin")),
                                 std::pair("glued1.csv", std::string("../outer/glued1.csv")),
                                 std::pair("glued1.csv", outer + "/secret.csv"),
                                 std::pair("glued1.csv", std::string(".glued1.csv")),
                                 std::pair("glued1.csv", std::string("link.csv")),
                                 std::pair("glued1.csv", std::string("pipe.csv"))}) {
    INFO(now);
    auto changed = ring;
    changed.replace(changed.find(was), std::string(was).size(), now);
    put("ring1.yaml", changed);
    const ordered_json order = {{"shop", "shop.yaml"}, {"rings", {"ring1.yaml"}}};
    const auto answer = lane.post("/learn/figures", order);
    CHECK(part(answer, "learned").empty());
    CHECK(part(answer, "problems").find(now) != std::string::npos);
    CHECK(answer.body.find("hunter2") == std::string::npos);
    CHECK(lane.get("/learn").body.find("hunter2") == std::string::npos);
    CHECK(lane.post("/learn/take", order).status == 422);
  }
  // A link that leads round in a ring leads nowhere.
  fs::create_symlink("round", "round");
  put("ring1.yaml", std::string(ring).replace(ring.find("nettle.yaml"), 11, "round"));
  const ordered_json of_ring = {{"shop", "shop.yaml"}, {"rings", {"ring1.yaml"}}};
  CHECK(part(lane.post("/learn/figures", of_ring), "learned").empty());
  CHECK(lane.get("/learn").status == 200);
  // Across the folder they may.
  fs::create_directory("deeper");
  auto inside = ring;
  for (std::string const name :
       {"nettle.yaml", "strips1.csv", "glued1.csv", "bare1.csv", "done1.csv"})
    inside.replace(inside.find(name), name.size(), "../deeper/../" + name);
  put("deeper/ring.yaml", inside);
  CHECK_FALSE(
      part(lane.post("/learn/figures", {{"shop", "shop.yaml"}, {"rings", {"deeper/ring.yaml"}}}),
           "learned")
          .empty());
}

TEST_CASE("options are called by their fields' names, and a search has its bounds") {
  Lane lane;
  put_yarrow();
  auto order = choose_order();
  order["time"] = "600";
  CHECK(lane.post("/choose/run", order).status == 422);
  order["time"] = "";
  CHECK(lane.post("/choose/run", order).status == 422);
  order = choose_order();
  order["rings"] = "99";
  const auto html = part(lane.post("/choose/run", order), "problems");
  CHECK(html.find("“Rings”") != std::string::npos);
  CHECK(html.find("--") == std::string::npos);
}

TEST_CASE("one choosing at a time, and the last few are kept") {
  stripwright::page::ChoiceShelf shelf;
  {
    const auto first = shelf.take_turn();
    CHECK(first.owns_lock());
    std::thread([&] { CHECK_FALSE(shelf.take_turn().owns_lock()); }).join();
  }
  CHECK(shelf.take_turn().owns_lock());
  const auto oldest = shelf.put({}, nullptr)->id;
  CHECK(shelf.find(oldest));
  std::string last;
  for (int i = 0; i < 8; ++i) last = shelf.put({}, nullptr)->id;
  CHECK_FALSE(shelf.find(oldest));
  CHECK(shelf.find(last));
}

TEST_CASE("who comes while another choosing is at work is told so, and may look at the pages") {
  Lane lane;
  put_yarrow();
  const stripwright::page::Folder folder(".");
  stripwright::page::History history(folder);
  stripwright::page::Gate gate({"127.0.0.1:1"});
  std::mutex writing;
  stripwright::page::ChoiceShelf shelf;
  const stripwright::page::Desk desk{folder, history, gate, writing, shelf};
  const auto routes = stripwright::page::choose_routes();
  const auto route = [&](std::string_view path) {
    return *std::find_if(routes.begin(), routes.end(),
                         [&](auto const& each) { return each.path == path; });
  };
  const auto turn = shelf.take_turn();
  std::thread([&] {
    const auto answer = route("/choose/run").done(desk, {}, choose_order());
    CHECK(answer.status == 409);
    CHECK(says(answer).find("Another choosing is at work") != std::string::npos);
    CHECK(route("/choose").shown(desk, {}).status == 200);
  }).join();
}

TEST_CASE("what the page learns is what the command learns, figure by figure") {
  Lane lane;
  put_case("learn.case");
  const bool millimetres = GENERATE(false, true);
  auto more = std::vector<std::string>();
  if (millimetres) {
    lane.cookies = "units=mm";
    more = {"--units", "mm"};
  }
  const auto text = command(learn_call(more)).out;
  const auto html = part(lane.post("/learn/figures", learn_order()), "learned");
  const auto rows = rows_under(html, "What the sections say");
  check_all_printed(rows, text, 4);
  CHECK((html.find(">measured, mm<") != std::string::npos) == millimetres);
  CHECK(html.find(">takes over, in<") != std::string::npos);  // as the shop file has it
  CHECK(lane.get("/learn").body.find(html) != std::string::npos);

  // The command's CSV has a decimal more: the page has the same number, rounded.
  more.insert(more.end(), {"--format", "csv"});
  const auto csv = split(command(learn_call(more)).out, '\n');
  REQUIRE(csv.size() == 5);
  for (std::size_t i = 0; i < 4; ++i) {
    const auto cells = split(csv[i + 1], ',');
    const auto shown = rows[i].substr(cells[0].size() + 1);
    const auto half = millimetres ? 0.00051 : 0.0000051;
    CHECK(std::fabs(std::stod(shown) - std::stod(cells[1])) <= half);
  }
  const auto json = ordered_json::parse(command(learn_call({"--format", "json"})).out);
  for (auto const& row : rows_under(html, "Allowances of"))
    CHECK(json["shop_file"]["fragment"].get<std::string>().find(
              split(row, ' ')[0] + ": " + split(row, ' ')[2]) != std::string::npos);
}

TEST_CASE("where readings contradict each other there is nothing to take over") {
  Lane lane;
  put_case("learn-contradiction.case");
  const auto html = part(
      lane.post("/learn/figures", {{"shop", "shop.yaml"}, {"rings", {"swapped.yaml"}}}), "learned");
  CHECK(html.find("the readings contradict each other") != std::string::npos);
  CHECK(html.find("id=\"take\"") == std::string::npos);
  CHECK(html.find("Nothing needs to change") == std::string::npos);
}

TEST_CASE("taking over writes what `learn --write` writes; comments and the old state stay") {
  Lane lane;
  put_case("learn.case");
  const auto before = bytes_of("shop.yaml");
  const auto seen = seen_in(part(lane.post("/learn/figures", learn_order()), "learned"));
  auto order = learn_order();
  order["seen"] = seen;

  put("shop.yaml", before + "# later\n");
  CHECK(lane.post("/learn/take", order).status == 409);
  CHECK(bytes_of("shop.yaml") == before + "# later\n");
  put("shop.yaml", before);

  const auto taken = lane.post("/learn/take", order);
  CHECK(taken.status == 200);
  CHECK(says(taken).find("glue_line: 0.00098 in, was 0.0015") != std::string::npos);
  const auto after = bytes_of("shop.yaml");
  CHECK(after.find("# guessed") != std::string::npos);
  CHECK_FALSE(fs::exists("shop.yaml.bak"));
  bool kept = false;
  for (auto const& file : fs::directory_iterator(".stripwright/before/shop.yaml"))
    kept = kept || bytes_of(file.path()) == before;
  CHECK(kept);

  put("shop.yaml", before);
  command(learn_call({"--write"}));
  CHECK(after == bytes_of("shop.yaml"));

  const auto settled = part(lane.post("/learn/figures", learn_order()), "learned");
  CHECK(settled.find("Nothing needs to change.") != std::string::npos);
  CHECK(settled.find("data-seen") == std::string::npos);
}

TEST_CASE("flats of a glued section are kept beside its ring, and learned from") {
  Lane lane;
  put_yarrow();
  REQUIRE(
      lane.post("/choose/keep",
                {{"choice", choice_in(part(lane.post("/choose/run", choose_order()), "choice"))}})
          .status == 200);
  const std::string ring = "output/yarrow/ring-tip.yaml";
  const auto before = bytes_of(ring);
  CHECK(lane.get("/learn").body.find("too little to learn from") != std::string::npos);
  ordered_json order = {{"ring", ring}, {"stage", "glued"}};
  CHECK(lane.post("/learn/flats", order).status == 422);
  order["f1-0"] = "0.07x";
  CHECK(lane.post("/learn/flats", order).status == 422);
  CHECK(bytes_of(ring) == before);
  order["f1-0"] = "1.785 mm";  // 0.0702756 in
  order["f2-0"] = "0.0701";
  order["f1-2"] = "0.0978";
  order["f2-2"] = "";
  order["f3-2"] = "0.0977";
  CHECK(lane.post("/learn/flats", order).status == 200);
  CHECK(bytes_of("output/yarrow/ring-tip-glued.csv") ==
        "piece,at_in,f1_in,f2_in,f3_in\ntip,0,0.070276,0.0701,\ntip,10,0.0978,,0.0977\n");
  CHECK(bytes_of(ring).starts_with("# Chosen by `stripwright choose`."));
  CHECK(lane.post("/learn/flats", order).status == 422);
  const auto text = command({"learn", ring, "--shop", "bench.yaml"}).out;
  const auto html =
      part(lane.post("/learn/figures", {{"shop", "bench.yaml"}, {"rings", {ring}}}), "learned");
  check_all_printed(rows_under(html, "What the sections say"), text, 1);
}

TEST_CASE("flats that two enter at once, or that were cut off half-way, can be kept") {
  Lane lane;
  put_case("learn.case");
  put("flats/ring.yaml",
      "format: stripwright-ring-1\ntaper: ../nettle.yaml\nsection: rod\nunit: in\n"
      "strips: [s1, s2, s3, s4, s5, s6]\nreadings: {ready: ../strips1.csv}\n");
  const auto ring = bytes_of("flats/ring.yaml");
  const auto flats = [](char const* stage, char const* f1 = "0.07") {
    return ordered_json{{"ring", "flats/ring.yaml"}, {"stage", stage}, {"f1-0", f1}};
  };

  SECTION("two devices, two stages") {
    for (int round = 0; round < 10; ++round) {
      put("flats/ring.yaml", ring);
      for (auto const* stage : {"glued", "bare"})
        fs::remove(fmt::format("flats/ring-{}.csv", stage));
      std::vector<std::thread> devices;
      std::vector<int> status(2);
      for (std::size_t i = 0; i < 2; ++i)
        devices.emplace_back([&, i] {
          status[i] = lane.post("/learn/flats", flats(i == 0 ? "glued" : "bare")).status;
        });
      for (auto& each : devices) each.join();
      CHECK(status == std::vector<int>{200, 200});
      const auto now = bytes_of("flats/ring.yaml");
      CHECK(now.find("ring-glued.csv") != std::string::npos);
      CHECK(now.find("ring-bare.csv") != std::string::npos);
    }
  }
  SECTION("a ring that cannot be saved leaves no readings behind") {
    put(".stripwright/before/flats/ring.yaml", "in the way");
    CHECK(lane.post("/learn/flats", flats("glued")).status == 500);
    CHECK_FALSE(fs::exists("flats/ring-glued.csv"));
    fs::remove(".stripwright/before/flats/ring.yaml");
    CHECK(lane.post("/learn/flats", flats("glued")).status == 200);
  }
  SECTION("readings that no ring names yet") {
    const std::string text = "piece,at_in,f1_in,f2_in,f3_in\nrod,0,0.07,,\n";
    put("flats/ring-glued.csv", text);
    CHECK(lane.post("/learn/flats", flats("glued", "0.071")).status == 200);
    CHECK(bytes_of("flats/ring-glued.csv") == text);
    CHECK(bytes_of("flats/ring-glued-2.csv").find("rod,0,0.071,") != std::string::npos);
    CHECK(bytes_of("flats/ring.yaml").find("glued: ring-glued-2.csv") != std::string::npos);
    // The same once more, after a stop between the two savings.
    put("flats/ring.yaml", ring);
    CHECK(lane.post("/learn/flats", flats("glued")).status == 200);
    CHECK(bytes_of("flats/ring.yaml").find("glued: ring-glued.csv") != std::string::npos);
    CHECK_FALSE(fs::exists("flats/ring-glued-3.csv"));
  }
}

TEST_CASE("an empty folder gets a kind word and a way on") {
  Lane lane;
  CHECK(lane.get("/choose").body.find("No taper in this folder yet.") != std::string::npos);
  CHECK(lane.get("/learn").body.find("No ring files yet:") != std::string::npos);
  put("yarrow.yaml", source("profiles/yarrow.yaml"));
  const auto page = lane.get("/choose").body;
  CHECK(page.find("No strips are measured yet") != std::string::npos);
  CHECK(page.find("href=\"/measure\"") != std::string::npos);
}
