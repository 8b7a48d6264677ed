#pragma once

#include <mutex>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "page/exchange.h"

namespace stripwright::page {

/// Who is let in. A browser runs scripts of any site that its user looks at, and such a script may
/// send requests to this machine too; so
/// - the Host header must name an address that this server gave out (else a foreign name that was
///   made to point here could be read by its owner's page);
/// - what changes anything must come from a page of this server (Origin; Sec-Fetch-Site where the
///   browser sends it) and be JSON, which a form of another site cannot send (Fetch standard,
///   "CORS-safelisted request-header");
/// - at the shared door a device must have come by an address with a key. The key serves once; the
///   device then has a cookie, which scripts cannot read and other sites' requests do not carry.
class Gate {
 public:
  /// The values of Host that are this server's own: `127.0.0.1:8350`.
  explicit Gate(std::set<std::string> own_hosts) : own_hosts_(std::move(own_hosts)) {}

  /// Opens the shared door for these values of Host.
  void share(std::set<std::string> hosts);
  bool shared() const;
  std::set<std::string> shared_hosts() const;
  /// A key for one more device; an earlier one that was not used is void.
  std::string new_key();

  /// The answer to a request that is not let in, or to one that brings its key; nothing where the
  /// request may go on.
  std::optional<Response> stop(Request const& request);

 private:
  std::optional<Response> at_shared_door(Request const& request);

  std::set<std::string> own_hosts_;
  mutable std::mutex mutex_;
  std::set<std::string> shared_hosts_;
  std::string key_;                // "" where none is to be used
  int wrong_keys_ = 0;             // since the last new key
  std::set<std::string> devices_;  // their cookies
};

/// So many letters and digits that cannot be guessed, none of which is easily taken for another.
std::string random_letters(std::size_t count);

}  // namespace stripwright::page
