// SPDX-License-Identifier: Apache-2.0
// What the registry keeps of one visit to the lab, derived from the case's journal by a pure function and so rebuilt at
// will: the row that the audit reads, and beside it attempts, devices and troubles. Ids and figures only.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "casebook/fold.h"
#include "casebook/run/run_state.h"
#include "practice/audit/row.h"

namespace fairlead {

struct VisitAttempt {
  int number = 0;                     // from 1, in the order in which they were made
  std::string strategy;               // "AW", "ADR", "RW", "RDR"
  std::string channel_kind;           // of a retrograde one; empty if not said
  double begun_min = 0;               // after the visit began
  double minutes = 0;                 // at work: breaks are taken out
  double break_minutes = 0;
  std::optional<double> stalled_min;  // of one that did not cross: at work from its last milestone, wire position or crossing to its end
  std::string ladder;                 // way that the ladder put next when it was last shown during this attempt; empty: it was not
  std::string ended, reason;          // "crossed", "switched", "stopped"; reason code of the latter two
  std::optional<double> contrast_ml, air_kerma_gy;  // between the last totals said by its start and by its end
};

struct VisitDevice {
  std::string kind;                   // "wire", "guide", "stent", "balloon", ...
  std::string side;                   // "antegrade", "retrograde", empty
  std::string what;                   // class of a wire, lumens of a catheter, "cutting"; as far as said
  std::string kit;                    // the lab's nickname
  std::optional<double> size_f, diameter_mm, length_mm, tip_g;
  double in_min = 0;
  std::optional<double> out_min;      // absent: not said, or it stays
  int attempt = 0;                    // number of the attempt at work then; 0: between attempts
};

struct VisitTrouble {
  std::string kind, grade, site, cause;  // as far as said; no kind: trouble that nobody named
  std::string strategy;               // technique at work when it began
  double at_min = 0;
  std::optional<double> minutes;      // until it was over
};

struct LabVisit {
  CaseRow row;                        // id: the case's, of a second visit with "/2" after it
  std::string case_id;
  int number = 1;                     // of the case's visits
  Instant ended;                      // last guide out; of a visit that was signed before that was logged: when it was signed
  std::optional<Instant> signed_at;   // when somebody first stood for its report; absent: the row may still change
  std::int64_t seq = 0;               // last entry of the journal that it rests on
  std::string result;                 // as said: "success", "partial", "prepared", "failed"; empty: not said
  std::optional<double> residual_pct, flow;
  std::optional<double> egfr, fluoro_min, kerma_area_gycm2;
  std::optional<double> longest_act_gap_min;  // between heparin's first dose or an ACT and the next ACT or the end
  std::vector<VisitAttempt> attempts;
  std::vector<VisitDevice> devices;
  std::vector<VisitTrouble> troubles;
  std::vector<std::string> missing;   // names of columns of the row that nobody filled
  std::vector<std::string> remarks;   // what does not agree
};

// Whether the last visit of a run has ended (last guide out). A visit gives a row when it has ended, or when its report was
// signed without that; rows that nobody signed say so. A result need not have been said: the row then has no outcome, and
// every chart counts it. Were rows made by the signature alone, what is signed late would be missing from every chart.
bool VisitClosed(const RunState& run);

struct CaseVisits {
  std::vector<LabVisit> visits;          // those that are closed, in order
  std::string withheld;               // why there are none although one is closed; empty if not
};
CaseVisits VisitsOf(const std::string& case_id, const State& state);

// Technical success by the definition "cto-arc-2021" in its stricter, registry form where flow and residual are known:
// residual below 30 % and flow 3; else by the result that was said (partial and prepared are no success); else unknown.
std::optional<bool> TechnicalSuccess(const RunState& run);

// Death, infarction, stroke, urgent repeat, tamponade: the registries' events in hospital ("complications-2022-mace").
// False only where somebody said so (the item *complications* of the gate *close* is ticked, or a follow-up was well).
std::optional<bool> MajorComplication(const RunState& run);

}  // namespace fairlead
