#include <geos_c.h>

#include <memory>

#include "catch.h"
#include "machine/cutter_curve.h"
#include "profiles.h"

using namespace stripwright;
using namespace stripwright::machine;
using namespace profiles;

namespace {

using Geometry = std::unique_ptr<GEOSGeometry, decltype(&GEOSGeom_destroy)>;

void quiet(const char*, ...) {}

Geometry own(GEOSGeometry* g) {
  REQUIRE(g != nullptr);
  return Geometry(g, GEOSGeom_destroy);
}

GEOSGeometry* line(double x0, double y0, double x1, double y1) {
  GEOSCoordSequence* points = GEOSCoordSeq_create(2, 2);
  GEOSCoordSeq_setXY(points, 0, x0, y0);
  GEOSCoordSeq_setXY(points, 1, x1, y1);
  return GEOSGeom_createLineString(points);
}

/// Everything that lies within R of the profile. Span by span, since a buffer of the whole line
/// smooths its hollows by up to a hundredth of R; a quarter of a circle in so many parts that R (1
/// - cos(π/4n)) is 5e-9 R.
Geometry swept(const Straight& h, double from, double to, double radius) {
  std::vector<double> us{from};
  for (const double u : h.us()) {
    if (u > from && u < to) us.push_back(u);
  }
  us.push_back(to);
  std::vector<GEOSGeometry*> spans;
  for (std::size_t i = 0; i + 1 < us.size(); ++i) {
    const auto span = own(line(us[i], h.value(us[i]), us[i + 1], h.value(us[i + 1])));
    spans.push_back(GEOSBuffer(span.get(), radius, 8000));
  }
  const auto all = own(GEOSGeom_createCollection(GEOS_MULTIPOLYGON, spans.data(),
                                                 static_cast<unsigned>(spans.size())));
  return own(GEOSUnaryUnion(all.get()));
}

double top_at(const Geometry& area, double x) {
  const auto plumb = own(line(x, -1000, x, 1000));
  const auto cut = own(GEOSIntersection(area.get(), plumb.get()));
  double top = 0;
  REQUIRE(GEOSGeom_getYMax(cut.get(), &top) == 1);
  return top;
}

}  // namespace

// The path of a round cutter's centre is the upper edge of what a disc sweeps along the profile:
// the buffer of GEOS 3.11.
TEST_CASE("the cutter's centre runs along the upper edge of GEOS's buffer") {
  initGEOS(quiet, quiet);
  {
    Random random(41);
    struct Case {
      int spans;
      double narrow, wide, steep, radius;
    };
    for (const Case& c :
         {Case{8, 20, 60, 0.01, 25}, Case{8, 2, 30, 0.3, 25}, Case{10, 1, 10, 1.5, 6}}) {
      const Straight h = random.straight(c.spans, c.narrow, c.wide, c.steep);
      const double end = h.us().back();
      const CutterCurve curve(h, mm(c.radius), at(0), at(end));
      const auto area = swept(h, -2 * c.radius, end + 2 * c.radius, c.radius);
      for (int i = 0; i < 25; ++i) {
        const double x = random.between(0, end);
        INFO("R " << c.radius << " x " << x);
        CHECK(mm(curve.centre_height(at(x))) == Approx(top_at(area, x)).margin(1e-6));
      }
    }
  }
  finishGEOS();
}
