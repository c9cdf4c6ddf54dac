// SPDX-License-Identifier: Apache-2.0
#include <cmath>

#include <nlohmann/json.hpp>

#include "casebook/entry_data.h"
#include "casebook/run_table.h"

namespace fairlead {
namespace {
using nlohmann::json;

std::vector<std::string_view> MemberNames(const VerbRow& row) {
  std::vector<std::string_view> names = {"verb", "remark"};
  if (row.side != SideUse::kNoSide) names.emplace_back("side");
  for (const VerbField& field : row.fields) names.push_back(RowOf(field.id).name);
  return names;
}

RunSide ReadSide(MemberReader& from, const VerbRow& row) {
  const std::string side = from.Text("side", kLongestName, row.side == SideUse::kMustSide);
  if (side == "a") return RunSide::kAntegrade;
  if (side == "r") return RunSide::kRetrograde;
  if (!side.empty()) from.Refuse("there is no side " + Quoted(side), "side", "write \"a\" or \"r\"");
  return RunSide::kNone;
}

void ReadValue(MemberReader& from, const VerbField& field, RunEvent& event) {
  const FieldRow& row = RowOf(field.id);
  const std::string name(row.name);
  const json* held = from.Find(name.c_str(), field.need == FieldNeed::kMust);
  if (held == nullptr) return;
  const bool number = row.type == FieldType::kNumber;
  if (number ? !held->is_number() : !held->is_string())
    return from.Refuse(number ? "this is not a number" : "this is not text", name.c_str(), "correct it");
  RunValue value{field.id, number ? held->get<double>() : 0.0, number ? std::string() : held->get<std::string>()};
  if (std::string fault = FaultOf(field, value); !fault.empty()) return from.Refuse(std::move(fault), name.c_str(), "correct it");
  event.values.push_back(std::move(value));
}

}  // namespace

EntryData ReadRun(MemberReader& from, std::string_view /*json*/) {
  RunEvent event;
  const std::string verb = from.Text("verb", kLongestName);
  if (from.Faulted()) return event;
  const VerbRow* row = FindVerb(verb);
  if (row == nullptr || row->verb != verb) {
    std::vector<std::string_view> verbs;
    for (const VerbRow& one : RunTable()) verbs.push_back(one.verb);
    from.Refuse("there is no verb " + Quoted(verb), "verb", "did you mean " + Quoted(NearestOf(verb, verbs)) + "?");
    return event;
  }
  from.Only(MemberNames(*row));
  event.verb = row->id;
  event.side = ReadSide(from, *row);
  for (const VerbField& field : row->fields) ReadValue(from, field, event);
  event.remark = from.Text("remark", kLongestLine, false);
  if (event.remark.find_first_of("\r\n") != std::string::npos) from.Refuse("a remark is one line", "remark", "write it without line breaks");
  if (row->needs_one && event.values.empty()) from.Refuse("nothing is said about " + Quoted(verb), "", "give it a value");
  return event;
}

}  // namespace fairlead
