#include "report/json.h"

#include "units/format.h"

namespace stripwright::report {
namespace {

Json json_cell(Cell const& cell, Unit unit) {
  if (auto const* text = std::get_if<std::string>(&cell)) return *text;
  if (auto const* whole = std::get_if<long>(&cell)) return *whole;
  if (auto const* number = std::get_if<Number>(&cell))
    return round_to_decimals(number->value, number->file_decimals);
  if (auto const* place = std::get_if<Place>(&cell)) return json_length(place->from_zero, unit);
  if (auto const* length = std::get_if<Length>(&cell)) return json_length(*length, unit);
  return nullptr;
}

}  // namespace

Json json_length(Length length, Unit unit) {
  return round_to_decimals(in_unit(length, unit), file_decimals(unit));
}

Json to_json(Table const& table, Unit unit) {
  Json rows = Json::array();
  for (auto const& cells : table.rows) {
    Json row = Json::object();
    for (std::size_t c = 0; c < table.columns.size(); ++c)
      if (!table.columns[c].name.empty())
        row[file_name(table.columns[c], unit)] = json_cell(cells[c], unit);
    rows.push_back(std::move(row));
  }
  return rows;
}

std::string json_text(Json const& json) {
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace stripwright::report
