// SPDX-License-Identifier: Apache-2.0
// A reader at invented runs: sees the phantom's points where the generator puts them, through a gantry that is a little
// off what it states, at moments that are nearly but not quite the same, and clicks a little beside them. The truth is
// the generator's own course at the end of diastole.
#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "imaging/phantom/render.h"
#include "imaging/phantom/scene.h"
#include "imaging/phantom/truth.h"
#include "tests/imaging/pair/invented.h"

namespace fairlead {

// How far things are off, one standard deviation each.
struct Sloppiness {
  double click_px, angle_deg, roll_deg, distance_mm;
  bool breathes;
  double phase_from, phase_to;  // of the beat, between which a frame is taken; 0.75 to 1 is rest
};

inline Sloppiness SloppinessOf(Grade grade) {
  switch (grade) {
    case Grade::kClean:
      return {0.8, 0.3, 0.2, 2.0, false, 0.80, 1.00};
    case Grade::kTypical:
      return {1.0, 0.5, 0.3, 3.0, true, 0.76, 1.02};
    case Grade::kPoor:
      return {1.6, 0.7, 0.4, 4.0, true, 0.70, 1.06};
  }
  return {};
}

enum class Reads { kCapsAndMarks, kVesselBesides };

struct Reading2 {
  Seen seen;
  std::vector<Vec3> course;   // of the occlusion, true
  std::vector<Vec3> channel;  // true course of the first channel; empty if none
  double between_deg = 0.0;
};

class Reader {
 public:
  Reader(const Scene& scene, Grade grade, Random& random) : scene_(scene), off_(SloppinessOf(grade)), random_(random) {}

  // Two frames of views some degrees apart from the usual ones; empty if they stand less than 45 degrees apart.
  std::optional<Reading2> Read(Reads reads, bool channel) {
    const auto plans = UsualRuns(scene_, Grade::kTypical);
    Reading2 out;
    for (std::size_t f = 0; f < 2; ++f) {
      View view = plans[f].view;
      view.primary = view.primary + Angle::Degrees(8.0 * random_.Normal());
      view.secondary = view.secondary + Angle::Degrees(5.0 * random_.Normal());
      out.seen.frames.push_back(FrameOf(f == 0 ? "a" : "b", static_cast<int>(f), view));
      true_.push_back(Real(view));
      moments_.push_back(Moment1());
    }
    out.between_deg = AngleBetweenBeams(out.seen.frames[0].view, out.seen.frames[1].view).degrees();
    if (out.between_deg < 45.0 || out.between_deg > 135.0) return std::nullopt;
    const Occlusion& o = *scene_.occlusion;
    const auto& nodes = scene_.vessels[static_cast<std::size_t>(o.vessel)].nodes;
    SeenOcclusion seen;
    seen.near_cap = Marked("near cap", nodes[o.proximal]);
    seen.far_cap = Marked("far cap", nodes[o.distal]);
    if (reads == Reads::kVesselBesides) {
      seen.before = Lines(nodes, Back(nodes, o.proximal, 20.0), o.proximal, 6, true, false);
      seen.after = Lines(nodes, o.distal, Forth(nodes, o.distal, 20.0), 6, false, true);
    }
    out.seen.occlusion = seen;
    AddBranches(out.seen);
    out.course = OcclusionCourse(scene_);
    if (channel) AddChannel(out);
    return Fits(out.seen) ? std::optional(out) : std::nullopt;
  }

 private:
  View Real(View view) {
    view.primary = view.primary + Angle::Degrees(off_.angle_deg * random_.Normal());
    view.secondary = view.secondary + Angle::Degrees(off_.angle_deg * random_.Normal());
    view.source_to_detector = view.source_to_detector + Length::Millimetres(off_.distance_mm * random_.Normal());
    view.source_to_isocentre = view.source_to_isocentre + Length::Millimetres(off_.distance_mm * random_.Normal());
    rolls_.push_back(off_.roll_deg * random_.Normal() * std::numbers::pi / 180.0);
    return view;
  }
  Moment Moment1() {
    const double beat = std::floor(random_.Within(1.0, 4.0)), phase = random_.Within(off_.phase_from, off_.phase_to);
    return MomentAt(scene_, Duration::Seconds((beat + phase) * 60.0 / scene_.heart_rate), off_.breathes);
  }
  ImagePoint ClickOn(std::size_t frame, const Node& node) {
    const ImagePoint p = *Project(true_[frame], PlaceOf(node, moments_[frame]));
    const double c = p.column - 255.5, r = p.row - 255.5, roll = rolls_[frame];
    const ImagePoint rolled{255.5 + std::cos(roll) * c + std::sin(roll) * r,
                            255.5 - std::sin(roll) * c + std::cos(roll) * r};
    // One draw a line: the order in which arguments are worked out differs between compilers.
    const double dc = off_.click_px * random_.Normal();
    const double dr = off_.click_px * random_.Normal();
    return {rolled.column + dc, rolled.row + dr};
  }
  SeenMark Marked(const std::string& name, const Node& node) {
    SeenMark mark{name, {}};
    for (std::size_t f = 0; f < 2; ++f) mark.clicks.push_back({f, ClickOn(f, node)});
    return mark;
  }
  static std::size_t Back(const std::vector<Node>& nodes, std::size_t from, double mm) {
    double along = 0.0;
    while (from > 0 && along < mm) along += Norm(nodes[from].at - nodes[from - 1].at), --from;
    return from;
  }
  static std::size_t Forth(const std::vector<Node>& nodes, std::size_t from, double mm) {
    double along = 0.0;
    while (from + 1 < nodes.size() && along < mm) along += Norm(nodes[from + 1].at - nodes[from].at), ++from;
    return from;
  }
  // Clicks spread over a stretch, elsewhere in each frame; a free end is begun elsewhere too, a shared cap left out.
  std::vector<SeenLine> Lines(const std::vector<Node>& nodes, std::size_t first, std::size_t last, int clicks,
                              bool free_start, bool free_end) {
    std::vector<SeenLine> lines;
    for (std::size_t f = 0; f < 2; ++f) {
      SeenLine line{f, {}};
      const double start = free_start ? random_.Within(0.0, 0.15) : 0.0,
                   end = free_end ? random_.Within(0.85, 1.0) : 1.0;
      for (int i = 0; i < clicks; ++i) {
        double share = start + (end - start) * i / (clicks - 1);
        const bool cap = (i == 0 && !free_start && free_end) || (i + 1 == clicks && !free_end && free_start);
        if (cap) continue;
        if (i > 0 && i + 1 < clicks) share += random_.Within(-0.3, 0.3) / clicks;
        const double at = static_cast<double>(first) + share * static_cast<double>(last - first);
        line.points.push_back(ClickOn(f, nodes[static_cast<std::size_t>(std::lround(at))]));
      }
      lines.push_back(std::move(line));
    }
    return lines;
  }
  void AddBranches(Seen& seen) {
    for (const Vessel& vessel : scene_.vessels) {
      if (vessel.from.vessel < 0 || vessel.kind != VesselKind::kArtery || seen.marks.size() >= 4) continue;
      SeenMark mark = Marked("origin of " + vessel.name, vessel.nodes.front());
      if (std::all_of(mark.clicks.begin(), mark.clicks.end(), [](const Click& c) { return InPicture(c.at); }))
        seen.marks.push_back(std::move(mark));
    }
  }
  void AddChannel(Reading2& out) {
    for (const Vessel& vessel : scene_.vessels) {
      if (vessel.kind != VesselKind::kCollateral) continue;
      double length = 0.0;
      for (std::size_t i = 1; i < vessel.nodes.size(); ++i) length += Norm(vessel.nodes[i].at - vessel.nodes[i - 1].at);
      // A point each 2 mm: three or four to a winding.
      out.seen.paths.push_back(
          {vessel.name, PathKind::kCollateral,
           Lines(vessel.nodes, 0, vessel.nodes.size() - 1, static_cast<int>(length / 2.0) + 2, false, false)});
      for (const Node& node : vessel.nodes) out.channel.push_back(node.at);
      return;
    }
  }
  static bool InPicture(ImagePoint p) { return p.column > 0 && p.row > 0 && p.column < 511 && p.row < 511; }
  static bool Fits(const Seen& seen) { return CheckSeen(seen).ok(); }

  const Scene& scene_;
  Sloppiness off_;
  Random& random_;
  std::vector<View> true_;
  std::vector<double> rolls_;
  std::vector<Moment> moments_;
};

}  // namespace fairlead
