#include "page/exchange.h"

#include "bench.h"

using namespace stripwright;
using page::Request;

TEST_CASE("a cookie is found by its whole name, wherever it stands") {
  Request request;
  request.cookies = "units=mm; stripwright-device=a=b==;  last=";
  CHECK(request.cookie("units") == "mm");
  CHECK(request.cookie("stripwright-device") == "a=b==");
  CHECK(request.cookie("last").empty());
  // RFC 6265, 5.4: name, "=", value, joined by "; ". Neither a part of a name nor of a value is
  // one.
  CHECK(request.cookie("unit").empty());
  CHECK(request.cookie("nits").empty());
  CHECK(request.cookie("a").empty());
  CHECK(request.cookie("device").empty());
}

TEST_CASE("nonsense in place of cookies gives none") {
  for (std::string const text : {"", ";", ";;;", "=", "=mm", "units", "units;",
                                 "; ;units ; =", "UNITS=mm", "xunits=mm", "   ", "units\0=mm"}) {
    Request request;
    request.cookies = text;
    CHECK(request.cookie("units").empty());
  }
}

TEST_CASE("the first value of a name in the query counts") {
  Request request;
  request.query = {{"file", "a.yaml"}, {"file", "b.yaml"}, {"shop", ""}};
  CHECK(request.value("file") == "a.yaml");
  CHECK(request.value("shop").empty());
  CHECK(request.value("machine").empty());
}

// RFC 3986, 2.3: unreserved = ALPHA / DIGIT / "-" / "." / "_" / "~"; 2.2 the reserved ones; 2.1
// upper-case digits should be used; 2.5: "the character A would be represented as "A", LATIN
// CAPITAL LETTER A WITH GRAVE as "%C3%80", KATAKANA LETTER A as "%E3%82%A2"".
TEST_CASE("values are escaped as RFC 3986 wants them") {
  const std::string unreserved =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~";
  CHECK(page::in_address(unreserved) == unreserved);
  CHECK(page::in_address("A") == "A");
  CHECK(page::in_address("\xC3\x80") == "%C3%80");
  CHECK(page::in_address("\xE3\x82\xA2") == "%E3%82%A2");
  CHECK(page::in_address(":/?#[]@") == "%3A%2F%3F%23%5B%5D%40");
  CHECK(page::in_address("!$&'()*+,;=") == "%21%24%26%27%28%29%2A%2B%2C%3B%3D");
  CHECK(page::in_address(" %\"<>\\^`{|}") == "%20%25%22%3C%3E%5C%5E%60%7B%7C%7D");
  CHECK(page::in_address(std::string("\0\n\x7f\xff", 4)) == "%00%0A%7F%FF");
}

TEST_CASE("every byte comes back from its escape") {
  for (int byte = 0; byte < 256; ++byte) {
    const auto text = page::in_address(std::string(1, static_cast<char>(byte)));
    const int back = text.size() == 1 ? static_cast<unsigned char>(text[0])
                                      : std::stoi(text.substr(1), nullptr, 16);
    CHECK((text.size() == 1 || (text.size() == 3 && text[0] == '%')));
    CHECK(back == byte);
  }
}

TEST_CASE("an address holds what is not empty") {
  CHECK(page::address("/rod", {}) == "/rod");
  CHECK(page::address("/rod", {{"file", "a b&c.yaml"}, {"shop", ""}, {"at", "5"}}) ==
        "/rod?file=a%20b%26c.yaml&at=5");
  CHECK(page::address("/rod", {{"file", ""}, {"at", "7/8 in"}}) == "/rod?at=7%2F8%20in");
}

TEST_CASE("text that is not UTF-8 does not spoil an answer") {
  const auto response = page::json_response({{"say", "\xC3(\xFF"}});
  CHECK(nlohmann::json::accept(response.body));
}
