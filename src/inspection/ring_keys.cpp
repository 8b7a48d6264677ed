#include "inspection/ring_keys.h"

namespace stripwright {
namespace {

using files::KeySpec;
using files::MapSpec;
using files::ValueKind;

/// As at the mill: fibre saturation of woody tissue is about 30 percent of dry mass (Wood
/// Handbook, from memory).
constexpr files::Range kMoisture{.lowest = 0, .highest = 30};
/// No spare is longer than a metre, and a strip slides within it.
constexpr files::Range kShift{.lowest = -1000, .highest = 1000};

constexpr KeySpec kMoistureKeys[] = {
    {.name = "milled",
     .kind = ValueKind::number,
     .meaning = "when the strips were measured as they left the machine, percent of dry mass",
     .range = kMoisture},
    {.name = "ready",
     .kind = ValueKind::number,
     .meaning = "when the strips were measured as they went to the glue",
     .range = kMoisture},
    {.name = "glued",
     .kind = ValueKind::number,
     .meaning = "when the section was measured before it was cleaned",
     .range = kMoisture},
    {.name = "bare",
     .kind = ValueKind::number,
     .meaning = "when it was measured clean and flat",
     .range = kMoisture},
    {.name = "varnished",
     .kind = ValueKind::number,
     .meaning = "when it was measured finished",
     .range = kMoisture},
};
constexpr MapSpec kMoistures{"the moistures of a ring", kMoistureKeys};

constexpr KeySpec kReadingsKeys[] = {
    {.name = "milled",
     .kind = ValueKind::text,
     .meaning = "the strips as they left the machine; used where `ready` is not there"},
    {.name = "ready", .kind = ValueKind::text, .meaning = "the strips as they went to the glue"},
    {.name = "glued",
     .kind = ValueKind::text,
     .meaning = "the section with its binding off, not cleaned"},
    {.name = "bare", .kind = ValueKind::text, .meaning = "the section clean and flat"},
    {.name = "varnished", .kind = ValueKind::text, .meaning = "the section finished"},
};
constexpr MapSpec kReadings{"the readings of a ring", kReadingsKeys};

constexpr KeySpec kFileKeys[] = {
    {.name = "format",
     .kind = ValueKind::format,
     .standard = "stripwright-ring-1",
     .meaning = "what the file is",
     .required = true},
    {.name = "taper",
     .kind = ValueKind::text,
     .meaning = "the rod's taper: a file, its path from this file's folder, or the name of one in "
                "profiles",
     .required = true},
    {.name = "section",
     .kind = ValueKind::name,
     .meaning = "which of the rod's sections the strips make",
     .required = true},
    {.name = "unit",
     .kind = ValueKind::unit,
     .meaning = "what a number without a unit means",
     .required = true},
    {.name = "rod",
     .kind = ValueKind::text,
     .meaning = "which rod it is; ring files of one rod count as one when allowances are learned, "
                "each for itself if left out"},
    {.name = "piece",
     .kind = ValueKind::text,
     .meaning = "the section's name in its readings; needed where they hold several"},
    {.name = "strips",
     .kind = ValueKind::text_list,
     .meaning = "the six strips in their order round the section; opposite is three further on",
     .required = true},
    {.name = "shifts",
     .kind = ValueKind::named_lengths,
     .meaning = "how far strips were moved towards the tip before gluing; 0 for those left out",
     .range = kShift},
    {.name = "marked",
     .kind = ValueKind::yes_no,
     .standard = "true",
     .meaning = "whether f1 crosses strips 1 and 4 of the list, f2 2 and 5, f3 3 and 6; if it is "
                "not known, only means are used"},
    {.name = "moisture",
     .kind = ValueKind::map,
     .meaning = "moisture of the cane when each stage was measured; unchanged if left out",
     .map = &kMoistures},
    {.name = "readings",
     .kind = ValueKind::map,
     .meaning = "the readings of each stage, paths from this file's folder",
     .map = &kReadings},
};
constexpr MapSpec kFile{"a ring file", kFileKeys};

}  // namespace

MapSpec const& ring_file_keys() { return kFile; }

}  // namespace stripwright
