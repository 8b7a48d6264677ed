#pragma once

#include <map>
#include <string>

#include "page/desk.h"

namespace stripwright::page {

/// All pages of one folder. `answer` may be called by several threads at once.
class Site {
 public:
  /// `own_hosts` as `Gate` takes them.
  Site(std::filesystem::path const& folder, std::set<std::string> own_hosts);
  Site(Site const&) = delete;
  Site& operator=(Site const&) = delete;

  Gate& gate() { return gate_; }
  /// All paths that something answers to, but those of styles and scripts.
  std::vector<std::string> paths() const;

  /// The answer to any request, be it nonsense; never throws. Every answer carries the headers that
  /// keep other sites out of it.
  Response answer(Request const& request);

 private:
  Response routed(Request const& request);

  Folder folder_;
  History history_;
  Gate gate_;
  std::mutex writing_;
  ChoiceShelf choices_;
  std::map<std::string, Route, std::less<>> routes_;
};

/// Adds the headers that keep other sites out, where the answer has not its own.
void guard(Response& response);

/// What a browser is told with each answer of these pages; sheets have a policy of their own.
inline constexpr char kPolicy[] =
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// The longest body that is read, in bytes.
inline constexpr std::size_t kLongestBody = 1U << 20U;

}  // namespace stripwright::page
