#include "taper/taper_keys.h"

namespace stripwright {
namespace {

using files::KeySpec;
using files::ValueKind;

/// 100 m: longer than any rod.
constexpr files::Range kAlongTheRod{.lowest = -1e5, .highest = 1e5};
constexpr std::string_view kMeasured[] = {"bare", "varnished"};
constexpr std::string_view kBetween[] = {"linear", "smooth"};

constexpr KeySpec kSectionKeys[] = {
    {.name = "from",
     .kind = ValueKind::length,
     .meaning = "where the section's cane begins, from the rod's tip end",
     .range = kAlongTheRod,
     .required = true},
    {.name = "to",
     .kind = ValueKind::length,
     .meaning = "where its cane ends, before the ferrule is fitted",
     .range = kAlongTheRod,
     .required = true},
    {.name = "make",
     .kind = ValueKind::whole,
     .standard = "1",
     .meaning = "how many of this section the rod has",
     .range = {.lowest = 1, .highest = 12}},
};
constexpr files::MapSpec kSection{"a section", kSectionKeys};

constexpr KeySpec kFerruleKeys[] = {
    {.name = "at",
     .kind = ValueKind::length,
     .meaning = "the station of the joint",
     .range = kAlongTheRod,
     .required = true},
    {.name = "bore",
     .kind = ValueKind::length,
     .meaning = "the bore that the turned-down cane must fill",
     .range = {.lowest = 0, .highest = 50, .above = true},
     .required = true},
};
constexpr files::MapSpec kFerrule{"a ferrule", kFerruleKeys};

constexpr KeySpec kFileKeys[] = {
    {.name = "format",
     .kind = ValueKind::format,
     .standard = "stripwright-taper-1",
     .meaning = "what the file is",
     .required = true},
    {.name = "name",
     .kind = ValueKind::text,
     .meaning = "what the rod is called; the file's name if left out"},
    {.name = "about", .kind = ValueKind::text, .meaning = "what it is for, where it comes from"},
    {.name = "unit",
     .kind = ValueKind::unit,
     .meaning = "what a number without a unit means",
     .required = true},
    {.name = "measured",
     .kind = ValueKind::choice,
     .standard = "bare",
     .meaning = "whether the flats are those of bare cane or over varnish",
     .choices = kMeasured},
    {.name = "between",
     .kind = ValueKind::choice,
     .standard = "linear",
     .meaning = "straight lines between the stations, or a monotone cubic through them",
     .choices = kBetween},
    {.name = "taper",
     .kind = ValueKind::flats_table,
     .meaning = "distance from the tip end: across flats; at least two lines",
     .range = {.lowest = 0, .highest = 100, .above = true},
     .required = true},
    {.name = "sections",
     .kind = ValueKind::named_maps,
     .meaning = "the rod's sections; one called `rod` over the whole taper if left out",
     .map = &kSection},
    {.name = "ferrules",
     .kind = ValueKind::map_list,
     .meaning = "the joints, for a check that enough cane is left to turn down",
     .map = &kFerrule},
};
constexpr files::MapSpec kFile{"a taper file", kFileKeys};

}  // namespace

files::MapSpec const& taper_file_keys() { return kFile; }
files::MapSpec const& taper_section_keys() { return kSection; }
files::MapSpec const& taper_ferrule_keys() { return kFerrule; }

}  // namespace stripwright
