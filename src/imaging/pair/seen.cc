// SPDX-License-Identifier: Apache-2.0
#include "imaging/pair/seen.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace fairlead {
namespace {

Status CheckPlace(const Seen& seen, std::size_t frame, ImagePoint at, const std::string& where) {
  if (frame >= seen.frames.size())
    return Error{"a point names a frame that is not given", where, "name one of the frames"};
  const PairFrame& in = seen.frames[frame];
  if (!std::isfinite(at.column) || !std::isfinite(at.row))
    return Error{"a point is not a number", where, "mark it again"};
  if (at.column < -0.5 || at.row < -0.5 || at.column > in.view.columns - 0.5 || at.row > in.view.rows - 0.5) {
    return Error{"a point lies outside the picture of frame \"" + in.key + "\"", where, "mark it inside the picture"};
  }
  return Done{};
}

Status CheckMark(const Seen& seen, const SeenMark& mark, const std::string& where) {
  std::set<std::size_t> frames;
  for (const Click& click : mark.clicks) {
    if (const Status good = CheckPlace(seen, click.frame, click.at, where); !good) return good.error();
    if (!frames.insert(click.frame).second)
      return Error{"a point is marked twice in frame \"" + seen.frames[click.frame].key + "\"", where,
                   "mark it once in each frame"};
  }
  return Done{};
}

Status CheckLines(const Seen& seen, const std::vector<SeenLine>& lines, const std::string& where) {
  std::set<std::size_t> frames;
  for (const SeenLine& line : lines) {
    if (line.points.empty() || line.points.size() > kMostLinePoints) {
      return Error{"a course has 1 to " + std::to_string(kMostLinePoints) + " points in a frame, not " +
                       std::to_string(line.points.size()),
                   where, "mark it again"};
    }
    for (const ImagePoint& p : line.points) {
      if (const Status good = CheckPlace(seen, line.frame, p, where); !good) return good.error();
    }
    if (!frames.insert(line.frame).second)
      return Error{"a course is marked twice in frame \"" + seen.frames[line.frame].key + "\"", where,
                   "mark it once in each frame"};
  }
  return Done{};
}

Status CheckFrames(const Seen& seen) {
  if (seen.frames.size() < 2 || seen.frames.size() > kMostFrames) {
    return Error{"2 to " + std::to_string(kMostFrames) + " frames can be measured together, not " +
                     std::to_string(seen.frames.size()),
                 "", "choose two runs"};
  }
  for (const PairFrame& frame : seen.frames) {
    if (const Status good = CheckView(frame.view); !good) return Within("frame \"" + frame.key + "\"", good.error());
    if (frame.shift_sd && !(*frame.shift_sd >= Length{} && frame.shift_sd->millimetres() <= 200.0)) {
      return Error{"the sd of a shift is not between 0 and 200 mm", "frame \"" + frame.key + "\"",
                   "give one in that range"};
    }
  }
  return Done{};
}

Status CheckKnown(const Seen& seen) {
  const auto given = [&](const std::string& name) {
    return std::any_of(seen.marks.begin(), seen.marks.end(), [&](const SeenMark& m) { return m.name == name; });
  };
  for (const KnownDistance& known : seen.known) {
    if (!given(known.from) || !given(known.to) || known.from == known.to)
      return Error{"a known distance needs two different marks", "known", "name two of the marks"};
    if (!(known.length.millimetres() > 0.0 && known.length.millimetres() <= 300.0 && known.sd >= Length{})) {
      return Error{"a known distance is not between 0 and 300 mm", "known", "give it in millimetres"};
    }
  }
  return Done{};
}

Status CheckMarks(const Seen& seen) {
  std::set<std::string> names;
  if (seen.occlusion) names = {seen.occlusion->near_cap.name, seen.occlusion->far_cap.name};
  for (const SeenPath& path : seen.paths) names.insert("start of " + path.name), names.insert("end of " + path.name);
  for (const SeenMark& mark : seen.marks) {
    if (mark.name.empty() || !names.insert(mark.name).second)
      return Error{"each mark needs a name of its own", "marks: \"" + mark.name + "\"", "rename it"};
    if (const Status good = CheckMark(seen, mark, "mark \"" + mark.name + "\""); !good) return good.error();
  }
  return Done{};
}

Status CheckPaths(const Seen& seen) {
  std::set<std::string> names;
  for (const SeenPath& path : seen.paths) {
    if (path.name.empty() || !names.insert(path.name).second)
      return Error{"each path needs a name of its own", "paths: \"" + path.name + "\"", "rename it"};
    if (const Status good = CheckLines(seen, path.lines, "path \"" + path.name + "\""); !good) return good.error();
  }
  return Done{};
}

Status CheckOcclusion(const Seen& seen, const SeenOcclusion& o) {
  for (const SeenMark* cap : {&o.near_cap, &o.far_cap}) {
    if (const Status good = CheckMark(seen, *cap, cap->name); !good) return good.error();
  }
  for (const auto& [lines, name] :
       {std::pair{&o.before, "before"}, std::pair{&o.course, "course"}, std::pair{&o.after, "after"}}) {
    if (const Status good = CheckLines(seen, *lines, std::string("occlusion: ") + name); !good) return good.error();
  }
  return Done{};
}

}  // namespace

Status CheckSeen(const Seen& seen) {
  if (const Status good = CheckFrames(seen); !good) return good.error();
  if (!(seen.click_sd_px >= 0.05 && seen.click_sd_px <= 20.0))
    return Error{"the sd of a click is not between 0.05 and 20 pixels", "click_sd_px", "1 is usual"};
  if (seen.marks.size() > kMostMarks)
    return Error{"there are more than " + std::to_string(kMostMarks) + " marks", "marks", "leave some out"};
  if (seen.paths.size() > kMostPaths)
    return Error{"there are more than " + std::to_string(kMostPaths) + " paths", "paths", "leave some out"};
  if (const Status good = CheckMarks(seen); !good) return good.error();
  if (const Status good = CheckPaths(seen); !good) return good.error();
  if (seen.occlusion) {
    if (const Status good = CheckOcclusion(seen, *seen.occlusion); !good) return good.error();
  }
  return CheckKnown(seen);
}

}  // namespace fairlead
