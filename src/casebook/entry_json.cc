// SPDX-License-Identifier: Apache-2.0
#include "casebook/entry_json.h"

#include <algorithm>
#include <optional>
#include <set>
#include <utility>
#include <vector>

#include <nlohmann/json.hpp>

#include "casebook/entry_data.h"
#include "casebook/lift.h"

namespace fairlead {
namespace {
using nlohmann::json;

// JSON with bounded size and depth and no member twice (a reader that takes the first and one that takes the last of
// two would see different entries under one hash).
Result<json> ParseStrictly(std::string_view text) {
  const auto refuse = [](std::string what, std::string to_do) { return Error{std::move(what), "entry", std::move(to_do)}; };
  if (text.size() > kLongestKnowledge) return refuse("the entry is longer than 512 KiB", "shorten it");
  std::vector<std::set<std::string>> names;
  bool twice = false;
  int deepest = 0;
  const auto watch = [&](int depth, json::parse_event_t event, json& parsed) {
    deepest = std::max(deepest, depth + 1);
    if (event == json::parse_event_t::object_start) names.emplace_back();
    if (event == json::parse_event_t::object_end) names.pop_back();
    if (event == json::parse_event_t::key) twice |= !names.back().insert(parsed.get<std::string>()).second;
    return true;
  };
  json parsed = json::parse(text.begin(), text.end(), watch, false);
  if (parsed.is_discarded()) return refuse("this is not JSON", "send one JSON object");
  if (deepest > kDeepestEntry + 1) return refuse("lists and objects are nested deeper than 16", "send a flatter entry");
  if (twice) return refuse("a member is given twice", "give each member once");
  return parsed;
}

Error UnknownKind(std::string_view kind) {
  return {"there is no kind of entry " + Quoted(kind), "entry.kind", "did you mean " + Quoted(NearestOf(kind, KindNames())) + "?"};
}

Entry ReadHeader(MemberReader& from) {
  from.Only({"v", "id", "at", "written", "by", "device", "kind", "data", "amends"});
  Entry entry;
  entry.v = from.Whole("v", 0, kWidestImage);
  entry.id = from.Text("id", kLongestName);
  entry.at = from.Time("at");
  entry.written = from.Time("written");
  entry.by = from.Text("by", kLongestName);
  entry.device = from.Text("device", kLongestName);
  entry.kind = from.Text("kind", kLongestName);
  entry.amends = from.Text("amends", kLongestName, false);
  from.Find("data", true);
  if (from.Faulted()) return entry;
  if (!IsUlid(entry.id)) from.Refuse("this is not a ULID", "id", "make one of 26 capital letters and digits");
  if (!entry.amends.empty() && !IsUlid(entry.amends)) from.Refuse("this is not a ULID", "amends", "name the entry by its id");
  if (entry.amends == entry.id) from.Refuse("an entry cannot amend itself", "amends", "name the original entry");
  if (entry.kind == "withdraw" && entry.amends.empty()) from.Refuse("a withdrawal names no entry", "amends", "name the entry that no longer counts");
  return entry;
}

}  // namespace

int PresentVersion(std::string_view kind) {
  const KindRow* row = FindKind(kind);
  return row == nullptr ? 0 : row->version;
}

Result<EntryData> ParseEntryData(std::string_view kind, int version, std::string_view text) {
  const KindRow* row = FindKind(kind);
  if (row == nullptr) return UnknownKind(kind);
  if (version > row->version || version < OldestVersion(kind))
    return Error{"version " + std::to_string(version) + " of kind " + Quoted(kind) + " is not known here", "entry.v",
                 "write version " + std::to_string(row->version) + ", or use the program that wrote it"};
  std::string lifted;
  for (; version < row->version; ++version) {
    auto next = LiftEntryData(kind, version, text);
    if (!next) return next.error();
    lifted = std::move(*next);
    text = lifted;
  }
  const json parsed = json::parse(text.begin(), text.end(), nullptr, false);
  if (parsed.is_discarded()) return Error{"this is not JSON", "entry.data", "send one JSON object"};
  std::optional<Error> fault;
  MemberReader from(parsed, "entry.data", fault);
  EntryData data = row->read(from, text);
  if (fault) return *std::move(fault);
  return data;
}

EntryData ReadEntryData(std::string_view kind, int version, std::string_view text) {
  auto data = ParseEntryData(kind, version, text);
  if (data) return std::move(*data);
  return NotUnderstood{Sentence(data.error())};
}

Result<IncomingEntry> ParseEntry(std::string_view text) {
  auto parsed = ParseStrictly(text);
  if (!parsed) return parsed.error();
  std::optional<Error> fault;
  MemberReader from(*parsed, "entry", fault);
  IncomingEntry incoming;
  incoming.entry = ReadHeader(from);
  Entry& entry = incoming.entry;
  if (text.size() > kLongestEntry && entry.kind != "knowledge") from.Refuse("the entry is longer than 64 KiB", "", "shorten it");
  if (fault) return *std::move(fault);
  incoming.data = RawMember(text, "\"data\"");
  if (incoming.data.empty()) return Error{"the name of \"data\" is written with escapes", "entry", "write it plainly"};
  auto data = ParseEntryData(entry.kind, entry.v, incoming.data);
  if (!data) return data.error();
  entry.data = std::move(*data);
  return incoming;
}

}  // namespace fairlead
