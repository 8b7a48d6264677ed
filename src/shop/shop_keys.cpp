#include "shop/shop_keys.h"

#include "shop/machine_keys.h"

namespace stripwright {
namespace {

using files::KeySpec;
using files::MapSpec;
using files::ValueKind;

/// No layer of enamel, glue or varnish, and no scraping, comes near 2 mm.
constexpr files::Range kLayer{.lowest = 0, .highest = 2};
/// Moisture that a stored strip can have, in percent of dry mass; fibre saturation of
/// woody tissue is about 30 (Wood Handbook, from memory).
constexpr files::Range kMoisture{.lowest = 0, .highest = 30};
constexpr files::Range kAmount{.lowest = 0, .highest = 100};

constexpr std::string_view kOff[] = {"before-milling", "before-gluing", "after-gluing"};
constexpr std::string_view kFace[] = {"round", "flat"};
constexpr std::string_view kDecide[] = {"guarded", "plain"};

constexpr KeySpec kEnamelKeys[] = {
    {.name = "thickness",
     .kind = ValueKind::length,
     .meaning = "how thick the enamel is",
     .range = kLayer},
    {.name = "off",
     .kind = ValueKind::choice,
     .standard = "before-gluing",
     .meaning = "when it comes off",
     .choices = kOff},
    {.name = "face",
     .kind = ValueKind::choice,
     .meaning = "the outer face at milling; round where a culm diameter is given, else flat",
     .choices = kFace},
    {.name = "culm_diameter",
     .kind = ValueKind::length,
     .meaning = "outside diameter of the culm, enamel and all",
     .range = {.lowest = 15, .highest = 200}},
};
constexpr MapSpec kEnamel{"the enamel", kEnamelKeys};

constexpr KeySpec kMoistureKeys[] = {
    {.name = "per_percent",
     .kind = ValueKind::number,
     .meaning =
         "growth of the strip's height by a percent of moisture, as a share (0.0018 is 0.18 %)",
     .range = {.lowest = 0, .highest = 0.01},
     .required = true},
    {.name = "at_milling",
     .kind = ValueKind::number,
     .meaning = "moisture when the strip is milled, percent of dry mass",
     .range = kMoisture,
     .required = true},
    {.name = "in_service",
     .kind = ValueKind::number,
     .meaning = "moisture of the finished rod, percent of dry mass",
     .range = kMoisture,
     .required = true},
};
constexpr MapSpec kMoistureMap{"the moisture", kMoistureKeys};

constexpr KeySpec kAllowanceKeys[] = {
    {.name = "varnish",
     .kind = ValueKind::length,
     .meaning = "varnish on each flat; used where a taper is measured varnished",
     .range = kLayer},
    {.name = "cleanup",
     .kind = ValueKind::length,
     .meaning = "scraped and sanded off each flat after gluing",
     .range = kLayer},
    {.name = "glue_line",
     .kind = ValueKind::length,
     .meaning = "glue between two flanks",
     .range = kLayer},
    {.name = "enamel",
     .kind = ValueKind::map,
     .meaning = "the enamel and when it comes off",
     .map = &kEnamel},
    {.name = "apex_relief",
     .kind = ValueKind::length,
     .meaning = "knocked off the apex before gluing",
     .range = kLayer},
    {.name = "moisture",
     .kind = ValueKind::map,
     .meaning = "swelling between the mill and service; none if left out",
     .map = &kMoistureMap},
};
constexpr MapSpec kAllowances{"the allowances", kAllowanceKeys};

constexpr KeySpec kSpareKeys[] = {
    {.name = "tip_end",
     .kind = ValueKind::length,
     .standard = "1.5 in",
     .meaning = "beyond the section's tip end",
     .range = {.lowest = 0, .highest = 1000}},
    {.name = "butt_end",
     .kind = ValueKind::length,
     .standard = "1.5 in",
     .meaning = "beyond its butt end",
     .range = {.lowest = 0, .highest = 1000}},
};
constexpr MapSpec kSpare{"the spare", kSpareKeys};

constexpr KeySpec kRoughKeys[] = {
    {.name = "over",
     .kind = ValueKind::length,
     .standard = "0.03 in",
     .meaning = "height left on the rough triangle over the milled strip",
     .range = kAmount},
    {.name = "split",
     .kind = ValueKind::length,
     .standard = "0.06 in",
     .meaning = "width lost by each split",
     .range = kAmount},
};
constexpr MapSpec kRough{"the rough strip", kRoughKeys};

constexpr KeySpec kToleranceKeys[] = {
    {.name = "over",
     .kind = ValueKind::length,
     .meaning = "how much too large is still right",
     .range = kLayer,
     .required = true},
    {.name = "under",
     .kind = ValueKind::length,
     .meaning = "how much too small is still right",
     .range = kLayer,
     .required = true},
};
constexpr MapSpec kTolerance{"a tolerance", kToleranceKeys};

constexpr KeySpec kTolerancesKeys[] = {
    {.name = "strip",
     .kind = ValueKind::length,
     .standard = "0.001 in",
     .meaning = "strip height, either way (or over and under)",
     .range = kLayer,
     .map = &kTolerance,
     .or_kind = ValueKind::map},
    {.name = "flats",
     .kind = ValueKind::length,
     .standard = "0.002 in",
     .meaning = "across flats, either way (or over and under)",
     .range = kLayer,
     .map = &kTolerance,
     .or_kind = ValueKind::map},
    {.name = "angle",
     .kind = ValueKind::number,
     .standard = "0.3",
     .meaning = "a strip's angle off 60 degrees, in degrees",
     .range = {.lowest = 0, .highest = 10, .above = true}},
};
constexpr MapSpec kTolerances{"the tolerances", kTolerancesKeys};

constexpr KeySpec kGaugeKeys[] = {
    {.name = "resolution",
     .kind = ValueKind::length,
     .meaning = "the step of its reading",
     .range = {.lowest = 0, .highest = 1},
     .required = true},
    {.name = "standard_uncertainty",
     .kind = ValueKind::length,
     .meaning = "its standard uncertainty, resolution left out",
     .range = {.lowest = 0, .highest = 1}},
    {.name = "max_error",
     .kind = ValueKind::length,
     .meaning = "its greatest error, either way; divided by the root of 3",
     .range = {.lowest = 0, .highest = 1}},
};
constexpr MapSpec kGauge{"a gauge", kGaugeKeys};

constexpr KeySpec kFileKeys[] = {
    {.name = "format",
     .kind = ValueKind::format,
     .standard = "stripwright-shop-1",
     .meaning = "what the file is",
     .required = true},
    {.name = "name",
     .kind = ValueKind::text,
     .meaning = "what the shop is called; the file's name if left out"},
    {.name = "unit",
     .kind = ValueKind::unit,
     .meaning = "what a number without a unit means",
     .required = true},
    {.name = "allowances",
     .kind = ValueKind::map,
     .meaning = "what work after the mill adds or takes",
     .map = &kAllowances},
    {.name = "spare",
     .kind = ValueKind::map,
     .meaning = "length of strip beyond the section, cut off after gluing",
     .map = &kSpare},
    {.name = "rough", .kind = ValueKind::map, .meaning = "the rough triangle", .map = &kRough},
    {.name = "tolerances",
     .kind = ValueKind::map,
     .meaning = "how far off is still right",
     .map = &kTolerances},
    {.name = "gauges",
     .kind = ValueKind::named_maps,
     .meaning = "what the shop measures with",
     .map = &kGauge},
    {.name = "decide",
     .kind = ValueKind::choice,
     .standard = "guarded",
     .meaning = "whether `right` needs proof or the plain limits decide",
     .choices = kDecide},
    {.name = "machines",
     .kind = ValueKind::machines,
     .meaning = "planing forms and mills",
     .kinds = kMachineKinds},
};
constexpr MapSpec kFile{"a shop file", kFileKeys};

}  // namespace

MapSpec const& shop_file_keys() { return kFile; }
MapSpec const& gauge_keys() { return kGauge; }
std::span<const files::KindSpec> machine_kinds() { return kMachineKinds; }

}  // namespace stripwright
