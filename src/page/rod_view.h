#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "cli/options.h"
#include "machine/section_setup.h"
#include "page/drafted_file.h"

namespace stripwright::page {

/// What is asked about a rod: the same words in the address of its page and in what its script
/// sends.
struct RodOrder {
  std::string file;
  std::string shop;  ///< a file of the folder; "" is the built-in shop
  std::string machine;
  std::string gauge;
  std::string section;  ///< "" is all
  std::string at;       ///< the key of the station whose ledger is shown
  std::optional<Unit> unit;
  std::vector<DraftChange> changes;
};

RodOrder rod_order(Desk const& desk, Request const& request);
/// Nothing where the changes cannot be read.
std::optional<RodOrder> rod_order(Request const& request, Order const& order);
/// Its page's address, without changes.
std::string rod_address(std::string_view path, RodOrder const& order);

/// A rod as far as it can be computed. What is missing has its reason in `problems`.
struct RodView : DraftedFile {
  RodOrder order;
  std::optional<Taper> taper;
  std::optional<Shop> shop;  ///< as it is chosen from
  std::optional<cli::Inputs> inputs;
  Machine const* machine = nullptr;  ///< of `inputs`
  std::optional<Gauge> gauge;
  std::vector<machine::SectionSetup> setups;
  Problems problems;

  Unit unit() const;
};

/// Reads, drafts and sets up, as far as it goes. Nothing where the file is not there.
std::unique_ptr<RodView> view_rod(Desk const& desk, RodOrder order, Problems& problems);

/// The options that the command `setup` would be given for the same.
cli::CommonOptions options_of(Desk const& desk, RodOrder const& order, Problems& problems);

// The parts of the page, each the content of the element with its id.

/// "taper-table": a row a station, its fields and what goes with them.
std::string taper_rows(RodView const& view);
/// What is wrong with stations and flats, by the ids of their fields, as `form_mistakes` has it.
Order station_mistakes(RodView const& view);
/// "rise-0" and so on: what stands beside the fields.
void add_rises(RodView const& view, Parts& parts);
/// "curve": the taper drawn.
std::string curve(RodView const& view);
/// "ledger": why the strip has its height at the chosen station.
std::string ledger(RodView const& view);
/// "choices": shop, machine, gauge, section.
std::string choices(RodView const& view, std::vector<std::string> const& shop_files);
/// "figures": what to set and what to measure.
std::string figures(RodView const& view);
/// "clashes": what was changed here and outside.
std::string clashes(Drafted const& draft);

}  // namespace stripwright::page
