// SPDX-License-Identifier: Apache-2.0
// Which pictures the operator chose for the report and which stretches of runs for the lesson. Both are notes:
//   picture: run 3 frame 12; the cap after both injections
//   picture: timeline          picture: skin          picture: fit 1.80mm 2.6F 0.014in; the lumen first, then what lies in it
//   clip: run 3 frames 10-60; contrast runs back through the septal
// A run is named by its label or by 12 or more digits of its hash; frames count from 1; words after ";" or on further lines.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "casebook/fold.h"

namespace fairlead {

enum class WishKind { kFrame, kTimeline, kSkin, kClip, kFit };

struct PictureWish {
  WishKind kind = WishKind::kFrame;
  std::string image, label;    // hash and label of the run; empty if the case has no such run
  std::string asked;           // the run as it was written; of a fit the sizes
  int frames = 0, rows = 0, columns = 0;  // of the run, as the case says
  int first = -1, last = -1;   // 0-based; equal for a frame; as asked, not held against the run
  std::string caption;
  std::string entry, by;
  Instant at;
};

// Standing notes of this kind, by time.
std::vector<PictureWish> WishesOf(const State& state);

// Does the note choose a picture or a clip? One that begins so and cannot be read does not: it stays a remark that people see.
bool IsWish(std::string_view note);

}  // namespace fairlead
