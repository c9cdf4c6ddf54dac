// SPDX-License-Identifier: Apache-2.0
#include "front/server/run_boards.h"

#include "front/server/run_json.h"

namespace fairlead {
namespace {

constexpr double kFresh_s = 1.0;  // the page's clock of ages ticks once a second; chosen

}  // namespace

Result<std::shared_ptr<const std::string>> RunBoards::At(const std::string& case_id, Instant now) {
  std::shared_ptr<Board> board;
  {
    const std::lock_guard lock(mutex_);
    std::shared_ptr<Board>& held = boards_[case_id];
    if (held == nullptr) held = std::make_shared<Board>();
    board = held;
  }
  const std::lock_guard lock(board->making);
  auto lab = practice_.Lab();
  if (!lab.ok()) return lab.error();
  const auto seq = practice_.BoardSeqOf(case_id);
  if (!seq.ok()) return seq.error();
  const double age_s = (now - board->made).seconds();
  const bool stands = board->json != nullptr && board->seq == *seq && board->lab == *lab && age_s >= 0.0 && age_s <= kFresh_s &&
                      (!board->holds_until || now < *board->holds_until);
  if (stands) return board->json;
  auto state = practice_.StateOf(case_id, std::nullopt);
  if (!state.ok()) return state.error();
  auto panel = RunPanelOf(*state, **lab, now);
  if (!panel.ok()) return panel.error();
  board->json = std::make_shared<const std::string>(std::move(panel->json));
  board->lab = *lab;
  board->seq = *seq;
  board->made = now;
  board->holds_until = panel->holds_until;
  return board->json;
}

}  // namespace fairlead
