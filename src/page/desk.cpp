#include "page/desk.h"

#include <nlohmann/json.hpp>

#include "files/digest.h"
#include "page/frame.h"

namespace stripwright::page {

std::string text_in(Order const& order, char const* key) {
  const auto found = order.find(key);
  return found == order.end() || !found->is_string() ? std::string() : found->get<std::string>();
}

bool yes_in(Order const& order, char const* key) {
  const auto found = order.find(key);
  return found != order.end() && found->is_boolean() && found->get<bool>();
}

std::vector<std::string> texts_in(Order const& order, char const* key) {
  std::vector<std::string> out;
  const auto found = order.find(key);
  if (found == order.end() || !found->is_array()) return out;
  for (auto const& each : *found)
    if (each.is_string()) out.push_back(each.get<std::string>());
  return out;
}

Order Parts::json() const {
  Order parts = Order::object();
  for (auto const& [id, content] : html) parts[id] = content;
  Order out = {{"parts", std::move(parts)}};
  if (!say.empty()) out["say"] = say;
  return out;
}

Response refusal(Problems const& problems, int status) {
  Parts parts;
  parts.html.emplace_back("problems", problems_html(problems));
  if (!problems.list().empty()) parts.say = problems.list().front().what;
  return json_response(parts.json(), status);
}

Response refusal(std::string const& what, int status) {
  Problems problems;
  problems.error(what);
  return refusal(problems, status);
}

std::string tag_of(std::optional<files::SourceText> const& file) {
  return file ? files::sha256(file->text()) : std::string();
}

}  // namespace stripwright::page
