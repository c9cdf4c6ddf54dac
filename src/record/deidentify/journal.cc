// SPDX-License-Identifier: Apache-2.0
#include "record/deidentify/journal.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <set>

#include "casebook/entry_json.h"
#include "casebook/fold.h"
#include "casebook/run_table.h"
#include "reasoning/caution/gate.h"
#include "record/lesson/clean.h"
#include "record/picture/wish.h"

namespace fairlead {
namespace {

bool IsDigit(char c) { return c >= '0' && c <= '9'; }
bool IsSmall(char c) { return c >= 'a' && c <= 'z'; }

// "c1", "w3", "s-12": a few signs that end in digits.
bool IsShortTag(std::string_view text) { return text.size() <= 4 && !text.empty() && IsDigit(text.back()); }
// "2", "16b".
bool IsSegment(std::string_view text) { return !text.empty() && text.size() <= 3 && IsDigit(text.front()) && std::ranges::all_of(text.substr(1), [](char c) { return IsDigit(c) || IsSmall(c); }); }
// "d1", "om2", "pda".
bool IsBranch(std::string_view text) { return !text.empty() && text.size() <= 4 && (text.size() <= 3 || IsDigit(text.back())); }

// What the page itself calls the places of a measurement in several pictures; "point 12".
bool IsPlaceName(std::string_view name) {
  static constexpr std::string_view kNames[] = {"near cap", "far cap", "near lumen", "far lumen", "between", "landmark near", "landmark far", "vessel before", "inside", "vessel after", "vessel", "channel"};
  constexpr std::string_view kPoint = "point ";
  return std::ranges::find(kNames, name) != std::end(kNames) ||
         (name.starts_with(kPoint) && name.size() > kPoint.size() && name.size() <= kPoint.size() + 3 && std::ranges::all_of(name.substr(kPoint.size()), IsDigit));
}

bool IsKnownItem(std::string_view item) {
  for (const Gate& gate : Gates())
    for (const GateItem& each : gate.items)
      if (each.id == item) return true;
  return false;
}

constexpr std::string_view kRoles[] = {"op", "operator", "recorder", "nurse", "fellow", "page", "demo", "command line", "engine", "server", "fairlead", "lab"};
bool IsRole(std::string_view name) {
  const std::size_t end = name.find_last_not_of("0123456789 ");
  return end != std::string_view::npos && name.size() - end <= 4 && std::ranges::find(kRoles, name.substr(0, end + 1)) != std::end(kRoles);
}

class Journalist {
 public:
  Journalist(const std::map<std::string, std::string>& images, const DeidWords& words, const DeidProject& project, const std::vector<Entry>& entries)
      : images_(images), words_(words), project_(project) {
    lesson_.mask = words.mask, lesson_.keep = words.keep_words;
    const State state = Fold(entries);
    wishes_ = WishesOf(state);
    for (std::string& name : NamesIn(state)) lesson_.mask.push_back(std::move(name));
    for (const Entry& entry : entries)
      if (const auto* note = std::get_if<NoteWritten>(&entry.data); note != nullptr && words.keep_teaching)
        for (std::string& name : TitledNames(note->text)) lesson_.mask.push_back(std::move(name));
    lesson_.tag = [this](std::string_view word) { return KeyedTag(project_, "person", word); };
  }

  DeidJournal All(const std::vector<Entry>& entries) {
    const Instant first = entries.empty() ? Instant{} : Shifted(project_, entries.front().recorded);
    journal_.case_id = NewId(first, "case " + (entries.empty() ? std::string() : entries.front().case_id));
    for (const Entry& entry : entries) Add(entry);
    journal_.taken_out.assign(taken_out_.begin(), taken_out_.end());
    journal_.stayed.assign(stayed_.begin(), stayed_.end());
    if (!taken_out_.empty()) journal_.removed["possible name in kept words, each word once"] = taken_out_.size();
    return std::move(journal_);
  }

 private:
  struct Now {
    std::string id, kind;
  };

  std::string NewId(Instant at, const std::string& from) const {
    const auto digest = KeyedDigest(project_.key, "id\n" + from);
    std::array<std::uint8_t, 10> tail{};
    std::copy_n(digest.begin(), tail.size(), tail.begin());
    return NewUlid(at, tail);
  }
  std::string Cleaned(std::string_view text) {
    for (std::string& name : NamesTakenOut(text, lesson_)) taken_out_.insert(std::move(name));
    for (std::string& name : NamesThatMayStay(text, lesson_)) stayed_.insert(std::move(name));
    return Unrecognised(text, lesson_);
  }
  void Removed(const char* what) { ++journal_.removed[what]; }
  std::string Writer(const std::string& name, const char* kind) {
    if (name.empty() || IsRole(name)) return name;
    Removed("writer or device with a name");
    return KeyedTag(project_, kind, name);
  }

  void Add(const Entry& entry) {
    DeidEntry made;
    Entry& header = made.header;
    EntryData data = Treated(entry);
    std::string json = EntryDataJson(data);
    std::string kind(KindName(data));
    // Whatever would not be taken back is replaced: nothing half-treated leaves.
    if (std::holds_alternative<StruckOut>(data) || !ParseEntryData(kind, PresentVersion(kind), json).ok()) {
      Removed("entry that could not be treated");
      data = NoteWritten{"(an entry was removed)"};
      json = EntryDataJson(data), kind = KindName(data);
    }
    header.v = PresentVersion(kind), header.kind = kind;
    header.at = Shifted(project_, entry.at), header.written = Shifted(project_, entry.written), header.recorded = Shifted(project_, entry.recorded);
    header.id = NewId(header.written, entry.id);
    header.case_id = journal_.case_id;
    header.by = Writer(entry.by, "person"), header.device = Writer(entry.device, "device");
    header.seq = static_cast<std::int64_t>(journal_.entries.size()) + 1;
    if (const auto named = now_.find(entry.amends); named != now_.end() && (kind == "withdraw" || named->second.kind == kind)) header.amends = named->second.id;
    if (kind == "withdraw" && header.amends.empty()) {
      header.kind = kind = "note", header.v = PresentVersion(kind);
      json = EntryDataJson(NoteWritten{"(an entry was removed)"});
    }
    now_[entry.id] = {header.id, kind};
    made.data = std::move(json);
    journal_.entries.push_back(std::move(made));
  }

  EntryData Treated(const Entry& entry) {
    const EntryData& data = entry.data;
    if (const auto* opened = std::get_if<CaseOpened>(&data)) {
      Removed("title and room");
      return CaseOpened{.title = "De-identified " + KeyedTag(project_, "case", project_.patient), .room = "", .invented = opened->invented};
    }
    if (const auto* fact = std::get_if<FactStated>(&data)) return TreatedFact(*fact);
    if (const auto* image = std::get_if<ImageAdded>(&data)) return TreatedImage(*image);
    if (const auto* pixel = std::get_if<PixelSizeSet>(&data)) return TreatedPixelSize(*pixel);
    if (const auto* note = std::get_if<NoteWritten>(&data)) return TreatedNote(entry, *note);
    if (std::holds_alternative<Withdrawn>(data)) {
      Removed("reason of a withdrawal");
      return Withdrawn{"(removed)"};
    }
    if (const auto* shown = std::get_if<Shown>(&data)) return TreatedShown(*shown);
    if (const auto* event = std::get_if<RunEvent>(&data)) return TreatedEvent(*event);
    return StruckOut{};
  }

  EntryData TreatedFact(FactStated fact) {
    if (!fact.note.empty()) Removed("note of a fact");
    fact.note.clear();
    if (!fact.key.of.empty() && !IsShortTag(fact.key.of)) fact.key.of = "c" + std::to_string(channels_.emplace(fact.key.of, channels_.size() + 90).first->second % 100);
    if (auto* number = std::get_if<Number>(&fact.belief); number != nullptr && fact.key.name == "age_years" && number->value > 89.0) {
      Removed("age above 89 years, now 90");
      number->value = 90.0;
    }
    if (!fact.origin.method.empty()) Removed("words on how a fact was measured");
    fact.origin.method = fact.origin.image.empty() ? "" : "measured on an image";
    const auto image = images_.find(fact.origin.image);
    if (image == images_.end()) fact.origin.image.clear(), fact.origin.frame = -1, fact.origin.points.clear(), fact.origin.strokes.clear(), fact.origin.method.clear();
    else fact.origin.image = image->second;
    for (std::size_t i = 0; i < fact.origin.parts.size(); ++i) fact.origin.parts[i].name = "part " + std::to_string(i + 1);
    TreatViews(fact.origin.views);
    return fact;
  }
  // All pictures of a measurement stay, or none: half of them would tell of another measurement.
  void TreatViews(std::vector<ViewOrigin>& views) {
    const bool all = std::ranges::all_of(views, [this](const ViewOrigin& view) { return images_.contains(view.image); });
    if (!all) views.clear(), Removed("pictures of a measurement of which one was left out");
    for (ViewOrigin& view : views) {
      view.image = images_.at(view.image);
      view.method.clear();
      for (std::size_t i = 0; i < view.marks.size(); ++i)
        if (!IsPlaceName(view.marks[i].name)) view.marks[i].name = "mark " + std::to_string(i + 1);
    }
  }
  EntryData TreatedImage(ImageAdded image) {
    const auto found = images_.find(image.hash);
    if (found == images_.end()) {
      Removed("image left out");
      return NoteWritten{"(an image was left out)"};
    }
    image.hash = found->second;
    const bool ours = std::ranges::any_of(std::array<std::string_view, 3>{"run ", "dose report ", "earlier dose report "}, [&image](std::string_view head) {
      return image.label.starts_with(head) && image.label.size() <= head.size() + 4 && std::ranges::all_of(image.label.substr(head.size()), IsDigit);
    });
    if (!ours) image.label = "run";
    if (image.modality.size() > 2) image.modality = "OT";
    return image;
  }
  EntryData TreatedPixelSize(PixelSizeSet pixel) {
    const auto found = images_.find(pixel.image);
    if (found == images_.end()) return NoteWritten{"(the size of a pixel of an image that was left out)"};
    pixel.image = found->second;
    pixel.method = "measured on an image";
    return pixel;
  }
  // A chosen picture stays chosen, by its stand-in; a picture that leaves was looked at, and its boxes are painted in it already.
  std::optional<EntryData> TreatedChoice(const Entry& entry, const NoteWritten& note) {
    constexpr std::size_t kDigits = 16, kFewest = 12;
    if (note.text.starts_with("mask: ")) {
      const std::string named = note.text.substr(6, note.text.find(' ', 6) - 6);
      for (const auto& [hash, stand_in] : images_)
        if (named.size() >= kFewest && hash.starts_with(named)) return NoteWritten{"mask: " + stand_in.substr(0, kDigits) + " none"};
      return std::nullopt;
    }
    const auto wish = std::ranges::find(wishes_, entry.id, &PictureWish::entry);
    if (wish == wishes_.end()) return std::nullopt;
    if (wish->kind == WishKind::kTimeline || wish->kind == WishKind::kSkin) return NoteWritten{wish->kind == WishKind::kSkin ? "picture: skin" : "picture: timeline"};
    if (wish->kind == WishKind::kFit) return std::nullopt;  // sizes that anybody may have typed
    const auto image = images_.find(wish->image);
    if (wish->image.empty() || image == images_.end()) return std::nullopt;
    std::string text = (wish->kind == WishKind::kClip ? "clip: " : "picture: ") + image->second.substr(0, kDigits) + " frame" + (wish->first == wish->last ? " " : "s ") + std::to_string(wish->first + 1);
    if (wish->first != wish->last) text += "-" + std::to_string(wish->last + 1);
    if (!wish->caption.empty() && words_.keep_teaching) text += "; " + Cleaned(wish->caption);
    Removed(words_.keep_teaching ? "choice of a picture, kept; its words searched" : "words of a chosen picture");
    return NoteWritten{std::move(text)};
  }
  EntryData TreatedNote(const Entry& entry, const NoteWritten& note) {
    if (auto choice = TreatedChoice(entry, note)) return std::move(*choice);
    const bool teaching = note.text.starts_with("lesson:") || note.text.starts_with("speaker:") || note.text.starts_with("report:");
    if (teaching && words_.keep_teaching) {
      Removed("teaching note, kept and searched");
      return NoteWritten{Cleaned(note.text)};
    }
    Removed("note");
    return NoteWritten{"(a note was removed)"};
  }
  EntryData TreatedShown(const Shown& shown) {
    static constexpr std::string_view kSteps[] = {"acceptance", "start", "switch", "phase", "stop", "proof", "gate", "decision"};
    if (std::ranges::find(kSteps, shown.at_step) == std::end(kSteps)) {
      Removed("signed words");
      return Shown{"removed", "(removed)"};
    }
    // What the engine wrote, without the reasons that a person typed beside an acceptance.
    std::string text;
    std::string_view rest = shown.text;
    while (!rest.empty()) {
      const std::size_t end = std::min(rest.find('\n'), rest.size());
      text += Cleaned(rest.substr(0, std::min(rest.substr(0, end).find(" accepted:"), end))) + "\n";
      rest.remove_prefix(std::min(end + 1, rest.size()));
    }
    return Shown{shown.at_step, text};
  }
  EntryData TreatedEvent(RunEvent event) {
    if (!event.remark.empty()) Removed("remark of a run entry");
    event.remark.clear();
    std::erase_if(event.values, [&](const RunValue& value) {
      const bool stays = Stays(value);
      if (!stays) Removed("name typed in a run entry (kit, device number, item, place)");
      return !stays;
    });
    return event;
  }
  static bool Stays(const RunValue& value) {
    const FieldType type = RowOf(value.field).type;
    if (type == FieldType::kNumber || type == FieldType::kWord) return true;
    if (type == FieldType::kTag) return IsShortTag(value.text);
    if (value.field == RunField::kSegment) return IsSegment(value.text);
    if (value.field == RunField::kBranch) return IsBranch(value.text);
    return value.field == RunField::kItem && IsKnownItem(value.text);
  }

  const std::map<std::string, std::string>& images_;
  const DeidWords& words_;
  const DeidProject& project_;
  LessonSettings lesson_;
  std::vector<PictureWish> wishes_;
  DeidJournal journal_;
  std::map<std::string, Now> now_;
  std::map<std::string, std::size_t> channels_;
  std::set<std::string> taken_out_, stayed_;
};

std::optional<MaskBox> BoxOf(std::string_view text) {
  MaskBox box;
  int* const members[] = {&box.left, &box.top, &box.width, &box.height};
  for (std::size_t i = 0; i < 4; ++i) {
    while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
    const auto [rest, code] = std::from_chars(text.data(), text.data() + text.size(), *members[i]);
    if (code != std::errc() || *members[i] < 0 || *members[i] > 65'535) return std::nullopt;
    text.remove_prefix(static_cast<std::size_t>(rest - text.data()));
    if (i < 3 && (text.empty() || text.front() != ',')) return std::nullopt;
    if (i < 3) text.remove_prefix(1);
  }
  return text.find_first_not_of(' ') == std::string_view::npos && box.width > 0 && box.height > 0 ? std::optional(box) : std::nullopt;
}

std::optional<std::vector<MaskBox>> BoxesOf(std::string_view text) {
  while (!text.empty() && (text.back() == ' ' || text.back() == '\n')) text.remove_suffix(1);
  if (text == "none") return std::vector<MaskBox>{};
  std::vector<MaskBox> boxes;
  while (!text.empty() && boxes.size() < 64) {
    const std::size_t end = std::min(text.find(';'), text.size());
    const auto box = BoxOf(text.substr(0, end));
    if (!box) return std::nullopt;
    boxes.push_back(*box);
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return boxes.empty() ? std::nullopt : std::optional(std::move(boxes));
}

}  // namespace

DeidJournal DeidentifyJournal(const std::vector<Entry>& entries, const std::map<std::string, std::string>& images, const DeidWords& words, const DeidProject& project) {
  return Journalist(images, words, project, entries).All(entries);
}

std::map<std::string, std::vector<MaskBox>> MasksOf(const std::vector<Entry>& standing_notes, const std::vector<std::string>& hashes) {
  constexpr std::string_view kHead = "mask: ";
  constexpr std::size_t kShortestHash = 12;
  std::map<std::string, std::vector<MaskBox>> masks;
  for (const Entry& entry : standing_notes) {
    const auto* note = std::get_if<NoteWritten>(&entry.data);
    if (note == nullptr || !note->text.starts_with(kHead)) continue;
    const std::string_view text = std::string_view(note->text).substr(kHead.size());
    const std::size_t blank = text.find(' ');
    if (blank == std::string_view::npos || blank < kShortestHash) continue;
    const auto image = std::ranges::find_if(hashes, [&](const std::string& hash) { return hash.starts_with(text.substr(0, blank)); });
    const auto boxes = BoxesOf(text.substr(blank + 1));
    if (image != hashes.end() && boxes) masks[*image] = *boxes;
  }
  return masks;
}

}  // namespace fairlead
