// SPDX-License-Identifier: Apache-2.0
// The borders of lumen and media on every frame of a pullback. On each ray the grey values are taken as blood, plaque,
// dark media, bright adventitia, in this order; the two borders that fit best are found by dynamic programming over
// the rays of a frame (closed round the circle) and repeated with a pull towards the neighbouring frames.
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <optional>
#include <stop_token>
#include <vector>

#include "imaging/pullback/polar.h"
#include "imaging/pullback/ring_down.h"
#include "measure/result.h"

namespace fairlead {

// A person's correction: the border passes here.
struct BorderPoint {
  int frame = 0;
  double angle_deg = 0.0, distance_mm = 0.0;
  bool media = false;                            // of the media's outer edge; else of the lumen
};

// Blood beyond the media on a ray, and blood (a branch opens into the channel) or tissue on the way there.
enum class BranchRay : std::uint8_t { kNone, kOpen, kBeyond };

struct BorderFrame {
  std::array<float, kAngles> lumen{}, eem{};     // mm from the catheter's axis
  std::array<std::uint8_t, kAngles> lumen_seen{}, eem_seen{};  // 0: shadow, ring-down or the picture's edge; interpolated
  std::array<std::uint8_t, kAngles> eem_clear{};  // 1: a dark band stands out there, or a person set the border; rays that are not seen too
  std::array<float, kAngles> lining{};                         // grey levels by which the wall's edge is brighter than what lies behind it
  std::array<BranchRay, kAngles> ways{};
  friend bool operator==(const BorderFrame&, const BorderFrame&) = default;
};

struct GreyLevels {
  double blood = 0, plaque = 0, media = 0, adventitia = 0;
};

// How often each frame is gone through.
inline constexpr int kSweeps = 3;

struct Borders {
  double step_mm = 0.0;
  double catheter_mm = 0.0;                      // radius of the dark disc or bright ring in the middle
  double blind_mm = 0.0;                         // nearer than this ring-down hides everything
  RingDown ring_down;                            // of the whole pullback
  double spill_mm = 0.0;                         // by which the lumen was widened: bright spills over dark
  GreyLevels levels;                             // of the whole pullback
  // What each sweep went by: its levels, and what blood is worth where it is still. A person's points change neither.
  struct Learnt {
    GreyLevels levels;
    float blood_still = 0.0f;
  };
  std::array<Learnt, kSweeps> learnt{};
  std::vector<BorderFrame> frames;
  double clear_share = 1.0;                      // of all rays that are seen: those on which the media stands out; without anybody's points
  std::vector<bool> too_bright;                  // one a frame: white all over; its borders are those of the frames beside it
  std::vector<bool> carried;                     // one a frame: no wall stands out; its borders lie between those of the nearest frames that show one, not seen
  std::vector<bool> blank;                       // one a frame: there is nothing to see; no ray of it counts as seen
};

// Without anybody's points. `one_more` is called after each frame of each sweep, from two threads. Errors: stopped.
Result<Borders> FindBorders(const Polar& polar, std::stop_token stop, const std::function<void()>& one_more = {});

// A point holds in its frame and pulls `kPinned` frames on both sides; through smoothing and the pull of neighbours it
// changes `kFollowing`, no more. To work these out as in a reading of the whole pullback, `kMargin` more are gone through.
inline constexpr int kPinned = 5, kFollowing = kPinned + 1 + 2 * 4, kMargin = 9;

// `found` with a person's points worked in: only frames that a point can change are gone through again. What the answer
// is depends on the pullback and the points alone, not on the order in which they came. Errors: stopped.
Result<Borders> CorrectBorders(const Polar& polar, const Borders& found, const std::vector<BorderPoint>& corrections,
                               std::stop_token stop, int margin = kMargin);

}  // namespace fairlead
