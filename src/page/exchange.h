#pragma once

#include <map>
#include <nlohmann/json_fwd.hpp>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace stripwright::page {

enum class Verb { get, post };

/// Where a request came in: at this machine's own address, or at the one that other devices of the
/// shop are given.
enum class Door { own, shared };

/// What a browser asks for, whatever carried it here. Pages know nothing of sockets.
struct Request {
  Verb verb = Verb::get;
  std::string path = "/";                         ///< without the query, escapes undone
  std::multimap<std::string, std::string> query;  ///< escapes undone
  std::string body;
  std::string host;        ///< of the header, with the port
  std::string origin;      ///< of the header; "" where there is none
  std::string fetch_site;  ///< Sec-Fetch-Site; "" where there is none
  std::string cookies;
  std::string content_type;
  std::string known_tag;  ///< If-None-Match
  Door door = Door::own;

  /// The first value of that name in the query, or "".
  std::string value(std::string const& name) const;
  /// The value of a cookie, or "".
  std::string cookie(std::string_view name) const;
};

struct Response {
  int status = 200;
  std::string type = "text/html; charset=utf-8";
  std::string body;
  std::vector<std::pair<std::string, std::string>> headers = {};
};

/// A page, or what a script asked for.
Response html_response(std::string body, int status = 200);
Response json_response(nlohmann::ordered_json const& json, int status = 200);
/// Goes on at another path of this server, asked for by GET.
Response go_on_at(std::string path);

/// A query's value, escaped for an address (RFC 3986: all but the unreserved characters).
std::string in_address(std::string_view text);
/// A path with its query: `/rod?file=dogrose.yaml`.
std::string address(std::string_view path,
                    std::vector<std::pair<std::string_view, std::string>> const& query);

}  // namespace stripwright::page
