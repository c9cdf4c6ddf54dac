// SPDX-License-Identifier: Apache-2.0
// What each strategy asks for. practice, no source: the lists of the trade. Only the room's own files include this.
#pragma once

#include <span>
#include <string_view>

#include "reasoning/kit/shelf.h"
#include "reasoning/tray/tray.h"

namespace fairlead {

struct NeedRow {
  std::string_view id, what, why;
  std::string_view strategies;       // "AW ADR"; "*" every one; "bail" the bail-out list
  Approach side = Approach::kAntegrade;
  std::string_view need;             // as ParseNeed takes it
  int count = 1;
  bool reaches = false;              // its length must serve the side's route
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
