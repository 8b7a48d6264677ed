#include "page/exchange.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

namespace stripwright::page {

std::string Request::value(std::string const& name) const {
  const auto found = query.find(name);
  return found == query.end() ? std::string() : found->second;
}

std::string Request::cookie(std::string_view name) const {
  std::string_view rest = cookies;
  while (!rest.empty()) {
    const auto end = std::min(rest.find(';'), rest.size());
    auto pair = rest.substr(0, end);
    rest.remove_prefix(std::min(end + 1, rest.size()));
    while (pair.starts_with(' ')) pair.remove_prefix(1);
    if (pair.size() > name.size() && pair.starts_with(name) && pair[name.size()] == '=')
      return std::string(pair.substr(name.size() + 1));
  }
  return {};
}

Response html_response(std::string body, int status) {
  return {status, "text/html; charset=utf-8", std::move(body)};
}

Response json_response(nlohmann::ordered_json const& json, int status) {
  return {status, "application/json",
          json.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace)};
}

Response go_on_at(std::string path) {
  return {303, "text/plain; charset=utf-8", "see " + path + "\n", {{"Location", path}}};
}

std::string in_address(std::string_view text) {
  std::string out;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                       c == '-' || c == '.' || c == '_' || c == '~';
    if (plain)
      out += c;
    else
      out += fmt::format("%{:02X}", byte);
  }
  return out;
}

std::string address(std::string_view path,
                    std::vector<std::pair<std::string_view, std::string>> const& query) {
  std::string out(path);
  char joint = '?';
  for (auto const& [name, value] : query) {
    if (value.empty()) continue;
    out += fmt::format("{}{}={}", joint, name, in_address(value));
    joint = '&';
  }
  return out;
}

}  // namespace stripwright::page
