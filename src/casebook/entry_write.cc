// SPDX-License-Identifier: Apache-2.0
#include <nlohmann/json.hpp>

#include "casebook/entry_json.h"
#include "casebook/fact_json.h"
#include "casebook/run_table.h"

namespace fairlead {
namespace {
using nlohmann::ordered_json;

// Text that is not UTF-8 cannot come in by ParseEntry; from inside, a wrong byte becomes the replacement character.
std::string Compact(const ordered_json& tree) { return tree.dump(-1, ' ', false, ordered_json::error_handler_t::replace); }

ordered_json PointList(const std::vector<PixelPoint>& points) {
  ordered_json list = ordered_json::array();
  for (const PixelPoint& point : points) list.push_back({{"x", point.x}, {"y", point.y}});
  return list;
}

ordered_json ViewTree(const ViewOrigin& view) {
  ordered_json tree = {{"image", view.image}, {"frame", view.frame}};
  if (!view.method.empty()) tree["method"] = view.method;
  if (!view.table.empty()) tree["table"] = view.table;
  if (!view.shift_mm.empty()) tree["shift_mm"] = view.shift_mm;
  for (const NamedPlaces& mark : view.marks) tree["marks"].push_back({{"name", mark.name}, {"points", PointList(mark.points)}});
  return tree;
}

ordered_json OriginTree(const FactOrigin& origin) {
  ordered_json tree = ordered_json::object();
  if (!origin.image.empty()) tree["image"] = origin.image;
  if (origin.frame >= 0) tree["frame"] = origin.frame;
  if (!origin.method.empty()) tree["method"] = origin.method;
  if (!origin.points.empty()) tree["points"] = PointList(origin.points);
  for (const NamedPart& part : origin.parts) tree["parts"].push_back({{"name", part.name}, {"sd", part.sd}});
  for (const auto& stroke : origin.strokes) tree["strokes"].push_back(PointList(stroke));
  for (const ViewOrigin& view : origin.views) tree["views"].push_back(ViewTree(view));
  return tree;
}

ordered_json Tree(const FactStated& fact) {
  ordered_json tree = {{"fact", fact.key.name}};
  if (!fact.key.of.empty()) tree["of"] = fact.key.of;
  const FactRow* row = FindFact(fact.key.name);
  tree["value"] = row == nullptr ? ordered_json() : ordered_json::parse(BeliefJson(*row, fact.belief), nullptr, false);
  tree["mark"] = MarkName(fact.mark);
  if (ordered_json origin = OriginTree(fact.origin); !origin.empty()) tree["origin"] = std::move(origin);
  if (!fact.note.empty()) tree["note"] = fact.note;
  return tree;
}
ordered_json Tree(const ImageAdded& image) {
  return {{"hash", image.hash}, {"label", image.label},     {"frames", image.frames},
          {"rows", image.rows}, {"columns", image.columns}, {"modality", image.modality}};
}
ordered_json Tree(const PixelSizeSet& set) {
  ordered_json tree = {{"image", set.image}, {"mm_per_px", set.mm_per_px}, {"sd_mm_per_px", set.sd_mm_per_px}, {"method", set.method}};
  if (set.frame >= 0) tree["frame"] = set.frame;
  if (!set.points.empty()) tree["points"] = PointList(set.points);
  return tree;
}
ordered_json Tree(const CaseOpened& opened) {
  return {{"title", opened.title}, {"room", opened.room}, {"invented", opened.invented}};
}
ordered_json Tree(const NoteWritten& note) { return {{"text", note.text}}; }
ordered_json Tree(const Withdrawn& withdrawn) { return {{"reason", withdrawn.reason}}; }
ordered_json Tree(const Shown& shown) { return {{"at_step", shown.at_step}, {"text", shown.text}}; }
ordered_json Tree(const KnowledgeWritten& written) {
  return {{"name", written.name}, {"owner", written.owner}, {"version", written.version}};
}
ordered_json Tree(const RunEvent& event) {
  ordered_json tree = {{"verb", RowOf(event.verb).verb}};
  if (event.side != RunSide::kNone) tree["side"] = event.side == RunSide::kAntegrade ? "a" : "r";
  for (const RunValue& value : event.values) {
    const FieldRow& row = RowOf(value.field);
    tree[std::string(row.name)] = row.type == FieldType::kNumber ? ordered_json(value.number) : ordered_json(value.text);
  }
  if (!event.remark.empty()) tree["remark"] = event.remark;
  return tree;
}
ordered_json Tree(const StruckOut&) { return nullptr; }
ordered_json Tree(const NotUnderstood&) { return nullptr; }

}  // namespace

std::string EntryDataJson(const EntryData& data) {
  if (const auto* written = std::get_if<KnowledgeWritten>(&data)) {  // the text stays as it came
    std::string json = Compact(Tree(*written));
    json.pop_back();
    return json + ",\"text\":" + written->text + "}";
  }
  return std::visit([](const auto& held) { return Compact(Tree(held)); }, data);
}

std::string EntryJson(const IncomingEntry& incoming) {
  const Entry& entry = incoming.entry;
  ordered_json tree = {{"v", entry.v},   {"id", entry.id},         {"at", ToIso(entry.at)}, {"written", ToIso(entry.written)},
                       {"by", entry.by}, {"device", entry.device}, {"kind", entry.kind}};
  if (!entry.amends.empty()) tree["amends"] = entry.amends;
  std::string text = Compact(tree);
  text.pop_back();
  return text + ",\"data\":" + incoming.data + "}";
}

IncomingEntry MakeIncoming(Entry entry) {
  if (const std::string_view kind = KindName(entry.data); !kind.empty()) {
    entry.kind = kind;
    entry.v = PresentVersion(kind);
  }
  std::string data = EntryDataJson(entry.data);
  return {std::move(entry), std::move(data)};
}

std::string_view KindName(const EntryData& data) {
  constexpr std::string_view kNames[] = {"case", "fact", "image", "calibration", "note", "withdraw", "shown", "knowledge", "run", "", ""};
  static_assert(std::size(kNames) == std::variant_size_v<EntryData>);
  return kNames[data.index()];
}

std::string_view MarkName(Mark mark) {
  switch (mark) {
    case Mark::kStated: return "stated";
    case Mark::kRead: return "read";
    case Mark::kMeasured: return "measured";
  }
  return "";
}

std::string HexOf(const Hash& hash) {
  constexpr std::string_view kDigits = "0123456789abcdef";
  std::string text;
  text.reserve(2 * hash.size());
  for (const std::uint8_t byte : hash) {
    text += kDigits[byte >> 4];
    text += kDigits[byte & 15];
  }
  return text;
}

}  // namespace fairlead
