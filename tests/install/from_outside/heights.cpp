// heights TAPER SHOP: the milled height of the first section's strip at each station, in mm.
#include <cstdio>

#include "section/strip_profile.h"
#include "shop/read_shop.h"
#include "taper/read_taper.h"
using namespace stripwright;

int main(int, char** files) {
  Problems problems;
  const auto taper = read_taper(*files::read_source(files[1], problems), problems);
  const auto shop = read_shop(*files::read_source(files[2], problems), problems);
  const section::StripProfile strip(std::make_shared<TaperCurve>(*taper), taper->sections.front(),
                                    {taper->measured, shop->allowances});
  for (const auto at : section::table_stations(*taper, strip.section()))
    std::printf("%.5f\n", strip.height(at).in_millimetres());
}
