#include <nlohmann/json.hpp>

#include "page/form.h"
#include "page/frame.h"
#include "page/rod_view.h"
#include "page/shop_view.h"
#include "shop/read_shop.h"
#include "shop/shop_keys.h"
#include "taper/read_taper.h"

namespace stripwright::page {
namespace {

using report::Html;

std::optional<ShopOrder> shop_order(Request const& request, Order const& order) {
  const auto changes = order.find("changes");
  auto read =
      changes == order.end() ? std::optional(std::vector<DraftChange>{}) : read_changes(*changes);
  if (!read) return std::nullopt;
  return ShopOrder{text_in(order, "file"), text_in(order, "rod"), text_in(order, "at"),
                   chosen_unit(request), std::move(*read)};
}

ShopOrder shop_order(Desk const& desk, Request const& request) {
  ShopOrder out{
      request.value("file"), request.value("rod"), request.value("at"), chosen_unit(request), {}};
  const auto rods = desk.folder.names(FileKind::taper);
  if (!request.query.contains("rod") && !rods.empty()) out.rod = rods.front();
  return out;
}

std::optional<ShopView> view_shop(Desk const& desk, ShopOrder order, Problems& problems) {
  auto file = drafted_file(desk, order.file, order.changes, problems);
  if (!file) return std::nullopt;
  ShopView view;
  view.order = std::move(order);
  view.file = std::move(*file);
  view.problems.add_all(view.file.draft.problems);
  Problems told_before;
  view.before = read_shop(files::SourceText(view.file.name, view.file.bytes), told_before);
  if (view.file.text) view.after = read_shop(*view.file.text, view.problems);
  if (view.order.rod.empty()) return view;
  const auto rod = desk.folder.read(view.order.rod, view.rod_problems);
  if (rod) view.taper = read_taper(*rod, view.rod_problems);
  return view;
}

FormOf form_of(ShopView const& view) {
  return {shop_file_keys(), view.file, view.order.changes, view.problems, {}};
}

Response shop(Desk const& desk, Request const& request) {
  Problems problems;
  const auto view = view_shop(desk, shop_order(desk, request), problems);
  if (!view) return problem_page(request, problems);
  const auto title = view->after ? view->after->name : view->order.file;
  Html html;
  open_draft(html, "/shop", view->file);
  html.element("h1", title).element("p", view->order.file, {{"class", "file"}});
  add_draft_bar(html);
  html.element("a", "Strips", {{"class", "button narrow"}, {"href", "#effect-title"}});
  html.close();
  add_part(html, "clashes", {});
  html.open("div", {{"class", "columns"}}).open("div");
  add_part(html, "form", form_html(form_of(*view)));
  add_earlier_states(html);
  html.close().open("section", {{"class", "beside-form"}, {"aria-labelledby", "effect-title"}});
  // Beside the form, which else would be pushed down under the hand that types in it.
  add_part(html, "problems", problems_html(view->problems));
  html.element("h2", "What it makes of a rod's strips", {{"id", "effect-title"}});
  add_part(html, "effect-choices", effect_choices(*view, desk.folder.names(FileKind::taper)));
  add_part(html, "effect", effect(*view));
  html.close().close().close();
  return framed({title, "/", "/shop.js"}, request, html.str());
}

Response show_figures(Desk const& desk, Request const& request, Order const& sent) {
  auto order = shop_order(request, sent);
  if (!order) return refusal("what was sent cannot be read");
  Problems problems;
  const auto view = view_shop(desk, std::move(*order), problems);
  if (!view) return refusal(problems, 404);
  Parts parts;
  if (view->file.draft) {
    if (yes_in(sent, "whole")) parts.html.emplace_back("form", form_html(form_of(*view)));
    if (yes_in(sent, "choose"))
      parts.html.emplace_back("effect-choices",
                              effect_choices(*view, desk.folder.names(FileKind::taper)));
    parts.html.emplace_back("effect", effect(*view));
  }
  parts.html.emplace_back("problems", problems_html(view->problems));
  parts.html.emplace_back("clashes", clashes(view->file.draft));
  auto json = parts.json();
  json["seen"] = tag_of(view->file);
  json["wrong"] = form_mistakes(form_of(*view));
  json["address"] = address("/shop", {{"file", view->order.file}, {"at", view->order.at}}) +
                    "&rod=" + in_address(view->order.rod);
  return json_response(json);
}

}  // namespace

std::vector<Route> shop_routes() {
  return {{"/shop", shop, nullptr}, {"/shop/figures", nullptr, show_figures}};
}

}  // namespace stripwright::page
