#pragma once

#include <stdexcept>
#include <string>

#include "units/length.h"
#include "units/position.h"

// Inside this module's .cpp files the arithmetic is done on plain millimetres;
// these are the only doors in and out.
namespace stripwright::machine::plain {

inline double mm(Length length) { return length.in_millimetres(); }
inline double mm(Station at) { return at.from_zero().in_millimetres(); }
inline Length length(double millimetres) { return Length::millimetres(millimetres); }
inline Station station(double millimetres) { return Station(Length::millimetres(millimetres)); }

/// For what no user's file can cause: a caller's mistake stops the program in release too.
inline void require(bool held, const char* what) {
  if (!held) throw std::logic_error(std::string("machine: ") + what);
}

}  // namespace stripwright::machine::plain
