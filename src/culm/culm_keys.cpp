#include "culm/culm_keys.h"

namespace stripwright::culm {
namespace {

using files::KeySpec;
using files::MapSpec;
using files::ValueKind;

/// No cane rod has nodes farther apart than this, nor needs more room between them.
constexpr files::Range kGap{.lowest = 0, .highest = 300};
/// 100 m either way: longer than any culm or rod.
constexpr files::Range kAlong{.lowest = -1e5, .highest = 1e5};
constexpr files::Range kAlongCulm{.lowest = 0, .highest = 1e5};

constexpr KeySpec kRulesKeys[] = {
    {.name = "min_gap",
     .kind = ValueKind::length,
     .standard = "25 mm",
     .meaning = "that nodes of neighbours round the section shall be apart at least",
     .range = kGap},
    {.name = "keep_clear",
     .kind = ValueKind::length,
     .standard = "25 mm",
     .meaning =
         "that nodes shall stay away from the tip end, the joints and the maker's own places",
     .range = kGap},
    {.name = "places",
     .kind = ValueKind::length_list,
     .meaning = "the maker's own places along the rod that shall be clear of nodes",
     .range = kAlong},
};
constexpr MapSpec kRules{"the rules for nodes", kRulesKeys};

constexpr KeySpec kPieceKeys[] = {
    {.name = "section",
     .kind = ValueKind::name,
     .meaning = "which of the rod's sections its strips are for",
     .required = true},
    {.name = "starts_at",
     .kind = ValueKind::length,
     .standard = "0",
     .meaning = "where on the culm the strips' tip end was, from the culm's thin end",
     .range = kAlongCulm},
    {.name = "strips",
     .kind = ValueKind::text_list,
     .meaning = "the strips that were split from it, by the names they have in the readings"},
};
constexpr MapSpec kPiece{"a piece of a culm", kPieceKeys};

constexpr KeySpec kCulmKeys[] = {
    {.name = "diameter",
     .kind = ValueKind::length,
     .meaning = "outside diameter, the smallest over the length that is used; the shop's if left "
                "out",
     .range = {.lowest = 15, .highest = 200}},
    {.name = "wall",
     .kind = ValueKind::length,
     .meaning = "thickness of the wall, the least over the length that is used",
     .range = {.lowest = 0, .highest = 50, .above = true}},
    {.name = "power_fibre",
     .kind = ValueKind::length,
     .meaning = "depth of the dense cane under the enamel",
     .range = {.lowest = 0, .highest = 50}},
    {.name = "length",
     .kind = ValueKind::length,
     .meaning = "usable length, from the thin end",
     .range = {.lowest = 0, .highest = 1e5, .above = true}},
    {.name = "nodes",
     .kind = ValueKind::length_list,
     .meaning = "where its nodes are, from the thin end",
     .range = kAlongCulm},
    {.name = "pieces",
     .kind = ValueKind::map_list,
     .meaning = "what was cut and split from it; needed where strips are chosen",
     .map = &kPiece},
};
constexpr MapSpec kCulm{"a culm", kCulmKeys};

constexpr KeySpec kStripKeys[] = {
    {.name = "strip",
     .kind = ValueKind::text,
     .meaning = "its name in the readings",
     .required = true},
    {.name = "nodes",
     .kind = ValueKind::length_list,
     .meaning = "where its nodes are, from its own tip end, spare included; they count instead of "
                "its culm's",
     .range = kAlongCulm},
    {.name = "density",
     .kind = ValueKind::number,
     .meaning = "density, or mass, in any unit that is the same for all strips",
     .range = {.lowest = 0, .highest = 1e6, .above = true}},
};
constexpr MapSpec kStrip{"a strip", kStripKeys};

constexpr KeySpec kFileKeys[] = {
    {.name = "format",
     .kind = ValueKind::format,
     .standard = "stripwright-culms-1",
     .meaning = "what the file is",
     .required = true},
    {.name = "unit",
     .kind = ValueKind::unit,
     .meaning = "what a number without a unit means",
     .required = true},
    {.name = "rules",
     .kind = ValueKind::map,
     .meaning = "how far nodes shall be from each other and from other places",
     .map = &kRules},
    {.name = "culms",
     .kind = ValueKind::named_maps,
     .meaning = "the culms, each under a name of its own",
     .map = &kCulm},
    {.name = "strips",
     .kind = ValueKind::map_list,
     .meaning = "what was measured on single strips",
     .map = &kStrip},
};
constexpr MapSpec kFile{"a culm file", kFileKeys};

}  // namespace

MapSpec const& culm_file_keys() { return kFile; }

}  // namespace stripwright::culm
