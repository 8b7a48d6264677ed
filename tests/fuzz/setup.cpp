#include "fuzz.h"
#include "machine/section_setup.h"
#include "machine/setup_tables.h"
#include "report/table.h"
#include "shop/read_shop.h"
#include "taper/read_taper.h"

using namespace stripwright;

/// A taper and a shop, `%%` between them, set up on every machine.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  auto rest = fuzz::text(bytes, size);
  const files::SourceText taper_source("taper.yaml", std::string(fuzz::cut(rest)));
  const files::SourceText shop_source("shop.yaml", std::string(rest));
  Problems problems;
  const auto taper = read_taper(taper_source, problems);
  const auto shop = taper ? read_shop(shop_source, problems) : std::nullopt;
  if (!shop) return 0;
  // A taper of a thousand points costs time and finds no more.
  constexpr std::size_t kMostPoints = 60;
  if (taper->points.size() > kMostPoints) return 0;
  for (auto const& machine : shop->machines) {
    Problems here;
    const auto setups =
        machine::set_up({*taper, *shop, machine,
                         shop->gauges.empty() ? std::nullopt : std::optional(shop->gauges.front()),
                         taper->sections, taper->unit},
                        here);
    if (here.any_error()) continue;
    for (auto const& setup : setups) {
      fuzz::promise(!report::to_csv(machine::cutter_table(setup), taper->unit).empty(), "a table");
      fuzz::promise(!report::to_text(machine::station_table(setup), taper->unit).empty(),
                    "a table");
    }
  }
  return 0;
}
