#pragma once

#include <yaml-cpp/exceptions.h>

#include "files/source_text.h"

namespace stripwright::files {

/// A fault that the YAML library found, put so that someone who has never heard of flow
/// maps knows what to look for.
Problem yaml_problem(YAML::Exception const& fault, SourceText const& source);

}  // namespace stripwright::files
