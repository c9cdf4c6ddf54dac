// SPDX-License-Identifier: Apache-2.0
// Parts in which the rules are written. Inside this room only.
#pragma once

#include <span>
#include <string>

#include "reasoning/caution/caution.h"

namespace fairlead {

std::span<const Rule> BloodRules();    // S-01 to S-13
std::span<const Rule> TotalRules();    // S-14 to S-25
std::span<const Rule> KitRules();      // S-26 to S-33
std::span<const Rule> TroubleRules();  // S-34 to S-40
std::span<const Rule> AttemptRules();  // S-41 to S-50
std::span<const Rule> CloseRules();    // S-51 to S-55
std::span<const Rule> AortaRules();    // S-56

inline Instant Later(Instant at, double minutes) { return at + Duration::Minutes(minutes); }
inline Verdict Silent() { return {}; }
inline Verdict Lacking(std::string what) { return {{}, std::move(what)}; }
inline Verdict Fires(Instant from, Severity severity, std::string text, std::vector<std::string> because = {}) {
  return {{{from, std::nullopt, 0, severity, std::move(text), std::move(because)}}, {}};
}
inline Verdict FiresUntil(Instant from, Instant until, Severity severity, std::string text, std::vector<std::string> because = {}) {
  return {{{from, until, 0, severity, std::move(text), std::move(because)}}, {}};
}

// --- What several rules ask.
std::string Whole(double value);                       // "285"
std::string Tenths(double value);                      // "2.1"
bool Running(const RunState& run);                     // a session is open
bool Crossed(const RunState& run);                     // the far lumen is proven
const At<ActReading>* LastAct(const RunState& run);
const At<HeparinDose>* FirstHeparin(const RunState& run);
std::size_t WiresIn(const RunState& run);
double Contrast(const RunState& run);
double Kerma(const RunState& run);
std::optional<Instant> ProcedureStart(const RunState& run);
bool Ticked(const RunState& run, std::string_view gate, std::string_view item);
std::optional<double> LastSystolic(const RunState& run);
const Trouble* AnyTrouble(const RunState& run, std::string_view kind);  // the last, open or over
bool Due(const RunState& run, std::string_view kind);  // a follow-up of that kind is written down

}  // namespace fairlead
