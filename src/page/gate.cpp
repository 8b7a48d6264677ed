#include "page/gate.h"

#include <fmt/format.h>

#include <algorithm>
#include <random>

namespace stripwright::page {
namespace {

/// 31^12 keys, of which ten may be tried.
constexpr std::size_t kKeyLetters = 12;
constexpr std::size_t kDeviceLetters = 32;
constexpr int kMostWrongKeys = 10;

Response refusal(int status, std::string_view why) {
  return {status, "text/plain; charset=utf-8", fmt::format("{}\n", why)};
}

/// Takes as long for any two texts of one length, so that its time tells nothing of where they
/// begin to differ.
bool same_secret(std::string_view a, std::string_view b) {
  if (a.size() != b.size()) return false;
  unsigned difference = 0;
  for (std::size_t i = 0; i < a.size(); ++i) difference |= static_cast<unsigned>(a[i] ^ b[i]);
  return difference == 0;
}

/// The cookie by which a device is known. Browsers send one host's cookies to all its ports, and
/// keep one of each name: with the port in it two servers of a machine do not drive out each
/// other's.
std::string device_cookie(Request const& request) {
  return "stripwright-device-" + request.host.substr(request.host.rfind(':') + 1);
}

}  // namespace

std::string random_letters(std::size_t count) {
  constexpr std::string_view kLetters = "23456789abcdefghjkmnpqrstuvwxyz";
  std::random_device source;  // the system's own, on Linux
  std::uniform_int_distribution<std::size_t> any(0, kLetters.size() - 1);
  std::string out;
  while (out.size() < count) out += kLetters[any(source)];
  return out;
}

void Gate::share(std::set<std::string> hosts) {
  const std::lock_guard lock(mutex_);
  shared_hosts_ = std::move(hosts);
}

bool Gate::shared() const {
  const std::lock_guard lock(mutex_);
  return !shared_hosts_.empty();
}

std::set<std::string> Gate::shared_hosts() const {
  const std::lock_guard lock(mutex_);
  return shared_hosts_;
}

std::string Gate::new_key() {
  const std::lock_guard lock(mutex_);
  key_ = random_letters(kKeyLetters);
  wrong_keys_ = 0;
  return key_;
}

std::optional<Response> Gate::at_shared_door(Request const& request) {
  const auto device = request.cookie(device_cookie(request));
  if (!device.empty() && devices_.contains(device)) return std::nullopt;
  const auto key = request.value("key");
  if (key.empty())
    return refusal(403,
                   "This page is for devices that were let in. Ask for an address with a key "
                   "at the machine where it runs.");
  if (key_.empty() || wrong_keys_ >= kMostWrongKeys || !same_secret(key, key_)) {
    wrong_keys_ = std::min(wrong_keys_ + 1, kMostWrongKeys);
    return refusal(403,
                   "This key is not right, or was used already. Make another one at the "
                   "machine where the page runs.");
  }
  key_.clear();
  auto name = random_letters(kDeviceLetters);
  auto response = go_on_at("/");
  response.headers.emplace_back(
      "Set-Cookie",
      fmt::format("{}={}; HttpOnly; SameSite=Strict; Path=/", device_cookie(request), name));
  devices_.insert(std::move(name));
  return response;
}

std::optional<Response> Gate::stop(Request const& request) {
  const std::lock_guard lock(mutex_);
  auto const& hosts = request.door == Door::own ? own_hosts_ : shared_hosts_;
  if (!hosts.contains(request.host))
    return refusal(421, "This address is not one that this page answers to.");
  if (request.verb == Verb::post) {
    const bool from_here = request.origin == "http://" + request.host &&
                           (request.fetch_site.empty() || request.fetch_site == "same-origin");
    if (!from_here) return refusal(403, "Only this server's own pages may change anything.");
    if (!request.content_type.starts_with("application/json"))
      return refusal(415, "What is sent must be JSON.");
  }
  if (request.door == Door::shared) return at_shared_door(request);
  return std::nullopt;
}

}  // namespace stripwright::page
