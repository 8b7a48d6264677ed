#pragma once

#include "page/drafted_file.h"
#include "shop/shop.h"
#include "taper/taper.h"

namespace stripwright::page {

/// What is asked about a shop: the same words in the address of its page and in what its script
/// sends.
struct ShopOrder {
  std::string file;
  std::string rod;  ///< the taper that shows what a change does; "" is none
  std::string at;   ///< the station whose ledger is shown, a length with its unit
  std::optional<Unit> unit;
  std::vector<DraftChange> changes;
};

/// A shop as it is and as it would be, and the rod that shows the difference.
struct ShopView {
  ShopOrder order;
  DraftedFile file;
  std::optional<Shop> before;  ///< nothing where it cannot be read
  std::optional<Shop> after;
  std::optional<Taper> taper;
  Problems problems;      ///< of the shop, with the changes
  Problems rod_problems;  ///< of the taper

  Unit unit() const;
};

/// "effect": what the strip of the rod measures as milled, before and after the changes, and the
/// ledger of one station.
std::string effect(ShopView const& view);
/// "effect-choices": the rod, and the station of the ledger.
std::string effect_choices(ShopView const& view, std::vector<std::string> const& taper_files);

}  // namespace stripwright::page
