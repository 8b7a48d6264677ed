#include "page/gate.h"

#include <algorithm>
#include <thread>

#include "bench.h"

using namespace stripwright;
using bench::get;
using bench::post;
using page::Door;
using page::Gate;
using page::Request;

namespace {

constexpr char kShared[] = "192.0.2.7:40001";  // RFC 5737, 3: for documentation

Gate own_gate() { return Gate({bench::kHost, "localhost:8433"}); }

int status(Gate& gate, Request const& request) {
  const auto stopped = gate.stop(request);
  return stopped ? stopped->status : 200;
}

Request at_shared_door(std::string const& key = "", std::string const& cookies = "") {
  auto request = get("/");
  if (!key.empty()) request.query.emplace("key", key);
  request.host = kShared;
  request.cookies = cookies;
  request.door = Door::shared;
  return request;
}

std::string cookie_of(page::Response const& response) {
  for (auto const& [name, value] : response.headers)
    if (name == "Set-Cookie") return value;
  return {};
}

/// What a browser sends back of a cookie.
std::string sent_back(std::string const& cookie) { return cookie.substr(0, cookie.find(';')); }

}  // namespace

TEST_CASE("the addresses that were given out are let in") {
  auto gate = own_gate();
  auto request = get("/");
  CHECK(status(gate, request) == 200);
  request.host = "localhost:8433";
  CHECK(status(gate, request) == 200);
}

// DNS rebinding: a page at bramble.example:8433 whose name is then made to point to 127.0.0.1 is of
// the same origin as what it reads there; but its browser sends the name it knows as Host (RFC
// 9110, 7.2).
TEST_CASE("another name for this machine is refused, also where nothing is changed") {
  auto gate = own_gate();
  for (std::string const host :
       {"bramble.example:8433", "", "127.0.0.1", "127.0.0.1:8434", "127.0.0.1:84330", "localhost",
        "[::1]:8433", "127.1:8433", "127.0.0.1:8433.bramble.example", "bramble.example",
        " 127.0.0.1:8433", "127.0.0.1:8433 ", "127.0.0.1:8433,x", "x@127.0.0.1:8433",
        "0.0.0.0:8433", "2130706433:8433"}) {
    INFO(host);
    auto asked = get("/rod");
    asked.host = host;
    CHECK(status(gate, asked) == 421);  // RFC 9110, 15.5.20: Misdirected Request
    auto sent = post("/file/save", "{}");
    sent.host = host;
    sent.origin = "http://" + host;
    CHECK(status(gate, sent) == 421);
  }
}

TEST_CASE("only this server's own pages may change anything") {
  auto gate = own_gate();
  CHECK(status(gate, post("/file/save", "{}")) == 200);
  for (std::string const origin :
       {"", "null", "http://bramble.example", "https://127.0.0.1:8433", "http://127.0.0.1",
        "http://127.0.0.1:8434", "http://localhost:8433", "HTTP://127.0.0.1:8433",
        "http://127.0.0.1:8433/", "http://127.0.0.1:8433.bramble.example",
        "http://127.0.0.1:8433 http://bramble.example"}) {
    INFO(origin);
    auto request = post("/file/save", "{}");
    request.origin = origin;
    CHECK(status(gate, request) == 403);
  }
}

// Fetch Metadata: Sec-Fetch-Site is cross-site, same-origin, same-site or none (by the person).
TEST_CASE("what the browser says of where a request comes from is believed if it warns") {
  auto gate = own_gate();
  for (auto const& [site, wanted] :
       {std::pair("", 200), std::pair("same-origin", 200), std::pair("cross-site", 403),
        std::pair("same-site", 403), std::pair("none", 403), std::pair("Same-Origin", 403)}) {
    INFO(site);
    auto request = post("/file/save", "{}");
    request.fetch_site = site;
    CHECK(status(gate, request) == wanted);
  }
}

// Fetch standard, "CORS-safelisted request-header": a form or a script of another site may send
// these three without asking first.
TEST_CASE("what a form of another site could send is refused") {
  auto gate = own_gate();
  for (std::string const type :
       {"application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "text/plain", "",
        "text/plain; application/json", " application/json", "text/json"}) {
    INFO(type);
    auto request = post("/file/save", "{}");
    request.content_type = type;
    CHECK(status(gate, request) == 415);
  }
  auto request = post("/file/save", "{}");
  request.content_type = "application/json; charset=utf-8";
  CHECK(status(gate, request) == 200);
}

TEST_CASE("without --share nobody is at the shared door") {
  auto gate = own_gate();
  CHECK_FALSE(gate.shared());
  CHECK(status(gate, at_shared_door()) == 421);
  auto request = at_shared_door();
  request.host = bench::kHost;
  CHECK(status(gate, request) == 421);
}

TEST_CASE("a key lets one device in, once, and its cookie stays") {
  auto gate = own_gate();
  gate.share({kShared});
  CHECK(status(gate, at_shared_door()) == 403);
  const auto key = gate.new_key();
  const auto welcome = gate.stop(at_shared_door(key));
  REQUIRE(welcome);
  CHECK(welcome->status == 303);
  const auto cookie = cookie_of(*welcome);
  // RFC 6265, 5.2.6 and the SameSite of its successor: not for scripts, not with others' requests.
  CHECK(cookie.find("HttpOnly") != std::string::npos);
  CHECK(cookie.find("SameSite=Strict") != std::string::npos);
  CHECK(cookie.find(key) == std::string::npos);
  CHECK(status(gate, at_shared_door("", sent_back(cookie))) == 200);
  CHECK(status(gate, at_shared_door("", sent_back(cookie))) == 200);
  CHECK(status(gate, at_shared_door(key)) == 403);
  CHECK(status(gate, at_shared_door("", sent_back(cookie) + "x")) == 403);
  CHECK(status(gate, at_shared_door("", cookie.substr(0, cookie.find('=') + 1))) == 403);
  // A second device, with a key of its own; the first one stays.
  const auto second = gate.stop(at_shared_door(gate.new_key()));
  REQUIRE(second);
  CHECK(cookie_of(*second) != cookie);
  CHECK(status(gate, at_shared_door("", sent_back(cookie_of(*second)))) == 200);
  CHECK(status(gate, at_shared_door("", sent_back(cookie))) == 200);
}

// RFC 6265, 8.5: cookies do not know ports; one host's are sent to each, and of two with one name
// the later takes the earlier one's place.
TEST_CASE("a device may be let in by two servers of one machine") {
  constexpr char kOther[] = "192.0.2.7:40002";
  std::map<std::string, std::string> jar;
  Gate gates[] = {own_gate(), own_gate()};
  const auto at = [&](std::size_t i, std::string const& key = "") {
    std::string cookies;
    for (auto const& [name, value] : jar) cookies += name + "=" + value + "; ";
    auto request = at_shared_door(key, cookies);
    if (i == 1) request.host = kOther;
    return request;
  };
  for (std::size_t i = 0; i < 2; ++i) {
    gates[i].share({i == 0 ? kShared : kOther});
    const auto welcome = gates[i].stop(at(i, gates[i].new_key()));
    REQUIRE(welcome);
    const auto cookie = sent_back(cookie_of(*welcome));
    jar[cookie.substr(0, cookie.find('='))] = cookie.substr(cookie.find('=') + 1);
  }
  for (std::size_t i = 0; i < 2; ++i) CHECK(status(gates[i], at(i)) == 200);
}

TEST_CASE("a newer key makes the one before void") {
  auto gate = own_gate();
  gate.share({kShared});
  const auto first = gate.new_key();
  const auto second = gate.new_key();
  CHECK(first != second);
  CHECK(status(gate, at_shared_door(first)) == 403);
  CHECK(status(gate, at_shared_door(second)) == 303);
}

TEST_CASE("ten wrong keys make the right one void") {
  for (auto const& [wrong, wanted] : {std::pair(9, 303), std::pair(10, 403)}) {
    auto gate = own_gate();
    gate.share({kShared});
    const auto key = gate.new_key();
    for (int i = 0; i < wrong; ++i) {
      auto guess = key;
      guess[static_cast<std::size_t>(i)] = guess[static_cast<std::size_t>(i)] == 'a' ? 'b' : 'a';
      CHECK(status(gate, at_shared_door(guess)) == 403);
    }
    CHECK(status(gate, at_shared_door(key)) == wanted);
    CHECK(status(gate, at_shared_door(gate.new_key())) == 303);
  }
}

TEST_CASE("one key is not taken by two devices at once") {
  for (int round = 0; round < 50; ++round) {
    auto gate = own_gate();
    gate.share({kShared});
    const auto key = gate.new_key();
    std::atomic<int> let_in{0};
    std::vector<std::thread> devices;
    for (int i = 0; i < 4; ++i)
      devices.emplace_back([&] { let_in += status(gate, at_shared_door(key)) == 303; });
    for (auto& device : devices) device.join();
    CHECK(let_in == 1);
  }
}

TEST_CASE("the shared door's addresses are not this machine's own, and the other way round") {
  auto gate = own_gate();
  gate.share({kShared});
  auto request = get("/");
  request.host = kShared;
  CHECK(status(gate, request) == 421);
  auto other = at_shared_door(gate.new_key());
  other.host = bench::kHost;
  CHECK(status(gate, other) == 421);
}

TEST_CASE("at the shared door, too, only its own pages may change anything") {
  auto gate = own_gate();
  gate.share({kShared});
  const auto welcome = gate.stop(at_shared_door(gate.new_key()));
  REQUIRE(welcome);
  auto request = post("/file/save", "{}");
  request.door = Door::shared;
  request.host = kShared;
  request.cookies = sent_back(cookie_of(*welcome));
  CHECK(status(gate, request) == 403);
  request.origin = std::string("http://") + kShared;
  CHECK(status(gate, request) == 200);
  request.cookies.clear();
  CHECK(status(gate, request) == 403);
}

TEST_CASE("secrets are long, and of letters that are told apart") {
  std::set<std::string> seen;
  std::map<char, int> counts;
  for (int i = 0; i < 1000; ++i) {
    const auto text = page::random_letters(31);
    CHECK(text.size() == 31);
    CHECK(text.find_first_of("01oilOIL") == std::string::npos);
    seen.insert(text);
    for (const char c : text) ++counts[c];
  }
  CHECK(seen.size() == 1000);
  // 31000 letters of 31: 1000 each, spread 31; six times that is one in a thousand million.
  CHECK(counts.size() == 31);
  for (auto const& [letter, count] : counts) {
    INFO(letter);
    CHECK(std::abs(count - 1000) < 190);
  }
}
