#include "machine/cautions.h"

namespace stripwright::machine {

namespace {

constexpr char kEdges[] =
    "Plane irons and scrapers cut: keep hands behind the edge and the strip held down, never by "
    "fingers in front of the plane.";
constexpr char kDust[] =
    "Bamboo dust harms the lungs and splinters and fresh edges cut: extract the dust, wear a mask.";
constexpr char kGlue[] =
    "Adhesives and their vapour harm skin and lungs, ovens and hot strips burn: follow the data "
    "sheet.";

}  // namespace

std::vector<std::string> hand_cautions() {
  return {"The tools' manuals, local rules and a qualified person come before this sheet.",
          "Take off less than is told, and measure again: what is gone cannot be put back.", kEdges,
          kDust, kGlue};
}

std::vector<std::string> glue_cautions() {
  return {
      "The adhesive's label and safety data sheet, local rules and a qualified person come before "
      "this sheet.",
      kGlue,
      "Lay the strips dry once, in this order and moved like this, before anything is spread: "
      "glue gives no time to look.",
      kDust};
}

std::vector<std::string> cautions(Machine const& machine, Allowances const& allowances) {
  const bool form = std::holds_alternative<PlaningForm>(machine.kind);
  std::vector<std::string> out = {
      "The machine's manual, local rules and a qualified person come before this sheet.",
      "Prove the setting on a scrap strip with your own gauge before good cane is cut.",
  };
  if (form) {
    out.emplace_back(kEdges);
  } else {
    out.emplace_back(
        "Isolate the machine and let the cutter stop before you set, measure or clean.");
    out.emplace_back(
        "Keep the guards on. Use push blocks or a carriage, never fingers: a short or thin strip "
        "is pulled into the cutter.");
    if (std::holds_alternative<CncMill>(machine.kind))
      out.emplace_back(
          "The machine moves by itself: run the program in the air first, hands out of its way, "
          "one at the stop.");
    out.emplace_back("Protect eyes and ears; no loose clothing, hair or gloves near the cutter.");
    if (face_at_milling(allowances.enamel) == Face::round)
      out.emplace_back(
          "A round enamel face can roll on a flat bed: hold the strip so that it cannot turn.");
  }
  out.emplace_back(kDust);
  out.emplace_back(kGlue);
  return out;
}

}  // namespace stripwright::machine
