#include <fmt/format.h>

#include <string_view>

#include "machine/ascii.h"
#include "machine/drawing.h"
#include "machine/plain.h"
#include "units/format.h"

namespace stripwright::machine {
namespace {

constexpr int kDecimals = 5;
constexpr std::string_view kOutlineLayer = "OUTLINE_MM";
constexpr std::string_view kMarksLayer = "MARKS_MM";
/// Release 12 reads no longer text.
constexpr std::size_t kLongestText = 255;

/// Group codes of the format.
enum Group {
  kName = 2,
  kFirstText = 1,
  kStart = 0,
  kHandleType = 6,
  kLayer = 8,
  kVariable = 9,
  kX = 10,
  kY = 20,
  kZ = 30,
  kEndX = 11,
  kEndY = 21,
  kEndZ = 31,
  kHeight = 40,
  kTurned = 50,
  kColour = 62,
  kFollows = 66,
  kFlags = 70,
  kStands = 72,
  kComment = 999,
};

class DxfText {
 public:
  explicit DxfText(Drawing const& drawing) : drawing_(drawing) {}

  std::string text() {
    // `%%` and `^` lead in what is not printed as it stands.
    put(kComment, to_ascii(drawing_.title, "%^"));
    put(kComment, "all lengths in millimetres, full size");
    header();
    tables();
    section("ENTITIES");
    for (auto const& outline : drawing_.outlines) polyline(outline);
    for (auto const& mark : drawing_.marks) line(mark);
    for (auto const& words : drawing_.texts) label(words);
    put(kStart, "ENDSEC");
    put(kStart, "EOF");
    return std::move(out_);
  }

 private:
  void put(int group, std::string_view value) { out_ += fmt::format("{}\n{}\n", group, value); }
  void put(int group, int value) { out_ += fmt::format("{}\n{}\n", group, value); }
  void put(int group, Length length) { put(group, format_fixed(plain::mm(length), kDecimals)); }
  void place(DrawingPlace const& at, Group x = kX, Group y = kY, Group z = kZ) {
    put(x, at.x);
    put(y, at.y);
    put(z, Length{});
  }

  void section(std::string_view name) {
    put(kStart, "SECTION");
    put(kName, name);
  }

  void header() {
    section("HEADER");
    put(kVariable, "$ACADVER");
    put(kFirstText, "AC1009");
    put(kVariable, "$EXTMIN");
    place(drawing_.lowest);
    put(kVariable, "$EXTMAX");
    place(drawing_.highest);
    put(kStart, "ENDSEC");
  }

  void tables() {
    constexpr int kBlack = 7, kGrey = 8, kAlignmentOfDashes = 65;
    section("TABLES");
    put(kStart, "TABLE");
    put(kName, "LTYPE");
    put(kFlags, 1);
    put(kStart, "LTYPE");
    put(kName, "CONTINUOUS");
    put(kFlags, 0);
    put(3, "Solid line");
    put(kStands, kAlignmentOfDashes);
    put(73, 0);
    put(kHeight, Length{});
    put(kStart, "ENDTAB");
    put(kStart, "TABLE");
    put(kName, "LAYER");
    put(kFlags, 2);
    layer(kOutlineLayer, kBlack);
    layer(kMarksLayer, kGrey);
    put(kStart, "ENDTAB");
    put(kStart, "ENDSEC");
  }

  void layer(std::string_view name, int colour) {
    put(kStart, "LAYER");
    put(kName, name);
    put(kFlags, 0);
    put(kColour, colour);
    put(kHandleType, "CONTINUOUS");
  }

  void entity(std::string_view kind, std::string_view on_layer) {
    put(kStart, kind);
    put(kLayer, on_layer);
  }

  void polyline(std::vector<DrawingPlace> const& outline) {
    entity("POLYLINE", kOutlineLayer);
    put(kFollows, 1);
    place({});
    put(kFlags, 1);  // closed
    for (auto const& at : outline) {
      entity("VERTEX", kOutlineLayer);
      place(at);
    }
    entity("SEQEND", kOutlineLayer);
  }

  void line(DrawingLine const& mark) {
    entity("LINE", kMarksLayer);
    place(mark.from);
    place(mark.to, kEndX, kEndY, kEndZ);
  }

  void label(DrawingText const& words) {
    entity("TEXT", kMarksLayer);
    place(words.at);
    put(kHeight, words.height);
    put(kFirstText, to_ascii(words.words, "%^").substr(0, kLongestText));
    if (words.upwards) put(kTurned, 90);
    if (words.stands != TextStands::up_to_place) return;
    put(kStands, 2);
    place(words.at, kEndX, kEndY, kEndZ);
  }

  Drawing const& drawing_;
  std::string out_;
};

}  // namespace

std::string to_dxf(Drawing const& drawing) { return DxfText(drawing).text(); }

}  // namespace stripwright::machine
