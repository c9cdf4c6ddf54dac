// SPDX-License-Identifier: Apache-2.0
// What an ultrasound pullback of the occluded vessel says.
#include <array>

#include "casebook/dictionary.h"

namespace fairlead {
namespace {

constexpr auto kSpaces = std::to_array<std::string_view>({"lumen", "plaque", "outside"});
constexpr FactGroup kGroup = FactGroup::kLesion;

constexpr auto kRows = std::to_array<FactRow>({
    MayBeUnseen(Spread(ReadingRow("media_min_ivus_mm", kGroup, "Vessel, smallest diameter, ultrasound", "mm", {0.5, 9}, "ivus-size-2003"_source,
                                  "from media to media through the centre of area, in the cross-section that decides: where the wires are to be "
                                  "joined, or where a balloon or stent is to be sized"),
                       0.04, 0.07)),
    MayBeUnseen(Spread(ReadingRow("media_max_ivus_mm", kGroup, "Vessel, largest diameter, ultrasound", "mm", {0.5, 9}, "ivus-size-2003"_source,
                                  "from media to media through the centre of area, in the same cross-section"),
                       0.04, 0.07)),
    MayBeUnseen(Spread(ReadingRow("lumen_min_ivus_mm2", kGroup, "Smallest lumen, ultrasound", "mm2", {0, 60}, "ivus-size-2003"_source,
                                  "smallest cross-section of the lumen along the pullback; in an occlusion that of the channel that holds the catheter"),
                       0.08, 0.1)),
    MayBeUnseen(Spread(ReadingRow("plaque_burden_max_ivus", kGroup, "Largest plaque burden, ultrasound", "", {0, 1}, "ivus-cto-2023"_source,
                                  "(vessel - lumen) / vessel, of areas; largest along the pullback where the media is seen"),
                       0, 0.03)),
    MayBeUnseen(Spread(ReadingRow("calcium_arc_ivus_deg", kGroup, "Calcium, largest arc, ultrasound", "deg", {0, 360}, "ivus-cto-2023"_source,
                                  "largest arc in one cross-section: bright edge with a shadow behind it"),
                       0, 8)),
    MayBeUnseen(Spread(ReadingRow("tissue_ivus_mm", kGroup, "Tissue between the wires, ultrasound", "mm", {0, 9}, "practice"_source,
                                  "between the channel that holds the ultrasound catheter and the near side of the other wire, where thinnest"),
                       0, 0.12)),
    GradeRow("near_wire_space_ivus", kGroup, "Near wire's space, ultrasound", kSpaces, "ivus-cto-2023"_source,
             "as the reader sees it: true lumen, plaque (inside the media) or outside the plaque"),
    GradeRow("far_wire_space_ivus", kGroup, "Far wire's space, ultrasound", kSpaces, "ivus-cto-2023"_source,
             "of the wire from the other side, as the reader sees it"),
});

}  // namespace

std::span<const FactRow> UltrasoundFacts() { return kRows; }

}  // namespace fairlead
