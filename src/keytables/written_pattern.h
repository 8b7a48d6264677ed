#pragma once

#include <string>

namespace stripwright::keytables {

/// Whether a minus sign may stand in front.
enum class Sign { any, no_minus };

/// The texts that are lengths by the grammar of `parse_length`, as a regular
/// expression in the part of ECMA 262 that the JSON Schema standard advises, so that
/// every validator takes it. What no such expression can tell is let through: lengths
/// beyond a kilometre, and a fraction of twelve inches or more behind feet.
std::string length_pattern(Sign sign);

/// The texts that are plain numbers by `parse_number`.
std::string number_pattern(Sign sign);

/// Whole numbers, also with nothing but zeros behind a point.
std::string whole_pattern(Sign sign);

/// Of the texts above, those that are 0 whatever their unit; for other texts it
/// means nothing.
std::string zero_pattern();

/// Names of sections, gauges and machines: `is_name`.
std::string name_pattern();

}  // namespace stripwright::keytables
