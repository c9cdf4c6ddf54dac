// SPDX-License-Identifier: Apache-2.0
// The pictures that the operator chose, with what the journal says was measured on each: clicks, edges drawn, values. Their pixels come later.
#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "casebook/entry_text.h"
#include "casebook/fact_pictures.h"
#include "record/report/drawing.h"
#include "record/report/parts.h"

namespace fairlead {
namespace {

constexpr InkColour kClicks{255, 200, 60}, kEdges{90, 220, 200};
constexpr std::size_t kMostPictures = 40, kMostMarks = 12, kMostRings = 40;  // a course that was followed has its ends ringed only

void MarkPoint(KeyPicture& picture, const PixelPoint& at, double scale) {
  std::vector<PixelPoint> round;
  round.reserve(12);
  for (int i = 0; i < 12; ++i) round.push_back({at.x + 3.2 * scale * std::cos(i * std::numbers::pi / 6.0), at.y + 3.2 * scale * std::sin(i * std::numbers::pi / 6.0)});
  picture.shapes.push_back({std::move(round), kClicks, 1.3 * scale, true, true});
}

// What one entry measured here: its points, its edges, its number beside the last point.
void AddMark(KeyPicture& picture, const std::vector<NamedPlaces>& places, const std::vector<std::vector<PixelPoint>>& strokes, const std::string& text) {
  const auto drawn = std::ranges::find_if(strokes, [](const auto& stroke) { return !stroke.empty(); });
  if (places.empty() && drawn == strokes.end()) return;
  if (picture.marks.size() == kMostMarks) return;
  const double scale = std::max(picture.width, picture.height) / 512.0;
  const std::string number = std::to_string(picture.marks.size() + 1);
  picture.marks.push_back(number + ": " + text);
  for (const NamedPlaces& each : places)
    if (each.points.size() > 1) picture.shapes.push_back({each.points, kClicks, 1.4 * scale, false, true});
  for (const auto& stroke : strokes)
    if (stroke.size() > 1) picture.shapes.push_back({stroke, kEdges, 1.4 * scale, false, true});
  for (const NamedPlaces& each : places)
    for (std::size_t i = 0; i < each.points.size(); ++i)
      if (each.points.size() <= kMostRings || i == 0 || i + 1 == each.points.size()) MarkPoint(picture, each.points[i], scale);
  const PixelPoint end = places.empty() ? drawn->back() : places.back().points.back();
  const double x = std::min(end.x + 7.0 * scale, picture.width - 12.0 * scale), y = std::clamp(end.y - 5.0 * scale, 16.0 * scale, picture.height - 4.0 * scale);
  picture.words.push_back({{x, y}, number, 16.0 * scale, kClicks, true});
}

void AddMarks(KeyPicture& picture, const State& state) {
  for (std::size_t i = 0; i < state.entries.size(); ++i) {
    if (state.status[i] != EntryStatus::kCounts && state.status[i] != EntryStatus::kAmendment) continue;
    const Entry& entry = state.entries[i];
    if (const auto* fact = std::get_if<FactStated>(&entry.data); fact != nullptr) {
      const bool first = fact->origin.image == picture.image && fact->origin.frame == picture.frame;
      AddMark(picture, PlacesIn(fact->origin, picture.image, picture.frame), first ? fact->origin.strokes : std::vector<std::vector<PixelPoint>>{}, EntryText(entry) + (fact->origin.method.empty() ? "" : ", " + fact->origin.method));
    }
    if (const auto* size = std::get_if<PixelSizeSet>(&entry.data); size != nullptr && size->image == picture.image && size->frame == picture.frame)
      AddMark(picture, size->points.empty() ? std::vector<NamedPlaces>{} : std::vector<NamedPlaces>{{"", size->points}}, {}, fmt::format("size of a pixel: {:.4g} mm, sd {:.2g}, {}", size->mm_per_px, size->sd_mm_per_px, size->method));
  }
}

KeyPicture FramePicture(const PictureWish& wish, const State& state) {
  KeyPicture picture;
  picture.image = wish.image, picture.frame = wish.first;
  picture.title = (wish.label.empty() ? wish.asked : wish.label) + fmt::format(", frame {} of {}", wish.first + 1, wish.frames);
  picture.width = wish.columns, picture.height = wish.rows;
  if (wish.image.empty()) {
    picture.title = wish.asked + fmt::format(", frame {}", wish.first + 1);
    picture.missing = "the case has no such run";
  } else if (wish.first >= wish.frames) {
    picture.missing = "the run has no such frame";
  } else {
    AddMarks(picture, state);
  }
  return picture;
}

}  // namespace

std::vector<KeyPicture> PicturesOf(const ReportMatter& matter) {
  std::vector<KeyPicture> pictures;
  for (const PictureWish& wish : WishesOf(matter.state)) {
    if (wish.kind == WishKind::kClip || pictures.size() == kMostPictures) continue;
    KeyPicture picture;
    if (wish.kind == WishKind::kFrame) picture = FramePicture(wish, matter.state);
    if (wish.kind == WishKind::kTimeline) picture = TimelinePicture(matter.run, matter.zone);
    if (wish.kind == WishKind::kFit) picture = FitPicture(wish.asked);
    if (wish.kind == WishKind::kSkin) picture.title = std::string(kSkinTitle), picture.wide = true;
    picture.entry = wish.entry, picture.caption = wish.caption, picture.by = wish.by;
    pictures.push_back(std::move(picture));
  }
  return pictures;
}

}  // namespace fairlead
