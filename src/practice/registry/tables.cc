// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "casebook/fact.h"
#include "practice/registry/columns.h"
#include "practice/registry/registry.h"

namespace fairlead {
namespace {

using Json = nlohmann::ordered_json;
using Cells = std::vector<std::string>;

template <typename Row>
void Head(RegistryTable& table, std::span<const Column<Row>> columns) {
  for (const Column<Row>& column : columns) table.head.emplace_back(column.name);
}
template <typename Row>
void Fill(Cells& cells, std::span<const Column<Row>> columns, const Row& row) {
  for (const Column<Row>& column : columns) cells.push_back(CellOf(column.of(row)));
}

// The facts follow the visit's own columns, each under the dictionary's name.
RegistryTable VisitTable(const Registry& registry) {
  RegistryTable table{"visits", {}, {}};
  Head(table, VisitColumns());
  for (const RowFactKind& kind : RowFacts()) table.head.emplace_back(kind.name);
  for (const LabVisit& visit : registry.visits) {
    Cells cells;
    Fill(cells, VisitColumns(), visit);
    for (const RowFactKind& kind : RowFacts()) {
      const auto fact = visit.row.facts.find(std::string(kind.name));
      cells.push_back(fact == visit.row.facts.end() ? "" : CellOf(std::visit([](const auto& value) { return ColumnValue{value}; }, fact->second)));
    }
    table.rows.push_back(std::move(cells));
  }
  return table;
}

template <typename Row>
RegistryTable PartTable(const Registry& registry, std::string name, std::span<const Column<Row>> columns, std::vector<Row> LabVisit::*part) {
  RegistryTable table{std::move(name), {"visit"}, {}};
  Head(table, columns);
  for (const LabVisit& visit : registry.visits) {
    for (const Row& row : visit.*part) {
      Cells cells = {visit.row.id};
      Fill(cells, columns, row);
      table.rows.push_back(std::move(cells));
    }
  }
  return table;
}

template <typename Row>
void Describe(RegistryTable& table, const char* of, std::span<const Column<Row>> columns) {
  for (const Column<Row>& column : columns) table.rows.push_back({of, std::string(column.name), std::string(column.type), std::string(column.definition)});
}

RegistryTable DictionaryTable() {
  RegistryTable table{"dictionary", {"table", "column", "type", "definition"}, {}};
  Describe(table, "visits", VisitColumns());
  for (const RowFactKind& kind : RowFacts()) {
    const FactRow* row = FindFact(kind.name);
    const char* type = !kind.words.empty() ? "text" : kind.high > kind.low ? "number" : "flag";
    table.rows.push_back({"visits", std::string(kind.name), type,
                          fmt::format("{}{}: most probable value before the case. {}", row->label, row->unit.empty() ? "" : fmt::format(" ({})", row->unit), row->definition)});
  }
  for (const char* of : {"attempts", "devices", "troubles"}) table.rows.push_back({of, "visit", "text", "the row of visits that it belongs to"});
  Describe(table, "attempts", AttemptColumns());
  Describe(table, "devices", DeviceColumns());
  Describe(table, "troubles", TroubleColumns());
  return table;
}

Json ValueJson(const ColumnValue& value) {
  return std::visit([](const auto& each) -> Json {
    if constexpr (std::is_same_v<std::decay_t<decltype(each)>, std::monostate>) return nullptr;
    else return each;
  }, value);
}

template <typename Row>
Json RowJson(std::span<const Column<Row>> columns, const Row& row) {
  Json json = Json::object();
  for (const Column<Row>& column : columns) json[std::string(column.name)] = ValueJson(column.of(row));
  return json;
}
template <typename Row>
Json PartJson(std::span<const Column<Row>> columns, const std::vector<Row>& rows) {
  Json list = Json::array();
  for (const Row& row : rows) list.push_back(RowJson(columns, row));
  return list;
}

std::string Cell(const std::string& text) {
  std::string kept = text;
  const bool number = !text.empty() && text.find_first_not_of("0123456789.-+e") == std::string::npos;
  if (!number && !text.empty() && std::string_view("=+-@\t\r").find(text.front()) != std::string_view::npos) kept.insert(kept.begin(), '\'');
  if (kept.find_first_of("\",\r\n") == std::string::npos) return kept;
  std::string quoted = "\"";
  for (const char c : kept) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
  return quoted + '"';
}

}  // namespace

std::vector<RegistryTable> TablesOf(const Registry& registry) {
  return {VisitTable(registry), PartTable(registry, "attempts", AttemptColumns(), &LabVisit::attempts),
          PartTable(registry, "devices", DeviceColumns(), &LabVisit::devices), PartTable(registry, "troubles", TroubleColumns(), &LabVisit::troubles),
          DictionaryTable()};
}

std::string CsvText(const RegistryTable& table) {
  std::string text;
  const auto line = [&](const Cells& cells) {
    for (std::size_t i = 0; i < cells.size(); ++i) text += (i > 0 ? "," : "") + Cell(cells[i]);
    text += "\r\n";
  };
  line(table.head);
  for (const Cells& row : table.rows) line(row);
  return text;
}

std::string RegistryJson(const Registry& registry) {
  Json visits = Json::array();
  for (const LabVisit& visit : registry.visits) {
    Json one = RowJson(VisitColumns(), visit);
    Json facts = Json::object();
    for (const auto& fact : visit.row.facts) std::visit([&](const auto& value) { facts[fact.first] = value; }, fact.second);
    one["facts"] = std::move(facts);
    one["attempts"] = PartJson(AttemptColumns(), visit.attempts);
    one["devices"] = PartJson(DeviceColumns(), visit.devices);
    one["troubles"] = PartJson(TroubleColumns(), visit.troubles);
    visits.push_back(std::move(one));
  }
  Json withheld = Json::array();
  for (const WithheldCase& each : registry.withheld) withheld.push_back(Json{{"case", each.case_id}, {"why", each.why}});
  return Json{{"visits", std::move(visits)}, {"withheld", std::move(withheld)}}.dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace fairlead
