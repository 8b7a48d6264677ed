#include "diagnostics/problem.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <numeric>
#include <stdexcept>
#include <tuple>

namespace stripwright {
namespace {

constexpr std::size_t kMostShown = 20;
/// A file of rubbish has millions of mistakes; nobody reads past the first twenty.
constexpr std::size_t kMostKept = 1000;
constexpr std::size_t kMostColumns = 100;
constexpr std::size_t kMostBytes = 5600;
constexpr std::size_t kMostSentence = 600;

bool starts_character(char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }

/// Cuts to so many bytes at a character's border.
std::string cut(std::string_view text, std::size_t bytes) {
  if (text.size() <= bytes) return std::string(text);
  while (bytes > 0 && !starts_character(text[bytes])) --bytes;
  return std::string(text.substr(0, bytes)) + "...";
}

struct Excerpt {
  std::string line;
  std::size_t caret = 0;  // blanks before the caret
};

/// The part of the line around the column, at most 100 columns of it; whatever
/// could upset a terminal is shown as a question mark.
Excerpt excerpt(std::string_view line, std::size_t column) {
  std::vector<std::string> characters;
  for (const char c : line) {
    if (starts_character(c) || characters.empty()) characters.emplace_back();
    const auto byte = static_cast<unsigned char>(c);
    characters.back() += byte == '\t' ? ' ' : (byte < 0x20U || byte == 0x7FU) ? '?' : c;
  }
  const std::size_t at = column == 0 ? 0 : column - 1;
  const std::size_t first = at < kMostColumns * 3 / 4 ? 0 : at - kMostColumns / 2;
  Excerpt out;
  for (std::size_t i = first; i < characters.size() && i < first + kMostColumns; ++i)
    out.line += characters[i];
  out.caret = at - first;
  return out;
}

std::string_view label(Severity severity) {
  switch (severity) {
    case Severity::warning: return "warning: ";
    case Severity::unmet: return "cannot be met: ";
    case Severity::error: return "";
  }
  return "";
}

std::string one(Problem const& problem) {
  std::string out;
  if (!problem.place.file.empty()) {
    out += cut(problem.place.file, kMostSentence) + ":";
    if (problem.place.line > 0)
      out += fmt::format("{}:{}:", problem.place.line, problem.place.column);
    out += ' ';
  }
  out += fmt::format("{}{}\n", label(problem.severity), cut(problem.what, kMostSentence));
  if (!problem.source_line.empty() && problem.place.line > 0) {
    const auto shown = excerpt(problem.source_line, problem.place.column);
    out += fmt::format("  {}\n  {:>{}}\n", shown.line, "^", shown.caret + 1);
  }
  if (!problem.remedy.empty()) out += fmt::format("  {}\n", cut(problem.remedy, kMostSentence));
  return out;
}

}  // namespace

void Problems::add(Problem problem) {
  if (problem.severity == Severity::error) ++errors_;
  if (problem.severity == Severity::unmet) ++unmet_;
  if (list_.size() < kMostKept)
    list_.push_back(std::move(problem));
  else
    ++not_kept_;
}

void Problems::add_all(Problems const& others) {
  for (auto const& problem : others.list_) add(problem);
  not_kept_ += others.not_kept_;
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
    const std::string text = one(*problem);
    if (shown == kMostShown || out.size() + text.size() > kMostBytes) break;
    out += text;
    ++shown;
  }
  if (shown < order.size()) out += fmt::format("and {} more\n", order.size() - shown + not_kept_);
  return out;
}

std::string nearest_word(std::string_view written, std::vector<std::string_view> const& known) {
  constexpr std::size_t kLongestWord = 40;
  if (written.empty() || written.size() > kLongestWord) return {};
  std::string_view best;
  std::size_t best_edits = std::max<std::size_t>(1, written.size() / 3) + 1;
  for (const auto word : known) {
    // Levenshtein's distance, a row at a time.
    std::vector<std::size_t> row(word.size() + 1);
    std::iota(row.begin(), row.end(), std::size_t{0});
    for (std::size_t i = 0; i < written.size(); ++i) {
      std::size_t diagonal = row[0];
      row[0] = i + 1;
      for (std::size_t j = 0; j < word.size(); ++j) {
        const std::size_t substituted = diagonal + (written[i] == word[j] ? 0U : 1U);
        diagonal = row[j + 1];
        row[j + 1] = std::min({row[j] + 1, row[j + 1] + 1, substituted});
      }
    }
    if (row.back() < best_edits) {
      best_edits = row.back();
      best = word;
    }
  }
  return std::string(best);
}

void check_internal(bool holds, std::string_view what) {
  if (!holds) throw std::logic_error(std::string(what));
}

}  // namespace stripwright
