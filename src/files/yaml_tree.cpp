#include "files/yaml_tree.h"

#include <yaml-cpp/parser.h>

#include <istream>

#include "files/tree_builder.h"
#include "files/watched_buffer.h"
#include "files/yaml_fault.h"

namespace stripwright::files {
namespace {

/// Told by the handler below when a second document starts.
struct SecondDocument {
  std::size_t offset;
};

/// Looks for a second document and no further.
class DocumentFinder : public YAML::EventHandler {
 public:
  void OnDocumentStart(YAML::Mark const& mark) override {
    throw SecondDocument{mark.pos < 0 ? 0 : static_cast<std::size_t>(mark.pos)};
  }
  void OnDocumentEnd() override {}
  void OnNull(YAML::Mark const&, YAML::anchor_t) override {}
  void OnAlias(YAML::Mark const&, YAML::anchor_t) override {}
  void OnScalar(YAML::Mark const&, std::string const&, YAML::anchor_t,
                std::string const&) override {}
  void OnSequenceStart(YAML::Mark const&, std::string const&, YAML::anchor_t,
                       YAML::EmitterStyle::value) override {}
  void OnSequenceEnd() override {}
  void OnMapStart(YAML::Mark const&, std::string const&, YAML::anchor_t,
                  YAML::EmitterStyle::value) override {}
  void OnMapEnd() override {}
};

/// What starts a second document: a line of ---, or a line that the first one cannot hold.
void refuse_second(std::size_t offset, SourceText const& source, Problems& problems) {
  if (source.text().substr(offset).starts_with("---"))
    problems.add(
        source.problem(offset, "several documents in one file (---)", "keep one document a file"));
  else
    problems.add(source.problem(offset, "a line that does not fit the lines above it",
                                "check the indent of this line and the one before"));
}

/// The document's tree; nothing if there is none.
std::optional<YamlNode> parse_one(SourceText const& source, Problems& problems) {
  TreeBuilder builder(source, problems);
  WatchedBuffer buffer(source.text(), builder);
  std::istream stream(&buffer);
  bool any = false;
  try {
    YAML::Parser parser(stream);
    any = parser.HandleNextDocument(builder);
    DocumentFinder finder;
    if (any && !buffer.gave_up()) parser.HandleNextDocument(finder);
  } catch (SecondDocument const& second) {
    refuse_second(second.offset, source, problems);
  } catch (YAML::Exception const& fault) {
    // Where the buffer gave up, the library finds a fault in the end it was told of.
    if (!buffer.gave_up()) {
      problems.add(yaml_problem(fault, source));
      return std::nullopt;
    }
  }
  if (buffer.gave_up()) {
    problems.add(source.problem(buffer.gave_up_at(),
                                "a bracket, text or comment that goes on for over 1 MB from here",
                                "is this the right file?"));
    return std::nullopt;
  }
  if (any) return builder.take_root();
  problems.add(source.problem(0, "the file is empty",
                              "a file starts with a line such as `format: stripwright-taper-1`"));
  return std::nullopt;
}

}  // namespace

std::optional<YamlNode> parse_yaml(SourceText const& source, Problems& problems) {
  try {
    return parse_one(source, problems);
  } catch (TreeTooLarge const& fault) {
    problems.add(source.problem(fault.offset, fault.what, fault.remedy));
    return std::nullopt;
  }
}

}  // namespace stripwright::files
