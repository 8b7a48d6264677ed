#include <algorithm>
#include <boost/math/quadrature/gauss.hpp>
#include <cmath>

#include "catch.h"
#include "geos_outline.h"
#include "section/polygons.h"

namespace stripwright::section {
namespace {

Length mm(double value) { return Length::millimetres(value); }

// What of the strip is farther from the outer arc than `depth`: integrated over the strip's width,
// between the flank |x| √3 below and the lower of inner arc and face above.
double share_by_quadrature(RoundFace const& face, double h, double depth) {
  const double r = (face.culm_radius - face.enamel).in_millimetres();
  const double inner = r - depth;
  const double y_c = h - std::sqrt(r * r - h * h / 3);
  const auto softer = [&](double x) {
    if (std::fabs(x) >= inner) return 0.0;
    const double half_chord = std::sqrt(inner * inner - x * x);
    const double low = std::max(std::sqrt(3.0) * x, y_c - half_chord);
    return std::max(0.0, std::min(h, y_c + half_chord) - low);
  };
  double area = 0;
  constexpr int kPieces = 2000;  // short pieces, for the corners in the integrand
  const double width = h / std::sqrt(3.0);
  for (int i = 0; i < kPieces; ++i) {
    area += boost::math::quadrature::gauss<double, 7>::integrate(softer, width * i / kPieces,
                                                                 width * (i + 1) / kPieces);
  }
  return 1 - 2 * area / (h * h / std::sqrt(3.0));
}

TEST_CASE("the share of power fibre agrees with an integral and with GEOS") {
  struct Row {
    double r, e, h, depth;
  };
  for (const auto& [r, e, h, depth] :
       {Row{22, 0.12, 4, 1.0}, Row{22, 0.12, 4, 0.05}, Row{22, 0.12, 4, 3.9}, Row{22, 0.12, 1, 0.5},
        Row{8, 0.2, 6, 2.0}, Row{8, 0, 9, 3.0}, Row{60, 0.2, 3, 1.5}, Row{8, 0.2, 10, 5.0}}) {
    const RoundFace face{mm(r), mm(e), mm(r)};
    INFO("R " << r << ", e " << e << ", h_w " << h << ", depth " << depth);
    const double share = power_fibre_share(face, mm(h), mm(depth));
    CHECK(share == Approx(share_by_quadrature(face, h, depth)).margin(2e-6));

    // The ring itself, cut out of the disc and laid over the strip.
    const Length y_c = centre_from_apex(face, mm(h));
    const GeosOutline ring = GeosOutline(disc_polygon(mm(r - e), y_c))
                                 .without(GeosOutline(disc_polygon(mm(r - e - depth), y_c)));
    const GeosOutline strip(strip_polygon(mm(h)));
    CHECK(share == Approx(strip.common_with(ring).area() / strip.area()).margin(2e-6));
  }
}

TEST_CASE("the share of power fibre at its ends") {
  const RoundFace face{mm(22), mm(0.12), mm(22)};
  CHECK(power_fibre_share(face, mm(4), Length()) == Approx(0).margin(1e-9));
  CHECK(power_fibre_share(face, mm(4), mm(-1)) == 0);
  CHECK(power_fibre_share(face, mm(4), mm(30)) == 1);
  // The crown of the fibre's arc is cut away with the finished face flat, so a depth of the whole
  // height leaves a morsel at the apex still; that much deeper leaves none.
  const Length crown = crown_allowance(face, mm(4)) - mm(0.12);
  CHECK(power_fibre_share(face, mm(4), mm(4)) < 1);
  CHECK(power_fibre_share(face, mm(4), mm(4) + crown + mm(1e-6)) == 1);

  SECTION("a very stout culm is flat: 1 - ((h - p) / h)²") {
    const RoundFace stout{mm(3000), mm(0.12), mm(3000)};
    for (const double depth : {0.4, 1.0, 2.0, 3.5}) {
      const double left = (4 - depth) / 4;
      CHECK(power_fibre_share(stout, mm(4), mm(depth)) == Approx(1 - left * left).margin(1e-3));
    }
  }
}

}  // namespace
}  // namespace stripwright::section
