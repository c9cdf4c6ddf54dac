// SPDX-License-Identifier: Apache-2.0
// Bodies and targets of requests: whatever comes, the parsers answer; slices lie inside the text and parse again.
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "front/server/body.h"
#include "front/server/events.h"
#include "front/server/pair_body.h"
#include "front/server/pullback_ask.h"
#include "front/server/pullbacks.h"
#include "front/server/target.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  if (const auto target = fairlead::ParseTarget(text); target && !fairlead::IsUtf8(target->path)) std::abort();
  static_cast<void>(fairlead::ParseEventId(text));
  static_cast<void>(fairlead::ParseNewCase(text));
  static_cast<void>(fairlead::ParseAssess(text));
  static_cast<void>(fairlead::ParsePixelSize(text));
  static_cast<void>(fairlead::ParseLength(text));
  static_cast<void>(fairlead::ParsePairGuide(text, "image"));
  static_cast<void>(fairlead::ParsePullbackAsk(text, true));
  static_cast<void>(fairlead::ParsePullbackJoining(text));
  static_cast<void>(fairlead::ParsePullbackHand(text));
  static_cast<void>(fairlead::ParseErrorAnswer(400, text));
  if (const auto entries = fairlead::ParseEntriesBody(text); entries.ok()) {
    for (const auto entry : *entries) {
      if (entry.data() < text.data() || entry.data() + entry.size() > text.data() + text.size()) std::abort();
    }
  }
  if (const auto members = fairlead::MembersOf(text); members.ok()) {
    for (const auto& [name, value] : *members) {
      if (value.empty() || value.data() + value.size() > text.data() + text.size()) std::abort();
    }
  }
  return 0;
}
