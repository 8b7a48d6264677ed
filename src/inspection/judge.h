#pragma once

#include "inspection/angles.h"
#include "inspection/decision.h"
#include "inspection/readings.h"

namespace stripwright::inspection {

/// What readings are judged by.
struct Judge {
  std::optional<Gauge> gauge;  ///< without one nothing is uncertain, and nothing proven
  Decide decide = Decide::guarded;
  Angle angle_tolerance;  ///< either way from 60°
};

/// Why a reading is doubted: it stands alone (`LoneReadings`).
struct Lone {
  Length expected;           ///< what its neighbours say
  bool others_stay = false;  ///< the other heights were read there, and go with their neighbours
};

/// One height at one place, judged.
struct Judged {
  Height height = Height::a;
  Repeated read;
  Target target;
  Length uncertainty;  ///< standard, of the mean; 0 without a gauge
  Length scatter;      ///< the part of it that more readings make smaller
  Verdict verdict = Verdict::right;
  std::optional<Lone> lone;  ///< its verdict stands all the same

  Length deviation() const { return read.mean - target.value; }
  /// The probability that the true value lies within its limits.
  double conforms() const;
  /// By what share the section's bending stiffness EI would be off if all six strips were
  /// so: (1 + ΔD/D)⁴ - 1, D bare across flats, for EI goes with the fourth power of it.
  double stiffness_change() const;
};

struct JudgedPlace {
  Station at;
  std::uint32_t targets = 0;  ///< as of its readings: the same for the same place of a section
  std::array<std::optional<Judged>, kMostHeights> heights;
  std::optional<JudgedAngles> angles;  ///< where all three heights of a strip were read

  Verdict verdict() const;
};

struct JudgedPiece {
  std::string name;
  std::size_t section = 0;
  std::vector<JudgedPlace> places;
};

/// How many readings got which verdict.
struct Counts {
  std::array<std::size_t, 4> of{};

  void add(Verdict verdict) { ++of[static_cast<std::size_t>(verdict)]; }
  void add(Counts const& others);
  std::size_t operator[](Verdict verdict) const { return of[static_cast<std::size_t>(verdict)]; }
  std::size_t all() const;
  bool all_right() const { return (*this)[Verdict::right] == all(); }
  /// The verdict for the whole; right if there are none.
  Verdict worst() const;
};

/// Judges a place.
JudgedPlace judge(PlaceReadings const& place, PlaceTargets const& targets, ReadingKind kind,
                  Judge const& judge);

/// Judges all places of a piece.
JudgedPiece judge(Piece const& piece, Readings const& readings, Judge const& judge);

/// Adds the angles to the places of a strip where all three heights were read.
void judge_angles(JudgedPiece& strip, FaceMeasured const& face, Judge const& judge);

Counts count(JudgedPiece const& piece);
Counts count_angles(JudgedPiece const& piece);

}  // namespace stripwright::inspection
