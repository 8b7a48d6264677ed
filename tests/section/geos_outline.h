#pragma once

#include <geos_c.h>

#include <memory>

#include "catch.h"
#include "section/polygons.h"

namespace stripwright::section {

/// The same outline in GEOS, a geometry library with no code in common with ours: a second opinion.
class GeosOutline {
 public:
  explicit GeosOutline(Polygon const& polygon) : shape_(nullptr, destroy) {
    auto const& corners = polygon.outer();
    GEOSCoordSequence* sequence =
        GEOSCoordSeq_create_r(context(), static_cast<unsigned>(corners.size()), 2);
    unsigned i = 0;
    for (Point const& p : corners) GEOSCoordSeq_setXY_r(context(), sequence, i++, p.x(), p.y());
    shape_.reset(GEOSGeom_createPolygon_r(
        context(), GEOSGeom_createLinearRing_r(context(), sequence), nullptr, 0));
    REQUIRE(shape_ != nullptr);
    REQUIRE(GEOSisValid_r(context(), shape_.get()) == 1);
  }

  double area() const {
    double area = 0;
    REQUIRE(GEOSArea_r(context(), shape_.get(), &area) == 1);
    return area;
  }
  double distance(GeosOutline const& other) const {
    double distance = 0;
    REQUIRE(GEOSDistance_r(context(), shape_.get(), other.shape_.get(), &distance) == 1);
    return distance;
  }
  GeosOutline common_with(GeosOutline const& other) const {
    return GeosOutline(GEOSIntersection_r(context(), shape_.get(), other.shape_.get()));
  }
  GeosOutline without(GeosOutline const& other) const {
    return GeosOutline(GEOSDifference_r(context(), shape_.get(), other.shape_.get()));
  }
  GeosOutline together_with(GeosOutline const& other) const {
    return GeosOutline(GEOSUnion_r(context(), shape_.get(), other.shape_.get()));
  }

 private:
  explicit GeosOutline(GEOSGeometry* shape) : shape_(shape, destroy) { REQUIRE(shape_ != nullptr); }
  static GEOSContextHandle_t context() {
    static const std::unique_ptr<GEOSContextHandle_HS, void (*)(GEOSContextHandle_t)> handle(
        GEOS_init_r(), GEOS_finish_r);
    return handle.get();
  }
  static void destroy(GEOSGeometry* shape) { GEOSGeom_destroy_r(context(), shape); }

  std::unique_ptr<GEOSGeometry, void (*)(GEOSGeometry*)> shape_;
};

}  // namespace stripwright::section
