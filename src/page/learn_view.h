#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/learn.h"
#include "inspection/ring.h"
#include "page/desk.h"

namespace stripwright::page {

/// What is to be learned from: the same in the page's address and in what its script sends.
struct LearnOrder {
  std::string shop;  ///< a file of the folder; "" is the built-in shop
  std::string gauge;
  std::vector<std::string> rings;
  std::optional<Unit> unit;
};

/// A ring file of the folder, as far as it can be read.
struct FolderRing {
  std::string name;
  std::optional<Ring> ring;
  Problems problems;  ///< why not

  bool teaches() const { return ring && cli::teaches(*ring); }
};
std::vector<FolderRing> folder_rings(Folder const& folder);

/// The content of the element "rings": a tick for each ring that something can be learned from.
std::string ring_ticks(std::vector<FolderRing> const& rings,
                       std::vector<std::string> const& ticked);
/// The content of "given": shop and gauge.
std::string learn_choices(Desk const& desk, LearnOrder const& order);
/// The content of "learned": allowances, what they rest on, what is odd, what the shop file should
/// have; `shop_tag` is the state of that file.
std::string learned_html(cli::Learning const& learning, LearnOrder const& order,
                         std::string const& shop_tag);

/// The forms for what a glued section measures, a ring each; "" where none is to be filled in.
std::string flats_forms(Folder const& folder, std::vector<FolderRing> const& rings);
/// Takes such a form: keeps the readings beside the ring file and names them in it.
Response keep_flats(Desk const& desk, Request const& request, Order const& sent);

}  // namespace stripwright::page
