#pragma once

#include <fmt/format.h>

#include <optional>
#include <string>
#include <string_view>

#include "taper/derive.h"
#include "units/format.h"

/// What the changes of `taper/derive.h` have in common; for their files only.
namespace stripwright::derive {

inline Change fault(std::string what, std::string remedy) {
  return {std::nullopt, std::move(what), std::move(remedy)};
}

inline Change done(DerivedTaper taper) { return {std::move(taper), {}, {}}; }

inline std::string show(Length length, Taper const& taper) {
  return format_short(length, taper.unit);
}
inline std::string show(Station station, Taper const& taper) {
  return show(station.from_zero(), taper);
}

inline std::string_view basis_word(Measured measured) {
  return measured == Measured::bare ? "on bare cane" : "over varnish";
}

inline std::optional<Change> differing_basis(Taper const& a, Taper const& b) {
  if (a.measured == b.measured) return std::nullopt;
  return fault(
      fmt::format("{} is measured {}, but {} {}", quoted_for_message(a.name),
                  basis_word(a.measured), quoted_for_message(b.name), basis_word(b.measured)),
      "bring one of them to the basis of the other first, with --basis and --varnish");
}

}  // namespace stripwright::derive
