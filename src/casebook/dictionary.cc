// SPDX-License-Identifier: Apache-2.0
#include "casebook/dictionary.h"

#include <algorithm>
#include <array>
#include <numeric>
#include <string>
#include <utility>
#include <vector>

namespace fairlead {
namespace {

std::vector<FactRow> AllRows() {
  std::vector<FactRow> rows;
  for (const auto group : {PatientFacts(), IndicationFacts(), LesionFacts(), UltrasoundFacts(), VesselFacts(),
                           CollateralFacts(), ProcedureFacts()}) {
    rows.insert(rows.end(), group.begin(), group.end());
  }
  return rows;
}

// Levenshtein distance: the number of letters to add, drop or change.
std::size_t EditDistance(std::string_view from, std::string_view to) {
  std::vector<std::size_t> row(to.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 0; i < from.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i + 1;
    for (std::size_t j = 0; j < to.size(); ++j) {
      const std::size_t changed = diagonal + (from[i] == to[j] ? 0 : 1);
      diagonal = row[j + 1];
      row[j + 1] = std::min({row[j] + 1, row[j + 1] + 1, changed});
    }
  }
  return row.back();
}

}  // namespace

std::span<const FactRow> Dictionary() {
  static const std::vector<FactRow> rows = AllRows();
  return rows;
}

const FactRow* FindFact(std::string_view name) {
  static const auto by_name = [] {
    std::vector<const FactRow*> rows;
    for (const auto& row : Dictionary()) rows.push_back(&row);
    std::ranges::sort(rows, {}, &FactRow::name);
    return rows;
  }();
  const auto found = std::ranges::lower_bound(by_name, name, {}, &FactRow::name);
  return found == by_name.end() || (*found)->name != name ? nullptr : *found;
}

// A name that holds the typed word whole ("length": length_angio_mm) is nearer than any that is spelt alike.
std::string_view NearestFact(std::string_view name) {
  constexpr std::size_t kShortestWord = 3;  // a shorter one is part of half the names
  const std::string_view start = name.substr(0, 64);  // a longer name is no misspelling, and costs time
  const auto distance = [start](const FactRow& row) {
    const bool holds = start.size() >= kShortestWord && ("_" + std::string(row.name) + "_").find("_" + std::string(start) + "_") != std::string::npos;
    return std::pair(holds ? 0 : 1, EditDistance(start, row.name));
  };
  return std::ranges::min_element(Dictionary(), {}, distance)->name;
}

const Belief& BeliefOf(const Facts& facts, const FactKey& key) {
  static const Belief unknown = Unknown{};
  const auto found = facts.find(key);
  return found == facts.end() ? unknown : found->second;
}

}  // namespace fairlead
