#pragma once

#include "files/key_spec.h"

namespace stripwright {

/// The keys of a taper file.
files::MapSpec const& taper_file_keys();
/// The keys of one section, and of one ferrule.
files::MapSpec const& taper_section_keys();
files::MapSpec const& taper_ferrule_keys();

}  // namespace stripwright
