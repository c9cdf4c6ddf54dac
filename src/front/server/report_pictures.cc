// SPDX-License-Identifier: Apache-2.0
#include "front/server/report_pictures.h"

#include <fmt/core.h>

#include <algorithm>
#include <map>
#include <memory>
#include <optional>

#include "front/server/case_dose.h"
#include "front/server/dark_frame.h"
#include "front/server/json_text.h"
#include "imaging/trace/trace.h"
#include "record/deidentify/journal.h"
#include "record/lesson/clean.h"
#include "record/picture/wish.h"
#include "record/report/drawing.h"

namespace fairlead {
namespace {

constexpr int kMostAcross = 768;  // of a picture in a report: 88 mm of paper

using Boxes = std::map<std::string, std::vector<CoveredBox>>;

// By hash; a run that nobody has looked at is not in it.
Boxes CoveredIn(const State& state) {
  std::vector<Entry> notes;
  std::vector<std::string> hashes;
  for (const EntryIndex index : state.notes) notes.push_back(state.entries[index]);
  for (const EntryIndex index : ImagesInOrder(state))
    if (const auto* added = std::get_if<ImageAdded>(&state.entries[index].data)) hashes.push_back(added->hash);
  Boxes covered;
  for (const auto& [hash, boxes] : MasksOf(notes, hashes)) {
    auto& into = covered[hash];
    for (const MaskBox& box : boxes) into.push_back({box.left, box.top, box.width, box.height});
  }
  return covered;
}

constexpr InkColour kPath{90, 220, 200};

void AddLine(KeyPicture& picture, std::vector<PixelPoint> points) {
  const double scale = std::max(picture.width, picture.height) / 512.0;
  if (points.size() > 1) picture.shapes.insert(picture.shapes.begin(), {std::move(points), kPath, 1.1 * scale, false, true});
}

// The paths between the clicks of what was traced on this frame, by today's method: the journal holds the clicks.
void AddPaths(KeyPicture& picture, const State& state, const Run& run, std::span<const std::uint8_t> frame) {
  if (!CheckMeasurable(run, picture.frame)) return;
  std::optional<Picture> seen;
  std::optional<Vesselness> vesselness;
  for (std::size_t i = 0; i < state.entries.size(); ++i) {
    const auto* fact = std::get_if<FactStated>(&state.entries[i].data);
    const bool stands = state.status[i] == EntryStatus::kCounts || state.status[i] == EntryStatus::kAmendment;
    if (fact == nullptr || !stands || fact->origin.image != picture.image || fact->origin.frame != picture.frame || !fact->origin.method.starts_with("trace")) continue;
    if (!seen) {
      const DarkFrame dark(run, frame);
      seen = AbsorptionOf(dark.grey(), InsideOf(run));
      vesselness = VesselnessOf(*seen);
    }
    TraceRequest request;
    request.through = fact->origin.points;
    const auto trace = TraceVessel(*seen, *vesselness, request);
    if (!trace.ok()) continue;
    std::vector<PixelPoint> left, right, centre;
    for (const TracedPoint& point : trace->points) left.push_back(point.left), right.push_back(point.right), centre.push_back(point.centre);
    for (auto* line : {&left, &right, &centre}) AddLine(picture, std::move(*line));
    picture.seen.emplace_back("edges and path traced anew through the same points, by " + std::string(kTraceMethod));
  }
}

void FetchFrame(KeyPicture& picture, const State& state, ImageStore& images, const Boxes& covered) {
  const auto refuse = [&picture](const Error& error) { picture.missing = Sentence(error); };
  auto run = images.Find(picture.image);
  if (!run.ok()) return refuse(run.error());
  auto view = images.Frames(picture.image, picture.frame, picture.frame);
  if (!view.ok()) return refuse(view.error());
  const auto boxes = covered.find(picture.image);
  picture.width = run->columns, picture.height = run->rows;
  picture.raster = std::make_shared<const Raster>(RasterOf(*run, view->bytes, boxes == covered.end() ? std::vector<CoveredBox>{} : boxes->second, kMostAcross));
  if (run->view) picture.seen.push_back(ViewText(*run->view));
  AddPaths(picture, state, *run, view->bytes);
  if (boxes != covered.end() && !boxes->second.empty()) picture.seen.push_back(fmt::format("{} painted black over what is written in it", boxes->second.size() == 1 ? "1 box" : fmt::format("{} boxes", boxes->second.size())));
}

// --- The skin of the trunk, cut open along the breastbone and seen from behind: the back in the middle, the patient's left on the left, head up.
struct SkinTone {
  double from_gy;
  InkColour colour;
};
constexpr SkinTone kTones[] = {{0.05, {205, 226, 221}}, {0.5, {150, 200, 190}}, {1.0, {92, 164, 150}}, {2.0, {240, 214, 140}}, {5.0, {232, 150, 70}}, {10.0, {190, 60, 50}}, {15.0, {110, 20, 40}}};

void DrawSkin(KeyPicture& picture, const CaseDose& dose) {
  const SkinEstimate& skin = dose.skin;
  if (skin.peak.gray <= 0.0) {
    picture.missing = "no dose is known";
    return;
  }
  picture.seen.push_back(fmt::format("peak {:.2g} Gy, {:.2g} to {:.2g} Gy likely; from {}", skin.peak.gray, skin.low, skin.high, dose.from));
  if (skin.from_totals) {
    picture.missing = fmt::format("no event could be placed on the body: peak {:.2g} Gy, {:.2g} to {:.2g} Gy, from the totals alone", skin.peak.gray, skin.low, skin.high);
    return;
  }
  picture.seen.push_back("where: " + PlaceText(skin));
  const SkinPart& part = skin.map.skin.parts.front();
  const std::vector<double>& gray = skin.map.dose.front();
  constexpr double kWidth = 1000.0, kLegend = 46.0;
  const double cell = kWidth / std::max(1, part.round), tall = std::max(1.0, 0.55 * kWidth / std::max(1, part.along));
  picture.wide = true, picture.width = kWidth, picture.height = tall * part.along + kLegend;
  picture.shapes.push_back({{{0.0, 0.0}, {kWidth, 0.0}, {kWidth, tall * part.along}, {0.0, tall * part.along}}, {246, 248, 247}, 0.0, true, false});
  for (int row = 0; row < part.along; ++row) {
    // Neighbours of one tone are one box.
    for (int column = 0; column < part.round;) {
      const auto tone_at = [&](int at) {
        const int place = ((part.round / 2 - at) % part.round + part.round) % part.round;  // places go from the back by the patient's left
        const double here = gray[static_cast<std::size_t>(row) * static_cast<std::size_t>(part.round) + static_cast<std::size_t>(place)];
        return static_cast<int>(std::ranges::count_if(kTones, [here](const SkinTone& tone) { return here >= tone.from_gy; })) - 1;
      };
      const int tone = tone_at(column);
      int end = column + 1;
      while (end < part.round && tone_at(end) == tone) ++end;
      const double y = tall * (part.along - 1 - row);
      if (tone >= 0) picture.shapes.push_back({{{cell * column, y}, {cell * end, y}, {cell * end, y + tall}, {cell * column, y + tall}}, kTones[tone].colour, 0.0, true, false});
      column = end;
    }
  }
  for (const auto& [share, side] : {std::pair{0.25, "left side"}, {0.5, "back"}, {0.75, "right side"}}) picture.words.push_back({{share * kWidth - 30.0, 18.0}, side, 14.0, {60, 60, 60}, false});
  picture.words.push_back({{6.0, 18.0}, "head above", 14.0, {60, 60, 60}, false});
  double x = 4.0;
  for (const SkinTone& tone : kTones) {
    const double y = picture.height - 30.0;
    picture.shapes.push_back({{{x, y}, {x + 22.0, y}, {x + 22.0, y + 18.0}, {x, y + 18.0}}, tone.colour, 0.0, true, false});
    picture.words.push_back({{x + 27.0, y + 15.0}, fmt::format("from {:g} Gy", tone.from_gy), 13.0, {30, 30, 30}, false});
    x += 142.0;
  }
}

}  // namespace

void FetchPictures(Report& report, const State& state, ImageStore& images, const std::string& only) {
  if (report.pictures.empty()) return;
  const Boxes covered = CoveredIn(state);
  std::optional<CaseDose> dose;
  for (KeyPicture& picture : report.pictures) {
    if (!only.empty() && picture.entry != only) continue;
    if (picture.title == kSkinTitle && picture.image.empty()) {
      if (!dose) dose = DoseOfState(images, state);
      DrawSkin(picture, *dose);
    } else if (!picture.image.empty() && picture.missing.empty()) {
      FetchFrame(picture, state, images, covered);
    }
  }
}

namespace {

constexpr std::size_t kMostBytes = std::size_t{42} << 20;  // of all clips together: 56 MiB as base64, of a page under 60
constexpr std::size_t kMostClips = 10;

// Why a clip stays out; empty if nothing speaks against it.
std::string WhyNot(const PictureWish& wish, const Boxes& covered) {
  if (wish.image.empty()) return "the case has no such run";
  if (wish.last >= wish.frames) return fmt::format("the run has {} frames", wish.frames);
  return covered.contains(wish.image) ? "" : "nobody has looked whether something is written in it";
}

// When the run had joined the case: nothing of it is shown before a decision that was taken without it.
Instant JoinedAt(const State& state, const std::string& hash) {
  const auto image = state.images.find(hash);
  if (image == state.images.end() || image->second.added.empty()) return Instant{};
  const Entry& entry = state.entries[image->second.added.front()];
  return std::max(entry.at, entry.written);
}

Result<LessonClip> ClipOf(const PictureWish& wish, const State& state, ImageStore& images, const std::vector<CoveredBox>& boxes, int quality) {
  constexpr int kMostFrames = 60, kClipAcross = 512;
  auto run = images.Find(wish.image);
  if (!run.ok()) return run.error();
  LessonClip clip;
  clip.caption = wish.caption, clip.at = wish.at, clip.joined = JoinedAt(state, wish.image);
  const int count = wish.last - wish.first + 1, step = (count + kMostFrames - 1) / kMostFrames;
  clip.what = (run->view ? ViewText(*run->view) + ", " : std::string()) + (count == 1 ? fmt::format("frame {}", wish.first + 1) : fmt::format("frames {} to {}", wish.first + 1, wish.last + 1));
  if (step > 1) clip.what += fmt::format(", one in {}", step);
  constexpr double kUsualRate_hz = 15.0;  // practice, where the file does not say
  clip.frame_ms = 1000.0 * step / (run->rate_hz > 0.0 ? run->rate_hz : kUsualRate_hz);
  for (int frame = wish.first; frame <= wish.last; frame += step) {
    auto view = images.Frames(wish.image, frame, frame);
    if (!view.ok()) return view.error();
    clip.frames.push_back(JpegBytes(RasterOf(*run, view->bytes, boxes, kClipAcross), quality));
  }
  return clip;
}

LessonClips ClipsAt(const State& state, ImageStore& images, int quality) {
  LessonClips made;
  const Boxes covered = CoveredIn(state);
  for (const PictureWish& wish : WishesOf(state)) {
    if (wish.kind != WishKind::kClip) continue;
    std::string why = WhyNot(wish, covered);
    if (why.empty() && made.clips.size() == kMostClips) why = fmt::format("a lesson takes {} clips", kMostClips);
    if (why.empty()) {
      auto clip = ClipOf(wish, state, images, covered.at(wish.image), quality);
      if (clip.ok()) made.clips.push_back(std::move(*clip));
      else why = Sentence(clip.error());
    }
    if (!why.empty()) made.left_out.push_back(fmt::format("{}, frames {} to {}: {}", wish.label.empty() ? wish.asked : wish.label, wish.first + 1, wish.last + 1, why));
  }
  return made;
}

}  // namespace

LessonClips ClipsOf(const State& state, ImageStore& images) {
  LessonClips made;
  for (const int quality : {82, 60, 35}) {
    made = ClipsAt(state, images, quality);
    std::size_t bytes = 0;
    for (const LessonClip& clip : made.clips)
      for (const std::string& frame : clip.frames) bytes += frame.size();
    if (bytes <= kMostBytes) break;
  }
  return made;
}

std::string LessonPlanJson(const State& state) {
  LessonSettings settings;
  for (const PictureWish& wish : WishesOf(state))
    if (wish.kind == WishKind::kClip) settings.clips.push_back({.what = "", .caption = wish.caption, .at = wish.at, .joined = wish.at, .frames = {}});
  const Lesson lesson = MakeLesson(state, settings);
  JsonText json;
  json.Open('{').Key("points").Open('[');
  for (const LessonPoint& point : lesson.points) json.Open('{').Member("at", ToIso(point.at)).Member("when", point.when).Member("question", point.question).Member("done", point.what_was_done).Close('}');
  json.Close(']').Key("words").Open('[');
  for (const EntryIndex index : state.notes) {
    const Entry& entry = state.entries[index];
    const auto* note = std::get_if<NoteWritten>(&entry.data);
    const bool speaker = note != nullptr && note->text.starts_with("speaker:");
    if (!speaker && (note == nullptr || !note->text.starts_with("lesson:"))) continue;
    const std::string text = note->text.substr(std::min(note->text.find_first_not_of(" \n", speaker ? 8 : 7), note->text.size()));
    json.Open('{').Member("entry", entry.id).Member("kind", speaker ? "speaker" : "lesson").Member("text", text).Member("at", ToIso(entry.at)).Member("place", PlaceInLesson(lesson, entry.at)).Close('}');
  }
  json.Close(']').Key("clips").Open('[');
  const Boxes covered = CoveredIn(state);
  for (const PictureWish& wish : WishesOf(state)) {
    if (wish.kind != WishKind::kClip) continue;
    json.Open('{').Member("entry", wish.entry).Member("what", fmt::format("{}, frames {} to {}", wish.label.empty() ? wish.asked : wish.label, wish.first + 1, wish.last + 1));
    json.Member("caption", wish.caption).Member("place", PlaceInLesson(lesson, wish.at)).Member("why_not", WhyNot(wish, covered)).Close('}');
  }
  json.Close(']').Key("perhaps_names").Open('[');
  for (const std::string& name : lesson.taken_out) json.Text(name);
  json.Close(']').Key("stay").Open('[');
  for (const std::string& name : lesson.stayed) json.Text(name);
  return json.Close(']').Close('}').Take();
}

}  // namespace fairlead
