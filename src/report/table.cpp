#include "report/table.h"

#include <fmt/format.h>

#include <algorithm>

#include "diagnostics/overloaded.h"
#include "units/format.h"

namespace stripwright::report {
namespace {

std::string file_text(Cell const& cell, Unit unit) {
  return std::visit(
      Overloaded{[](std::monostate) { return std::string(); },
                 [](std::string const& text) { return text; },
                 [](long whole) { return fmt::format("{}", whole); },
                 [](Number n) { return format_fixed(n.value, n.file_decimals); },
                 [&](Place p) { return format_number(p.from_zero, unit, file_decimals(unit)); },
                 [&](Length l) { return format_number(l, unit, file_decimals(unit)); }},
      cell);
}

void append_field(std::string& out, std::string const& field) {
  if (field.find_first_of(",\"\r\n") == std::string::npos) {
    out += field;
    return;
  }
  out += '"';
  for (const char c : field) {
    if (c == '"') out += '"';
    out += c;
  }
  out += '"';
}

/// Width of text on a terminal: its characters, for our words are Latin.
std::size_t width(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
  }));
}

std::vector<std::string> heading_lines(Column const& column, Unit unit) {
  std::vector<std::string> lines;
  std::string word;
  for (const char c : column.heading) {
    if (c == ' ') {
      lines.push_back(std::move(word));
      word.clear();
    } else {
      word += c == '~' ? ' ' : c;
    }
  }
  lines.push_back(std::move(word));
  if (column.length) lines.emplace_back(unit_name(unit));
  return lines;
}

struct BenchColumn {
  std::size_t index;
  std::vector<std::string> heading;
  std::size_t wide = 0;
  bool text = false;  // text stands to the left
};

std::vector<BenchColumn> bench_columns(Table const& table, Unit unit,
                                       std::vector<std::vector<std::string>> const& cells) {
  std::vector<BenchColumn> out;
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    if (table.columns[c].heading.empty()) continue;
    // A column that has nothing to say only takes room.
    const bool empty =
        std::all_of(cells.begin(), cells.end(), [&](auto const& row) { return row[c].empty(); });
    if (empty && !cells.empty()) continue;
    BenchColumn column{c, heading_lines(table.columns[c], unit), 0, false};
    for (auto const& line : column.heading) column.wide = std::max(column.wide, width(line));
    for (std::size_t r = 0; r < cells.size(); ++r) {
      column.wide = std::max(column.wide, width(cells[r][c]));
      column.text |= std::holds_alternative<std::string>(table.rows[r][c]);
    }
    out.push_back(std::move(column));
  }
  return out;
}

void append_padded(std::string& line, std::string const& text, BenchColumn const& column) {
  const std::string pad(column.wide - width(text), ' ');
  line += column.text ? text + pad : pad + text;
}

void finish_line(std::string& out, std::string& line) {
  line.erase(line.find_last_not_of(' ') + 1);
  out += line + '\n';
  line.clear();
}

}  // namespace

std::string cell_text(Cell const& cell, Unit unit) {
  return std::visit(
      Overloaded{
          [](std::monostate) { return std::string(); },
          [](std::string const& text) { return text; },
          [](long whole) { return fmt::format("{}", whole); },
          [](Number n) { return format_fixed(n.value, n.bench_decimals); },
          [&](Place p) { return format_short(in_unit(p.from_zero, unit), bench_decimals(unit)); },
          [&](Length l) { return format_number(l, unit, bench_decimals(unit)); }},
      cell);
}

std::string heading_text(Column const& column, Unit unit) {
  std::string text = column.heading;
  std::replace(text.begin(), text.end(), '~', ' ');
  return column.length ? fmt::format("{}, {}", text, unit_name(unit)) : text;
}

std::string file_name(Column const& column, Unit unit) {
  return column.length ? fmt::format("{}_{}", column.name, unit_name(unit)) : column.name;
}

std::string to_csv(Table const& table, Unit unit) {
  std::string out;
  const auto row = [&](auto const& field) {
    bool first = true;
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
      if (table.columns[c].name.empty()) continue;
      if (!first) out += ',';
      first = false;
      append_field(out, field(c));
    }
    out += "\r\n";
  };
  row([&](std::size_t c) { return file_name(table.columns[c], unit); });
  for (auto const& cells : table.rows)
    row([&](std::size_t c) { return file_text(cells[c], unit); });
  return out;
}

std::string to_text(Table const& table, Unit unit) {
  std::vector<std::vector<std::string>> cells;
  for (auto const& row : table.rows) {
    auto& texts = cells.emplace_back();
    for (auto const& cell : row) texts.push_back(cell_text(cell, unit));
  }
  const auto columns = bench_columns(table, unit, cells);
  std::size_t heading_rows = 0;
  for (auto const& column : columns) heading_rows = std::max(heading_rows, column.heading.size());
  std::string out;
  std::string line;
  for (std::size_t h = 0; h < heading_rows; ++h) {
    for (auto const& column : columns) {
      // Headings stand on the figures: short ones start further down.
      const std::size_t skipped = heading_rows - column.heading.size();
      line += "  ";
      append_padded(line, h < skipped ? std::string() : column.heading[h - skipped], column);
    }
    finish_line(out, line);
  }
  for (auto const& row : cells) {
    for (auto const& column : columns) {
      line += "  ";
      append_padded(line, row[column.index], column);
    }
    finish_line(out, line);
  }
  return out;
}

}  // namespace stripwright::report
