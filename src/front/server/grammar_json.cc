// SPDX-License-Identifier: Apache-2.0
#include "casebook/log/log_line.h"
#include "casebook/log/usual_lines.h"
#include "casebook/run_table.h"
#include "front/server/json_text.h"
#include "front/server/run_json.h"

namespace fairlead {
namespace {

std::string_view TypeName(FieldType type) {
  switch (type) {
    case FieldType::kNumber: return "number";
    case FieldType::kWord: return "word";
    case FieldType::kTag: return "tag";
    case FieldType::kName: return "name";
  }
  return "";
}

std::string_view NeedName(FieldNeed need) { return need == FieldNeed::kMust ? "must" : need == FieldNeed::kAsked ? "asked" : "may"; }
std::string_view SideUseName(SideUse use) { return use == SideUse::kMustSide ? "must" : use == SideUse::kMaySide ? "may" : "none"; }

void WriteField(JsonText& json, const VerbField& field) {
  const FieldRow& row = RowOf(field.id);
  json.Open('{').Member("name", row.name).Member("label", row.label).Member("type", TypeName(row.type)).Member("need", NeedName(field.need));
  if (row.type == FieldType::kNumber) {
    json.Member("low", field.low).Member("high", field.high).Member("bare", field.bare).Key("units").Open('[');
    for (const RunUnit& unit : row.units) json.Open('{').Member("unit", unit.unit).Member("factor", unit.factor).Close('}');
    json.Close(']');
    if (field.sign != 0) json.Member("sign", std::string_view(&field.sign, 1));
    if (field.joined != 0) json.Member("joined", std::string_view(&field.joined, 1));
    if (!field.plus.empty()) json.Member("plus", field.plus).Member("minus", field.minus);
  }
  if (!field.words.empty()) {
    json.Key("words").Open('[');
    for (const RunWord& word : field.words) json.Open('{').Member("word", word.word).Member("also", word.also).Close('}');
    json.Close(']');
  }
  if (!field.letters.empty()) json.Member("letters", field.letters);
  json.Member("keyed", field.keyed).Close('}');
}

}  // namespace

std::string GrammarJson() {
  JsonText json;
  json.Open('{').Key("verbs").Open('[');
  for (const VerbRow& row : RunTable()) {
    json.Open('{').Member("verb", row.verb).Member("also", row.also).Member("group", row.group).Member("side", SideUseName(row.side));
    json.Member("says", row.says).Member("example", row.example).Member("usage", VerbUsage(row.id)).Member("needs_one", row.needs_one);
    json.Key("fields").Open('[');
    for (const VerbField& field : row.fields) WriteField(json, field);
    json.Close(']').Key("usual").Open('[');
    for (const UsualLine& usual : UsualLines())
      if (usual.verb == row.id) json.Text(usual.text);
    json.Close(']').Close('}');
  }
  return json.Close(']').Close('}').Take();
}

}  // namespace fairlead
