#pragma once

#include "files/key_spec.h"

namespace stripwright {

/// The keys of machines, kind by kind; part of the table of shop keys.

namespace machine_keys {

using files::KeySpec;
using files::MapSpec;
using files::ValueKind;

constexpr files::Range kAlongTheMachine{.lowest = -1e5, .highest = 1e5};
constexpr files::Range kSome{.lowest = 0, .highest = 1000, .above = true};
constexpr files::Range kFromNone{.lowest = 0, .highest = 1000};

inline constexpr std::string_view kFeeds[] = {"tip-first", "butt-first"};
inline constexpr std::string_view kFit[] = {"at-screws", "best"};
inline constexpr std::string_view kBar[] = {"spring", "straight"};
inline constexpr std::string_view kTip[] = {"sharp", "flat", "ball"};
inline constexpr std::string_view kCounts[] = {"up", "down"};
inline constexpr std::string_view kPlaningForm[] = {"planing-form"};
inline constexpr std::string_view kScrewMill[] = {"screw-mill"};
inline constexpr std::string_view kPatternMill[] = {"pattern-mill"};
inline constexpr std::string_view kCncMill[] = {"cnc-mill"};

inline constexpr KeySpec kRoughStripKeys[] = {
    {.name = "height",
     .kind = ValueKind::length,
     .meaning = "one height of the rough strip, the same for every section",
     .range = kSome},
    {.name = "over",
     .kind = ValueKind::length,
     .meaning = "strips that are tapered beforehand: so much over the milled strip everywhere",
     .range = kFromNone},
};
inline constexpr MapSpec kRoughStrip{"the rough strip of the passes", kRoughStripKeys};

inline constexpr KeySpec kPassesKeys[] = {
    {.name = "over",
     .kind = ValueKind::length_list,
     .meaning = "stages parallel to the final strip, so much over it; the last is 0",
     .range = kFromNone},
    {.name = "rough",
     .kind = ValueKind::map,
     .meaning =
         "the rough strip: `height`, or `over` the taper; if left out a plain one, higher than "
         "the section's highest place by the shop's `rough: over`",
     .map = &kRoughStrip},
    {.name = "max_cut",
     .kind = ValueKind::length,
     .meaning = "the most a pass may take, in strip height",
     .range = kSome},
    {.name = "last_cut",
     .kind = ValueKind::length,
     .meaning = "the most the last pass may take",
     .range = kSome},
};
inline constexpr MapSpec kPasses{"the passes", kPassesKeys};

inline constexpr KeySpec kScrewsKeys[] = {
    {.name = "first",
     .kind = ValueKind::length,
     .standard = "0 in",
     .meaning = "machine position of the first screw",
     .range = kAlongTheMachine},
    {.name = "pitch",
     .kind = ValueKind::length,
     .meaning = "from screw to screw",
     .range = kSome,
     .required = true},
    {.name = "count",
     .kind = ValueKind::whole,
     .meaning = "how many screws",
     .range = {.lowest = 2, .highest = 2000},
     .required = true},
};
inline constexpr MapSpec kScrewsMap{"the screws", kScrewsKeys};

inline constexpr KeySpec kClosedDepthKeys[] = {
    {.name = "thin_end",
     .kind = ValueKind::length,
     .meaning = "depth of the closed groove at the first screw",
     .range = kFromNone,
     .required = true},
    {.name = "thick_end",
     .kind = ValueKind::length,
     .meaning = "depth of the closed groove at the last screw",
     .range = kFromNone,
     .required = true},
};
inline constexpr MapSpec kClosedDepth{"the closed depth", kClosedDepthKeys};

inline constexpr KeySpec kDepthGaugeKeys[] = {
    {.name = "tip",
     .kind = ValueKind::choice,
     .standard = "sharp",
     .meaning = "a cone of the groove's angle, the same cut off flat, or a ball",
     .choices = kTip},
    {.name = "diameter",
     .kind = ValueKind::length,
     .meaning = "of the flat or the ball",
     .range = kSome},
};
inline constexpr MapSpec kDepthGauge{"the depth gauge", kDepthGaugeKeys};

inline constexpr KeySpec kDialKeys[] = {
    {.name = "zero",
     .kind = ValueKind::length,
     .standard = "0 in",
     .meaning = "what the dial shows at a cutter offset of 0",
     .range = kAlongTheMachine},
    {.name = "counts",
     .kind = ValueKind::choice,
     .standard = "up",
     .meaning = "whether the dial's figures grow or fall as the offset grows",
     .choices = kCounts},
    {.name = "dial_per_offset",
     .kind = ValueKind::number,
     .standard = "1",
     .meaning = "change of the dial for a change of the offset",
     .range = {.lowest = 0, .highest = 10000, .above = true}},
    {.name = "division",
     .kind = ValueKind::length,
     .meaning = "the dial's smallest division; exact settings if left out",
     .range = kSome},
    {.name = "screw_lead",
     .kind = ValueKind::length,
     .meaning = "change of offset in one turn",
     .range = kSome},
    {.name = "range",
     .kind = ValueKind::length_list,
     .meaning = "the lowest and the highest figure of the dial",
     .range = kAlongTheMachine},
};
inline constexpr MapSpec kDial{"the dial", kDialKeys};

inline constexpr KeySpec kLimitsKeys[] = {
    {.name = "x",
     .kind = ValueKind::length_list,
     .meaning = "lowest and highest position along the strip",
     .range = kAlongTheMachine},
    {.name = "z",
     .kind = ValueKind::length_list,
     .meaning = "lowest and highest height",
     .range = kAlongTheMachine},
    {.name = "feed",
     .kind = ValueKind::length,
     .meaning = "fastest feed, length a minute",
     .range = {.lowest = 0, .highest = 1e6, .above = true}},
    {.name = "spindle_rpm",
     .kind = ValueKind::number,
     .meaning = "fastest spindle, turns a minute",
     .range = {.lowest = 0, .highest = 1e6, .above = true}},
};
inline constexpr MapSpec kLimits{"the limits", kLimitsKeys};

inline constexpr KeySpec kStripAt{.name = "strip_at",
                                  .kind = ValueKind::length,
                                  .standard = "0 in",
                                  .meaning = "machine position of the strip's leading end",
                                  .range = kAlongTheMachine};
inline constexpr KeySpec kFeedsKey{
    .name = "feeds",
    .kind = ValueKind::choice,
    .standard = "tip-first",
    .meaning = "which end of the strip leads, towards the lower machine positions",
    .choices = kFeeds};
inline constexpr KeySpec kFor{.name = "for",
                              .kind = ValueKind::name_list,
                              .meaning = "the sections this machine serves; all if left out"};
inline constexpr KeySpec kPassesKey{
    .name = "passes",
    .kind = ValueKind::map,
    .meaning = "cuts from the rough strip down; one final cut if left out",
    .map = &kPasses};
inline constexpr KeySpec kScrews{
    .name = "screws",
    .kind = ValueKind::map,
    .meaning = "positions of the screws: first, pitch and count, or a list",
    .range = kAlongTheMachine,
    .required = true,
    .map = &kScrewsMap,
    .or_kind = ValueKind::length_list};
inline constexpr KeySpec kFitKey{
    .name = "fit",
    .kind = ValueKind::choice,
    .standard = "at-screws",
    .meaning = "every screw on the taper, or the greatest miss between them as small as can be",
    .choices = kFit};
inline constexpr KeySpec kCutterRadius{
    .name = "cutter_radius",
    .kind = ValueKind::length,
    .meaning = "radius of the cutter; 0 is a sharp edge (or give cutter_diameter)",
    .range = kFromNone};
inline constexpr KeySpec kCutterDiameter{
    .name = "cutter_diameter",
    .kind = ValueKind::length,
    .meaning = "diameter of the cutter (or give cutter_radius)",
    .range = kFromNone};

inline constexpr KeySpec kPlaningFormKeys[] = {
    {.name = "kind",
     .kind = ValueKind::choice,
     .meaning = "two bars with a V groove between them",
     .required = true,
     .choices = kPlaningForm},
    kScrews,
    kStripAt,
    kFeedsKey,
    {.name = "closed_depth",
     .kind = ValueKind::map,
     .meaning =
         "depth of the groove with the bars touching; without it openings and turns stay empty",
     .map = &kClosedDepth},
    {.name = "screw_lead",
     .kind = ValueKind::length,
     .meaning = "change of opening in one turn (differential screws: the difference of leads)",
     .range = kSome},
    {.name = "depth_gauge",
     .kind = ValueKind::map,
     .meaning = "the gauge that reads the groove's depth",
     .map = &kDepthGauge},
    kFitKey,
    kFor,
    kPassesKey,
};
inline constexpr KeySpec kScrewMillKeys[] = {
    {.name = "kind",
     .kind = ValueKind::choice,
     .meaning = "a cutter over a bed or bar set by screws",
     .required = true,
     .choices = kScrewMill},
    kScrews,
    kStripAt,
    kFeedsKey,
    {.name = "bar",
     .kind = ValueKind::choice,
     .standard = "spring",
     .meaning = "bends as a spline between the screws, or runs straight from one to the next",
     .choices = kBar},
    kCutterRadius,
    kCutterDiameter,
    {.name = "dial",
     .kind = ValueKind::map,
     .meaning = "how the machine shows its setting",
     .map = &kDial},
    kFitKey,
    kFor,
    kPassesKey,
};
inline constexpr KeySpec kPatternMillKeys[] = {
    {.name = "kind",
     .kind = ValueKind::choice,
     .meaning = "a cutter that follows a pattern",
     .required = true,
     .choices = kPatternMill},
    kStripAt,
    kFeedsKey,
    kCutterRadius,
    kCutterDiameter,
    {.name = "follower_radius",
     .kind = ValueKind::length,
     .meaning = "radius of the follower; 0 is a knife edge",
     .range = kFromNone,
     .required = true},
    {.name = "pattern_per_cutter",
     .kind = ValueKind::number,
     .standard = "1",
     .meaning =
         "rise of the pattern for a rise of the cutter; negative: pattern under a lifted strip",
     .range = {.lowest = -1000, .highest = 1000}},
    {.name = "base",
     .kind = ValueKind::length,
     .standard = "0 in",
     .meaning = "height of the pattern where the cutter offset is 0",
     .range = kAlongTheMachine},
    {.name = "outline_tolerance",
     .kind = ValueKind::length,
     .standard = "0.0002 in",
     .meaning = "how far the drawn outline may lie off the exact one",
     .range = kSome},
    kFor,
    kPassesKey,
};
inline constexpr KeySpec kCncMillKeys[] = {
    {.name = "kind",
     .kind = ValueKind::choice,
     .meaning = "a cutter moved by a program",
     .required = true,
     .choices = kCncMill},
    kStripAt,
    kFeedsKey,
    kCutterRadius,
    kCutterDiameter,
    {.name = "feed",
     .kind = ValueKind::length,
     .meaning = "feed while cutting, length a minute",
     .range = {.lowest = 0, .highest = 1e5, .above = true},
     .required = true},
    {.name = "spindle_rpm",
     .kind = ValueKind::number,
     .meaning = "turns a minute",
     .range = {.lowest = 0, .highest = 1e6, .above = true},
     .required = true},
    {.name = "clear_height",
     .kind = ValueKind::length,
     .standard = "1 in",
     .meaning = "height at which the cutter travels free of everything",
     .range = kSome},
    {.name = "limits",
     .kind = ValueKind::map,
     .meaning = "what the machine can reach",
     .map = &kLimits},
    kFor,
    kPassesKey,
};

}  // namespace machine_keys

inline constexpr files::KindSpec kMachineKinds[] = {
    {"planing-form", {"a planing form", machine_keys::kPlaningFormKeys}},
    {"screw-mill", {"a screw mill", machine_keys::kScrewMillKeys}},
    {"pattern-mill", {"a pattern mill", machine_keys::kPatternMillKeys}},
    {"cnc-mill", {"a cnc mill", machine_keys::kCncMillKeys}},
};

}  // namespace stripwright
