#include "page/rod_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "page/frame.h"
#include "shop/read_shop.h"
#include "taper/read_taper.h"

namespace stripwright::page {
namespace {

/// The first machine that serves a section of the rod: what `setup` wants to be told where there
/// are several.
std::string usual_machine(Shop const& shop, Taper const& taper) {
  for (auto const& machine : shop.machines)
    if (std::any_of(taper.sections.begin(), taper.sections.end(),
                    [&](auto const& section) { return serves(machine, section.name); }))
      return machine.name;
  return {};
}

void set_up(Desk const& desk, RodView& view) {
  auto options = options_of(desk, view.order, view.problems);
  cli::InputFiles files;
  files.taper = view.text;
  files.shop = view.order.shop.empty() ? embedded_shop_source()
                                       : desk.folder.read(view.order.shop, view.problems);
  if (files.shop) {
    Problems told_later;
    view.shop = read_shop(*files.shop, told_later);
  }
  if (view.taper && view.shop && options.machine.empty()) {
    options.machine = usual_machine(*view.shop, *view.taper);
    view.order.machine = options.machine;
  }
  Problems problems;
  view.inputs = cli::read_inputs(std::move(files), options, problems);
  if (view.inputs) view.machine = cli::choose_machine(*view.inputs, options, problems);
  if (view.machine) view.gauge = cli::choose_gauge(view.inputs->shop, options, problems);
  if (view.machine && !problems.any_error())
    view.setups = machine::set_up({view.inputs->taper,
                                   view.inputs->shop,
                                   *view.machine,
                                   view.gauge,
                                   view.inputs->sections,
                                   view.inputs->unit,
                                   {}},
                                  problems);
  if (problems.any_error()) view.setups.clear();
  view.problems.add_all(problems);
}

}  // namespace

RodOrder rod_order(Desk const& desk, Request const& request) {
  RodOrder out{request.value("file"),    request.value("shop"),
               request.value("machine"), request.value("gauge"),
               request.value("section"), request.value("at"),
               chosen_unit(request),     {}};
  if (request.query.contains("shop")) return out;
  const auto shops = desk.folder.names(FileKind::shop);
  if (!shops.empty()) out.shop = shops.front();
  return out;
}

std::optional<RodOrder> rod_order(Request const& request, Order const& order) {
  const auto changes = order.find("changes");
  auto read =
      changes == order.end() ? std::optional(std::vector<DraftChange>{}) : read_changes(*changes);
  if (!read) return std::nullopt;
  return RodOrder{text_in(order, "file"),  text_in(order, "shop"),    text_in(order, "machine"),
                  text_in(order, "gauge"), text_in(order, "section"), text_in(order, "at"),
                  chosen_unit(request),    std::move(*read)};
}

std::string rod_address(std::string_view path, RodOrder const& order) {
  // An empty shop is the built-in one, and has to be said: the folder's first would serve else.
  auto out = address(path, {{"file", order.file},
                            {"machine", order.machine},
                            {"gauge", order.gauge},
                            {"section", order.section}});
  return out + "&shop=" + in_address(order.shop);
}

cli::CommonOptions options_of(Desk const& desk, RodOrder const& order, Problems& problems) {
  cli::CommonOptions options;
  options.taper = desk.folder.path_of(order.file, problems).value_or("");
  if (!order.shop.empty()) options.shop = desk.folder.path_of(order.shop, problems).value_or("");
  options.machine = order.machine;
  options.gauge = order.gauge;
  if (!order.section.empty()) options.sections = {order.section};
  if (order.unit) options.units = unit_name(*order.unit);
  return options;
}

Unit RodView::unit() const {
  if (order.unit) return *order.unit;
  return taper ? taper->unit : Unit::inch;
}

std::unique_ptr<RodView> view_rod(Desk const& desk, RodOrder order, Problems& problems) {
  auto view = std::make_unique<RodView>();
  view->order = std::move(order);
  auto file = drafted_file(desk, view->order.file, view->order.changes, problems);
  if (!file) return nullptr;
  static_cast<DraftedFile&>(*view) = std::move(*file);
  view->problems.add_all(view->draft.problems);
  if (!view->draft) return view;
  // What is wrong is told once, by `read_inputs`.
  Problems told_later;
  view->taper = read_taper(*view->text, told_later);
  set_up(desk, *view);
  return view;
}

}  // namespace stripwright::page
