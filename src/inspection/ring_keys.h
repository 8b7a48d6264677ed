#pragma once

#include "files/key_spec.h"

namespace stripwright {

/// The keys of a ring file.
files::MapSpec const& ring_file_keys();

}  // namespace stripwright
