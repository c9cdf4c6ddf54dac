// SPDX-License-Identifier: Apache-2.0
// Why open it: what the patient feels, what a test showed, what else was offered.
#include <array>

#include "casebook/dictionary.h"

namespace fairlead {
namespace {

constexpr auto kAngina = std::to_array<std::string_view>({"0", "1", "2", "3", "4"});
constexpr auto kBreathless = std::to_array<std::string_view>({"1", "2", "3", "4"});
constexpr auto kViable = std::to_array<std::string_view>({"none", "partly", "wholly"});
constexpr auto kTest = std::to_array<std::string_view>({"mr", "pet", "spect", "echo", "exercise_ecg", "other"});
constexpr FactGroup kGroup = FactGroup::kIndication;

constexpr auto kRows = std::to_array<FactRow>({
    GradeRow("angina_class", kGroup, "Angina class", kAngina, "angina-class-1976"_source,
             "0 none; 1 with strenuous exertion; 2 slight limit; 3 marked limit; 4 with any activity or at rest"),
    GradeRow("breathlessness_class", kGroup, "Breathlessness class", kBreathless, "practice"_source,
             "1 none with ordinary activity to 4 at rest (functional class)"),
    CountRow("angina_drugs", kGroup, "Drugs against angina", {0, 6}, "revascularisation-2018"_source,
             "classes of drugs taken now in full dose; resistance to drugs is part of the published indication"),
    GradeRow("ischaemia_test", kGroup, "Test for ischaemia", kTest, "cto-pathway-2024"_source, "the latest one"),
    Spread(ReadingRow("ischaemic_share_pct", kGroup, "Ischaemic share of the ventricle", "%", {0, 100},
                      "revascularisation-2018"_source, "of the left ventricle, by the latest test, in this vessel's area"),
           0, 3),
    GradeRow("viability", kGroup, "Viability beyond the occlusion", kViable, "practice"_source,
             "of the muscle that the vessel feeds, by imaging"),
    FlagRow("alternatives_offered", kGroup, "Alternatives offered", "practice"_source,
            "drugs alone and bypass operation were discussed with the patient and the talk recorded"),
    FlagRow("heart_team", kGroup, "Heart team agreed", "practice"_source,
            "discussed by cardiologists and surgeons together"),
});

}  // namespace

std::span<const FactRow> IndicationFacts() {
  return kRows;
}

}  // namespace fairlead
