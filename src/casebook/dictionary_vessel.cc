// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "casebook/dictionary.h"

namespace fairlead {
namespace {

constexpr auto kStump = std::to_array<std::string_view>({"tapered", "blunt", "none", "unseen"});
constexpr auto kOpacity = std::to_array<std::string_view>({"good", "poor"});
constexpr auto kRentrop = std::to_array<std::string_view>({"0", "1", "2", "3"});
constexpr FactGroup kCt = FactGroup::kOnCt;
constexpr FactGroup kDistal = FactGroup::kDistal;

constexpr auto kRows = std::to_array<FactRow>({
    FlagRow("ct_available", kCt, "CT made", "ct-cto-2015"_source,
            "a coronary CT of this occlusion exists; CT alone leaves it possible, not certain, that it is chronic"),
    MayBeUnseen(Spread(ReadingRow("length_ct_mm", kCt, "Occlusion length, CT", "mm", {0, 200}, "j-cto-ct-2015"_source,
                                  "along the centreline; about a quarter shorter than on the angiogram, never averaged "
                                  "with it"),
                       0, 2)),
    MayBeUnseen(Spread(ReadingRow("bend_ct_deg", kCt, "Largest bend in the occlusion, CT", "deg", {0, 180},
                                  "j-cto-ct-2015"_source, "deflection inside the occluded segment, 0 = straight"),
                       0, 7)),
    MayBeUnseen(GradeRow("stump_ct", kCt, "Stump, CT", kStump, "j-cto-ct-2015"_source, "as on the angiogram, on CT")),
    MayBeUnseen(Spread(
        ReadingRow("calcium_ct_share", kCt, "Calcium, share of a cross-section", "", {0, 1}, "j-cto-ct-2015"_source,
                   "largest share of a cross-section within the occlusion that calcium covers"),
        0, 0.10)),
    FlagRow("calcium_ct_full_lumen", kCt, "Calcium across the whole lumen", "kcct-2017"_source,
            "calcium fills a whole cross-section somewhere; then the share is 1 (wording from memory)"),
    CountRow("occlusion_count_ct", kCt, "Occlusions on CT", {0, 10}, "ct-rector-2015"_source,
             "interruptions separated by a filled stretch of 5 mm or more (from memory)"),
    GradeRow("rentrop", kDistal, "Collateral filling (Rentrop)", kRentrop, "rentrop-1985"_source,
             "0 none; 1 side branches only; 2 epicardial segment in part; 3 completely; best filling, donor injected"),
    MayBeUnseen(Spread(ReadingRow("dlz_diameter_mm", kDistal, "Landing zone, diameter", "mm", {0, 8},
                                  "hybrid-2012"_source, "of the vessel beyond the distal cap, where re-entry would be"),
                       0, 0.2)),
    MayBeUnseen(FlagRow("distal_landing_zone_diseased", kDistal, "Landing zone diseased", "recharge-2018"_source,
                        "diffuse disease over the length needed for re-entry")),
    MayBeUnseen(FlagRow("dlz_calcium", kDistal, "Landing zone calcified", "hybrid-2012"_source,
                        "heavy calcium over the length needed for re-entry")),
    MayBeUnseen(FlagRow("distal_cap_at_bifurcation", kDistal, "Distal cap at a bifurcation", "hybrid-2012"_source,
                        "an important bifurcation at or within about 5 mm of the distal cap")),
    ReadingRow("distal_branch_diameter_mm", kDistal, "Branch at the distal cap, diameter", "mm", {0, 8},
               "practice"_source, "of the smaller branch of that bifurcation"),
    GradeRow("distal_opacification", kDistal, "Distal opacification", kOpacity, "ercto-retrograde-2023"_source,
             "good: filled well enough to aim at"),
    GradeRow("landing_zone_quality", kDistal, "Landing zone", kOpacity, "hybrid-2012"_source,
             "the reader's summary: size, filling, disease and branches together"),
});

}  // namespace

std::span<const FactRow> VesselFacts() {
  return kRows;
}

}  // namespace fairlead
