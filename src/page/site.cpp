#include "page/site.h"

#include <algorithm>
#include <exception>
#include <nlohmann/json.hpp>

#include "files/digest.h"
#include "page/assets.h"
#include "page/frame.h"

namespace stripwright::page {
namespace {

Response plain(int status, std::string text) {
  return {status, "text/plain; charset=utf-8", std::move(text) + "\n"};
}

Response asset(Asset const& asset, Request const& request) {
  const auto tag = '"' + files::sha256(asset.text).substr(0, 16) + '"';
  Response out{200, std::string(asset.type), std::string(asset.text), {{"ETag", tag}}};
  if (request.known_tag != tag) return out;
  out.status = 304;
  out.body.clear();
  return out;
}

bool has_header(Response const& response, std::string_view name) {
  return std::any_of(response.headers.begin(), response.headers.end(),
                     [&](auto const& header) { return header.first == name; });
}

}  // namespace

void guard(Response& response) {
  const auto add = [&](char const* name, char const* value) {
    if (!has_header(response, name)) response.headers.emplace_back(name, value);
  };
  add("Content-Security-Policy", kPolicy);
  add("X-Content-Type-Options", "nosniff");
  add("Referrer-Policy", "same-origin");
  add("Cross-Origin-Resource-Policy", "same-origin");
  add("Cross-Origin-Opener-Policy", "same-origin");
  add("Cache-Control", "no-cache");
}

Site::Site(std::filesystem::path const& folder, std::set<std::string> own_hosts)
    : folder_(folder), history_(folder_), gate_(std::move(own_hosts)) {
  for (auto const& routes : {rods_routes(), rod_routes(), rod_file_routes(), shop_routes(),
                             file_routes(), measure_routes(), choose_routes(), learn_routes()})
    for (auto const& route : routes) routes_.emplace(route.path, route);
}

std::vector<std::string> Site::paths() const {
  std::vector<std::string> out;
  for (auto const& [path, route] : routes_) out.push_back(path);
  return out;
}

Response Site::routed(Request const& request) {
  if (auto stopped = gate_.stop(request)) return *stopped;
  if (auto const* file = find_asset(request.path); file && request.verb == Verb::get)
    return asset(*file, request);
  const auto found = routes_.find(request.path);
  const Desk desk{folder_, history_, gate_, writing_, choices_};
  if (found == routes_.end()) {
    if (request.verb == Verb::post) return refusal("there is nothing of that name here", 404);
    Problems problems;
    problems.error("there is no page at this address", "go on from the folder's page");
    return problem_page(request, problems);
  }
  auto const& route = found->second;
  if (request.verb == Verb::get)
    return route.shown ? route.shown(desk, request) : plain(405, "This is not to be looked at.");
  if (!route.done) return plain(405, "There is nothing to be changed here.");
  const auto order = Order::parse(request.body, nullptr, false);
  if (!order.is_object()) return refusal("what was sent cannot be read");
  return route.done(desk, request, order);
}

Response Site::answer(Request const& request) {
  Response out;
  try {
    out = request.body.size() > kLongestBody ? plain(413, "Too much at once.") : routed(request);
  } catch (std::exception const& fault) {
    out = plain(500,
                std::string("internal failure: ") + fault.what() +
                    "\nNothing more was done; please report this with the files that led to it.");
  }
  guard(out);
  return out;
}

}  // namespace stripwright::page
