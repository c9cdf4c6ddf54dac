// SPDX-License-Identifier: Apache-2.0
// The run's panel of each case as it was last made. Every screen of a room asks at the same moment, after each entry: it is
// made once for all of them.
#pragma once

#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>

#include "casebook/knowledge.h"
#include "front/server/practice.h"
#include "measure/instant.h"
#include "measure/result.h"

namespace fairlead {

class RunBoards {
 public:
  explicit RunBoards(Practice& practice) : practice_(practice) {}

  // Run of docs/wire.md, made for `now` or at most one second before it, of the case's last entry and of the lab's present
  // knowledge, and never across an instant at which it changes by time alone. Safe from several threads: one makes it, the
  // others wait for that one. Errors: what StateOf, Lab and RunPanelJson say.
  Result<std::shared_ptr<const std::string>> At(const std::string& case_id, Instant now);

 private:
  struct Board {
    std::mutex making;
    std::shared_ptr<const std::string> json;  // what follows is guarded by `making`
    std::shared_ptr<const Knowledge> lab;
    std::int64_t seq = -1;
    Instant made;
    std::optional<Instant> holds_until;
  };

  Practice& practice_;
  std::mutex mutex_;
  std::map<std::string, std::shared_ptr<Board>> boards_;  // guarded by mutex_
};

}  // namespace fairlead
