// SPDX-License-Identifier: Apache-2.0
#include "casebook/entry_data.h"

#include <algorithm>

#include <nlohmann/json.hpp>

namespace fairlead {
namespace {
using nlohmann::json;

constexpr int kMostFrames = 100000;
constexpr double kLargestPixel_mm = 10.0;  // chosen: no X-ray or ultrasound pixel comes near it

EntryData ReadImage(MemberReader& from, std::string_view /*json*/) {
  from.Only({"hash", "label", "frames", "rows", "columns", "modality"});
  return ImageAdded{from.ContentHash("hash"), from.Text("label", kLongestLine), from.Whole("frames", 0, kMostFrames),
                    from.Whole("rows", 0, kWidestImage), from.Whole("columns", 0, kWidestImage), from.Text("modality", 16)};
}

EntryData ReadCalibration(MemberReader& from, std::string_view /*json*/) {
  from.Only({"image", "mm_per_px", "sd_mm_per_px", "method", "frame", "points"});
  PixelSizeSet set;
  set.image = from.ContentHash("image");
  set.mm_per_px = from.Number("mm_per_px", 0.0, kLargestPixel_mm);
  if (!(set.mm_per_px > 0.0)) from.Refuse("a pixel has a size above 0", "mm_per_px", "calibrate again");
  set.sd_mm_per_px = from.Number("sd_mm_per_px", 0.0, kLargestPixel_mm);
  set.method = from.Text("method", kLongestLine);
  set.frame = from.Whole("frame", -1, kMostFrames, -1);
  set.points = ReadPoints(from);
  return set;
}

EntryData ReadCase(MemberReader& from, std::string_view /*json*/) {
  from.Only({"title", "room", "invented"});
  CaseOpened opened{from.Text("title", kLongestLine), from.Text("room", kLongestName, false), from.Flag("invented")};
  if (opened.title.find('\n') != std::string::npos) from.Refuse("a title is one line", "title", "write it without line breaks");
  return opened;
}

EntryData ReadNote(MemberReader& from, std::string_view /*json*/) {
  from.Only({"text"});
  return NoteWritten{from.Text("text", kLongestText)};
}

EntryData ReadWithdrawal(MemberReader& from, std::string_view /*json*/) {
  from.Only({"reason"});
  return Withdrawn{from.Text("reason", kLongestText)};
}

EntryData ReadShown(MemberReader& from, std::string_view /*json*/) {
  from.Only({"at_step", "text"});
  return Shown{from.Text("at_step", kLongestName), from.Text("text", kLongestText)};
}

// The text is not read here: each room reads its own. It is kept byte for byte.
EntryData ReadKnowledge(MemberReader& from, std::string_view text) {
  from.Only({"name", "owner", "version", "text"});
  KnowledgeWritten written{from.Text("name", kLongestName), from.Text("owner", kLongestLine),
                           from.Text("version", kLongestName), {}};
  constexpr std::string_view kLetters = "abcdefghijklmnopqrstuvwxyz0123456789-";
  if (written.name.find_first_not_of(kLetters) != std::string::npos)
    from.Refuse("a name of knowledge has small letters, digits and -", "name", "write it as \"shelf\" or \"act-limits\"");
  const json* object = from.Find("text", true);
  if (object == nullptr || from.Faulted()) return written;
  if (!object->is_object()) from.Refuse("this is not an object", "text", "send the knowledge as an object in braces");
  written.text = RawMember(text, "\"text\"");
  if (written.text.empty()) from.Refuse("the name of \"text\" is written with escapes", "", "write it plainly");
  return written;
}

constexpr KindRow kKinds[] = {{"case", 1, ReadCase},           {"fact", 1, ReadFact}, {"image", 1, ReadImage},
                              {"calibration", 1, ReadCalibration}, {"note", 1, ReadNote}, {"withdraw", 1, ReadWithdrawal},
                              {"shown", 1, ReadShown},         {"knowledge", 1, ReadKnowledge}, {"run", 1, ReadRun},
                              {"dose", 1, ReadDose}};

}  // namespace

const KindRow* FindKind(std::string_view name) {
  const auto* found = std::find_if(std::begin(kKinds), std::end(kKinds), [name](const KindRow& row) { return row.name == name; });
  return found == std::end(kKinds) ? nullptr : found;
}

std::vector<std::string_view> KindNames() {
  std::vector<std::string_view> names;
  for (const KindRow& row : kKinds) names.push_back(row.name);
  return names;
}

}  // namespace fairlead
