// SPDX-License-Identifier: Apache-2.0
#include "front/server/case_json.h"

#include <algorithm>
#include <set>

#include "casebook/derive.h"
#include "casebook/entry_json.h"
#include "casebook/fact_json.h"
#include "front/server/case_dose.h"
#include "front/server/json_text.h"
#include "front/server/pair_note.h"
#include "front/server/shown.h"
#include "reasoning/assess/assess.h"
#include "reasoning/assess/assess_json.h"

namespace fairlead {
namespace {

std::string ValueJson(const FactKey& key, const Belief& belief) {
  const FactRow* row = FindFact(key.name);
  return row == nullptr ? "null" : BeliefJson(*row, belief);
}

void WritePoints(JsonText& json, const std::vector<PixelPoint>& points) {
  json.Open('[');
  for (const PixelPoint& point : points) json.Open('{').Member("x", point.x).Member("y", point.y).Close('}');
  json.Close(']');
}

void WriteView(JsonText& json, const ViewOrigin& view) {
  json.Open('{').Member("image", view.image).Member("frame", view.frame).Member("method", view.method).Member("table", view.table);
  json.Key("shift_mm").Open('[');
  for (const double each : view.shift_mm) json.Number(each);
  json.Close(']').Key("marks").Open('[');
  for (const NamedPlaces& mark : view.marks) {
    json.Open('{').Member("name", mark.name).Key("points");
    WritePoints(json, mark.points);
    json.Close('}');
  }
  json.Close(']').Close('}');
}

void WriteOrigin(JsonText& json, const FactOrigin& origin) {
  json.Key("origin");
  if (origin.image.empty() && origin.method.empty() && origin.points.empty() && origin.views.empty()) {
    json.Null();
    return;
  }
  json.Open('{').Member("image", origin.image);
  json.Key("frame");
  origin.frame < 0 ? json.Null() : json.Whole(origin.frame);
  json.Member("method", origin.method);
  json.Key("points");
  WritePoints(json, origin.points);
  if (!origin.strokes.empty()) {
    json.Key("strokes").Open('[');
    for (const auto& stroke : origin.strokes) WritePoints(json, stroke);
    json.Close(']');
  }
  if (!origin.views.empty()) {
    json.Key("views").Open('[');
    for (const ViewOrigin& view : origin.views) WriteView(json, view);
    json.Close(']');
  }
  json.Key("parts").Open('[');
  for (const NamedPart& part : origin.parts) json.Open('{').Member("name", part.name).Member("sd", part.sd).Close('}');
  json.Close(']').Close('}');
}

void WriteHistory(JsonText& json, const State& state, const FactKey& key, const FactState& fact) {
  json.Key("history").Open('[');
  for (const EntryIndex index : fact.history) {
    const Entry& entry = state.entries[index];
    const auto* stated = std::get_if<FactStated>(&entry.data);
    json.Open('{').Member("entry", entry.id).Member("seq", entry.seq).Member("at", ToIso(entry.at));
    json.Member("recorded", ToIso(entry.recorded)).Member("by", entry.by).Key("value");
    json.Raw(stated == nullptr ? "null" : ValueJson(key, stated->belief)).Key("mark");
    stated == nullptr ? json.Null() : json.Text(MarkName(stated->mark));
    json.Member("status", StatusName(state.status[index])).Close('}');
  }
  json.Close(']');
}

// A fact that was stated; one that was taken back again is unknown and keeps its history.
void WriteStated(JsonText& json, const State& state, const FactKey& key, const FactState& fact) {
  const Entry* entry = fact.standing.empty() ? nullptr : &state.entries[fact.standing.back()];
  const auto* stated = entry == nullptr ? nullptr : std::get_if<FactStated>(&entry->data);
  json.Open('{').Member("name", key.name).Member("of", key.of).Key("value");
  if (stated == nullptr) {
    json.Raw("null").Key("mark").Null().Key("at").Null().Member("by", "").Key("entry").Null();
    json.Member("note", "").Key("origin").Null();
  } else {
    json.Raw(ValueJson(key, stated->belief)).Member("mark", MarkName(stated->mark)).Member("at", ToIso(entry->at));
    json.Member("by", entry->by).Member("entry", entry->id).Member("note", stated->note);
    WriteOrigin(json, stated->origin);
    if (stated->mark == Mark::kMeasured) {
      if (const auto points = PointsOfFact(*stated)) json.Key("two_views").Raw(*points);
    }
  }
  json.Key("because").Open('[').Close(']');
  WriteHistory(json, state, key, fact);
  json.Close('}');
}

// Ids of the entries that a derived fact rests on; a derived fact behind it is followed to its own.
void CollectEntries(const State& state, const std::vector<DerivedFact>& derived, const FactKey& key,
                    std::set<FactKey>& seen, std::vector<std::string>& ids) {
  if (!seen.insert(key).second) return;
  if (const Entry* entry = StandingFactEntry(state, key); entry != nullptr) {
    if (std::find(ids.begin(), ids.end(), entry->id) == ids.end()) ids.push_back(entry->id);
    return;
  }
  for (const DerivedFact& fact : derived) {
    if (fact.key != key) continue;
    for (const FactKey& behind : fact.because) CollectEntries(state, derived, behind, seen, ids);
  }
}

void WriteDerived(JsonText& json, const State& state, const std::vector<DerivedFact>& derived, const DerivedFact& fact) {
  json.Open('{').Member("name", fact.key.name).Member("of", fact.key.of).Key("value");
  json.Raw(ValueJson(fact.key, fact.belief)).Member("mark", "derived").Key("at").Null().Member("by", "");
  json.Key("entry").Null().Member("note", "").Key("origin").Null().Key("because").Open('[');
  std::set<FactKey> seen;
  std::vector<std::string> ids;
  for (const FactKey& behind : fact.because) CollectEntries(state, derived, behind, seen, ids);
  for (const std::string& id : ids) json.Text(id);
  json.Close(']').Member("rule", fact.rule);
  if (const auto at = state.facts.find(fact.key); at != state.facts.end()) {
    WriteHistory(json, state, fact.key, at->second);
  } else {
    json.Key("history").Open('[').Close(']');
  }
  json.Close('}');
}

void WriteFacts(JsonText& json, const State& state, const Facts& stated) {
  const std::vector<DerivedFact> derived = Derive(stated);
  std::set<FactKey> written;
  json.Key("facts").Open('[');
  for (const DerivedFact& fact : derived) {
    if (written.insert(fact.key).second) WriteDerived(json, state, derived, fact);
  }
  for (const auto& [key, fact] : state.facts) {
    if (!written.contains(key)) WriteStated(json, state, key, fact);
  }
  json.Close(']');
}

void WriteImages(JsonText& json, const CasePicture& picture) {
  const State& state = picture.state;
  json.Key("images").Open('[');
  for (const EntryIndex index : ImagesInOrder(state)) {
    const Entry& entry = state.entries[index];
    const auto* added = std::get_if<ImageAdded>(&entry.data);
    if (added == nullptr || added->modality == kReportModality) continue;  // see case_dose.h
    const auto image = picture.images.find(added->hash);
    json.Open('{').Member("hash", added->hash).Member("label", added->label).Member("entry", entry.id).Key("image");
    json.Raw(image == picture.images.end() ? "null" : image->second).Key("calibration");
    const Entry* by = nullptr;
    if (const PixelSizeSet* size = PixelSizeOf(state, added->hash, &by); size != nullptr && by != nullptr) {
      json.Open('{').Member("entry", by->id).Member("mm_per_px", size->mm_per_px);
      json.Member("sd_mm_per_px", size->sd_mm_per_px).Member("method", size->method).Close('}');
    } else {
      json.Null();
    }
    json.Close('}');
  }
  json.Close(']');
}

void WriteJournal(JsonText& json, const State& state) {
  json.Key("journal").Open('[');
  for (const EntryIndex index : JournalLines(state)) {
    const Entry& entry = state.entries[index];
    json.Open('{').Member("seq", entry.seq).Member("id", entry.id).Member("kind", entry.kind);
    json.Member("at", ToIso(entry.at)).Member("recorded", ToIso(entry.recorded)).Member("by", entry.by);
    json.Member("device", entry.device).Member("text", EntryText(entry)).Key("amends");
    entry.amends.empty() ? json.Null() : json.Text(entry.amends);
    json.Member("status", StatusName(state.status[index])).Key("data").Raw(EntryDataJson(entry.data)).Close('}');
  }
  json.Close(']');
}

}  // namespace

std::string CaseJson(const CasePicture& picture) {
  const State& state = picture.state;
  const CaseOpened* opened = CaseInfo(state);
  const Facts stated = StandingFacts(state);
  JsonText json;
  json.Open('{').Member("now", ToIso(picture.now)).Key("case").Open('{').Member("id", picture.case_id);
  json.Member("title", opened == nullptr ? std::string() : opened->title);
  json.Member("room", opened == nullptr ? std::string() : opened->room);
  json.Member("invented", opened != nullptr && opened->invented).Member("summary", SummaryLine(stated)).Close('}');
  json.Member("seq", state.seq).Key("past");
  if (picture.past) {
    json.Open('{').Member("at", ToIso(picture.past->at)).Member("known", picture.past->known).Close('}');
  } else {
    json.Null();
  }
  WriteFacts(json, state, stated);
  json.Key("channels").Open('[');
  for (const std::string& channel : Channels(state)) json.Text(channel);
  json.Close(']');
  WriteImages(json, picture);
  json.Key("assessment").Raw(AssessmentJson(Assess(stated), state.seq));
  WriteJournal(json, state);
  json.Member("not_understood", state.not_understood).Close('}');
  return json.Take();
}

}  // namespace fairlead
