#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "files/yaml_rewrite.h"
#include "files/yaml_writing.h"
#include "taper/read_taper.h"
#include "taper/write_taper.h"
#include "units/format.h"

namespace stripwright {
namespace {

using files::YamlEntry;
using files::YamlNode;

YamlEntry const* entry_of(YamlNode const& map, std::string_view key) {
  const auto found = std::find_if(map.entries.begin(), map.entries.end(),
                                  [&](YamlEntry const& each) { return each.key.text == key; });
  return found == map.entries.end() ? nullptr : &*found;
}

/// The decimals of a plain decimal, 0 of whatever else.
std::size_t decimals_of(std::string_view text) {
  const auto point = text.find('.');
  if (point == std::string_view::npos ||
      text.substr(point + 1).find_first_not_of("0123456789") != std::string_view::npos)
    return 0;
  return text.size() - point - 1;
}

/// With zeros at the end until it has so many decimals.
std::string padded(std::string number, std::size_t decimals) {
  if (decimals == 0) return number;
  if (number.find('.') == std::string::npos) number += '.';
  const auto has = decimals_of(number);
  return number + std::string(decimals - std::min(decimals, has), '0');
}

/// Lengths equal but for the rounding of doubles.
bool unchanged(Length a, Length b) {
  return abs(a - b) <= 1e-12 * (Length::millimetres(1) + abs(a));
}

/// One kind of thing in the file: points, sections or ferrules. Where each entry of the file
/// went, and the wanted ones that are new, each with the entry it comes behind.
struct Moves {
  std::vector<Origins::Index> kept;  ///< of each entry of the file: index into the wanted ones
  /// Wanted ones that are new, by the entry before which they are put.
  std::vector<std::pair<std::size_t, std::size_t>> fresh;
};

/// `order[i]` is the file's entry of the old one i.
Moves moves_of(std::vector<Origins::Index> const& from, std::vector<std::size_t> const& order) {
  Moves out;
  out.kept.resize(order.size());
  std::optional<std::size_t> behind;
  for (std::size_t w = 0; w < from.size(); ++w) {
    if (from[w]) {
      behind = order[*from[w]];
      out.kept[*behind] = w;
    } else {
      out.fresh.emplace_back(behind ? *behind + 1 : 0, w);
    }
  }
  return out;
}

class Rewriter {
 public:
  Rewriter(files::YamlRewrite& file, Taper const& old, DerivedTaper const& wanted)
      : file_(file), old_(old), wanted_(wanted.taper), from_(wanted.from) {}

  void all() {
    auto const& root = file_.root();
    if (wanted_.unit != old_.unit)
      file_.set(entry_of(root, "unit")->value, std::string(unit_name(wanted_.unit)));
    points(entry_of(root, "taper")->value);
    sections(entry_of(root, "sections"));
    ferrules(entry_of(root, "ferrules"));
  }

 private:
  std::string number(Length length) const { return taper_number(length, wanted_.unit, true); }
  /// All places by one rule, reckoned or not: what is one place is one figure.
  std::string number(Station at) const { return taper_number(at.from_zero(), wanted_.unit, false); }

  /// A length in its place: as it is written, unless it has another value or its number would now
  /// mean another one. In a file of the other unit all places along the rod are written anew:
  /// what was one place in two units must not become two by rounding.
  void length(YamlNode const& node, Length old, Length wanted, bool place) {
    const bool same = unchanged(old, wanted);
    const bool has_unit = parse_length(node.text, std::nullopt).value.has_value();
    if (same && (wanted_.unit == old_.unit || (has_unit && !place))) return;
    auto text = place ? number(Station(wanted)) : taper_number(wanted, wanted_.unit, !same);
    if (wanted_.unit == old_.unit) text = padded(std::move(text), decimals_of(node.text));
    if (text != node.text) file_.set(node, std::move(text));
  }
  void place(YamlNode const& node, Station old, Station wanted) {
    length(node, old.from_zero(), wanted.from_zero(), true);
  }

  /// The entries of a map in the order of their lengths, as the reader sorts them.
  template <class Place>
  std::vector<std::size_t> sorted(std::size_t count, Place const& place) const {
    std::vector<std::size_t> order(count);
    for (std::size_t i = 0; i < count; ++i) order[i] = i;
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return place(a) < place(b); });
    return order;
  }

  Length read(YamlNode const& node) const { return *parse_length(node.text, old_.unit).value; }

  void points(YamlNode const& table) {
    const auto order =
        sorted(table.entries.size(), [&](std::size_t i) { return read(table.entries[i].key); });
    const auto moves = moves_of(from_.points, order);
    for (std::size_t i = 0; i < order.size(); ++i) {
      auto const& entry = table.entries[order[i]];
      auto const& kept = moves.kept[order[i]];
      if (!kept) {
        file_.take_out(table, order[i]);
        continue;
      }
      place(entry.key, old_.points[i].at, wanted_.points[*kept].at);
      length(entry.value, old_.points[i].flats, wanted_.points[*kept].flats, false);
    }
    for (auto const& [before, w] : moves.fresh)
      file_.put_in(table, before,
                   YamlEntry{files::scalar_node(number(wanted_.points[w].at)),
                             files::scalar_node(number(wanted_.points[w].flats))});
  }

  YamlEntry section_entry(RodSection const& section) const {
    std::vector<YamlEntry> body = {
        {files::scalar_node("from"), files::scalar_node(number(section.from))},
        {files::scalar_node("to"), files::scalar_node(number(section.to))}};
    if (section.make != 1)
      body.push_back(
          {files::scalar_node("make"), files::scalar_node(fmt::format("{}", section.make))});
    return {files::scalar_node(section.name), files::map_node(std::move(body))};
  }

  bool whole_rod_only() const {
    return wanted_.sections.size() == 1 && wanted_.sections.front().name == "rod" &&
           same_place(wanted_.sections.front().from, wanted_.tip_end()) &&
           same_place(wanted_.sections.front().to, wanted_.butt_end());
  }

  void sections(YamlEntry const* written) {
    if (!written) {
      if (whole_rod_only()) return;
      std::vector<YamlEntry> all;
      for (auto const& section : wanted_.sections) all.push_back(section_entry(section));
      file_.put_in(file_.root(), file_.root().entries.size(),
                   YamlEntry{files::scalar_node("sections"), files::map_node(std::move(all))});
      return;
    }
    auto const& map = written->value;
    const auto order = sorted(map.entries.size(), [&](std::size_t i) {
      return read(entry_of(map.entries[i].value, "from")->value);
    });
    const auto moves = moves_of(from_.sections, order);
    for (std::size_t i = 0; i < order.size(); ++i) {
      auto const& entry = map.entries[order[i]];
      auto const& kept = moves.kept[order[i]];
      if (!kept) {
        file_.take_out(map, order[i]);
        continue;
      }
      auto const& section = wanted_.sections[*kept];
      if (section.name != entry.key.text) file_.set(entry.key, section.name);
      place(entry_of(entry.value, "from")->value, old_.sections[i].from, section.from);
      place(entry_of(entry.value, "to")->value, old_.sections[i].to, section.to);
    }
    for (auto const& [before, w] : moves.fresh)
      file_.put_in(map, before, section_entry(wanted_.sections[w]));
  }

  YamlNode ferrule_item(Ferrule const& ferrule) const {
    return files::map_node(
        {{files::scalar_node("at"), files::scalar_node(number(ferrule.at))},
         {files::scalar_node("bore"), files::scalar_node(number(ferrule.bore))}});
  }

  void ferrules(YamlEntry const* written) {
    auto const& root = file_.root();
    if (!written && wanted_.ferrules.empty()) return;
    if (!written) {
      YamlNode list;
      list.kind = YamlNode::Kind::sequence;
      for (auto const& ferrule : wanted_.ferrules) list.items.push_back(ferrule_item(ferrule));
      file_.put_in(root, root.entries.size(),
                   YamlEntry{files::scalar_node("ferrules"), std::move(list)});
      return;
    }
    auto const& list = written->value;
    if (wanted_.ferrules.empty() && !list.items.empty()) {
      file_.take_out(root, static_cast<std::size_t>(written - root.entries.data()));
      return;
    }
    std::vector<std::size_t> order(list.items.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    const auto moves = moves_of(from_.ferrules, order);
    for (std::size_t i = 0; i < order.size(); ++i) {
      if (!moves.kept[i]) {
        file_.take_out(list, i);
        continue;
      }
      auto const& ferrule = wanted_.ferrules[*moves.kept[i]];
      place(entry_of(list.items[i], "at")->value, old_.ferrules[i].at, ferrule.at);
      length(entry_of(list.items[i], "bore")->value, old_.ferrules[i].bore, ferrule.bore, false);
    }
    for (auto const& [before, w] : moves.fresh)
      file_.put_in(list, before, ferrule_item(wanted_.ferrules[w]));
  }

  files::YamlRewrite& file_;
  Taper const& old_;
  Taper const& wanted_;
  Origins const& from_;
};

std::vector<files::YamlChange> changed_words(YamlNode const& root, Taper const& old,
                                             Taper const& wanted) {
  std::vector<files::YamlChange> out;
  if (wanted.name != old.name) out.push_back({{"name"}, wanted.name});
  if (wanted.about != old.about) out.push_back({{"about"}, wanted.about});
  if (wanted.measured != old.measured &&
      (entry_of(root, "measured") || wanted.measured != Measured::bare))
    out.push_back({{"measured"}, wanted.measured == Measured::bare ? "bare" : "varnished"});
  return out;
}

/// True if what was read is what was wanted, to half the last decimal that is written.
bool same_taper(Taper const& read, Taper const& wanted, bool name_written) {
  const Length half = of_unit(0.51 * std::pow(10, -file_decimals(wanted.unit)), wanted.unit);
  const auto same = [&](Length a, Length b) { return abs(a - b) <= half; };
  const auto same_station = [&](Station a, Station b) {
    return same(a.from_zero(), b.from_zero());
  };
  return (!name_written || read.name == wanted.name) && read.about == wanted.about &&
         read.unit == wanted.unit && read.measured == wanted.measured &&
         read.between == wanted.between &&
         std::equal(read.points.begin(), read.points.end(), wanted.points.begin(),
                    wanted.points.end(),
                    [&](auto const& a, auto const& b) {
                      return same_station(a.at, b.at) && same(a.flats, b.flats);
                    }) &&
         std::equal(read.sections.begin(), read.sections.end(), wanted.sections.begin(),
                    wanted.sections.end(),
                    [&](auto const& a, auto const& b) {
                      return a.name == b.name && a.make == b.make && same_station(a.from, b.from) &&
                             same_station(a.to, b.to);
                    }) &&
         std::equal(read.ferrules.begin(), read.ferrules.end(), wanted.ferrules.begin(),
                    wanted.ferrules.end(), [&](auto const& a, auto const& b) {
                      return same_station(a.at, b.at) && same(a.bore, b.bore);
                    });
}

}  // namespace

std::optional<std::string> derived_taper_text(std::string const& from_name,
                                              std::string const& bytes, Taper const& old,
                                              DerivedTaper const& wanted,
                                              std::string const& to_name,
                                              std::vector<std::string> const& remarks,
                                              Problems& problems) {
  Problem problem;
  auto file = files::YamlRewrite::open(from_name, bytes, problem);
  if (!file) {
    problems.add(problem);
    return std::nullopt;
  }
  const bool name_written = entry_of(file->root(), "name") || wanted.taper.name != old.name;
  const auto words = changed_words(file->root(), old, wanted.taper);
  Rewriter(*file, old, wanted).all();
  file->remark(remarks);
  auto edit = file->done();
  if (edit) edit = files::edit_yaml(from_name, *edit.bytes, words);
  if (!edit) {
    problems.add(edit.problem);
    return std::nullopt;
  }
  const auto errors_before = problems.errors();
  const auto read = read_taper(files::SourceText(to_name, *edit.bytes), problems);
  if (problems.errors() > errors_before) return std::nullopt;
  check_internal(read && same_taper(*read, wanted.taper, name_written),
                 "the file that was made does not hold the taper that was wanted");
  return edit.bytes;
}

}  // namespace stripwright
