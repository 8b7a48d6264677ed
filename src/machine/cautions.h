#pragma once

#include <string>
#include <vector>

#include "shop/shop.h"

namespace stripwright::machine {

/// The usual cautions for whoever stands at this machine, and what comes before them:
/// the machine's manual, local rules, a qualified person.
std::vector<std::string> cautions(Machine const& machine, Allowances const& allowances);
/// The same for work with hand tools on measured strips and sections.
std::vector<std::string> hand_cautions();

/// Those for gluing and binding.
std::vector<std::string> glue_cautions();

}  // namespace stripwright::machine
