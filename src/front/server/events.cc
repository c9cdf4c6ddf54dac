// SPDX-License-Identifier: Apache-2.0
#include "front/server/events.h"

#include <charconv>

#include "front/server/json_text.h"
#include "front/server/random.h"

namespace fairlead {

EventId ParseEventId(std::string_view text) {
  const std::size_t dot = text.rfind('.');
  if (dot == std::string_view::npos) return {};
  std::int64_t seq = 0;
  const auto [end, code] = std::from_chars(text.data() + dot + 1, text.data() + text.size(), seq);
  if (code != std::errc() || end != text.data() + text.size() || seq < 0) return {};
  return {std::string(text.substr(0, dot)), seq};
}

std::string EventText(const Appended& appended) {
  JsonText json;
  json.Open('{').Member("case", appended.case_id).Member("seq", appended.seq);
  json.Member("recorded", ToIso(appended.recorded)).Close('}');
  return std::string(appended.said ? "event: said" : "event: case") + "\nid: " + appended.case_id + "." + std::to_string(appended.seq) + "\ndata: " + json.Take() + "\n\n";
}

void Events::Follow(std::set<std::string> cases, std::shared_ptr<Stream> stream, std::string first,
                    std::function<bool()> may) {
  const std::lock_guard lock(mutex_);
  if (!first.empty()) stream->Send(std::make_shared<const std::string>(std::move(first)));
  followers_.push_back({std::move(cases), std::move(stream), std::move(may)});
}

void Events::Tell(const Appended& appended) {
  const auto text = std::make_shared<const std::string>(EventText(appended));
  const std::lock_guard lock(mutex_);
  for (const Follower& follower : followers_) {
    if (follower.cases.contains(appended.case_id)) follower.stream->Send(text);
  }
}

void Events::TellTime(const std::string& case_id, Instant at) {
  JsonText json;
  json.Open('{').Member("case", case_id).Member("at", ToIso(at)).Member("now", ToIso(Now())).Close('}');
  const auto text = std::make_shared<const std::string>("event: time\ndata: " + json.Take() + "\n\n");
  const std::lock_guard lock(mutex_);
  for (const Follower& follower : followers_) {
    if (follower.cases.contains(case_id)) follower.stream->Send(text);
  }
}

void Events::TellMarks(const std::string& image, int version) {
  JsonText json;
  json.Open('{').Member("image", image).Member("version", version).Close('}');
  const auto text = std::make_shared<const std::string>("event: marks\ndata: " + json.Take() + "\n\n");
  const std::lock_guard lock(mutex_);
  for (const Follower& follower : followers_) follower.stream->Send(text);
}

std::set<std::string> Events::Followed() const {
  std::set<std::string> cases;
  const std::lock_guard lock(mutex_);
  for (const Follower& follower : followers_) cases.insert(follower.cases.begin(), follower.cases.end());
  return cases;
}

void Events::Beat() {
  JsonText json;
  json.Open('{').Member("now", ToIso(Now())).Close('}');
  const auto text = std::make_shared<const std::string>("event: beat\ndata: " + json.Take() + "\n\n");
  const std::lock_guard lock(mutex_);
  std::erase_if(followers_, [&](const Follower& follower) {
    if (follower.may()) return !follower.stream->Send(text);
    follower.stream->End();
    return true;
  });
}

std::size_t Events::followers() const {
  const std::lock_guard lock(mutex_);
  return followers_.size();
}

void Events::Forget() {
  const std::lock_guard lock(mutex_);
  followers_.clear();
}

}  // namespace fairlead
