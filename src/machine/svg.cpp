#include <fmt/format.h>

#include "machine/drawing.h"
#include "machine/plain.h"
#include "report/markup.h"
#include "units/format.h"

namespace stripwright::machine {
namespace {

using report::escaped;

constexpr int kDecimals = 5;
/// Capital letters of common sans-serif faces are so much of the face's size.
constexpr double kCapitalsOfSize = 0.72;

std::string number(double value) { return format_short(value, kDecimals); }

class SvgText {
 public:
  explicit SvgText(Drawing const& drawing) : drawing_(drawing) {}

  std::string text() {
    const auto width = number(right(drawing_.highest)), height = number(down(drawing_.lowest));
    out_ = fmt::format(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
        "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"{0}mm\" "
        "height=\"{1}mm\" viewBox=\"0 0 {0} {1}\">\n"
        "<title>{2}</title>\n",
        width, height, escaped(drawing_.title));
    for (auto const& outline : drawing_.outlines) polygon(outline);
    out_ += "<g class=\"marks\" stroke=\"#444\" stroke-width=\"0.15\" fill=\"none\">\n";
    for (auto const& mark : drawing_.marks)
      out_ +=
          fmt::format("<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"/>\n", number(right(mark.from)),
                      number(down(mark.from)), number(right(mark.to)), number(down(mark.to)));
    out_ += "</g>\n<g class=\"words\" font-family=\"Arial, Helvetica, sans-serif\">\n";
    for (auto const& words : drawing_.texts) line(words);
    out_ += "</g>\n</svg>\n";
    return std::move(out_);
  }

 private:
  double right(DrawingPlace const& place) const { return plain::mm(place.x - drawing_.lowest.x); }
  double down(DrawingPlace const& place) const { return plain::mm(drawing_.highest.y - place.y); }

  void polygon(std::vector<DrawingPlace> const& outline) {
    out_ +=
        "<polygon class=\"outline\" fill=\"none\" stroke=\"#000\" stroke-width=\"0.1\" points=\"";
    for (auto const& place : outline)
      out_ += fmt::format("{},{}\n", number(right(place)), number(down(place)));
    out_ += "\"/>\n";
  }

  void line(DrawingText const& words) {
    const auto x = number(right(words.at)), y = number(down(words.at));
    out_ += fmt::format("<text x=\"{0}\" y=\"{1}\" font-size=\"{2}\"{3}{4}>{5}</text>\n", x, y,
                        number(plain::mm(words.height) / kCapitalsOfSize),
                        words.stands == TextStands::up_to_place ? " text-anchor=\"end\"" : "",
                        words.upwards ? fmt::format(" transform=\"rotate(-90 {} {})\"", x, y) : "",
                        escaped(words.words));
  }

  Drawing const& drawing_;
  std::string out_;
};

}  // namespace

std::string to_svg(Drawing const& drawing) { return SvgText(drawing).text(); }

Length width_of(std::string const& words, Length height) {
  // A digit or a middling letter is 0.56 of the face's size; capitals and wide letters are more.
  constexpr double kWidthOfSize = 0.62;
  double characters = 0;
  for (const char c : words) characters += (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
  return characters * kWidthOfSize / kCapitalsOfSize * height;
}

}  // namespace stripwright::machine
