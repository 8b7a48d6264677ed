#pragma once

#include "page/desk.h"
#include "report/html.h"

namespace stripwright::page {

/// A file that a page shows with changes in it: as it is, and as it would be.
struct DraftedFile {
  std::string name;                     ///< within the folder
  std::string bytes;                    ///< of the file as it is
  std::optional<files::YamlNode> base;  ///< its tree
  Drafted draft;
  std::optional<files::SourceText> text;  ///< with the changes
  std::optional<files::YamlNode> tree;    ///< of that
};

/// Reads and drafts. Nothing where the file is not there; mistakes of its content are not told
/// here.
std::optional<DraftedFile> drafted_file(Desk const& desk, std::string const& name,
                                        std::vector<DraftChange> const& changes,
                                        Problems& problems);
/// The same of bytes that are at hand.
DraftedFile drafted_bytes(std::string const& name, std::string bytes,
                          std::vector<DraftChange> const& changes);

/// The state that the file is in, as `/file/state` tells it.
std::string tag_of(DraftedFile const& file);

/// The path as an attribute of the page has it: a JSON array.
std::string path_text(std::vector<std::string> const& path);

// What pages with drafts have in common.
/// What holds such a page, for its script: which page, which file, in which state. Left open.
void open_draft(report::Html& html, std::string_view page, DraftedFile const& file);
/// Save, undo, redo; the bar is left open for more.
void add_draft_bar(report::Html& html);
/// The file's earlier states, listed when they are asked for (`earlier.js`).
void add_earlier_states(report::Html& html);

}  // namespace stripwright::page
