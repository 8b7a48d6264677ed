#include <fmt/format.h>

#include "section/ledger.h"
#include "units/format.h"

namespace stripwright::section {
namespace {

std::string_view off_text(EnamelOff off) {
  switch (off) {
    case EnamelOff::before_milling:
      return "before milling";
    case EnamelOff::before_gluing:
      return "before gluing";
    case EnamelOff::after_gluing:
      return "after gluing";
  }
  return "";
}

struct Words {
  std::string formula;
  std::string why;
};

Words milled(Enamel const& enamel, bool round) {
  const auto off = off_text(enamel.off);
  if (!round && enamel.off == EnamelOff::before_milling)
    return {"h_m = h_w", "the enamel is off and the face flat before milling"};
  if (!round) return {"h_m = h_w + e", fmt::format("the enamel comes off {}", off)};
  if (enamel.off == EnamelOff::before_milling)
    return {
        "h_m = h_w + E, E = (R - e) - sqrt((R - e)^2 - h_w^2/3)",
        "the face is still round, its enamel scraped off; E comes off at the crown after gluing"};
  return {"h_m = h_w + E, E = R - sqrt((R - e)^2 - h_w^2/3)",
          fmt::format("enamel and crown, E, come off {}", off)};
}

Words side(bool round) {
  if (round)
    return {"b = c = L sin 60, L = (sqrt(3) y_c + sqrt(4 R_o^2 - y_c^2))/2, y_c = h_m - R_o",
            "the corners lie on the round face, lower than its crown"};
  return {"b = c = h_m", "all three heights of a flat-faced strip are alike"};
}

Words ready(Allowances const& allowances) {
  const bool off = allowances.enamel.off == EnamelOff::before_gluing;
  const bool relief = allowances.apex_relief > Length{};
  return {fmt::format("h_r = {}{}", off ? "h_w" : "h_m", relief ? " - p" : ""),
          fmt::format("{}{}",
                      off ? "the face is flat and free of enamel"
                          : "the face goes to the glue as it was milled",
                      relief ? ", the apex knocked off by p" : "")};
}

Words flats(Enamel const& enamel, bool round) {
  const bool after =
      enamel.off == EnamelOff::after_gluing || (enamel.off == EnamelOff::before_milling && round);
  if (!after) return {"F = D_glued", "binding off, not yet cleaned"};
  return {
      round ? "F = D_glued + 2 E" : "F = D_glued + 2 e",
      round ? "crown to crown: the faces are made flat after gluing" : "the enamel is still on"};
}

}  // namespace

StepText LedgerRules::text(Step step) const {
  const bool varnished = measured_ == Measured::varnished;
  const bool round = round_face_.has_value();
  switch (step) {
    case Step::target:
      return {"target across flats", "D", "D from the taper",
              varnished ? "measured over varnish" : "measured on bare cane"};
    case Step::bare:
      return {"bare across flats", "D_bare", varnished ? "D_bare = D - 2 v" : "D_bare = D",
              varnished ? "varnish v lies on both flats" : "no varnish in the taper's figures"};
    case Step::glued:
      return {"glued across flats", "D_glued", "D_glued = D_bare + 2 c",
              "c is scraped off each flat after gluing"};
    case Step::strip_glued:
      return {"strip height, glued", "h_g", "h_g = D_glued/2 - g",
              "a glue line g moves each strip outwards by g"};
    case Step::strip_at_milling:
      return {"finished strip at the mill's moisture", "h_w",
              allowances_.moisture ? "h_w = h_g (1 + K (M_mill - M_service))" : "h_w = h_g",
              allowances_.moisture ? "bamboo swells by K for each percent of moisture"
                                   : "no moisture given"};
    case Step::strip_milled: {
      auto words = milled(allowances_.enamel, round);
      return {"strip height to mill", "h_m", std::move(words.formula), std::move(words.why)};
    }
    case Step::side_milled: {
      auto words = side(round);
      return {"heights b and c at milling", "b, c", std::move(words.formula), std::move(words.why)};
    }
    case Step::strip_ready: {
      auto words = ready(allowances_);
      return {"strip height, ready to glue", "h_r", std::move(words.formula), std::move(words.why)};
    }
    case Step::flats_glued: {
      auto words = flats(allowances_.enamel, round);
      return {"across flats when glued", "F", std::move(words.formula), std::move(words.why)};
    }
  }
  return {};
}

std::vector<std::pair<std::string_view, std::string>> LedgerRules::letters(Unit unit) const {
  std::vector<std::pair<std::string_view, std::string>> out;
  const auto add = [&](std::string_view letter, Length value) {
    out.emplace_back(letter, format_short(value, unit));
  };
  if (measured_ == Measured::varnished) add("v", allowances_.varnish);
  add("c", allowances_.cleanup);
  add("g", allowances_.glue_line);
  add("e", allowances_.enamel.thickness);
  if (round_face_) {
    add("R", round_face_->culm_radius);
    add("R_o", round_face_->arc_radius);
  }
  if (allowances_.apex_relief > Length{}) add("p", allowances_.apex_relief);
  if (auto const& m = allowances_.moisture) {
    out.emplace_back("K", format_short(m->swelling_per_percent, 6));
    out.emplace_back("M_mill", fmt::format("{} %", format_short(m->percent_at_milling, 3)));
    out.emplace_back("M_service", fmt::format("{} %", format_short(m->percent_in_service, 3)));
  }
  return out;
}

}  // namespace stripwright::section
