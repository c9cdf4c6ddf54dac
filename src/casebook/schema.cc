// SPDX-License-Identifier: Apache-2.0
#include "casebook/schema.h"

#include <charconv>
#include <nlohmann/json.hpp>

namespace fairlead {
namespace {

using Json = nlohmann::ordered_json;

std::string_view KindWord(SourceKind kind) {
  switch (kind) {
    case SourceKind::kArticle:
      return "article";
    case SourceKind::kStandard:
      return "standard";
    case SourceKind::kPractice:
      return "practice";
  }
  return "";
}

Json RowJson(const FactRow& row) {
  Json grades = Json::array();
  for (const auto grade : row.grades) grades.push_back(grade);
  return {{"name", row.name},
          {"type", TypeWord(row.type)},
          {"group", GroupWord(row.group)},
          {"label", row.label},
          {"unit", row.unit},
          {"grades", grades},
          {"may_be_unseen", row.may_be_unseen},
          {"may_be_not_determinable", row.may_be_not_determinable},
          {"per_channel", row.per_channel},
          {"low", row.low},
          {"high", row.high},
          {"usual_spread", {{"share", row.usual_spread.share}, {"floor", row.usual_spread.floor}}},
          {"definition", row.definition},
          {"source", row.source.id}};
}

Json Limits(const FactRow& row) {
  return {{"type", "number"}, {"minimum", row.low}, {"maximum", row.high}};
}

Json ReadingSchema(const FactRow& row) {
  Json with_sd = {
      {"type", "object"},
      {"properties",
       {{"value", Limits(row)}, {"sd", {{"type", "number"}, {"minimum", 0}, {"maximum", row.high - row.low}}}}},
      {"required", {"value"}},
      {"additionalProperties", false}};
  Json bare = Limits(row);
  if (row.type == FactType::kCount) bare["type"] = "integer";
  return {{"anyOf", {bare, with_sd}}};
}

Json GradeSchema(const FactRow& row) {
  const Json share = {{"type", "number"}, {"minimum", 0}, {"maximum", 1}};
  Json words = Json::array();
  Json shares = Json::object();
  for (const auto grade : row.grades) {
    words.push_back(grade);
    shares[std::string(grade)] = share;
  }
  for (const auto grade : row.grades) {  // a grade of digits may be written as a number
    int number = 0;
    const auto end = std::from_chars(grade.data(), grade.data() + grade.size(), number);
    if (end.ptr == grade.data() + grade.size()) words.push_back(number);
  }
  Json any = {{{"enum", words}},
              {{"type", "object"}, {"properties", shares}, {"additionalProperties", false}, {"minProperties", 1}}};
  if (row.name == "diabetes") {
    any.push_back({{"type", "boolean"}});
    any.push_back(share);
  }
  return {{"anyOf", any}};
}

Json ValueSchema(const FactRow& row) {
  Json any = Json::array();
  switch (row.type) {
    case FactType::kFlag:
      any = {{{"type", "boolean"}}, {{"type", "number"}, {"minimum", 0}, {"maximum", 1}}};
      break;
    case FactType::kGrade:
      any = GradeSchema(row)["anyOf"];
      break;
    case FactType::kCount:
    case FactType::kReading:
      any = ReadingSchema(row)["anyOf"];
      break;
    case FactType::kReadings:
      any.push_back({{"type", "array"}, {"maxItems", 64}, {"items", ReadingSchema(row)}});
      break;
  }
  if (row.may_be_unseen && row.type != FactType::kGrade) any.push_back({{"const", "unseen"}});
  if (row.may_be_not_determinable) any.push_back({{"const", "not determinable"}});
  any.push_back({{"type", "null"}});
  std::string text = std::string(row.label) + ": " + std::string(row.definition);
  if (!row.unit.empty()) text += " [" + std::string(row.unit) + "]";
  return {{"description", text}, {"anyOf", any}};
}

}  // namespace

std::string_view TypeWord(FactType type) {
  switch (type) {
    case FactType::kFlag:
      return "flag";
    case FactType::kGrade:
      return "grade";
    case FactType::kCount:
      return "count";
    case FactType::kReading:
      return "reading";
    case FactType::kReadings:
      return "readings";
  }
  return "";
}

std::string_view GroupWord(FactGroup group) {
  switch (group) {
    case FactGroup::kPatient:
      return "patient";
    case FactGroup::kIndication:
      return "indication";
    case FactGroup::kLesion:
      return "lesion";
    case FactGroup::kOnCt:
      return "on CT";
    case FactGroup::kDistal:
      return "distal vessel";
    case FactGroup::kCollateral:
      return "collateral";
    case FactGroup::kProcedure:
      return "procedure";
  }
  return "";
}

std::string DictionaryJson() {
  Json rows = Json::array();
  for (const auto& row : Dictionary()) rows.push_back(RowJson(row));
  return Json{{"facts", rows}}.dump();
}

std::string FactsSchemaJson() {
  Json all = Json::object();
  Json of_channel = Json::object();
  for (const auto& row : Dictionary()) {
    all[std::string(row.name)] = ValueSchema(row);
    if (row.per_channel) of_channel[std::string(row.name)] = ValueSchema(row);
  }
  const Json remark = {{"^_", Json::object()}};
  all["channels"] = {{"type", {"object", "null"}},
                     {"maxProperties", 64},
                     {"patternProperties",
                      {{"^[A-Za-z0-9_-]{1,24}$",
                        {{"type", "object"},
                         {"properties", of_channel},
                         {"patternProperties", remark},
                         {"additionalProperties", false}}}}},
                     {"additionalProperties", false}};
  return Json{{"$schema", "https://json-schema.org/draft/2020-12/schema"},
              {"title", "Facts of one occlusion"},
              {"type", "object"},
              {"properties", all},
              {"patternProperties", remark},
              {"additionalProperties", false}}
      .dump();
}

std::string SourcesJson() {
  Json rows = Json::array();
  for (const auto& source : AllSources()) {
    rows.push_back({{"id", source.id},
                    {"kind", KindWord(source.kind)},
                    {"citation", source.citation},
                    {"doi", source.doi},
                    {"checked", source.checked == Checked::kSeen ? "seen" : "memory"},
                    {"note", source.note}});
  }
  return Json{{"sources", rows}}.dump();
}

}  // namespace fairlead
