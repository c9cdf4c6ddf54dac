// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "casebook/dictionary.h"

namespace fairlead {
namespace {

constexpr auto kChannels = std::to_array<std::string_view>({"septal", "epicardial", "atrial", "ipsilateral", "graft"});
constexpr auto kConnection = std::to_array<std::string_view>({"0", "1", "2"});
constexpr auto kSegments = std::to_array<std::string_view>(
    {"1",  "2",   "3",   "4",  "5",  "6",   "7",   "8",  "9",  "9a",  "10",  "10a", "11",
     "12", "12a", "12b", "13", "14", "14a", "14b", "15", "16", "16a", "16b", "16c", "graft"});
constexpr FactGroup kGroup = FactGroup::kCollateral;

constexpr auto kRows = std::to_array<FactRow>({
    FlagRow(
        "interventional_collateral", kGroup, "Usable collateral", "progress-cto-2016"_source,
        "at least one channel that the operator judges a wire and microcatheter can pass; no only after every donor "
        "was injected"),
    FlagRow("all_donors_injected", kGroup, "All donors injected", "practice"_source,
            "every vessel that could supply the territory was injected"),
    PerChannel(GradeRow("collateral_channel", kGroup, "Kind of channel", kChannels, "jr-cto-2024"_source,
                        "septal, epicardial, atrial, ipsilateral (same side) or a bypass graft")),
    PerChannel(GradeRow("donor_segment", kGroup, "Donor segment", kSegments, "segments-2005"_source,
                        "where the channel comes from")),
    PerChannel(GradeRow("recipient_segment", kGroup, "Recipient segment", kSegments, "segments-2005"_source,
                        "where it arrives")),
    PerChannel(GradeRow("collateral_cc_grade", kGroup, "Connection (CC)", kConnection, "cc-2003"_source,
                        "0 no continuous connection seen; 1 thread-like, about 0.3 mm or less; 2 like a small branch, "
                        "about 0.4 mm or more")),
    PerChannel(Spread(ReadingRow("channel_diameter_mm", kGroup, "Smallest diameter", "mm", {0, 6}, "cc-2003"_source,
                                 "of the channel; between 0.3 and 0.4 mm the grade is 1 or 2"),
                      0, 0.2)),
    PerChannel(ReadingRow("channel_length_mm", kGroup, "Length of the channel", "mm", {0, 400}, "r-icps-2022"_source,
                          "along the channel from donor to recipient")),
    PerChannel(ReadingRow("donor_way_mm", kGroup, "Way to the channel", "mm", {0, 400}, "practice"_source,
                          "along the donor vessel from its ostium to where the channel leaves it")),
    PerChannel(ReadingRow("recipient_way_mm", kGroup, "Way back from the channel", "mm", {0, 400}, "practice"_source,
                          "from where the channel arrives back to the ostium of the occluded vessel, the occlusion included")),
    PerChannel(MayBeUnseen(FlagRow("small_vessel", kGroup, "Small vessel", "j-channel-2020"_source,
                                   "judged small, as the channel score of 2020 means it (limit not readable)"))),
    PerChannel(MayBeUnseen(
        FlagRow("reverse_bend", kGroup, "Reverse bend", "j-channel-2020"_source, "the channel turns back on itself"))),
    PerChannel(MayBeUnseen(FlagRow("continuous_bends", kGroup, "Continuous bends", "j-channel-2020"_source,
                                   "one bend follows another without a straight stretch; for septal channels"))),
    PerChannel(MayBeUnseen(FlagRow("corkscrew", kGroup, "Corkscrew", "j-channel-2020"_source,
                                   "winds like a corkscrew; for channels that are not septal"))),
    PerChannel(MayBeUnseen(Spread(ReadingRow("max_bend_deg", kGroup, "Largest bend", "deg", {0, 360},
                                             "r-icps-2022"_source, "of the channel; severe above 180"),
                                  0, 7))),
    PerChannel(MayBeUnseen(Spread(ReadingRow("entry_angle_deg", kGroup, "Entry angle", "deg", {0, 180},
                                             "practice"_source, "from donor into the channel; acute below 90"),
                                  0, 7))),
    PerChannel(MayBeUnseen(Spread(ReadingRow("exit_angle_deg", kGroup, "Exit angle", "deg", {0, 180},
                                             "r-icps-2022"_source, "from channel into recipient; acute below 90"),
                                  0, 7))),
    PerChannel(MayBeUnseen(FlagRow("collateral_tortuous", kGroup, "Tortuous, as JR-CTO means it", "jr-cto-2024"_source,
                                   "definition not readable; the reader's judgement"))),
    PerChannel(FlagRow("channel_bifurcation", kGroup, "Bifurcation along the way", "practice"_source,
                       "the channel divides between donor and recipient")),
    PerChannel(FlagRow("sole_supply", kGroup, "Sole supply", "practice"_source,
                       "the only channel that feeds the territory: losing it would matter")),
    PerChannel(FlagRow("interventional", kGroup, "Usable", "progress-cto-2016"_source,
                       "the operator judges that a wire and microcatheter can pass it")),
    PerChannel(FlagRow("donor_vessel_diseased", kGroup, "Donor diseased", "practice"_source,
                       "relevant disease in the donor vessel before the channel")),
    PerChannel(FlagRow("donor_ostium_diseased", kGroup, "Donor's origin diseased", "practice"_source,
                       "relevant disease at the origin of the donor vessel")),
    PerChannel(FlagRow("donor_is_graft", kGroup, "Donor is a graft", "practice"_source,
                       "the channel is reached through a bypass graft")),
});

}  // namespace

std::span<const FactRow> CollateralFacts() {
  return kRows;
}

}  // namespace fairlead
