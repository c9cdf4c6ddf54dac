// SPDX-License-Identifier: Apache-2.0
#include "record/picture/wish.h"

#include <algorithm>
#include <charconv>
#include <optional>

namespace fairlead {
namespace {

constexpr std::string_view kPicture = "picture:", kClip = "clip:";
constexpr std::size_t kShortestHash = 12;

std::string_view Trimmed(std::string_view text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\n')) text.remove_prefix(1);
  while (!text.empty() && (text.back() == ' ' || text.back() == '\n')) text.remove_suffix(1);
  return text;
}

std::optional<int> WholeAt(std::string_view& text) {
  int value = 0;
  const auto [rest, code] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (code != std::errc() || value < 1) return std::nullopt;
  text.remove_prefix(static_cast<std::size_t>(rest - text.data()));
  return value;
}

// "12", "10-60": from 1.
bool TakeFrames(PictureWish& wish, std::string_view text) {
  const auto first = WholeAt(text);
  if (!first) return false;
  wish.first = wish.last = *first - 1;
  if (text.empty()) return true;
  if (wish.kind != WishKind::kClip || text.front() != '-') return false;
  text.remove_prefix(1);
  const auto last = WholeAt(text);
  if (!last || !text.empty() || *last < *first) return false;
  wish.last = *last - 1;
  return true;
}

// "run 3 frame 12"
bool TakeWhat(PictureWish& wish, std::string_view what) {
  if (wish.kind == WishKind::kFrame && what == "timeline") return wish.kind = WishKind::kTimeline, true;
  if (wish.kind == WishKind::kFrame && what == "skin") return wish.kind = WishKind::kSkin, true;
  if (wish.kind == WishKind::kFrame && what.starts_with("fit ")) {
    wish.asked = Trimmed(what.substr(4));
    return wish.kind = WishKind::kFit, wish.asked.find(' ') != std::string::npos;
  }
  for (const std::string_view word : {" frames ", " frame "}) {
    const std::size_t at = what.rfind(word);
    if (at == std::string_view::npos) continue;
    wish.asked = Trimmed(what.substr(0, at));
    return !wish.asked.empty() && TakeFrames(wish, Trimmed(what.substr(at + word.size())));
  }
  return false;
}

void FindImage(PictureWish& wish, const State& state) {
  for (const EntryIndex index : ImagesInOrder(state)) {
    const auto* added = std::get_if<ImageAdded>(&state.entries[index].data);
    if (added == nullptr || added->frames < 1) continue;
    if (added->label != wish.asked && (wish.asked.size() < kShortestHash || !added->hash.starts_with(wish.asked))) continue;
    wish.image = added->hash, wish.label = added->label;
    wish.frames = added->frames, wish.rows = added->rows, wish.columns = added->columns;
    return;
  }
}

std::optional<PictureWish> WishIn(std::string_view note) {
  PictureWish wish;
  if (note.starts_with(kClip)) wish.kind = WishKind::kClip;
  else if (!note.starts_with(kPicture)) return std::nullopt;
  note.remove_prefix(wish.kind == WishKind::kClip ? kClip.size() : kPicture.size());
  const std::size_t end = std::min(note.find_first_of(";\n"), note.size());
  if (!TakeWhat(wish, Trimmed(note.substr(0, end)))) return std::nullopt;
  if (end < note.size()) wish.caption = Trimmed(note.substr(end + 1));
  return wish;
}

}  // namespace

bool IsWish(std::string_view note) { return WishIn(note).has_value(); }

std::vector<PictureWish> WishesOf(const State& state) {
  std::vector<PictureWish> wishes;
  for (const EntryIndex index : state.notes) {
    const Entry& entry = state.entries[index];
    const auto* note = std::get_if<NoteWritten>(&entry.data);
    auto wish = note == nullptr ? std::nullopt : WishIn(note->text);
    if (!wish) continue;
    wish->entry = entry.id, wish->by = entry.by, wish->at = entry.at;
    if (wish->kind == WishKind::kFrame || wish->kind == WishKind::kClip) FindImage(*wish, state);
    wishes.push_back(std::move(*wish));
  }
  return wishes;
}

}  // namespace fairlead
