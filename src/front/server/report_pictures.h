// SPDX-License-Identifier: Apache-2.0
// What a report's pictures and a lesson's clips need beside the journal: the frames, the paths traced on them, the skin.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "casebook/fold.h"
#include "keeping/images/images.h"
#include "record/exchange/exchange.h"
#include "record/lesson/lesson.h"
#include "record/report/report.h"

namespace fairlead {

// Fetches the frames of the report's pictures, traces anew what was traced on them, draws the skin. Boxes that somebody drew over what is
// written in a run are painted. A picture that cannot be fetched says why. With `only`, the picture of that note alone.
void FetchPictures(Report& report, const State& state, ImageStore& images, const std::string& only = {});

// The clips that notes chose, as JPEG frames; only of runs that somebody has looked at. What is left out says why in `left_out`.
struct LessonClips {
  std::vector<LessonClip> clips;
  std::vector<std::string> left_out;
};
LessonClips ClipsOf(const State& state, ImageStore& images);

// The lesson as it is being built, for the page (docs/wire.md). Fetches nothing.
std::string LessonPlanJson(const State& state);

// How the archive names the runs that standing facts were measured on, from the heads of their stored files. Stills and files that cannot be
// read are left out.
SrImages NamesOfImages(const State& state, const std::filesystem::path& data);

}  // namespace fairlead
