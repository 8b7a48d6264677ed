#pragma once

#include "inspection/reading_rows.h"

namespace stripwright::inspection {

/// A file that was read, and what is in it, as far as it could be read.
struct ReadFile {
  files::SourceText const& source;
  ReadingColumns const& columns;
  ReadingRows const& rows;
  std::vector<Targets const*> const& sections;
};

/// Adds what was found wrong with the rows of a file. Where nine of ten rows or more are wrong for
/// the same cause, it is told once, at the first of them, and how many there are: columns at and a
/// height swapped, so that the places are heights and the heights are places; else problems with
/// the same way out, as in a file of another unit or with decimal commas. Fewer than six are told
/// one by one.
void add_once(Problems const& found, ReadFile const& file, Problems& problems);

}  // namespace stripwright::inspection
