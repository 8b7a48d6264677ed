#include <iostream>

#include "cli/run.h"

int main(int argc, char** argv) {
  std::ios::sync_with_stdio(false);
  return stripwright::cli::run({argv + 1, argv + argc}, std::cout, std::cerr);
}
