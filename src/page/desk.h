#pragma once

#include <mutex>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <vector>

#include "page/choice_shelf.h"
#include "page/draft.h"
#include "page/exchange.h"
#include "page/folder.h"
#include "page/gate.h"
#include "page/history.h"

namespace stripwright::page {

/// What all pages work with.
struct Desk {
  Folder const& folder;
  History& history;
  Gate& gate;
  /// Held by whoever writes other files than `history` does, or several that go together.
  std::mutex& writing;
  ChoiceShelf& choices;
};

/// A page answers one path. What a POST sends has been read: an object.
using Order = nlohmann::ordered_json;
using Shown = Response (*)(Desk const&, Request const&);
using Done = Response (*)(Desk const&, Request const&, Order const&);

struct Route {
  std::string_view path;
  Shown shown = nullptr;  ///< for GET
  Done done = nullptr;    ///< for POST
};

/// Each page's routes; one file a page.
std::vector<Route> rods_routes();
std::vector<Route> rod_routes();
std::vector<Route> rod_file_routes();
std::vector<Route> shop_routes();
std::vector<Route> file_routes();
std::vector<Route> measure_routes();
std::vector<Route> choose_routes();
std::vector<Route> learn_routes();

/// A text of an order, or "".
std::string text_in(Order const& order, char const* key);
/// Whether an order says yes to something.
bool yes_in(Order const& order, char const* key);
/// A list of texts of an order, empty where there is none.
std::vector<std::string> texts_in(Order const& order, char const* key);

/// What a script is sent: elements of the page by their ids, each with its new content, and a
/// sentence to be said.
struct Parts {
  std::vector<std::pair<std::string, std::string>> html;
  std::string say;

  Order json() const;
};

/// Says what is wrong; the status is one of 4xx.
Response refusal(Problems const& problems, int status = 422);
Response refusal(std::string const& what, int status = 400);

/// The state that a file is in, to tell whether it was changed: its hash; "" where it is not there.
std::string tag_of(std::optional<files::SourceText> const& file);

}  // namespace stripwright::page
