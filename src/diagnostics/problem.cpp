#include "diagnostics/problem.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <numeric>
#include <stdexcept>
#include <tuple>

#include "diagnostics/excerpt.h"
#include "diagnostics/paragraph.h"
#include "diagnostics/utf8.h"

namespace stripwright {
namespace {

constexpr std::size_t kMostShown = 20;
constexpr std::size_t kMostKept = 1000;
/// Leaves room for the last line, `and N more`, within 6,000.
constexpr std::size_t kMostBytes = 5900;
constexpr std::size_t kMostSentence = 600;
constexpr std::string_view kFurtherLines = "    ";

/// For a terminal, and cut at a character's border.
std::string sentence(std::string_view text) {
  // Twice, so that a text of megabytes is not looked through for its first line.
  std::string out = printable(text.substr(0, 2 * kMostSentence));
  if (out.size() <= kMostSentence) return out;
  std::size_t end = kMostSentence;
  while (utf8_character(out, end).bytes == 0) --end;
  return out.substr(0, end) + "...";
}

std::string_view label(Severity severity) {
  switch (severity) {
    case Severity::warning:
      return "warning: ";
    case Severity::unmet:
      return "cannot be met: ";
    case Severity::error:
      return "";
  }
  return "";
}

/// Place and what is wrong, the source line with its caret, and the way out. Texts are broken
/// at 80 columns, further lines of what is wrong indented deeper than what comes after it; the
/// place and the source line stay whole.
std::string text_of(Problem const& problem) {
  std::string where;
  auto const& place = problem.place;
  if (!place.file.empty()) {
    where += sentence(place.file) + ":";
    if (place.line > 0) where += fmt::format("{}:{}:", place.line, place.column);
    where += ' ';
  }
  std::string out = paragraph(sentence(problem.what), where + std::string(label(problem.severity)),
                              kFurtherLines);
  if (!problem.source_line.empty() && place.line > 0) {
    const std::size_t before = place.column > 0 ? place.column - 1 : 0;
    const auto shown = excerpt(problem.source_line, before, problem.line_skipped);
    out += fmt::format("  {}\n  {:>{}}\n", shown.line, "^", shown.caret + 1);
  }
  if (!problem.remedy.empty()) out += paragraph(sentence(problem.remedy), "  ", "  ");
  return out;
}

std::string in_small_letters(std::string_view text) {
  std::string out(text);
  std::transform(out.begin(), out.end(), out.begin(), [](char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  });
  return out;
}

/// The fewest edits that make one word the other, where an edit leaves out, puts in or
/// changes a letter, or swaps two neighbours (each pair once: the optimal string alignment
/// distance), row by row of its table; row i is for the first i letters of `a`.
std::size_t edits(std::string_view a, std::string_view b) {
  std::vector<std::size_t> before_last;
  std::vector<std::size_t> last;
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    before_last = std::move(last);
    last = std::move(row);
    row.assign(b.size() + 1, i);
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t changed = last[j - 1] + (a[i - 1] == b[j - 1] ? 0U : 1U);
      row[j] = std::min({last[j] + 1, row[j - 1] + 1, changed});
      const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
      if (swapped) row[j] = std::min(row[j], before_last[j - 2] + 1);
    }
  }
  return row.back();
}

}  // namespace

bool Problems::keeps(Severity severity) const { return kept_[index(severity)] < kMostKept; }

void Problems::add(Problem problem) {
  const auto severity = problem.severity;
  ++counts_[index(severity)];
  if (!keeps(severity)) return;
  ++kept_[index(severity)];
  list_.push_back(std::move(problem));
}

void Problems::add_all(Problems const& others) {
  const auto before = counts_;
  for (auto const& problem : others.list_) add(problem);
  for (std::size_t i = 0; i < counts_.size(); ++i) counts_[i] = before[i] + others.counts_[i];
}

void Problems::error(std::string what, std::string remedy) {
  add({Severity::error, {}, std::move(what), std::move(remedy), {}});
}

void Problems::warn(std::string what, std::string remedy) {
  add({Severity::warning, {}, std::move(what), std::move(remedy), {}});
}

void Problems::unmet(std::string what, std::string remedy) {
  add({Severity::unmet, {}, std::move(what), std::move(remedy), {}});
}

std::string Problems::text() const {
  std::vector<Problem const*> order;
  std::transform(list_.begin(), list_.end(), std::back_inserter(order),
                 [](Problem const& problem) { return &problem; });
  std::stable_sort(order.begin(), order.end(), [](Problem const* a, Problem const* b) {
    if (a->severity != b->severity) return a->severity > b->severity;
    return std::tie(a->place.file, a->place.line, a->place.column) <
           std::tie(b->place.file, b->place.line, b->place.column);
  });
  std::string out;
  std::size_t shown = 0;
  for (auto const* problem : order) {
    const std::string text = text_of(*problem);
    if (shown == kMostShown || out.size() + text.size() > kMostBytes) break;
    out += text;
    ++shown;
  }
  const auto all = std::accumulate(counts_.begin(), counts_.end(), std::size_t{0});
  if (shown < all) out += fmt::format("and {} more\n", all - shown);
  return out;
}

std::string nearest_word(std::string_view written, std::vector<std::string_view> const& known) {
  constexpr std::size_t kLongestWord = 40;
  if (written.empty() || written.size() > kLongestWord) return {};
  const std::string small = in_small_letters(written);
  // One edit in a short word, a third of a longer one: more is another word.
  std::size_t fewest = std::max<std::size_t>(1, written.size() / 3) + 1;
  std::string_view best;
  for (const auto word : known) {
    const std::size_t count = edits(small, in_small_letters(word));
    if (count >= fewest) continue;
    fewest = count;
    best = word;
  }
  return std::string(best);
}

void check_internal(bool holds, std::string_view what) {
  if (!holds) throw std::logic_error(std::string(what));
}

}  // namespace stripwright
