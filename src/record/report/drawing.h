// SPDX-License-Identifier: Apache-2.0
// Pictures of a report: made from the journal, and written as SVG.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "casebook/run/run_state.h"
#include "record/picture/key_picture.h"
#include "record/picture/wish.h"

namespace fairlead {

struct ReportMatter;

inline constexpr std::string_view kSkinTitle = "Skin dose, an estimate";

std::vector<KeyPicture> PicturesOf(const ReportMatter& matter);

// Attempts as bars, troubles as lines, and below them contrast, air kerma and ACT over the minutes since the first puncture. Black on white.
KeyPicture TimelinePicture(const RunState& run, Duration zone);

// Discs in a lumen, to scale: "1.80mm 2.6F 0.014in", the lumen first; millimetres in the discs.
KeyPicture FitPicture(const std::string& sizes);

// One element that stands alone, or inside a page; pixels as PNG within it. Empty if there is nothing to see.
std::string PictureSvg(const KeyPicture& picture);

}  // namespace fairlead
