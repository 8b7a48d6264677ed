#include "sheet/check_sheet.h"

#include <fmt/format.h>

#include <algorithm>

#include "sheet/check_figures.h"

namespace stripwright::sheet {
namespace {

/// Thin cannot be put back, thick can be taken down, unsure can be measured again.
int badness(inspection::Verdict verdict) {
  switch (verdict) {
    case inspection::Verdict::right:
      return 0;
    case inspection::Verdict::unsure:
      return 1;
    case inspection::Verdict::thick:
      return 2;
    case inspection::Verdict::thin:
      return 3;
  }
  return 0;
}

class CheckPage {
 public:
  explicit CheckPage(CheckOrder const& order) : order_(order), unit_(order.head.unit) {}

  std::string page() {
    html_.element("h1", order_.what);
    add_title_block(html_, order_.head);
    add_remarks(html_, order_.head.remarks);
    html_.element("p", order_.limits);
    html_.table(order_.totals, unit_, "How many", "plain");
    if (order_.pieces.size() < order_.all_pieces)
      html_.element("p",
                    fmt::format("Of {} this sheet shows the {} worst, in the order of the "
                                "readings; the counts are of all.",
                                order_.all_pieces, order_.pieces.size()),
                    {{"class", "remarks"}});
    for (std::size_t s = 0; s < order_.sections.size(); ++s) section(s);
    one_by_one();
    add_cautions(html_, order_.cautions, "h2");
    return sheet_page(order_.head, order_.what, html_.str());
  }

 private:
  void section(std::size_t s) {
    const bool any = std::any_of(order_.pieces.begin(), order_.pieces.end(),
                                 [&](auto const& piece) { return piece.section == s; });
    if (!any) return;
    html_.open("section").element("h2", fmt::format("Section {}", order_.sections[s]));
    html_.open("figure")
        .element("figcaption",
                 "How far each is off its target; where several heights were read, the worst")
        .markup(report::draw(deviations_figure(order_, s), 300).element())
        .close();
    for (auto const& map : verdict_maps(order_, s))
      html_.open("figure")
          .element("figcaption", fmt::format("Where it is not right, by {}", order_.place_name))
          .markup(report::draw(map).element())
          .close();
    auto const& [sentence, table] = order_.together[s];
    if (!table.rows.empty())
      html_.element("h3", "All together")
          .table(table, unit_, "Mean of all at a place", "plain")
          .element("p", sentence);
    html_.close();
  }

  /// Those that are right want nothing done.
  void one_by_one() {
    html_.element("h2", "One by one");
    std::vector<std::string_view> right;
    for (auto const& piece : order_.pieces)
      if (piece.verdict == inspection::Verdict::right) right.push_back(piece.name);
    if (!right.empty()) html_.element("p", fmt::format("Right: {}.", fmt::join(right, ", ")));
    for (auto const& piece : order_.pieces)
      if (piece.verdict != inspection::Verdict::right) one(piece);
  }

  void one(CheckedPiece const& piece) {
    html_.open("div", {{"class", "piece"}})
        .element("h3", fmt::format("{}, section {}: {}", piece.name, order_.sections[piece.section],
                                   order_.verdict_words[word_number(piece.verdict)]))
        .element("p", piece.counts);
    if (!piece.advice.empty()) {
      html_.open("dl");
      for (auto const& [name, text] : piece.advice) {
        if (!name.empty()) html_.element("dt", name);
        html_.element("dd", text);
      }
      html_.close();
    }
    html_.close();
  }

  /// The words stand in the order right, thick, thin, unsure.
  static std::size_t word_number(inspection::Verdict verdict) {
    switch (verdict) {
      case inspection::Verdict::right:
        return 0;
      case inspection::Verdict::thick:
        return 1;
      case inspection::Verdict::thin:
        return 2;
      case inspection::Verdict::unsure:
        return 3;
    }
    return 0;
  }

  CheckOrder const& order_;
  Unit unit_;
  report::Html html_;
};

}  // namespace

Length farthest(CheckedPiece const& piece) {
  Length most;
  for (auto const& place : piece.places) most = std::max(most, abs(place.deviation));
  return most;
}

bool WorstPieces::worse(Ranked const& one, Ranked const& other) {
  const int a = badness(one.verdict);
  const int b = badness(other.verdict);
  if (a != b) return a > b;
  if (one.farthest != other.farthest) return one.farthest > other.farthest;
  return one.number < other.number;
}

void WorstPieces::add(inspection::Verdict verdict, Length farthest) {
  kept_.push_back({added_++, verdict, farthest});
  if (kept_.size() < 4 * kMostPieces) return;
  std::nth_element(kept_.begin(), kept_.begin() + kMostPieces, kept_.end(), worse);
  kept_.resize(kMostPieces);
}

std::vector<std::size_t> WorstPieces::chosen() const {
  auto kept = kept_;
  std::sort(kept.begin(), kept.end(), worse);
  if (kept.size() > kMostPieces) kept.resize(kMostPieces);
  std::vector<std::size_t> out;
  for (auto const& each : kept) out.push_back(each.number);
  std::sort(out.begin(), out.end());
  return out;
}

std::string check_sheet(CheckOrder const& order) { return CheckPage(order).page(); }

}  // namespace stripwright::sheet
