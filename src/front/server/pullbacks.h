// SPDX-License-Identifier: Apache-2.0
// Pullbacks that are being read, and the last readings: how far one has come, and what follows at another frame or with
// a person's mark without reading it again. Everything here can be made anew.
#pragma once

#include <atomic>
#include <cstddef>
#include <deque>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "front/server/pullback_answer.h"
#include "imaging/pullback/by_hand.h"

namespace fairlead {

// Safe to use from several threads.
class Pullbacks {
 public:
  // The share of a reading that begins; another reading of the same image takes its place.
  std::shared_ptr<std::atomic<float>> Begin(const std::string& image);
  void End(const std::string& image, const std::shared_ptr<std::atomic<float>>& share);
  std::optional<float> Share(const std::string& image);  // none: nothing of it is being read

  // The last few readings are kept, one an image.
  void Keep(const std::string& image, std::shared_ptr<const PullbackAnswer> answer);
  std::shared_ptr<const PullbackAnswer> Find(const std::string& image);

  // What rests on the pictures alone, so that a person's point is worked in at once: the newest, and older ones as long
  // as all together stay within some 150 MB.
  void KeepStudy(const std::string& key, std::shared_ptr<const PullbackStudy> study);
  std::shared_ptr<const PullbackStudy> FindStudy(const std::string& key);

 private:
  std::mutex guard_;
  std::map<std::string, std::shared_ptr<std::atomic<float>>> going_;
  std::deque<std::pair<std::string, std::shared_ptr<const PullbackAnswer>>> kept_;  // newest first
  std::deque<std::pair<std::string, std::shared_ptr<const PullbackStudy>>> studies_;  // newest first
};

std::shared_ptr<Pullbacks> MakePullbacks();

// What follows at a frame of a pullback that was read.
struct PullbackJoiningAsk {
  std::string image;
  std::optional<int> frame;                 // none: the frame of interest
  SpaceMarks marks;
  std::optional<double> eem_min_mm, eem_max_mm, calcium_arc_deg;  // the vessel as a person measured it: wins over what was read
  int cycles = 0, places = 1;               // as in JoiningQuestion
  std::optional<double> minutes;
};
// Errors: no object; an unknown member; a value of another kind.
Result<PullbackJoiningAsk> ParsePullbackJoining(std::string_view json);

// {"frame", "z_mm", "vessel": {...} | null, "tissue_mm", "joining"}. Errors: a frame that is not there; what HowToJoin says.
Result<std::string> PullbackJoiningJson(const PullbackJoiningAsk& ask, const PullbackAnswer& answer);

// Points that a person set in a cross-section: {"image", "kind": "distance"/"area"/"angle", "points": [{x, y}], "pixel_mm"?}.
struct PullbackHandAsk {
  std::string image;
  HandKind kind = HandKind::kDistance;
  std::vector<ImagePoint> points;
  std::optional<double> pixel_mm;           // where the file does not say
};
Result<PullbackHandAsk> ParsePullbackHand(std::string_view json);
std::string PullbackHandJson(const ByHand& made, std::string_view pixel_from);

}  // namespace fairlead
