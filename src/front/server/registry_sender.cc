// SPDX-License-Identifier: Apache-2.0
#include "front/server/registry_sender.h"

#include <algorithm>

#include "front/server/json_text.h"
#include "front/server/random.h"
#include "front/server/registry_kept.h"
#include "front/server/row_packer.h"
#include "keeping/registry/outbox.h"

namespace fairlead {

Result<std::unique_ptr<RegistrySender>> RegistrySender::Of(SenderSettings settings, Rows rows, Log& log) {
  if (auto named = CheckLabName(settings.lab); !named.ok()) return named.error();
  if (auto right = CheckSharedAddress(settings.address); !right.ok()) return right.error();
  return std::unique_ptr<RegistrySender>(new RegistrySender(std::move(settings), std::move(rows), log));
}

RegistrySender::RegistrySender(SenderSettings settings, Rows rows, Log& log) : settings_(std::move(settings)), rows_(std::move(rows)), log_(log) {
  state_.to = PlainAddress(settings_.address), state_.lab = settings_.lab;
}

RegistrySender::~RegistrySender() { thread_ = {}; }

void RegistrySender::Begin() {
  thread_ = std::jthread([this](const std::stop_token& stop) { Send(stop); });
}

void RegistrySender::Wrote() {
  const std::lock_guard lock(mutex_);
  changed_ = true;
  wake_.notify_all();
}

SenderState RegistrySender::State() const {
  const std::lock_guard lock(mutex_);
  return state_;
}

Result<Audit> RegistrySender::AuditThere(const Slice& slice) const {
  auto shared = OpenSharedRegistry(settings_.address);
  if (!shared.ok()) return shared.error();
  auto audit = AuditOfStore(**shared, settings_.lab, slice);
  if (!audit.ok()) return audit.error();
  const SenderState state = State();
  std::string says = "Counted from the shared registry " + state.to + ", lab " + state.lab + ": what has arrived there, without operators and with the day alone.";
  if (state.waiting > 0) says += " Rows that still wait in this lab: " + std::to_string(state.waiting) + ".";
  audit->says.push_back(std::move(says));
  return audit;
}

void RegistrySender::Send(const std::stop_token& stop) {
  std::chrono::milliseconds pause{0};  // 0: the last round went well
  while (!stop.stop_requested()) {
    {
      std::unique_lock lock(mutex_);
      if (pause.count() == 0) wake_.wait(lock, stop, [this] { return changed_; });
      wake_.wait_for(lock, stop, pause.count() == 0 ? settings_.settle : pause, [] { return false; });
      if (stop.stop_requested()) return;
      changed_ = false;
    }
    const Status done = Round();
    pause = done.ok() ? std::chrono::milliseconds{0} : std::clamp(2 * pause, settings_.first_pause, settings_.longest_pause);
    Note(done, pause);
  }
}

// What is new of the practice into the lab's own registry, and from there to the shared one. The second may fail for hours.
Status RegistrySender::Round() {
  if (own_ == nullptr) {
    auto own = OpenOwnRegistry(settings_.folder);
    if (!own.ok()) return own.error();
    own_ = std::move(*own);
  }
  auto registry = rows_();
  if (!registry.ok()) return registry.error();
  if (auto kept = KeepRegistry(*own_, *registry); !kept.ok()) return kept.error();
  auto waiting = own_->CountWaiting();
  if (!waiting.ok()) return waiting.error();
  {
    const std::lock_guard lock(mutex_);
    state_.waiting = *waiting;
  }
  if (*waiting == 0) return Done{};
  auto shared = OpenSharedRegistry(settings_.address);
  if (!shared.ok()) return shared.error();
  auto delivery = SendWaiting(*own_, **shared, settings_.lab, LeavingRow);
  if (!delivery.ok()) return delivery.error();
  const std::lock_guard lock(mutex_);
  state_.sent += delivery->sent, state_.waiting = delivery->left;
  return Done{};
}

void RegistrySender::Note(const Status& done, std::chrono::milliseconds pause) {
  std::string said;
  {
    const std::lock_guard lock(mutex_);
    if (done.ok()) {
      if (state_.failing_since) said = "the shared registry answers again";
      state_.failing_since.reset(), state_.next_try.reset(), state_.why.clear();
      state_.last_sent = Now();
    } else {
      if (!state_.failing_since) state_.failing_since = Now(), said = "rows wait for the shared registry: " + Sentence(done.error());
      state_.why = Sentence(done.error());
      state_.next_try = Instant{Now().ms + pause.count()};
      if (own_ != nullptr) {
        if (auto waiting = own_->CountWaiting(); waiting.ok()) state_.waiting = *waiting;
      }
    }
  }
  if (!said.empty()) log_.Write(said);  // once, not at each try
}

std::string SenderJson(const RegistrySender* sender) {
  JsonText json;
  json.Open('{').Member("on", sender != nullptr);
  if (sender == nullptr) return json.Close('}').Take();
  const SenderState state = sender->State();
  const auto moment = [&](const char* name, const std::optional<Instant>& at) {
    json.Key(name);
    at ? json.Text(ToIso(*at)) : json.Null();
  };
  json.Member("to", state.to).Member("lab", state.lab).Member("waiting", state.waiting).Member("sent", state.sent);
  moment("last_sent", state.last_sent), moment("failing_since", state.failing_since), moment("next_try", state.next_try);
  return json.Member("why", state.why).Close('}').Take();
}

}  // namespace fairlead
