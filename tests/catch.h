#pragma once

// Debian 12 has Catch2 2.13, Debian 13 has Catch2 3: either will do.
#if __has_include(<catch2/catch_all.hpp>)
#include <catch2/catch_all.hpp>
using Catch::Approx;
#else
#include <catch2/catch.hpp>
#endif
