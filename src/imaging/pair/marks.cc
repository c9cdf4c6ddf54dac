// SPDX-License-Identifier: Apache-2.0
#include "imaging/pair/marks.h"

#include <algorithm>
#include <cmath>

#include "geometry/triangulate.h"

namespace fairlead {
namespace {

std::vector<SeenAt> Pictures(const Seen& seen, const std::vector<Click>& clicks) {
  std::vector<SeenAt> pictures;
  pictures.reserve(clicks.size());
  for (const Click& click : clicks) pictures.push_back({seen.frames[click.frame].view, click.at});
  return pictures;
}

void Take(const Seen& seen, const SeenMark& mark, bool needed, std::vector<Located>& located) {
  if (mark.clicks.size() < 2) return;
  const auto found = Triangulate(Pictures(seen, mark.clicks));
  if (!found) return;
  Located each{mark, found->point, 0.0, needed, false, found->between};
  each.before_px = WorstPx(BundleOf(seen.frames, seen.click_sd_px), mark.clicks, found->point);
  located.push_back(std::move(each));
}

SeenMark EndOf(const SeenPath& path, bool first) {
  SeenMark mark;
  mark.name = (first ? "start of " : "end of ") + path.name;
  for (const SeenLine& line : path.lines)
    mark.clicks.push_back({line.frame, first ? line.points.front() : line.points.back()});
  return mark;
}

void PutMarks(const std::vector<Located>& located, const Seen& seen, Bundle& bundle) {
  bundle.marks.clear();
  bundle.distances.clear();
  std::vector<std::string> names;
  for (const Located& each : located) {
    if (each.left_out) continue;
    bundle.marks.push_back({each.at, each.mark.clicks});
    names.push_back(each.mark.name);
  }
  for (const KnownDistance& known : seen.known) {
    const auto from = std::find(names.begin(), names.end(), known.from),
               to = std::find(names.begin(), names.end(), known.to);
    if (from == names.end() || to == names.end()) continue;
    bundle.distances.push_back({static_cast<std::size_t>(from - names.begin()),
                                static_cast<std::size_t>(to - names.begin()), known.length.millimetres(),
                                std::max(1e-3, known.sd.millimetres())});
  }
}

// The mark that fits worst and may be left out; null if all fit.
Located* Worst(const Bundle& bundle, std::vector<Located>& located) {
  Located* worst = nullptr;
  double most = kDoubtful * bundle.click_sd_px;
  for (Located& each : located) {
    if (each.left_out || each.needed) continue;
    const double px = WorstPx(bundle, each.mark.clicks, each.at);
    if (px > most) most = px, worst = &each;
  }
  return worst;
}

}  // namespace

double WorstPx(const Bundle& bundle, const std::vector<Click>& clicks, Vec3 at) {
  double worst = 0.0;
  for (const Click& click : clicks) worst = std::max(worst, Distance(SeenIn(bundle, click.frame, at), click.at));
  return worst;
}

std::vector<Located> LocateMarks(const Seen& seen) {
  std::vector<Located> located;
  for (const SeenMark& mark : seen.marks) Take(seen, mark, false, located);
  if (seen.occlusion) {
    Take(seen, seen.occlusion->near_cap, true, located);
    Take(seen, seen.occlusion->far_cap, true, located);
  }
  for (const SeenPath& path : seen.paths) {
    if (path.lines.size() < 2) continue;
    for (const bool first : {true, false}) Take(seen, EndOf(path, first), true, located);
  }
  return located;
}

bool FitMarks(const Seen& seen, std::vector<Located>& located, Bundle& bundle) {
  const std::size_t most = located.size() / 3;
  for (std::size_t dropped = 0;; ++dropped) {
    PutMarks(located, seen, bundle);
    if (!Solve(bundle)) return false;
    std::size_t i = 0;
    for (Located& each : located) {
      if (!each.left_out) each.at = bundle.marks[i++].at;
    }
    Located* worst = located.size() < 4 || dropped >= most ? nullptr : Worst(bundle, located);
    if (worst == nullptr) return true;
    worst->left_out = true;
  }
}

FitPose PoseFrom(const Seen& seen) {
  FitPose pose{BundleOf(seen.frames, seen.click_sd_px), 0};
  auto located = LocateMarks(seen);
  if (located.empty()) return pose;
  Bundle fitted = pose.bundle;
  if (!FitMarks(seen, located, fitted)) return pose;
  pose.bundle = std::move(fitted);
  for (const Located& each : located) pose.marks += each.left_out ? 0 : 1;
  return pose;
}

}  // namespace fairlead
