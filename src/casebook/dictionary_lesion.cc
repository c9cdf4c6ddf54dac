// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "casebook/dictionary.h"

namespace fairlead {
namespace {

constexpr auto kSegments = std::to_array<std::string_view>({"1",   "2",   "3",   "4",  "5",   "6",   "7",   "8",  "9",
                                                            "9a",  "10",  "10a", "11", "12",  "12a", "12b", "13", "14",
                                                            "14a", "14b", "15",  "16", "16a", "16b", "16c"});
constexpr auto kVessels = std::to_array<std::string_view>({"LAD", "LCX", "RCA", "LM", "graft"});
constexpr auto kNativeOrGraft = std::to_array<std::string_view>({"native", "graft"});
constexpr auto kDominance = std::to_array<std::string_view>({"right", "left"});
constexpr auto kTimi = std::to_array<std::string_view>({"0", "1", "2", "3"});
constexpr auto kStump = std::to_array<std::string_view>({"tapered", "blunt", "none", "unseen"});
constexpr auto kSeverity = std::to_array<std::string_view>({"none", "mild", "moderate", "severe", "unseen"});
constexpr auto kResolvedBy = std::to_array<std::string_view>({"nothing", "ct", "ultrasound"});
constexpr auto kFailure =
    std::to_array<std::string_view>({"cap_not_entered", "body_not_crossed", "not_in_distal_lumen",
                                     "channel_not_crossed", "device_not_delivered", "complication", "limit_reached"});
constexpr auto kCertainty =
    std::to_array<std::string_view>({"definite", "probable", "possible", "undetermined", "not_a_cto"});
constexpr FactGroup kGroup = FactGroup::kLesion;

constexpr FactRow MayBeNotDeterminable(FactRow row) {
  row.may_be_not_determinable = true;
  return row;
}
constexpr FactRow List(FactRow row) {
  row.type = FactType::kReadings;
  return row;
}

constexpr auto kRows = std::to_array<FactRow>({
    GradeRow("cto_segment", kGroup, "Segment of the occlusion", kSegments, "segments-2005"_source,
             "SYNTAX number of the segment in which the proximal cap lies"),
    GradeRow("occluded_vessel", kGroup, "Occluded vessel", kVessels, "segments-2005"_source,
             "follows from the segment: RCA 1-4 and 16, LM 5, LAD 6-10, LCX 11-15; or a graft"),
    GradeRow("native_or_graft", kGroup, "Native vessel or graft", kNativeOrGraft, "j-cto-2011"_source,
             "whether the occlusion lies in a native vessel"),
    GradeRow("dominance", kGroup, "Dominance", kDominance, "segments-2005"_source,
             "right if the posterior descending branch comes from the RCA; no co-dominance in this scheme"),
    FlagRow("in_stent", kGroup, "Occlusion in a stent", "practice"_source, "the occlusion lies inside a stent"),
    FlagRow("ostial", kGroup, "Ostial", "ora-2016"_source,
            "the occlusion starts at the origin of LAD, LCX, RCA or LM; within 3 mm of it (a setting, practice)"),
    ReadingRow("ostial_distance_mm", kGroup, "Distance from the origin", "mm", {0, 150}, "practice"_source,
               "from the origin of the vessel to the proximal cap"),
    ReadingRow("antegrade_way_mm", kGroup, "Way to beyond the occlusion", "mm", {0, 400}, "practice"_source,
               "from the ostium at which the guide stands to where the wire is to end, the occlusion included"),
    GradeRow("timi_antegrade", kGroup, "Antegrade flow (TIMI)", kTimi, "timi-1985"_source,
             "injected antegradely; filling by collaterals, bridging ones too, never raises it"),
    MayBeNotDeterminable(ReadingRow(
        "occlusion_duration_months", kGroup, "Duration of the occlusion", "months", {0, 720}, "kcct-2017"_source,
        "months since the best dated event; that it cannot be determined is an answer of its own")),
    ReadingRow("same_occlusion_seen_months_ago", kGroup, "Same occlusion on an earlier image", "months", {0, 720},
               "cto-consensus-2007"_source, "completed calendar months since an angiogram or CT that shows it"),
    ReadingRow("dated_event_months_ago", kGroup, "Infarction or change of angina", "months", {0, 720},
               "cto-consensus-2007"_source,
               "completed calendar months since an event in this territory without another culprit"),
    FlagRow("mature_collaterals", kGroup, "Mature collaterals", "cto-arc-2021"_source,
            "collaterals look as old as a chronic occlusion's"),
    FlagRow("thrombus_at_cap", kGroup, "Thrombus", "cto-arc-2021"_source, "thrombus seen at the occlusion"),
    FlagRow("staining_at_cap", kGroup, "Staining at the cap", "cto-arc-2021"_source, "contrast stays at the cap"),
    GradeRow("cto_certainty", kGroup, "Certainty that it is chronic", kCertainty, "cto-consensus-2007"_source,
             "follows from flow and evidence of age; words from memory"),
    MayBeUnseen(
        Spread(ReadingRow("length_angio_mm", kGroup, "Occlusion length, angiogram", "mm", {0, 200}, "j-cto-2011"_source,
                          "along the centreline from proximal to distal cap, both caps filled, least "
                          "foreshortened view"),
               0.15, 2)),
    MayBeUnseen(Spread(ReadingRow("bend_angio_deg", kGroup, "Largest bend in the occlusion, angiogram", "deg", {0, 180},
                                  "j-cto-2011"_source, "deflection inside the occluded segment, 0 = straight"),
                       0, 7)),
    MayBeUnseen(GradeRow("stump_angio", kGroup, "Stump, angiogram", kStump, "j-cto-2011"_source,
                         "tapered: narrows to a point or funnel; blunt: ends flat or round; none: flush at a branch or "
                         "origin; unseen: looked for and not seen")),
    FlagRow("proximal_cap_ambiguous", kGroup, "Proximal cap ambiguous", "progress-cto-2016"_source,
            "where the occlusion starts cannot be fixed in any projection; the angiogram's answer"),
    GradeRow("cap_ambiguity_resolved_by", kGroup, "Ambiguity resolved by", kResolvedBy, "practice"_source,
             "what showed where the occlusion starts, if the angiogram did not"),
    FlagRow("side_branch_at_cap", kGroup, "Side branch at the cap", "kcct-2017"_source,
            "a branch leaves at the proximal cap"),
    ReadingRow("side_branch_diameter_mm", kGroup, "Its diameter", "mm", {0, 8}, "practice"_source,
               "of the branch at the proximal cap; 2.0 mm and more takes an ultrasound catheter"),
    FlagRow("bridging_collaterals", kGroup, "Bridging collaterals", "practice"_source,
            "small vessels that cross the occlusion; they can look like antegrade flow"),
    FlagRow("side_branches_in_occlusion", kGroup, "Branches inside worth keeping", "hybrid-2012"_source,
            "septal or diagonal branches within the occlusion that dissection would cost"),
    FlagRow("course_clear", kGroup, "Course through the occlusion clear", "hybrid-2012"_source,
            "the reader can say where the vessel runs between the caps"),
    MayBeUnseen(GradeRow("calcification_angio", kGroup, "Calcification, angiogram", kSeverity, "j-cto-2011"_source,
                         "within the occlusion before contrast: mild a speck, moderate seen only in motion, severe "
                         "without motion and usually on both sides (wording from memory)")),
    MayBeUnseen(List(ReadingRow("proximal_bends_deg", kGroup, "Bends before the cap", "deg", {0, 180},
                                "progress-cto-2016"_source,
                                "every bend between guide and proximal cap, deflection; an empty list: none"))),
    FlagRow("tortuosity_seen", kGroup, "Course before the cap visible", "castle-2019"_source,
            "whether the vessel before the cap could be seen"),
    MayBeUnseen(GradeRow("proximal_tortuosity", kGroup, "Tortuosity before the cap", kSeverity,
                         "progress-cto-2016"_source,
                         "moderate: two bends above 70 or one above 90 degrees; severe: two above 90 or one above 120 "
                         "(registry rule, from memory)")),
    FlagRow("tortuosity_weighted_score", kGroup, "Tortuosity, as W-CTO means it", "w-cto-2018"_source,
            "definition not readable; a bend above 45 degrees in the occlusion is the usual reading (practice)"),
    CountRow("previous_failed_attempts", kGroup, "Earlier failed attempts", {0, 20}, "j-cto-2011"_source,
             "earlier sessions on this occlusion without technical success, investment procedures included"),
    ReadingRow("last_attempt_months_ago", kGroup, "Last attempt", "months", {0, 720}, "practice"_source,
               "months since the last session on this occlusion"),
    GradeRow("last_attempt_failure", kGroup, "How it failed", kFailure, "practice"_source,
             "the step at which the last session ended"),
    FlagRow("last_attempt_space_made", kGroup, "Space made then", "practice"_source,
            "the last session left an extraplaque space or a lesion modification"),
    FlagRow("investment_last_attempt", kGroup, "Last attempt was an investment", "practice"_source,
            "ended on purpose after modifying the lesion, to come back"),
});

}  // namespace

std::span<const FactRow> LesionFacts() {
  return kRows;
}

}  // namespace fairlead
