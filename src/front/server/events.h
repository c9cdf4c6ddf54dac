// SPDX-License-Identifier: Apache-2.0
// The event stream: who follows which cases, and what they are told. docs/wire.md, `GET /api/events`.
#pragma once

#include <functional>
#include <memory>
#include <mutex>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "front/server/http.h"
#include "front/server/practice.h"

namespace fairlead {

// A Last-Event-ID: "CASE.SEQ"; seq -1 if it is none.
struct EventId {
  std::string case_id;
  std::int64_t seq = -1;
};
EventId ParseEventId(std::string_view text);

std::string EventText(const Appended& appended);

class Events {
 public:
  // From now on the follower is told of these cases. `first` is sent before anything else.
  // Once `may` says no, the stream ends with the next beat.
  void Follow(std::set<std::string> cases, std::shared_ptr<Stream> stream, std::string first,
              std::function<bool()> may = [] { return true; });
  void Tell(const Appended& appended);
  // `event: time`: the cautions of that case changed at `at` although nobody wrote.
  void TellTime(const std::string& case_id, Instant at);
  // `event: marks`: somebody set marks on that run; to every follower, which looks whether it shows the run.
  void TellMarks(const std::string& image, int version);
  std::set<std::string> Followed() const;  // cases that somebody follows
  // `event: beat` with the server's clock, to every follower; those that are gone are forgotten.
  void Beat();
  std::size_t followers() const;
  void Forget();  // of every follower, when the server ends

 private:
  struct Follower {
    std::set<std::string> cases;
    std::shared_ptr<Stream> stream;
    std::function<bool()> may;
  };
  mutable std::mutex mutex_;
  std::vector<Follower> followers_;  // guarded by mutex_
};

}  // namespace fairlead
