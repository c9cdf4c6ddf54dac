// SPDX-License-Identifier: Apache-2.0
// S-51 to S-55: leaving the lab.
#include <algorithm>
#include <array>

#include "reasoning/caution/rule.h"

namespace fairlead {
namespace {
using enum Severity;

constexpr double kSheathAct_s = 180.0, kSkin_gy = 5.0, kCreatinineRatio = 2.0, kCreatinineEgfr = 60.0;
constexpr double kEarliest_days = 1.0, kLatest_days = 3.0;  // 24 to 72 h

Verdict SheathOutHighAct(const RunMoment& m) {
  const auto closure = std::find_if(m.run.closures.rbegin(), m.run.closures.rend(), [](const At<std::string>& each) { return each.value == "manual"; });
  if (closure == m.run.closures.rend()) return Silent();
  const At<ActReading>* act = LastAct(m.run);
  if (act == nullptr) return Lacking("an ACT before the sheath came out");
  if (!act->value.off_scale && act->value.seconds <= kSheathAct_s) return Silent();
  return Fires(closure->at, kCaution, "ACT still " + Whole(act->value.seconds) + " s.", {act->entry});
}

// The session is over, or its result is said.
std::optional<Instant> Closing(const RunState& run) {
  if (run.sessions.empty()) return std::nullopt;
  if (Over(run)) return run.sessions.back().end;
  return run.result ? std::optional(run.result->at) : std::nullopt;
}

Verdict RecordIncomplete(const RunMoment& m) {
  const auto closing = Closing(m.run);
  if (!closing) return Silent();
  std::string missing;
  const auto lacks = [&](bool is_missing, const char* name) { if (is_missing) missing += (missing.empty() ? "" : ", ") + std::string(name); };
  lacks(m.run.air_kerma.sums.empty(), "air kerma");
  lacks(m.run.contrast.empty(), "contrast");
  lacks(m.run.acts.empty(), "ACT");
  lacks(m.run.troubles.empty() && !Ticked(m.run, "close", "complications"), "complication yes or no");
  return missing.empty() ? Silent() : Fires(*closing, kCaution, "Record incomplete: " + missing + ".");
}

Verdict SkinCheck(const RunMoment& m) {
  const auto closing = Closing(m.run);
  if (!closing || Kerma(m.run) < kSkin_gy - 1e-9 || Due(m.run, "skin")) return Silent();
  return Fires(*closing, kCaution, "Set skin check date.", {m.run.air_kerma.sums.back().entry});
}

// Written down for the days in which an injury shows.
bool CreatinineInTime(const RunState& run) {
  return std::ranges::any_of(run.follow_ups, [](const At<RunEvent>& entry) {
    const double days = NumberOf(entry.value, RunField::kDays).value_or(0.0);
    return WordOf(entry.value, RunField::kKind) == "creatinine" && days >= kEarliest_days && days <= kLatest_days;
  });
}

Verdict CreatinineDue(const RunMoment& m) {
  const auto closing = Closing(m.run);
  if (!closing || CreatinineInTime(m.run) || NoRatio(m.patient)) return Silent();
  const auto kidney = KidneyFunction(m.patient);
  if (!kidney) return Lacking("kidney function");
  const bool weak = m.patient.egfr && *m.patient.egfr < kCreatinineEgfr;
  if (!weak && Contrast(m.run) < kCreatinineRatio * *kidney) return Silent();
  return Fires(*closing, kCaution, "Order creatinine for 24-72 h?");
}

Verdict FailedWithoutWhy(const RunMoment& m) {
  if (!m.run.result || WordOf(m.run.result->value, RunField::kOutcome) != "failed") return Silent();
  const bool whole = !WordOf(m.run.result->value, RunField::kReason).empty() && !WordOf(m.run.result->value, RunField::kDecision).empty();
  return whole ? Silent() : Fires(m.run.result->at, kInfo, "Note why and what next.", {m.run.result->entry});
}

constexpr auto kRules = std::to_array<Rule>({
    {"S-51", "sheath out by hand with the ACT above 180 s", "Sheath out: ACT still high", "P", "practice"_source, "an ACT at or under it", kCaution, true, SheathOutHighAct},
    {"S-52", "closed without air kerma, contrast, ACT, or complication yes or no", "Record incomplete", "P", "practice"_source, "the entries", kCaution, true, RecordIncomplete},
    {"S-53", "5 Gy, closed, and no skin check written down", "Set the skin check date", "G", "ncrp-168"_source, "the date", kCaution, true, SkinCheck},
    {"S-54", "contrast at twice kidney function or eGFR under 60, closed, and no creatinine due in 1 to 3 days", "Creatinine in 24 to 72 h?", "P", "practice"_source, "the date", kCaution, true, CreatinineDue},
    {"S-55", "failed without its reason and what next", "Note why and what next", "P", "practice"_source, "the result said whole", kInfo, true, FailedWithoutWhy},
});

}  // namespace

std::span<const Rule> CloseRules() { return kRules; }

}  // namespace fairlead
