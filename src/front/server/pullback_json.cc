// SPDX-License-Identifier: Apache-2.0
#include "front/server/pullback_json.h"

#include <algorithm>
#include <cmath>

#include "front/server/json_text.h"
#include "front/server/spaces_json.h"

namespace fairlead {
namespace {

constexpr double kSeenEnough = 0.5;  // of the ring, so that a space is told; chosen

double Rounded(double value, double digits) { return std::round(value * digits) / digits; }

void WriteReading(JsonText& json, std::string_view name, double value, double sd) {
  json.Key(name).Open('{').Member("value", Rounded(value, 1e3)).Member("sd", Rounded(sd, 1e3)).Close('}');
}

void WriteBorder(JsonText& json, std::string_view name, const std::array<float, kAngles>& border) {
  json.Key(name).Open('[');
  for (const float r : border) json.Number(Rounded(static_cast<double>(r), 1e3));
  json.Close(']');
}

void WriteHidden(JsonText& json, const std::vector<HiddenArc>& arcs) {
  json.Key("not_seen").Open('[');
  for (const HiddenArc& arc : arcs) {
    json.Open('{').Member("from_deg", Rounded(arc.from_deg, 10)).Member("to_deg", Rounded(arc.to_deg, 10)).Member("why", WhyText(arc.why)).Close('}');
  }
  json.Close(']');
}

// Of the lumen: rays on which it was carried over, as arcs in the form of those of the vessel.
void WriteLumenHidden(JsonText& json, const Borders& borders, std::size_t f) {
  const BorderFrame& frame = borders.frames[f];
  constexpr double kStep = 360.0 / kAngles;
  json.Key("lumen_not_seen").Open('[');
  const auto hidden = [&](int ray) { return frame.lumen_seen[static_cast<std::size_t>(ray % kAngles)] == 0; };
  int start = 0;
  while (start < kAngles && hidden(start)) ++start;
  for (int ray = start; ray < start + kAngles && start < kAngles; ++ray) {
    if (!hidden(ray)) continue;
    int last = ray;
    while (last + 1 < start + kAngles && hidden(last + 1)) ++last;
    double from = (ray - 0.5) * kStep, to = (last + 0.5) * kStep;
    if (from >= 360.0) from -= 360.0, to -= 360.0;
    json.Open('{').Member("from_deg", Rounded(from, 10)).Member("to_deg", Rounded(to, 10)).Member("why", "shadow").Close('}');
    ray = last;
  }
  if (start == kAngles) json.Open('{').Member("from_deg", 0).Member("to_deg", 360).Member("why", "shadow").Close('}');
  json.Close(']');
}

void WriteWire(JsonText& json, std::string_view name, const WireTrack& track, std::size_t frame) {
  json.Key(name);
  if (frame >= track.frames.size()) {
    json.Null();
    return;
  }
  const WireEcho& place = track.frames[frame];
  json.Open('{').Member("angle_deg", Rounded(place.angle_deg, 10)).Member("distance_mm", Rounded(place.distance_mm, 1e3));
  json.Member("margin", Rounded(place.margin, 100));
  json.Member("seen", place.seen).Close('}');
}

const StentFrame* StentAt(const PullbackReading& reading, int frame) {
  if (!reading.stent || frame < reading.stent->first || frame > reading.stent->last) return nullptr;
  return &reading.stent->frames[static_cast<std::size_t>(frame - reading.stent->first)];
}

void WriteSection(JsonText& json, const PullbackReading& reading, std::size_t f, bool borders) {
  const PullbackSection& s = reading.sections[f];
  json.Open('{').Member("frame", s.frame).Key("z_mm");
  s.z_mm ? json.Number(Rounded(*s.z_mm, 1e3)) : json.Null();
  WriteReading(json, "lumen_area_mm2", s.lumen.value, s.lumen.sd);
  WriteReading(json, "lumen_min_mm", s.lumen_min_mm, s.lumen_diameter_sd_mm);
  WriteReading(json, "lumen_max_mm", s.lumen_max_mm, s.lumen_diameter_sd_mm);
  if (s.eem && s.burden) {
    WriteReading(json, "eem_area_mm2", s.eem->value, s.eem->sd);
    WriteReading(json, "eem_min_mm", s.eem_min_mm, s.eem_diameter_sd_mm);
    WriteReading(json, "eem_max_mm", s.eem_max_mm, s.eem_diameter_sd_mm);
    WriteReading(json, "plaque_burden", *s.burden, s.burden_sd);
  } else {
    for (const char* name : {"eem_area_mm2", "eem_min_mm", "eem_max_mm", "plaque_burden"}) json.Key(name).Null();
  }
  json.Member("calcium_deg", Rounded(s.calcium_deg, 10));
  WriteHidden(json, s.hidden);
  WriteWire(json, "riding_wire", reading.wires.riding, f);
  WriteWire(json, "second_wire", reading.wires.second, f);
  if (f < reading.tissue.size() && reading.tissue[f].seen) WriteReading(json, "tissue_mm", reading.tissue[f].thickness_mm, reading.tissue[f].sd_mm);
  else json.Key("tissue_mm").Null();
  if (const StentFrame* stent = StentAt(reading, static_cast<int>(f))) {
    WriteReading(json, "stent_area_mm2", stent->area.value, stent->area.sd);
    json.Member("struts", stent->struts);
    if (borders) WriteBorder(json, "stent_mm", stent->contour);
  } else {
    json.Key("stent_area_mm2").Null();
  }
  if (borders) {
    WriteLumenHidden(json, reading.borders, f);
    WriteBorder(json, "lumen_mm", reading.borders.frames[f].lumen);
    WriteBorder(json, "eem_mm", reading.borders.frames[f].eem);
  }
  json.Close('}');
}

SpaceOdds OddsOf(const SpaceChances& chances) {
  SpaceOdds odds;
  odds.lumen = chances.lumen, odds.plaque = chances.plaque, odds.outside = chances.outside;
  return odds;
}

// "unknown" below the odds from which anything is derived, and for none.
std::string_view SideWord(const SpaceChances* chances) {
  if (chances == nullptr) return "unknown";
  switch (SideOf(OddsOf(*chances))) {
    case Side::kInside: return "inside";
    case Side::kOutside: return "outside";
    case Side::kUnknown: break;
  }
  return "unknown";
}

// "inside": one of the two, but not which.
std::string_view SpaceWord(const SpaceChances* chances) {
  if (chances == nullptr) return "unknown";
  if (chances->lumen >= kSureEnough) return "lumen";
  return chances->plaque >= kSureEnough ? "plaque" : SideWord(chances);
}

void WriteChances(JsonText& json, std::string_view name, const std::optional<SpaceChances>& chances) {
  json.Key(name);
  if (!chances) {
    json.Null();
    return;
  }
  json.Open('{').Member("lumen", Rounded(chances->lumen, 1e3)).Member("plaque", Rounded(chances->plaque, 1e3)).Member("outside", Rounded(chances->outside, 1e3)).Close('}');
}

void WriteRanges(JsonText& json, const std::vector<SpaceRange>& ranges) {
  json.Key("ranges").Open('[');
  for (const SpaceRange& range : ranges) {
    json.Open('{').Member("first", range.first).Member("last", range.last).Member("media_share", Rounded(range.media_share, 1e3));
    json.Member("seen_share", Rounded(range.seen_share, 1e3)).Member("lining", Rounded(range.signs.lining, 10)).Member("lining_sectors", range.signs.sectors);
    json.Member("branch_opens", range.signs.branch_opens).Member("branch_beyond", range.signs.branch_beyond).Key("media_between");
    range.beside ? json.Number(Rounded(range.beside->contrast, 10)) : json.Null();
    WriteChances(json, "catheter", range.catheter);
    WriteChances(json, "wire", range.wire);
    // Where too little of the ring is seen nothing is told, as in JoiningAt.
    const bool enough = range.seen_share >= kSeenEnough;
    const SpaceChances *catheter = enough ? &range.catheter : nullptr, *wire = enough && range.wire ? &*range.wire : nullptr;
    json.Member("catheter_side", SideWord(catheter)).Member("catheter_space", SpaceWord(catheter));
    json.Member("wire_side", SideWord(wire)).Member("wire_space", SpaceWord(wire)).Close('}');
  }
  json.Close(']');
}

void WriteFrame(JsonText& json, std::string_view name, const std::optional<int>& frame) {
  json.Key(name);
  frame ? json.Whole(*frame) : json.Null();
}

void WriteStent(JsonText& json, const std::optional<StentReading>& stent) {
  json.Key("stent");
  if (!stent) {
    json.Null();
    return;
  }
  json.Open('{').Member("first", stent->first).Member("last", stent->last).Member("by_reader", stent->by_reader).Member("smallest", stent->smallest);
  WriteReading(json, "smallest_area_mm2", stent->smallest_area.value, stent->smallest_area.sd);
  WriteFrame(json, "reference_before", stent->reference_before);
  WriteFrame(json, "reference_after", stent->reference_after);
  json.Key("expansion").Open('[');
  for (const StentRatio& ratio : stent->expansion) {
    json.Open('{').Member("against", ratio.against).Member("value", Rounded(ratio.value, 1e3)).Member("sd", Rounded(ratio.sd, 1e3)).Member("source", ratio.source.id).Close('}');
  }
  json.Close(']').Key("sources").Open('[');
  for (const SourceId source : {kStentReferenceSource, kStentExpansionSource, kStentDistalSource}) json.Text(source.id);
  json.Close(']').Close('}');
}

void WriteGate(JsonText& json, const std::optional<HeartGate>& gate) {
  json.Key("heart");
  if (!gate) {
    json.Null();
    return;
  }
  json.Open('{').Member("beats_per_min", Rounded(gate->beats_per_min, 10)).Member("clear", Rounded(gate->clear, 10)).Key("at_rest").Open('[');
  for (const int frame : gate->frames) json.Whole(frame);
  json.Close(']').Close('}');
}

const SpaceRange* RangeOf(const PullbackReading& reading, int frame) {
  const auto found = std::ranges::find_if(reading.ranges, [&](const SpaceRange& r) { return frame >= r.first && frame <= r.last; });
  return found == reading.ranges.end() ? nullptr : &*found;
}

// Of a frame whose vessel was measured, the nearest to `frame` within ten.
const PullbackSection* VesselNear(const PullbackReading& reading, int frame) {
  const PullbackSection* best = nullptr;
  for (const PullbackSection& s : reading.sections) {
    if (!s.eem || std::abs(s.frame - frame) > 10) continue;
    if (best == nullptr || std::abs(s.frame - frame) < std::abs(best->frame - frame)) best = &s;
  }
  return best;
}

// Along which both wires are seen in one cross-section. None: it may go on beyond an end of the pullback, or is not known.
std::optional<Length> OverlapOf(const PullbackReading& reading, std::optional<double> mm_per_frame) {
  constexpr int kEnd = 3;  // frames: seen so near an end it may go on
  int first = -1, last = -1;
  for (int f = 0; f < static_cast<int>(reading.tissue.size()); ++f) {
    if (!reading.tissue[static_cast<std::size_t>(f)].seen) continue;
    if (first < 0) first = f;
    last = f;
  }
  if (!mm_per_frame || first < kEnd || last + kEnd >= static_cast<int>(reading.tissue.size())) return std::nullopt;
  return Length::Millimetres((last - first + 1) * *mm_per_frame);
}

}  // namespace

int FrameOfInterest(const PullbackReading& reading) { return reading.thinnest ? *reading.thinnest : reading.summary.smallest_lumen.value_or(0); }

JoiningQuestion JoiningAt(const PullbackReading& reading, int frame, std::optional<double> mm_per_frame, const SpaceMarks& marks) {
  JoiningQuestion question;
  const SpaceRange* range = RangeOf(reading, frame);
  if (range != nullptr && range->seen_share >= kSeenEnough) {
    question.near_wire = OddsOf(range->catheter);
    if (range->wire) question.far_wire = OddsOf(*range->wire);
  }
  if (marks.near_wire) question.near_wire = *marks.near_wire;
  if (marks.far_wire) question.far_wire = *marks.far_wire;
  const PullbackSection* vessel = VesselNear(reading, frame);
  // Beside the vessel the outer border is not the vessel's own.
  if (vessel != nullptr && SideOf(question.near_wire) == Side::kInside) {
    VesselSize size;
    size.eem_min.value = Length::Millimetres(vessel->eem_min_mm);
    size.eem_max.value = Length::Millimetres(vessel->eem_max_mm);
    size.eem_min.sd = size.eem_max.sd = Length::Millimetres(vessel->eem_diameter_sd_mm);
    size.calcium_arc = Angle::Degrees(std::min(360.0, vessel->calcium_deg));
    if (CheckVessel(size).ok()) question.vessel = size;
  }
  question.overlap = OverlapOf(reading, mm_per_frame);
  if (!reading.thinnest) return question;
  const TissueReading& tissue = reading.tissue[static_cast<std::size_t>(std::clamp(frame, 0, static_cast<int>(reading.tissue.size()) - 1))];
  if (!tissue.seen) return question;  // the wire is only carried over there
  question.tissue = Reading<Length>{Length::Millimetres(tissue.thickness_mm), Length::Millimetres(tissue.sd_mm), {}, {}};
  if (mm_per_frame) {
    const FrameSpan thin = ThinPart(reading, frame);
    question.thin_part = Length::Millimetres((thin.last - thin.first + 1) * *mm_per_frame);
  }
  return question;
}

std::string PullbackJson(const PullbackReading& reading, const PullbackScale& scale, const PullbackParts& parts, const std::string& joining) {
  JsonText json;
  json.Open('{').Member("number", parts.number).Key("after");
  parts.after ? json.Whole(*parts.after) : json.Null();
  json.Member("frames", reading.sections.size()).Key("pixel_mm").Open('[').Number(scale.row_mm).Number(scale.column_mm).Close(']');
  json.Member("pixel_from", scale.pixel_from).Key("speed_mm_s");
  scale.speed_mm_s ? json.Number(*scale.speed_mm_s) : json.Null();
  json.Member("speed_from", scale.speed_from).Member("angles", "clockwise from the picture's right").Member("rays", kAngles);
  json.Member("catheter_mm", Rounded(reading.borders.catheter_mm, 1e3)).Member("blind_to_mm", Rounded(reading.borders.blind_mm, 1e3));
  WriteFrame(json, "smallest_lumen", reading.summary.smallest_lumen);
  WriteFrame(json, "largest_burden", reading.summary.largest_burden);
  WriteFrame(json, "first_reference", reading.summary.first_reference);
  WriteFrame(json, "last_reference", reading.summary.last_reference);
  WriteFrame(json, "thinnest", reading.thinnest);
  json.Key("sections").Open('[');
  if (parts.after) {
    for (const int f : parts.frames) WriteSection(json, reading, static_cast<std::size_t>(f), parts.borders);
  } else {
    for (std::size_t f = 0; f < reading.sections.size(); ++f) WriteSection(json, reading, f, parts.borders);
  }
  json.Close(']');
  WriteRanges(json, reading.ranges);
  WriteGate(json, reading.gate);
  WriteStent(json, reading.stent);
  json.Key("remarks").Open('[');
  for (const std::string& remark : reading.remarks) json.Text(remark);
  json.Close(']').Key("joining");
  joining.empty() ? json.Null() : json.Raw(joining);
  json.Key("sources").Open('[').Text(kSizeErrorSource.id).Close(']').Member("note", kStanding).Close('}');
  return json.Take();
}

std::string PullbackSectionsJson(const PullbackReading& reading, FrameSpan span, int frames) {
  JsonText json;
  json.Open('{').Member("first", span.first).Member("last", span.last).Member("frames", frames).Member("blind_to_mm", Rounded(reading.borders.blind_mm, 1e3)).Key("sections").Open('[');
  for (std::size_t f = 0; f < reading.sections.size(); ++f) WriteSection(json, reading, f, true);
  json.Close(']').Key("remarks").Open('[');
  for (const std::string& remark : reading.remarks) json.Text(remark);
  return json.Close(']').Close('}').Take();
}

}  // namespace fairlead
