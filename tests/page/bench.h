#pragma once

#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>

#include "catch.h"
#include "page/site.h"

// A maker's folder that is taken away at the end, and requests to a site of it.
namespace bench {

using namespace stripwright;
namespace fs = std::filesystem;

inline constexpr char kHost[] = "127.0.0.1:8433";

/// A rod of the hedge, with all that an edit must leave alone.
inline constexpr char kBurnet[] =
    "# Burnet, for the small brook\n"
    "format: stripwright-taper-1\n"
    "name: 'Burnet'   # quoted\n"
    "unit: in\n"
    "\n"
    "taper: # tip end first\n"
    "  0:   0.070  # under the tip top\n"
    "  10:  0.0955\n"
    "  # the stiff part\n"
    "  20:  0.127\n"
    "  30:  0.1590\n"
    "sections:\n"
    "  tip: {from: 0, to: 15, make: 2}\n"
    "  butt: {from: 15, to: 30}\n";

class Lane {
 public:
  Lane() {
    std::string name = (fs::temp_directory_path() / "lane-XXXXXX").string();
    REQUIRE(::mkdtemp(name.data()) != nullptr);
    path_ = name;
  }
  ~Lane() {
    std::error_code ignored;
    fs::permissions(path_, fs::perms::owner_all, ignored);
    fs::remove_all(path_, ignored);
  }
  Lane(Lane const&) = delete;
  Lane& operator=(Lane const&) = delete;

  fs::path const& path() const { return path_; }
  fs::path operator/(std::string const& name) const { return path_ / name; }

  void write(std::string const& name, std::string const& bytes) const {
    fs::create_directories((path_ / name).parent_path());
    std::ofstream(path_ / name, std::ios::binary) << bytes;
  }
  std::string bytes(std::string const& name) const {
    std::ifstream file(path_ / name, std::ios::binary);
    std::ostringstream out;
    out << file.rdbuf();
    return out.str();
  }
  /// A file of the project's profiles.
  void copy(std::string const& from, std::string const& name) const {
    fs::create_directories((path_ / name).parent_path());
    fs::copy_file(fs::path(STRIPWRIGHT_SOURCE_DIR) / "profiles" / from, path_ / name);
  }
  /// All files' names and bytes, hidden ones too.
  std::map<std::string, std::string> all() const {
    std::map<std::string, std::string> out;
    for (auto const& entry : fs::recursive_directory_iterator(path_))
      if (entry.is_regular_file()) {
        const auto name = entry.path().lexically_relative(path_).string();
        out[name] = bytes(name);
      }
    return out;
  }

 private:
  fs::path path_;
};

inline page::Request get(std::string path, std::multimap<std::string, std::string> query = {}) {
  page::Request out;
  out.path = std::move(path);
  out.query = std::move(query);
  out.host = kHost;
  return out;
}

inline page::Request post(std::string path, std::string body) {
  auto out = get(std::move(path));
  out.verb = page::Verb::post;
  out.body = std::move(body);
  out.origin = std::string("http://") + kHost;
  out.content_type = "application/json";
  return out;
}

inline page::Request post(std::string path, char const* body) {
  return post(std::move(path), std::string(body));
}

inline page::Request post(std::string path, nlohmann::ordered_json const& order) {
  return post(std::move(path), order.dump());
}

inline nlohmann::ordered_json json_of(page::Response const& response) {
  INFO(response.body);
  REQUIRE(response.type == "application/json");
  return nlohmann::ordered_json::parse(response.body);
}

}  // namespace bench
