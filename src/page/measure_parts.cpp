#include <fmt/format.h>

#include <algorithm>

#include "page/frame.h"
#include "page/measure_view.h"
#include "page/measuring_figure.h"
#include "report/table.h"
#include "units/format.h"

namespace stripwright::page {
namespace {

using cli::Measuring;
using cli::MeasuringPiece;
using cli::MeasuringPlace;
using inspection::Verdict;
using report::Html;

Unit unit_of(Measuring const& measuring) { return measuring.bench().inputs->unit; }

std::string place_text(Measuring const& measuring, Length place) {
  return report::cell_text(report::Place{place}, unit_of(measuring));
}

PlaceState state_of(Verdict verdict) {
  switch (verdict) {
    case Verdict::right:
      return PlaceState::right;
    case Verdict::thin:
      return PlaceState::thin;
    case Verdict::thick:
      return PlaceState::thick;
    case Verdict::unsure:
      break;
  }
  return PlaceState::unsure;
}

PlaceState state_of(MeasuringPlace const& place) {
  if (place.left_out) return PlaceState::left_out;
  return place.judged ? state_of(place.judged->verdict) : PlaceState::open;
}

/// What a style sheet calls a state.
std::string_view class_of(PlaceState state) {
  return state == PlaceState::open       ? "open"
         : state == PlaceState::left_out ? "left-out"
                                         : state_word(state);
}

/// What is worst of several states at one station: what is to be done first.
PlaceState worse(PlaceState a, PlaceState b) {
  constexpr std::array kOrder = {PlaceState::right,  PlaceState::left_out, PlaceState::open,
                                 PlaceState::unsure, PlaceState::thick,    PlaceState::thin};
  const auto rank = [&](PlaceState state) {
    return std::find(kOrder.begin(), kOrder.end(), state);
  };
  return rank(a) < rank(b) ? b : a;
}

/// Which piece a reading is of; the last one where all are done.
MeasuringPiece piece_of(Measuring const& measuring, std::size_t index) {
  const auto pieces = measuring.pieces();
  for (auto const& piece : pieces)
    if (index >= piece.first && index < piece.first + piece.places) return piece;
  return pieces.back();
}

std::string shape(PlaceState state, double size) { return state_shape(state, size).element(); }

}  // namespace

std::string prompt(Measuring const& measuring) {
  Html html;
  if (measuring.done()) {
    html.element("p", "All are measured or left out.", {{"class", "where"}});
    return html.str();
  }
  const auto place = measuring.place(measuring.now());
  const Unit unit = unit_of(measuring);
  html.element("p", measuring.place_words(measuring.now()), {{"class", "where"}});
  if (!place.target) {
    html.element("p", "The gauge's point cannot read the groove there: skip it.");
    return html.str();
  }
  const auto bench = [&](Length l) { return format_number(l, unit, bench_decimals(unit)); };
  html.open("p", {{"class", "wanted"}})
      .element("strong", format_length(place.target->value, unit, bench_decimals(unit)))
      .element("span", fmt::format("wanted: {} to {}", bench(place.target->limits.low),
                                   bench(place.target->limits.high)))
      .close();
  if (!place.values.empty())
    html.element(
        "p", fmt::format("read {} already; the mean counts",
                         place.values.size() == 1 ? std::string("once")
                                                  : fmt::format("{} times", place.values.size())));
  return html.str();
}

std::string verdict(Measuring const& measuring, cli::MeasuringAnswer const& answer) {
  Html html;
  if (!answer.judged) {
    if (!answer.words.empty()) html.element("p", answer.words);
    return html.str();
  }
  const auto word = cli::verdict_word(measuring.bench().kind(), answer.judged->verdict);
  html.open("div", {{"class", fmt::format("said {}", class_of(state_of(answer.judged->verdict)))}})
      .markup(shape(state_of(answer.judged->verdict), 56))
      .open("p")
      .element("strong", word, {{"class", "word"}})
      .element("span", fmt::format("{}: {}", measuring.place_words(answer.index),
                                   measuring.judged_words(*answer.judged)))
      .close()
      .close();
  return html.str();
}

std::string piece_figure(Measuring const& measuring, std::size_t index) {
  if (measuring.size() == 0) return {};
  const auto piece = piece_of(measuring, index);
  std::vector<FigurePlace> places;
  std::size_t next = measuring.size();
  for (std::size_t i = piece.first; i < piece.first + piece.places; ++i) {
    const auto place = measuring.place(i);
    const double at = place.place.in_millimetres();
    // Heights b and c stand with a at their station.
    const bool same = !places.empty() && places.back().at == at;
    if (!same)
      places.push_back({at, place.target ? place.target->value.in_millimetres() : 0,
                        place_text(measuring, place.place), state_of(place)});
    else
      places.back().state = worse(places.back().state, state_of(place));
    if (i == index) next = places.size() - 1;
  }
  const auto title =
      fmt::format("{} {}: its stations and what was found there", piece.section_name, piece.name);
  return measuring_figure(places, next, title).element();
}

std::string pieces_table(Measuring const& measuring, std::size_t index) {
  Html html;
  html.open("table", {{"class", "plain pieces"}})
      .element("caption", "All readings; touch one to measure it again");
  html.open("tbody");
  for (auto const& piece : measuring.pieces()) {
    html.open("tr")
        .open("th", {{"scope", "row"}})
        .element("span", fmt::format("{} {}", piece.section_name, piece.name))
        .element("span", fmt::format("{} of {}", piece.measured, piece.places),
                 {{"class", "beside"}})
        .close();
    html.open("td");
    for (std::size_t i = piece.first; i < piece.first + piece.places; ++i) {
      const auto place = measuring.place(i);
      const auto state = state_of(place);
      const auto number = fmt::format("{}", i);
      const auto place_class = fmt::format("place {}", class_of(state));
      html.open(
              "button",
              {{"type", "button"},
               {"class", place_class},
               {"data-go", number},
               {"aria-current", i == index ? std::string_view("true") : std::string_view()},
               {"aria-label", fmt::format("{}: {}", measuring.place_words(i), state_word(state))}})
          .element("span", place_text(measuring, place.place))
          .markup(shape(state, 22))
          .close();
    }
    html.close().close();
  }
  html.close().close();
  return html.str();
}

}  // namespace stripwright::page
