// SPDX-License-Identifier: Apache-2.0
#include <nlohmann/json.hpp>

#include "casebook/json_depth.h"
#include "casebook/member_reader.h"
#include "practice/audit/row.h"

namespace fairlead {
namespace {

using Json = nlohmann::ordered_json;
using nlohmann::json;

constexpr std::size_t kMostBytes = std::size_t{8} << 20;
constexpr std::size_t kMostCases = 100'000, kMostTries = 40;
constexpr int kDeepest = 6;
constexpr int kMostJcto = 5;  // a total of five items of one point

std::optional<bool> FlagIfThere(MemberReader& read, const char* name) {
  const json* found = read.Find(name, false);
  if (found == nullptr || found->is_null()) return std::nullopt;
  if (found->is_boolean()) return found->get<bool>();
  read.Refuse("it is not true, false or null", name, "write true or false, or leave it out where nobody knows");
  return std::nullopt;
}

Try ReadTry(MemberReader read) {
  read.Only({"strategy", "minutes", "crossed", "reason", "ladder", "stalled_min"});
  Try made;
  made.strategy = read.Text("strategy", kLongestName);
  made.minutes = read.NumberIfThere("minutes", 0, 1440).value_or(0);
  made.crossed = read.Flag("crossed");
  made.reason = read.Text("reason", kLongestName, false);
  made.ladder = read.Text("ladder", kLongestName, false);
  made.stalled_min = read.NumberIfThere("stalled_min", 0, 1440);
  return made;
}

std::map<std::string, RowFact, std::less<>> ReadFacts(MemberReader read) {
  std::vector<std::string_view> names;
  for (const RowFactKind& kind : RowFacts()) names.push_back(kind.name);
  read.Only(names);
  std::map<std::string, RowFact, std::less<>> facts;
  for (const RowFactKind& kind : RowFacts()) {
    const std::string name(kind.name);
    const json* found = read.Find(name.c_str(), false);
    if (found == nullptr || found->is_null()) continue;
    if (!kind.words.empty()) facts[name] = std::string(read.Word(name.c_str(), kind.words));
    else if (kind.high > kind.low) facts[name] = read.Number(name.c_str(), kind.low, kind.high);
    else facts[name] = read.Flag(name.c_str());
  }
  return facts;
}

std::map<std::string, int, std::less<>> ReadKit(MemberReader read) {
  read.Only({kCountedKit.begin(), kCountedKit.end()});
  std::map<std::string, int, std::less<>> kit;
  constexpr int kMostOfAKind = 200;
  for (const std::string_view kind : kCountedKit) {
    const std::string name(kind);
    if (const int count = read.Whole(name.c_str(), 0, kMostOfAKind, -1); count >= 0) kit[name] = count;
  }
  return kit;
}

CaseRow ReadRow(MemberReader read) {
  read.Only({"case", "began", "by", "vessel", "j_cto", "tries", "success", "complication", "minutes", "contrast_ml", "air_kerma_gy", "facts", "kit", "invented"});
  CaseRow row;
  row.id = read.Text("case", kLongestName);
  row.began = read.Time("began");
  row.by = read.Text("by", kLongestName, false);
  row.vessel = read.Text("vessel", kLongestName, false);
  if (const int total = read.Whole("j_cto", 0, kMostJcto, -1); total >= 0) row.j_cto = total;
  if (const json* tries = read.List("tries", kMostTries, "tries of one case")) {
    for (std::size_t i = 0; i < tries->size(); ++i) row.tries.push_back(ReadTry(MemberReader((*tries)[i], read, "tries", static_cast<int>(i))));
  }
  row.success = FlagIfThere(read, "success");
  row.complication = FlagIfThere(read, "complication");
  row.minutes = read.NumberIfThere("minutes", 0, 1440);
  row.contrast_ml = read.NumberIfThere("contrast_ml", 0, 3000);
  row.air_kerma_gy = read.NumberIfThere("air_kerma_gy", 0, 50);
  row.invented = read.Flag("invented");
  if (const json* facts = read.Find("facts", false)) row.facts = ReadFacts(MemberReader(*facts, read, "facts"));
  if (const json* kit = read.Find("kit", false)) row.kit = ReadKit(MemberReader(*kit, read, "kit"));
  return row;
}

Json TryJson(const Try& made) {
  Json one{{"strategy", made.strategy}, {"minutes", made.minutes}, {"crossed", made.crossed}};
  if (!made.reason.empty()) one["reason"] = made.reason;
  if (!made.ladder.empty()) one["ladder"] = made.ladder;
  if (made.stalled_min) one["stalled_min"] = *made.stalled_min;
  return one;
}

}  // namespace

Result<std::vector<CaseRow>> ParseCaseRows(std::string_view text) {
  if (text.size() > kMostBytes || NestsDeeper(text, kDeepest)) return Error{"the text is too large or nested too deep", "the rows", "send at most 8 MiB"};
  const json parsed = json::parse(text.begin(), text.end(), nullptr, false);
  if (!parsed.is_object()) return Error{"the text is not a JSON object", "the rows", "write {\"cases\": [...]}"};
  std::optional<Error> fault;
  MemberReader read(parsed, "the rows", fault);
  read.Only({"cases"});
  std::vector<CaseRow> rows;
  if (const json* list = read.List("cases", kMostCases, "cases")) {
    for (std::size_t i = 0; i < list->size() && !fault; ++i) rows.push_back(ReadRow(MemberReader((*list)[i], read, "cases", static_cast<int>(i))));
  }
  if (fault) return *fault;
  return rows;
}

std::string CaseRowsJson(const std::vector<CaseRow>& rows) {
  Json list = Json::array();
  const auto put = [](Json& to, const char* name, const auto& value) {
    if (value) to[name] = *value;
  };
  for (const CaseRow& row : rows) {
    Json one{{"case", row.id}, {"began", ToIso(row.began)}, {"by", row.by}, {"vessel", row.vessel}};
    put(one, "j_cto", row.j_cto);
    Json tries = Json::array();
    for (const Try& made : row.tries) tries.push_back(TryJson(made));
    one["tries"] = std::move(tries);
    put(one, "success", row.success);
    put(one, "complication", row.complication);
    put(one, "minutes", row.minutes);
    put(one, "contrast_ml", row.contrast_ml);
    put(one, "air_kerma_gy", row.air_kerma_gy);
    if (!row.facts.empty()) {
      Json facts = Json::object();
      for (const auto& fact : row.facts) std::visit([&](const auto& value) { facts[fact.first] = value; }, fact.second);
      one["facts"] = std::move(facts);
    }
    if (!row.kit.empty()) {
      Json kit = Json::object();
      for (const auto& each : row.kit) kit[each.first] = each.second;
      one["kit"] = std::move(kit);
    }
    if (row.invented) one["invented"] = true;
    list.push_back(std::move(one));
  }
  return Json{{"cases", std::move(list)}}.dump();
}

}  // namespace fairlead
