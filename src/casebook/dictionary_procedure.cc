// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "casebook/dictionary.h"

namespace fairlead {
namespace {

constexpr auto kStrategies = std::to_array<std::string_view>({"antegrade", "dissection", "retrograde"});
constexpr auto kTimi = std::to_array<std::string_view>({"0", "1", "2", "3"});
constexpr auto kBranch = std::to_array<std::string_view>({"preserved", "narrowed", "lost"});
constexpr auto kPerforation = std::to_array<std::string_view>({"no", "I", "II", "III", "III-CS"});
constexpr auto kWhere = std::to_array<std::string_view>({"main_vessel_at_cto", "main_vessel_elsewhere", "distal_vessel",
                                                         "septal_channel", "epicardial_channel", "graft", "aorta"});
constexpr FactGroup kGroup = FactGroup::kProcedure;

constexpr FactRow List(FactRow row) {
  row.type = FactType::kReadings;
  return row;
}

constexpr auto kRows = std::to_array<FactRow>({
    GradeRow("strategy_category", kGroup, "Strategy", kStrategies, "complications-2022"_source,
             "planned; in a run: retrograde if a channel or graft was entered for it, else dissection and re-entry if "
             "tried, else antegrade wiring"),
    List(ReadingRow("working_view_deg", kGroup, "Working view", "deg", {-180, 180}, "practice"_source,
                    "the C-arm's angles chosen to work in: primary (LAO +, RAO -), then secondary (CRA +, CAU -)")),
    FlagRow("attempted_aw", kGroup, "Antegrade wiring tried", "cto-arc-2021"_source,
            "wire meant to stay in the plaque"),
    FlagRow("attempted_adr", kGroup, "Antegrade dissection tried", "cto-arc-2021"_source,
            "extraplaque on purpose, to re-enter beyond the cap"),
    FlagRow("attempted_rw", kGroup, "Retrograde wiring tried", "cto-arc-2021"_source,
            "through a collateral or graft, in the plaque"),
    FlagRow("attempted_rdr", kGroup, "Retrograde dissection tried", "cto-arc-2021"_source,
            "through a collateral or graft, joined outside the plaque"),
    ReadingRow("contrast_ml", kGroup, "Contrast", "mL", {0, 1500}, "aki-2004"_source, "given so far, or planned"),
    FlagRow("hypotension", kGroup, "Hypotension", "aki-2004"_source,
            "systolic below 80 mmHg for an hour with inotropes or balloon pump, within 24 h (from memory)"),
    FlagRow("balloon_pump", kGroup, "Balloon pump", "aki-2004"_source, "intra-aortic balloon pump in use"),
    FlagRow("periprocedural_bleeding", kGroup, "Bleeding", "aki-2021"_source, "bleeding around the procedure"),
    FlagRow("slow_flow", kGroup, "Slow or no flow", "aki-2021"_source, "slow or no flow after the intervention"),
    FlagRow("complex_anatomy", kGroup, "Complex anatomy", "aki-2021"_source,
            "as the kidney score of 2021 means it (definition from memory)"),
    ReadingRow("residual_stenosis_pct", kGroup, "Residual stenosis", "%", {0, 100}, "cto-arc-2021"_source,
               "diameter stenosis left in the treated segment; success asks for less than 30"),
    GradeRow("timi_final", kGroup, "Final flow (TIMI)", kTimi, "timi-1985"_source, "antegrade, at the end"),
    GradeRow("side_branch_result", kGroup, "Side branches", kBranch, "cto-arc-2021"_source,
             "the important side branches at the end"),
    GradeRow("perforation_class", kGroup, "Perforation", kPerforation, "perforation-1994"_source,
             "I crater; II blush, hole below 1 mm; III jet through 1 mm or more; III-CS into a chamber or the sinus"),
    GradeRow("perforation_location", kGroup, "Where", kWhere, "practice"_source, "site of the perforation"),
    FlagRow("perforation_treated", kGroup, "Treated", "perforation-2023"_source, "the perforation needed treatment"),
    ReadingRow("troponin_times_url", kGroup, "Peak troponin", "× limit", {0, 100000}, "mi-definition-2021"_source,
               "peak after the procedure, in multiples of the upper reference limit of the assay in use"),
    ReadingRow("ck_mb_times_uln", kGroup, "Peak CK-MB", "× limit", {0, 10000}, "arc2-2018"_source,
               "peak after the procedure, in multiples of the upper limit of normal"),
    CountRow("operator_prior_cto_count", kGroup, "Operator's earlier CTO cases", {0, 20000}, "experience-2023"_source,
             "CTO procedures as first operator before this one"),
    CountRow("operator_cto_per_year", kGroup, "Operator's CTO cases a year", {0, 1000}, "ercto-retrograde-2023"_source,
             "as first operator, over the last year"),
});

}  // namespace

std::span<const FactRow> ProcedureFacts() {
  return kRows;
}

}  // namespace fairlead
