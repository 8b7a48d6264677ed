#pragma once

#include "files/key_spec.h"

namespace stripwright::culm {

/// The keys of a culm file.
files::MapSpec const& culm_file_keys();

}  // namespace stripwright::culm
