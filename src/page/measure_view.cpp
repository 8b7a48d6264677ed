#include "page/measure_view.h"

#include <nlohmann/json.hpp>

#include "page/frame.h"

namespace stripwright::page {

MeasureOrder measure_order(Request const& request) {
  const auto value = [&](char const* key) { return request.value(key); };
  return {value("file"),     value("shop"),         value("machine"),    value("gauge"),
          value("readings"), value("stage"),        value("section"),    value("strips"),
          value("heights"),  value("moisture-now"), chosen_unit(request)};
}

MeasureOrder measure_order(Request const& request, Order const& order) {
  const auto value = [&](char const* key) { return text_in(order, key); };
  return {value("file"),     value("shop"),         value("machine"),    value("gauge"),
          value("readings"), value("stage"),        value("section"),    value("strips"),
          value("heights"),  value("moisture-now"), chosen_unit(request)};
}

std::string measure_address(std::string_view path, MeasureOrder const& order) {
  return address(path, {{"file", order.file},
                        {"shop", order.shop},
                        {"machine", order.machine},
                        {"gauge", order.gauge},
                        {"readings", order.readings},
                        {"stage", order.stage},
                        {"section", order.section},
                        {"strips", order.strips},
                        {"heights", order.heights},
                        {"moisture-now", order.moisture_now}});
}

namespace {

/// The option's words are few, and what the page sends may be any.
bool words_known(MeasureOrder const& order, Problems& problems) {
  if (!order.stage.empty() && !inspection::stage_of(order.stage))
    problems.error("no such stage", "choose one of the list");
  if (!order.heights.empty() && order.heights != "a" && order.heights != "abc")
    problems.error("no such heights", "height a alone, or a, b and c");
  if (!order.readings.ends_with(".csv"))
    problems.error("the file of readings has no name that ends in .csv", "tip.csv, say");
  return !problems.any_error();
}

}  // namespace

std::unique_ptr<MeasureView> view_measuring(Desk const& desk, MeasureOrder order,
                                            Problems& problems) {
  if (!words_known(order, problems)) return nullptr;
  auto view = std::make_unique<MeasureView>();
  auto& options = view->options;
  options.common.taper = desk.folder.path_of(order.file, problems).value_or("");
  if (!order.shop.empty())
    options.common.shop = desk.folder.path_of(order.shop, problems).value_or("");
  options.common.machine = order.machine;
  options.common.gauge = order.gauge;
  if (!order.section.empty()) options.common.sections = {order.section};
  if (order.unit) options.common.units = unit_name(*order.unit);
  options.readings = desk.folder.path_of(order.readings, problems).value_or("");
  options.stage = order.stage;
  options.strips = order.strips;
  options.heights = order.heights;
  options.moisture_now = order.moisture_now;
  options.ask = true;
  view->order = std::move(order);
  if (problems.any_error()) return nullptr;
  view->inputs = cli::read_inputs(options.common, problems);
  if (!view->inputs || problems.any_error()) return nullptr;
  view->measuring = cli::Measuring::open(options, *view->inputs, problems);
  return view->measuring ? std::move(view) : nullptr;
}

}  // namespace stripwright::page
