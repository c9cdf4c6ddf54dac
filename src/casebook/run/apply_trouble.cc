// SPDX-License-Identifier: Apache-2.0
// Trouble keeps the technique and the devices of its own moment: who labels it later may label it otherwise.
#include <algorithm>

#include "casebook/run/run_apply.h"

namespace fairlead {
namespace {

Trouble* LastOpen(RunState& run, std::string_view kind) {
  for (auto trouble = run.troubles.rbegin(); trouble != run.troubles.rend(); ++trouble)
    if (!trouble->over && (kind.empty() || trouble->kind == kind)) return &*trouble;
  return nullptr;
}

void Begin(RunState& run, const Told& told, std::string kind) {
  Trouble trouble;
  trouble.kind = std::move(kind);
  trouble.grade = WordOf(told.event, RunField::kClass);
  trouble.site = WordOf(told.event, RunField::kSite);
  trouble.cause = WordOf(told.event, told.event.verb == Verb::kStuck ? RunField::kKind : RunField::kCause);
  if (const RunAttempt* active = ActiveAttempt(run)) trouble.active = active->strategy;
  for (const RunDevice* device : InBody(run)) trouble.in_body.push_back(device->tag.empty() ? std::string(DeviceWord(device->kind)) : device->tag);
  trouble.at = told.at;
  trouble.entry = told.entry;
  run.troubles.push_back(std::move(trouble));
}

// What was not said when it began may be said in a later entry of the same trouble.
bool SaysMore(Trouble& open, const RunEvent& event) {
  const std::string_view grade = WordOf(event, RunField::kClass), site = WordOf(event, RunField::kSite), cause = WordOf(event, RunField::kCause);
  const bool clash = (!grade.empty() && !open.grade.empty() && open.grade != grade) || (!site.empty() && !open.site.empty() && open.site != site);
  if (clash || (grade.empty() && site.empty() && cause.empty())) return false;
  if (!grade.empty()) open.grade = grade;
  if (!site.empty()) open.site = site;
  if (!cause.empty()) open.cause = cause;
  return true;
}

void Tell(RunState& run, const Told& told, std::string kind, std::string_view over_word) {
  const std::string_view state = WordOf(told.event, RunField::kState);
  Trouble* open = LastOpen(run, kind);
  if (!state.empty() && (state == over_word || state == "over")) {
    if (open == nullptr) {
      Begin(run, told, std::move(kind));
      open = &run.troubles.back();
    }
    open->over = told.at;
    return;
  }
  if (open != nullptr && SaysMore(*open, told.event)) return;
  // How it goes, and nothing of another place: "perforation leaking" is no second hole, "stuck wire lost" no second wire.
  const std::string_view what = told.event.verb == Verb::kStuck ? WordOf(told.event, RunField::kKind) : std::string_view{};
  const bool elsewhere = !WordOf(told.event, RunField::kClass).empty() || !WordOf(told.event, RunField::kSite).empty() ||
                         (open != nullptr && !what.empty() && !open->cause.empty() && what != open->cause);
  if (open != nullptr && !state.empty() && !elsewhere) return;
  // A touch on the trouble key stamps the moment; the kind said next is that trouble's.
  if (Trouble* unnamed = LastOpen(run, ""); unnamed != nullptr && unnamed->kind.empty() && !kind.empty()) {
    unnamed->kind = std::move(kind);
    SaysMore(*unnamed, told.event);
    return;
  }
  Begin(run, told, std::move(kind));
}

}  // namespace

void ApplyTrouble(RunState& run, const Told& told) {
  const RunEvent& event = told.event;
  const std::string_view site = WordOf(event, RunField::kSite);
  if (event.verb == Verb::kTrouble) return Tell(run, told, std::string(WordOf(event, RunField::kKind)), "over");
  if (event.verb == Verb::kPerforation) return Tell(run, told, "perforation", "sealed");
  if (event.verb == Verb::kTamponade) return Tell(run, told, "tamponade", "over");
  if (event.verb == Verb::kDissection) return Tell(run, told, site == "donor" || site == "leftmain" ? "donor" : site == "aorta" ? "dissection" : "target dissection", "over");
  if (event.verb == Verb::kThrombus) return Tell(run, told, site == "donor" ? "donor" : "thrombus", "over");
  if (event.verb == Verb::kStuck) return Tell(run, told, "stuck", "freed");
  if (event.verb == Verb::kDrain) {
    run.drains.push_back(told.As(NumberOf(event, RunField::kVolume).value_or(0.0)));
    return;
  }
  if (event.verb == Verb::kCall) {
    run.calls.push_back(told.As(std::string(WordOf(event, RunField::kWho))));
    return;
  }
  if (event.verb == Verb::kCpr) {
    if (WordOf(event, RunField::kState) == "over") run.resuscitation.reset();
    else if (!run.resuscitation) run.resuscitation = told.at;
    return;
  }
}

}  // namespace fairlead
