#include "section/ledger.h"

#include <cmath>
#include <string>

#include "catch.h"
#include "section/polygons.h"

using namespace stripwright;
using namespace stripwright::section;

namespace {

Length mm(double value) { return Length::millimetres(value); }

/// A shop's allowances in millimetres, no moisture, enamel before gluing.
Allowances allowances(EnamelOff off, std::optional<double> culm_diameter,
                      std::optional<Face> face = {}) {
  Allowances out;
  out.varnish = mm(0.03);
  out.cleanup = mm(0.02);
  out.glue_line = mm(0.04);
  out.enamel.thickness = mm(0.12);
  out.enamel.off = off;
  out.enamel.face = face;
  if (culm_diameter) out.enamel.culm_diameter = mm(*culm_diameter);
  return out;
}

double at(LedgerRules const& rules, double flats, Step step) {
  return rules.at(mm(flats))[step].in_millimetres();
}

}  // namespace

TEST_CASE("the ledger adds and takes each allowance once") {
  const LedgerRules rules(Measured::varnished, allowances(EnamelOff::before_milling, {}));
  CHECK(at(rules, 8, Step::target) == 8);
  CHECK(at(rules, 8, Step::bare) == Approx(8 - 2 * 0.03).epsilon(1e-14));
  CHECK(at(rules, 8, Step::glued) == Approx(8 - 2 * 0.03 + 2 * 0.02).epsilon(1e-14));
  CHECK(at(rules, 8, Step::strip_glued) == Approx((8 - 0.06 + 0.04) / 2 - 0.04).epsilon(1e-14));
  CHECK(at(rules, 8, Step::strip_milled) == at(rules, 8, Step::strip_glued));
}

TEST_CASE("the letters of `explain` are those of what the shop has") {
  const auto letters = [](Measured measured, Allowances const& shop) {
    std::string out;
    for (auto const& [letter, value] : LedgerRules(measured, shop).letters(Unit::millimetre))
      out += std::string(letter) + " = " + value + "; ";
    return out;
  };
  auto shop = allowances(EnamelOff::before_milling, {});
  CHECK(letters(Measured::bare, shop) == "c = 0.02 mm; g = 0.04 mm; e = 0.12 mm; ");
  shop.apex_relief = mm(0.05);
  shop.enamel.culm_diameter = mm(44);
  shop.moisture = Moisture{0.0018, 9, 7.5};
  CHECK(letters(Measured::varnished, shop) ==
        "v = 0.03 mm; c = 0.02 mm; g = 0.04 mm; e = 0.12 mm; R = 22 mm; R_o = 21.88 mm; "
        "p = 0.05 mm; K = 0.0018; M_mill = 9 %; M_service = 7.5 %; ");
}

TEST_CASE("varnish counts only where the taper was measured over it") {
  const LedgerRules rules(Measured::bare, allowances(EnamelOff::before_milling, {}));
  CHECK(at(rules, 8, Step::bare) == 8);
}

TEST_CASE("six strips of the ledger, glued as polygons and scraped, give the bare target back") {
  // The construction knows nothing of the ledger: strips, gaps and widths are measured.
  const auto shop = allowances(EnamelOff::before_milling, {});
  const LedgerRules rules(Measured::bare, shop);
  for (const double flats : {1.7, 3.0, 8.0}) {
    const auto ledger = rules.at(mm(flats));
    const auto widths = across_flats(glued_up(ledger[Step::strip_glued], shop.glue_line));
    for (const Length width : widths)
      CHECK((width - 2 * shop.cleanup).in_millimetres() == Approx(flats).epsilon(1e-12));
  }
}

TEST_CASE("swelling has the form of the Wood Handbook's dimension change equation") {
  // FPL-GTR-282, chapter 13, worked example: a board of 232 mm going from 8 to 11 % with
  // C_T = 0.00245 grows by 1.7 mm to 233.7 mm. (The result is printed; 8 % and C_T from memory.)
  Allowances shop;
  shop.moisture = Moisture{0.00245, 11, 8};
  const LedgerRules rules(Measured::bare, shop);
  const double grown = at(rules, 2 * 232, Step::strip_at_milling);
  CHECK(grown == Approx(233.7052).epsilon(1e-12));
  CHECK(std::round(grown * 10) / 10 == 233.7);
  // Milled drier than in service the strip is smaller.
  shop.moisture = Moisture{0.00245, 8, 11};
  CHECK(at(LedgerRules(Measured::bare, shop), 2 * 232, Step::strip_at_milling) < 232);
}

TEST_CASE("the crown allowance of the worked example: R 22, e 0.12, h_w 4 mm") {
  // 2 (4 + 0.04) - 2 * 0.02 across flats give a finished strip 4 mm high.
  const LedgerRules rules(Measured::bare, allowances(EnamelOff::before_gluing, 44));
  const double flats = 2 * (4 + 0.04) - 2 * 0.02;
  CHECK(at(rules, flats, Step::strip_at_milling) == Approx(4).epsilon(1e-14));
  // By 22 - sqrt(21.88^2 - 16/3), reckoned by hand to ten digits.
  CHECK(at(rules, flats, Step::strip_milled) == Approx(4.24221825).margin(5e-9));
  CHECK(at(rules, flats, Step::side_milled) == Approx(4.11365).margin(5e-6));
}

TEST_CASE("what is still on the strip depends on when the enamel goes and on the face") {
  struct Row {
    EnamelOff off;
    std::optional<Face> face;
    double crown;          // h_m - h_w
    bool ready_is_milled;  // else the finished strip
    bool flats_crown_to_crown;
  };
  const double inner = 21.88;
  const double round_on = 22 - std::sqrt(inner * inner - 16.0 / 3);
  const double round_scraped = inner - std::sqrt(inner * inner - 16.0 / 3);
  const Row rows[] = {
      {EnamelOff::before_milling, Face::flat, 0, false, false},
      {EnamelOff::before_milling, Face::round, round_scraped, true, true},
      {EnamelOff::before_gluing, Face::round, round_on, false, false},
      {EnamelOff::before_gluing, Face::flat, 0.12, false, false},
      {EnamelOff::after_gluing, Face::round, round_on, true, true},
      {EnamelOff::after_gluing, Face::flat, 0.12, true, true},
  };
  const double flats = 2 * (4 + 0.04) - 2 * 0.02;
  for (auto const& row : rows) {
    INFO("off " << static_cast<int>(row.off) << ", face " << static_cast<int>(*row.face));
    const LedgerRules rules(Measured::bare, allowances(row.off, 44, row.face));
    CHECK(at(rules, flats, Step::strip_milled) - 4 == Approx(row.crown).margin(1e-13));
    CHECK(at(rules, flats, Step::strip_ready) ==
          Approx(row.ready_is_milled ? 4 + row.crown : 4).epsilon(1e-14));
    CHECK(at(rules, flats, Step::flats_glued) ==
          Approx(at(rules, flats, Step::glued) + (row.flats_crown_to_crown ? 2 * row.crown : 0))
              .epsilon(1e-14));
  }
}

TEST_CASE("a round face is taken where a culm diameter is given, a flat one else") {
  CHECK(face_at_milling(allowances(EnamelOff::before_gluing, 44).enamel) == Face::round);
  CHECK(face_at_milling(allowances(EnamelOff::before_gluing, {}).enamel) == Face::flat);
  CHECK(face_at_milling(allowances(EnamelOff::before_gluing, 44, Face::flat).enamel) == Face::flat);
}

TEST_CASE("a knocked-off apex shortens the strip as it goes to the glue, not the flats") {
  auto shop = allowances(EnamelOff::before_gluing, {});
  const LedgerRules plain(Measured::bare, shop);
  shop.apex_relief = mm(0.1);
  const LedgerRules relieved(Measured::bare, shop);
  CHECK(at(plain, 8, Step::strip_ready) - at(relieved, 8, Step::strip_ready) ==
        Approx(0.1).epsilon(1e-12));
  CHECK(at(plain, 8, Step::strip_milled) == at(relieved, 8, Step::strip_milled));
  CHECK(at(plain, 8, Step::flats_glued) == at(relieved, 8, Step::flats_glued));
}

TEST_CASE("a row at 0 or below is found, the first of them") {
  const LedgerRules rules(Measured::varnished, allowances(EnamelOff::before_milling, {}));
  CHECK_FALSE(rules.at(mm(2)).row_at_or_below_zero());
  CHECK(rules.at(mm(0.06)).row_at_or_below_zero() == Step::bare);
  CHECK(rules.at(mm(0.09)).row_at_or_below_zero() == Step::strip_glued);
}

TEST_CASE("rows from a strip that is held up agree with the rows from its target") {
  const LedgerRules rules(Measured::varnished, allowances(EnamelOff::after_gluing, 44));
  const auto from_target = rules.at(mm(5));
  const auto from_strip = rules.from_strip_glued(from_target[Step::strip_glued]);
  for (std::size_t i = 0; i < kSteps; ++i)
    CHECK(from_strip.values[i].in_millimetres() ==
          Approx(from_target.values[i].in_millimetres()).epsilon(1e-14));
}

TEST_CASE("the milled strip's growth with the glued one is the derivative it says") {
  for (const auto diameter : {std::optional<double>(44), std::optional<double>()}) {
    auto shop = allowances(EnamelOff::before_gluing, diameter);
    shop.moisture = Moisture{0.002, 12, 8};
    const LedgerRules rules(Measured::bare, shop);
    for (const double h : {0.8, 2.0, 4.0, 6.0}) {
      const double step = 1e-4;
      const double secant =
          (rules.strip_milled(mm(h + step)) - rules.strip_milled(mm(h - step))).in_millimetres() /
          (2 * step);
      CHECK(rules.milled_per_glued(mm(h)) == Approx(secant).epsilon(1e-8));
    }
  }
}

TEST_CASE("a culm too thin for the strip is said, not computed through") {
  const LedgerRules rules(Measured::bare, allowances(EnamelOff::before_gluing, 15));
  CHECK(rules.at(mm(10)).culm_carries);
  CHECK_FALSE(rules.at(mm(30)).culm_carries);
}

TEST_CASE("each step has its name, letter, formula and reason") {
  for (const auto off :
       {EnamelOff::before_milling, EnamelOff::before_gluing, EnamelOff::after_gluing}) {
    const LedgerRules rules(Measured::varnished, allowances(off, 44));
    for (std::size_t i = 0; i < kSteps; ++i) {
      const auto text = rules.text(static_cast<Step>(i));
      CHECK_FALSE(text.name.empty());
      CHECK_FALSE(text.letter.empty());
      CHECK(text.formula.find(std::string(text.letter.substr(0, 1))) != std::string::npos);
      CHECK_FALSE(text.why.empty());
    }
  }
}
