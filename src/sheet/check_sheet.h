#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "inspection/conformance.h"
#include "inspection/decision.h"
#include "report/table.h"
#include "sheet/frame.h"

namespace stripwright::sheet {

/// What was found at one place of a strip, section or groove: of the heights that were read there
/// the one whose verdict is worst, of several the one farthest off.
struct CheckedPlace {
  Length at;  ///< along the rod, or the machine
  Length deviation;
  inspection::Verdict verdict = inspection::Verdict::right;
};

/// One strip, section or groove.
struct CheckedPiece {
  std::string name;
  std::size_t section = 0;  ///< index into the sections
  inspection::Verdict verdict = inspection::Verdict::right;
  std::string counts;  ///< `all 10 readings are right`
  std::vector<std::pair<std::string, std::string>>
      advice;                        ///< what to do: name (empty: as before), words
  std::vector<CheckedPlace> places;  ///< increasing
};

/// What a check's sheet is made from.
struct CheckOrder {
  SheetHead head;
  std::string what;    ///< `Yarrow: 12 strips as milled`
  std::string limits;  ///< how they were judged, in a sentence or two
  std::string place_name = "station";
  std::vector<std::string> sections;
  inspection::Limits allowed;        ///< deviations that are allowed
  std::vector<CheckedPiece> pieces;  ///< those shown, in the order of the file
  std::size_t all_pieces = 0;        ///< how many there were
  report::Table totals;              ///< counts of readings and pieces by verdict
  /// What all have in common, by section; empty where there is too little to tell.
  std::vector<std::pair<std::string, report::Table>> together;
  std::vector<std::string> verdict_words;  ///< of right, thick, thin, unsure
  std::vector<std::string> cautions;
};

/// Most pieces that a sheet shows.
inline constexpr std::size_t kMostPieces = 60;

/// How far a piece is off at most.
Length farthest(CheckedPiece const& piece);

/// Chooses the pieces worth showing: all where there are no more than `kMostPieces`, else so many
/// of the worst. It keeps no more than it needs, however many there are.
class WorstPieces {
 public:
  /// The next piece: its verdict, and how far it is off at most.
  void add(inspection::Verdict verdict, Length farthest);
  /// The numbers of the pieces chosen, counted from 0 as they were added, increasing.
  std::vector<std::size_t> chosen() const;

 private:
  struct Ranked {
    std::size_t number;
    inspection::Verdict verdict;
    Length farthest;
  };
  static bool worse(Ranked const& one, Ranked const& other);

  std::vector<Ranked> kept_;
  std::size_t added_ = 0;
};

/// The page of a check: how many are right, for each what to do, the deviations within their
/// limits, a map of places by strips, what all have in common.
std::string check_sheet(CheckOrder const& order);

}  // namespace stripwright::sheet
