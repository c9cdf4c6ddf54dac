// SPDX-License-Identifier: Apache-2.0
#include "imaging/pair/run_view.h"

namespace fairlead {

Result<View> ViewOfFrame(const Run& run, int frame, const ViewStated& instead) {
  if (frame < 0 || frame >= run.frames) {
    return Error{"the run has " + std::to_string(run.frames) + (run.frames == 1 ? " frame" : " frames"),
                 "frame " + std::to_string(frame), "count frames from 0"};
  }
  const auto missing = [](const char* what) {
    return Error{std::string("the run does not state ") + what + ", so nothing can be measured in space", "",
                 "choose another run, or state it in the frame's view"};
  };
  const auto at = static_cast<std::size_t>(frame);
  std::optional<ViewAngles> angles = at < run.frame_views.size() ? std::optional(run.frame_views[at]) : run.view;
  if (!angles && !(instead.primary && instead.secondary)) return missing("its gantry angles");
  if (!angles) angles = ViewAngles{};
  const auto sid = instead.source_to_detector ? instead.source_to_detector : run.source_to_detector;
  const auto sod = instead.source_to_isocentre ? instead.source_to_isocentre : run.source_to_isocentre;
  const auto spacing = instead.spacing ? instead.spacing : run.detector_spacing;
  if (!sid) return missing("the distance from source to detector");
  if (!sod) return missing("the distance from source to isocentre");
  if (!spacing) return missing("the spacing of the detector");
  View view;
  view.primary = instead.primary.value_or(angles->primary);
  view.secondary = instead.secondary.value_or(angles->secondary);
  view.source_to_detector = *sid, view.source_to_isocentre = *sod;
  view.row_spacing = spacing->row, view.column_spacing = spacing->column;
  view.rows = run.rows, view.columns = run.columns;
  if (const Status good = CheckView(view); !good) return good.error();
  return view;
}

}  // namespace fairlead
