// SPDX-License-Identifier: Apache-2.0
// What each strategy asks for. practice, no source: the lists of the trade. Only the room's own files include this.
#pragma once

#include <span>
#include <string_view>

#include "reasoning/kit/shelf.h"
#include "reasoning/tray/tray.h"

namespace fairlead {

// What is best among the devices that would do.
enum class Rank {
  kSlim,       // slim before wide, long before short
  kReaching,   // long enough for the side's route, then as kSlim
  kJustLong,   // long enough, and no longer: what is left of the wire behind the hub counts
  kRoomy,      // the widest lumen first
};

struct NeedRow {
  std::string_view id, what, why;
  std::string_view strategies;       // "AW ADR"; "*" every one; "bail" the bail-out list
  Approach side = Approach::kAntegrade;
  std::string_view need;             // as ParseNeed takes it
  int count = 1;
  Rank rank = Rank::kSlim;
  int kinds = 1;                     // different devices, `count` of each
  std::string_view unlike = "";      // id of the need whose device will not do here: a second one is another
};
std::span<const NeedRow> NeedRows();

struct GroupRow {
  std::string_view strategies, why;
  Approach side = Approach::kAntegrade;
  std::string_view first, second;    // ids of needs that lie side by side
};
std::span<const GroupRow> GroupRows();

std::span<const std::string_view> ByEye();

bool Serves(std::string_view strategies, std::string_view strategy);

}  // namespace fairlead
