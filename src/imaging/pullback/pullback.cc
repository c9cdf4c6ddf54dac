// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/pullback.h"

#include <algorithm>
#include <cmath>

#include "imaging/pullback/blank.h"

namespace fairlead {
namespace {

constexpr double kThinMore = 0.2;        // mm; chosen: two standard deviations of a thickness
constexpr double kUnseen = 1e9;          // mm; thicker than anything: never the thinnest place
constexpr float kPolarShare = 0.1f, kBorderShare = 0.8f;  // of the time of a reading; measured on 300 frames
constexpr double kGateReach = 3.0;       // mm from the catheter in which the heart is looked for: wall and lumen, little noise; chosen
constexpr int kSteady = 5;               // frames whose median is taken before the thinnest is looked for

double Steady(const std::vector<TissueReading>& tissue, int frame) {
  std::vector<double> near_by;
  for (int f = std::max(0, frame - kSteady / 2); f <= std::min(static_cast<int>(tissue.size()) - 1, frame + kSteady / 2); ++f) {
    if (tissue[static_cast<std::size_t>(f)].seen) near_by.push_back(tissue[static_cast<std::size_t>(f)].thickness_mm);
  }
  if (near_by.empty()) return kUnseen;
  std::ranges::sort(near_by);
  return near_by[near_by.size() / 2];
}

void Remark(const PullbackQuestion& question, PullbackReading& reading) {
  if (!question.mm_per_frame) reading.remarks.emplace_back("The speed of the pullback is not known: frames have an order, but no distances.");
  if (!CatheterSeen(reading.borders)) {
    reading.remarks.emplace_back("No catheter is seen in the middle of the picture: is this a pullback, and is a pixel as large as given? Nothing is told of the spaces.");
  }
  const auto blank = std::ranges::count(reading.borders.blank, true);
  if (blank > 0) {
    reading.remarks.push_back("In " + std::to_string(blank) + " of " + std::to_string(reading.borders.blank.size()) +
                              " frames there is nothing to see: no rings round the catheter, or nothing in common with the frames beside them. Lines drawn there mean nothing.");
  }
  const auto bright = std::ranges::count(reading.borders.too_bright, true);
  if (bright > 0) {
    reading.remarks.push_back(std::to_string(bright) + " of " + std::to_string(reading.borders.too_bright.size()) +
                              " frames are far too bright: their borders are those of the frames beside them, and no wire is looked for in them.");
  }
  const auto carried = std::ranges::count(reading.borders.carried, true);
  if (carried > 0) {
    reading.remarks.push_back("In " + std::to_string(carried) + " of " + std::to_string(reading.borders.carried.size()) +
                              " frames no wall stands out: the lines there lie between those of the nearest frames that show one. They are not seen and need the reader's eye.");
  }
  const auto& last = reading.sections;
  const auto hidden = std::ranges::count_if(last, [](const PullbackSection& s) { return !s.eem.has_value(); });
  if (hidden > blank) {
    reading.remarks.push_back("In " + std::to_string(hidden) + " of " + std::to_string(last.size()) +
                              " frames more than 90 degrees of the vessel are not seen, or its media does not stand out on a quarter of the rest; its size is not measured there.");
  }
  if (reading.borders.levels.plaque - reading.borders.levels.blood < 20.0) {
    reading.remarks.emplace_back("Blood and plaque hardly differ in brightness: the inner border may follow the channel's echo and needs the reader's eye.");
  }
  if (question.stack.frames < 5) reading.remarks.emplace_back("Fewer than five frames: nothing is averaged along the pullback.");
}

}  // namespace

Status CheckPullbackMarks(const PullbackQuestion& question) {
  for (const BorderPoint& point : question.corrections) {
    const bool good = point.frame >= 0 && point.frame < question.stack.frames && std::isfinite(point.angle_deg) && std::abs(point.angle_deg) <= 720.0 &&
                      point.distance_mm > 0.0 && point.distance_mm <= 20.0;
    if (!good) return Error{"a correction lies outside the pullback", "corrections", "give frame, angle in degrees and distance in millimetres"};
  }
  for (const StentPoint& point : question.stent_points) {
    const bool good = point.frame >= 0 && point.frame < question.stack.frames && std::isfinite(point.angle_deg) && std::abs(point.angle_deg) <= 720.0 &&
                      point.distance_mm > 0.0 && point.distance_mm <= 20.0;
    if (!good) return Error{"a point of the stent lies outside the pullback", "corrections", "give frame, angle in degrees and distance in millimetres"};
  }
  for (const WireClick& click : question.clicks) {
    const bool good = click.frame >= 0 && click.frame < question.stack.frames && std::isfinite(click.angle_deg) && std::abs(click.angle_deg) <= 720.0;
    if (!good) return Error{"a wire's mark lies outside the pullback", "wire marks", "give frame and angle in degrees"};
  }
  return Done{};
}

Result<PullbackStudy> StudyPullback(const PullbackQuestion& question, std::stop_token stop) {
  auto polar = ToPolar(question.stack, stop);
  if (!polar.ok()) return polar.error();
  std::atomic<int> gone{0};
  const auto one_more = [&] {
    const int now = ++gone;
    if (question.share != nullptr) *question.share = kPolarShare + kBorderShare * static_cast<float>(now) / static_cast<float>(kSweeps * polar->frames);
  };
  auto borders = FindBorders(*polar, stop, one_more);
  if (!borders.ok()) return borders.error();
  PullbackStudy study;
  study.borders = std::move(*borders);
  study.sections = MeasureSections(*polar, study.borders, std::nullopt);
  study.scores = ScoreWires(*polar, study.borders);
  for (int f = 0; f < polar->frames; ++f) study.struts.push_back(StrutScore(*polar, study.borders, f));
  if (question.frame_ms > 0.0) study.gate = GateOn(Unrest(*polar, study.borders.blind_mm, kGateReach), question.frame_ms);
  study.polar = std::move(*polar);
  return study;
}

Result<PullbackReading> ReadStudied(const PullbackStudy& study, const PullbackQuestion& question, std::stop_token stop) {
  if (auto good = CheckPullbackMarks(question); !good.ok()) return good.error();
  auto borders = CorrectBorders(study.polar, study.borders, question.corrections, std::move(stop));
  if (!borders.ok()) return borders.error();
  PullbackReading reading;
  reading.borders = std::move(*borders);
  std::vector<int> changed;
  for (std::size_t f = 0; f < reading.borders.frames.size(); ++f) {
    if (!(reading.borders.frames[f] == study.borders.frames[f])) changed.push_back(static_cast<int>(f));
  }
  reading.sections = study.sections;
  for (const int f : changed) reading.sections[static_cast<std::size_t>(f)] = MeasureSection(study.polar, reading.borders, f, std::nullopt);
  for (PullbackSection& section : reading.sections) {
    if (question.mm_per_frame) section.z_mm = *question.mm_per_frame * section.frame;
  }
  reading.summary = Summarise(reading.sections);
  WireScores scores = study.scores;
  ScoreSecondWire(study.polar, reading.borders, changed, scores);
  reading.wires = FindWires(study.polar, scores, question.clicks);
  std::vector<WireScore> struts = study.struts;
  for (const int f : changed) struts[static_cast<std::size_t>(f)] = StrutScore(study.polar, reading.borders, f);
  reading.stent = FindStent(study.polar, reading.borders, struts, reading.wires, reading.sections, question.stent_points);
  reading.tissue = TissueBetween(reading.borders, reading.wires);
  reading.ranges = SpacesAlong(study.polar, reading.borders, reading.wires);
  reading.gate = study.gate;
  for (int frame = 0; frame < static_cast<int>(reading.tissue.size()); ++frame) {
    if (!reading.tissue[static_cast<std::size_t>(frame)].seen) continue;
    if (!reading.thinnest || Steady(reading.tissue, frame) < Steady(reading.tissue, *reading.thinnest)) reading.thinnest = frame;
  }
  Remark(question, reading);
  return reading;
}

Result<PullbackReading> ReadPullback(const PullbackQuestion& question, std::stop_token stop) {
  if (question.stack.frames > 0) {  // marks are refused before the work, not after it
    if (auto good = CheckPullbackMarks(question); !good.ok()) return good.error();
  }
  auto study = StudyPullback(question, stop);
  if (!study.ok()) return study.error();
  return ReadStudied(*study, question, std::move(stop));
}

std::vector<int> FramesThatDiffer(const PullbackReading& a, const PullbackReading& b) {
  const auto wire = [](const WireTrack& one, const WireTrack& other, std::size_t f) {
    if (one.frames.empty() || other.frames.empty()) return one.frames.size() == other.frames.size();
    return one.frames[f] == other.frames[f];
  };
  std::vector<int> differ;
  for (std::size_t f = 0; f < a.sections.size() && f < b.sections.size(); ++f) {
    const auto stent = [&](const PullbackReading& one) { return one.stent && static_cast<int>(f) >= one.stent->first && static_cast<int>(f) <= one.stent->last ? &one.stent->frames[f - static_cast<std::size_t>(one.stent->first)] : nullptr; };
    const StentFrame *mine = stent(a), *other = stent(b);
    const bool same_stent = (mine == nullptr) == (other == nullptr) && (mine == nullptr || mine->contour == other->contour);
    const bool same = same_stent && a.borders.frames[f] == b.borders.frames[f] && a.sections[f].z_mm == b.sections[f].z_mm &&
                      wire(a.wires.riding, b.wires.riding, f) && wire(a.wires.second, b.wires.second, f);
    if (!same) differ.push_back(static_cast<int>(f));
  }
  return differ;
}

FrameSpan ThinPart(const PullbackReading& reading, int thinnest) {
  const double most = Steady(reading.tissue, thinnest) + kThinMore;
  FrameSpan span{thinnest, thinnest};
  while (span.first > 0 && Steady(reading.tissue, span.first - 1) <= most) --span.first;
  while (span.last + 1 < static_cast<int>(reading.tissue.size()) && Steady(reading.tissue, span.last + 1) <= most) ++span.last;
  return span;
}

}  // namespace fairlead
