// SPDX-License-Identifier: Apache-2.0
#include "reasoning/tray/laying.h"

#include <fmt/core.h>

#include <algorithm>
#include <map>

namespace fairlead {
namespace {

class Drawers {
 public:
  Drawers(const TrayQuestion& question, const Shelf& shelf) : question_(question), shelf_(shelf) {}

  int Left(std::size_t device) {
    const auto [place, fresh] = left_.try_emplace(device, 0);
    if (fresh) place->second = UsableCount(shelf_.devices[device], question_.today);
    return place->second;
  }
  int Take(std::size_t device, int wanted) {
    const int given = std::min(Left(device), wanted);
    left_[device] -= given;
    return given;
  }

  // Pieces of one device after the other, or `count` of each of so many different ones.
  void Serve(TrayNeed& need, const TrayNeed* other, bool bailout) {
    int kinds = 0, have = 0;
    for (std::size_t i = 0; i < need.candidates.size(); ++i) {
      if (have == need.count * need.kinds || kinds == need.kinds + (need.kinds == 1 ? 8 : 0)) break;
      if (need.reaches[i] && need.reaches[i]->reach == ReachClass::kShort) continue;
      if (other != nullptr && !other->pieces.empty() && other->pieces.front().device == need.candidates[i]) continue;
      const int given = Take(need.candidates[i], need.kinds == 1 ? need.count - have : need.count);
      if (given == 0) continue;
      if (need.pieces.empty()) need.reach = need.reaches[i];
      need.pieces.push_back({need.candidates[i], given});
      have += given;
      ++kinds;
    }
    if (need.pieces.empty() && !need.candidates.empty()) need.reach = need.reaches.front();
    Judge(need, have, bailout);
    if (have == 0 && other != nullptr && !other->pieces.empty()) need.remark = fmt::format("nothing but {}, which is on the tray already, would do", shelf_.devices[other->pieces.front().device].name);
  }

 private:
  void Judge(TrayNeed& need, int have, bool bailout) {
    const int wanted = need.count * need.kinds;
    if (have == 0) return Missing(need, bailout);
    need.state = NeedState::kReady;
    if (have < wanted) {
      need.state = NeedState::kDoubtful;
      need.remark = need.kinds > 1 ? fmt::format("{} of {} sizes in the drawer", have / need.count, need.kinds) : fmt::format("{} of {} in the drawer", have, wanted);
    } else if (need.reach && need.reach->reach == ReachClass::kTight) {
      need.state = NeedState::kDoubtful;
      need.remark = fmt::format("reaches with {:.0f} cm to spare", need.reach->value.millimetres() / 10);
    }
  }

  void Missing(TrayNeed& need, bool bailout) {
    if (need.candidates.empty()) {
      need.remark = "the shelf has none";
      return;
    }
    const Device& first = shelf_.devices[need.candidates.front()];
    const bool too_short = need.reach && need.reach->reach == ReachClass::kShort;
    const auto taken = std::ranges::find_if(need.candidates, [&](std::size_t at) { return UsableCount(shelf_.devices[at], question_.today) > 0; });
    if (!too_short && taken != need.candidates.end()) {
      need.remark = fmt::format("the last {} is on the tray already", shelf_.devices[*taken].name);
      if (bailout) need.state = NeedState::kDoubtful;
    } else if (too_short) {
      need.remark = fmt::format("{} is too short by {:.0f} cm", first.name, -need.reach->value.millimetres() / 10);
    } else {
      need.remark = ExpiredCount(first, question_.today) > 0 ? fmt::format("{} has expired", first.name) : fmt::format("{}: none in the drawer", first.name);
    }
  }

  const TrayQuestion& question_;
  const Shelf& shelf_;
  std::map<std::size_t, int> left_;
};

}  // namespace

void LayOut(TrayAnswer& answer, const TrayQuestion& question, const Shelf& shelf) {
  Drawers drawers(question, shelf);
  for (const TrayGuide& guide : answer.guides) {
    if (guide.guide) drawers.Take(*guide.guide, 1);
    if (guide.sheath) drawers.Take(*guide.sheath, 1);
  }
  for (TrayNeed& need : answer.needs) {
    const auto other = std::ranges::find(answer.needs, need.unlike, &TrayNeed::id);
    drawers.Serve(need, need.unlike.empty() || other == answer.needs.end() ? nullptr : &*other, false);
  }
  for (TrayNeed& need : answer.bailout) drawers.Serve(need, nullptr, true);
}

}  // namespace fairlead
