// SPDX-License-Identifier: Apache-2.0
// S-26 to S-33 and S-56: externalising, snares, collateral channels.
#include <algorithm>
#include <array>

#include "reasoning/caution/gate.h"
#include "reasoning/caution/reach.h"
#include "reasoning/caution/rule.h"

namespace fairlead {
namespace {
using enum Severity;

constexpr double kNeverLongEnough_cm = 200.0;
constexpr double kSmallestAorta_mm = 12.0, kLargestAorta_mm = 45.0;
constexpr double kSeptalBalloon_mm = 1.5, kSeptalPressure_atm = 4.0;  // practice, from memory

const RunDevice* ExternalisedWire(const RunState& run) {
  for (const RunDevice& device : run.devices)
    if (!device.out && device.externalised) return &device;
  return nullptr;
}

// A wire that goes into the other side's catheter needs no such length.
bool ByTipIn(const RunState& run) {
  return !run.tip_ins.empty() && (run.externalisations.empty() || run.tip_ins.back().at >= run.externalisations.back().at || run.tip_ins.back().at >= Later(run.externalisations.back().at, -30));
}

Verdict WireTooShort(const RunMoment& m) {
  const RunDevice* wire = ExternalisedWire(m.run);
  if (!Running(m.run) || wire == nullptr || ByTipIn(m.run)) return Silent();
  if (!wire->length_cm) return Lacking("length of the externalised wire");
  const std::string id = m.run.externalisations.back().entry;
  const auto reach = ReachOf(m.run);
  if (*wire->length_cm <= kNeverLongEnough_cm && !reach)
    return Fires(m.run.externalisations.back().at, kStop, "Wire " + Whole(*wire->length_cm) + " cm cannot be externalised. Wrong wire?", {id});
  if (!reach) return Lacking("lengths of guide and retrograde microcatheter");
  if (*wire->length_cm > kNeverLongEnough_cm && *wire->length_cm >= reach->at_tip_cm) return Silent();
  return Fires(m.run.externalisations.back().at, kStop,
               "Wire " + Whole(*wire->length_cm) + " cm, need " + Whole(reach->at_tip_cm) + " cm at the guide's tip (" + Whole(reach->parked_cm) + " parked, " +
                   Whole(reach->clear_cm) + " clear of the lesion). Wrong wire?",
               {id});
}

Verdict ChecksBeforePulling(const RunMoment& m) {
  if (!Running(m.run) || ExternalisedWire(m.run) == nullptr) return Silent();
  std::string missing;
  for (const GateItem& item : ItemsOf("externalise"))
    if (!Ticked(m.run, "externalise", item.id)) missing += (missing.empty() ? "" : ", ") + std::string(item.id);
  if (missing.empty()) return Silent();
  return Fires(m.run.externalisations.back().at, kStop, "Externalisation checks incomplete: " + missing + ".", {m.run.externalisations.back().entry});
}

Verdict RiskySnare(const RunMoment& m) {
  if (!Running(m.run) || m.run.snares.empty() || InBody(m.run, DeviceKind::kSnare).empty()) return Silent();
  const At<RunEvent>& snare = m.run.snares.back();
  const std::string_view tag = WordOf(snare.value, RunField::kTag);
  const RunDevice* wire = FindInBody(m.run, DeviceKind::kWire, tag.empty() ? RunSide::kRetrograde : RunSide::kNone, tag);
  if (wire == nullptr) return Silent();
  const bool uncovered = wire->side == RunSide::kRetrograde && InBody(m.run, DeviceKind::kMicrocatheter, RunSide::kRetrograde).empty();
  const bool tip = wire->wire_class == "penetrating" || (wire->wire_class == "polymer" && WordOf(snare.value, RunField::kPart) != "shaft");
  if (!uncovered && !tip) return wire->wire_class.empty() ? Lacking("class of the snared wire") : Silent();
  return Fires(snare.at, kStop, "Snaring this wire is risky (tip break, collateral cut).", {snare.entry});
}

Verdict SnareSize(const RunMoment& m) {
  if (!Running(m.run) || m.run.snares.empty() || InBody(m.run, DeviceKind::kSnare).empty()) return Silent();
  const At<RunEvent>& snare = m.run.snares.back();
  if (WordOf(snare.value, RunField::kWhere) != "aorta") return Silent();
  const auto size = NumberOf(snare.value, RunField::kDiameter);
  if (!size) return Lacking("size of the snare");
  if (*size >= kSmallestAorta_mm && *size <= kLargestAorta_mm) return Silent();
  return Fires(snare.at, kInfo, "Snare size unlikely for the aorta (18-45 mm).", {snare.entry});
}

std::string KindOfChannel(const RunState& run, std::string_view channel) {
  if (const auto found = run.channels.find(std::string(channel)); found != run.channels.end()) return found->second;
  const RunAttempt* active = run.attempts.empty() ? nullptr : &run.attempts.back();
  return active != nullptr && (channel.empty() || active->channel == channel) ? active->channel_kind : std::string();
}

bool EchoSince(const RunState& run, Instant at) {
  return std::ranges::any_of(run.echoes, [at](const At<Echo>& echo) { return echo.at >= at; });
}

// Balloons in channels since the last echo, the last first: a harmless one after a harmful one takes nothing back.
std::vector<const At<BalloonUse>*> InChannels(const RunState& run) {
  std::vector<const At<BalloonUse>*> uses;
  for (auto use = run.balloons.rbegin(); use != run.balloons.rend(); ++use)
    if (WordOf(use->value.event, RunField::kWhere) == "collateral" && !EchoSince(run, use->at)) uses.push_back(&*use);
  return uses;
}

Verdict BalloonInChannel(const RunMoment& m) {
  if (!Running(m.run)) return Silent();
  bool unknown = false;
  for (const At<BalloonUse>* use : InChannels(m.run)) {
    const std::string kind = KindOfChannel(m.run, WordOf(use->value.event, RunField::kChannel));
    if (!kind.empty() && kind != "septal" && kind != "graft") return Fires(use->at, kStop, "Balloon in an " + kind + " channel: rupture risk.", {use->entry});
    unknown = unknown || kind.empty();
  }
  return unknown ? Lacking("kind of the collateral channel") : Silent();
}

Verdict LargeForSeptal(const RunMoment& m) {
  if (!Running(m.run)) return Silent();
  for (const At<BalloonUse>* use : InChannels(m.run)) {
    if (KindOfChannel(m.run, WordOf(use->value.event, RunField::kChannel)) != "septal") continue;
    const double size = NumberOf(use->value.event, RunField::kDiameter).value_or(0.0), pressure = NumberOf(use->value.event, RunField::kPressure).value_or(0.0);
    if (size > kSeptalBalloon_mm || pressure > kSeptalPressure_atm) return Fires(use->at, kCaution, "Large for a septal channel.", {use->entry});
  }
  return Silent();
}

Verdict EchoAfterEpicardial(const RunMoment& m) {
  const auto used = std::find_if(m.run.channel_events.rbegin(), m.run.channel_events.rend(), [&](const At<RunEvent>& event) {
    const bool catheter = WordOf(event.value, RunField::kState) == "catheter" || WordOf(event.value, RunField::kBy) == "catheter";
    return catheter && KindOfChannel(m.run, WordOf(event.value, RunField::kChannel)) == "epicardial";
  });
  if (used == m.run.channel_events.rend() || EchoSince(m.run, used->at)) return Silent();
  // It is asked when the work in the channel is over.
  std::optional<Instant> from;
  if (Crossed(m.run)) from = m.run.distal_proven->at;
  else if (m.run.result) from = m.run.result->at;  // given up: still before leaving the room
  else if (Over(m.run)) from = m.run.sessions.back().end;
  if (!from) return Silent();
  return Fires(std::max(*from, used->at), kCaution, "Epicardial channel used: echo before leaving the room?", {used->entry});
}

Verdict SoleSupply(const RunMoment& m) {
  if (!Running(m.run) || !RetrogradeActive(m.run)) return Silent();
  if (!m.patient.sole_supply) return Lacking("whether the channel is the sole supply");
  return *m.patient.sole_supply ? Fires(m.from, kStop, "Retrograde through the sole supply.") : Silent();
}

Verdict WireInAorta(const RunMoment& m) {
  for (const RunDevice& device : m.run.devices) {
    if (device.out || !device.in_aorta || m.run.aortas.empty()) continue;
    return Fires(m.run.aortas.back().at, kStop,
                 "Left through the ostium's own lumen, not its wall? Two views or ultrasound. Guide or extension brought to it first; microcatheter follows; exchange to a wire "
                 "of at least the needed length; only then its soft shaft is snared. Someone watches the donor guide.",
                 {m.run.aortas.back().entry});
  }
  return Silent();
}

constexpr auto kRules = std::to_array<Rule>({
    {"S-26", "a wire externalised that is shorter than its path, or of 200 cm or less", "Externalised wire too short?", "P", "practice"_source, "a longer wire", kStop, true, WireTooShort},
    {"S-27", "externalised, and a check before pulling is not ticked", "Externalisation checks incomplete", "P", "practice"_source, "the ticks", kStop, true, ChecksBeforePulling},
    {"S-28", "a snare on a penetrating or hydrophilic tip, or on a wire without its microcatheter", "Snaring this wire is risky", "P", "practice"_source, "the snare out", kStop, true, RiskySnare},
    {"S-29", "a snare under 12 or above 45 mm in the aorta", "Snare size unlikely for the aorta", "P", "practice"_source, "another snare", kInfo, true, SnareSize},
    {"S-30", "a balloon in a collateral that is neither septal nor a graft", "Balloon in an epicardial channel", "C", "practice"_source, "an echo", kStop, true, BalloonInChannel},
    {"S-31", "a balloon above 1.5 mm or 4 atm in a septal channel", "Large balloon for a septal channel", "P", "practice"_source, "an echo", kCaution, true, LargeForSeptal},
    {"S-32", "an epicardial channel crossed by a microcatheter and no echo since", "Epicardial channel used: echo?", "P", "practice"_source, "an echo", kCaution, true, EchoAfterEpicardial},
    {"S-33", "retrograde through the only supply", "Retrograde through the sole supply", "P", "practice"_source, "retrograde gear out", kStop, true, SoleSupply},
});
constexpr auto kAorta = std::to_array<Rule>({
    {"S-56", "a retrograde wire in the aorta beside the guide", "Wire in aorta: proof, then externalise", "P", "practice"_source, "externalised, tip-in, or out", kStop, true, WireInAorta},
});

}  // namespace

std::span<const Rule> KitRules() { return kRules; }
std::span<const Rule> AortaRules() { return kAorta; }

}  // namespace fairlead
