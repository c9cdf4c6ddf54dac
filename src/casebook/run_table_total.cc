// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "casebook/run_row.h"

namespace fairlead {
namespace {
using enum RunField;
using enum FieldNeed;
using enum SideUse;

constexpr std::string_view kGroup = "totals";

constexpr auto kExamsWords = std::to_array<RunWord>({{"new", "new-exam"}});
constexpr auto kContrastTakes = std::to_array<VerbField>({
    Signed(NumberIn(kAdd, 0.5, 300), '+'),
    Signed(NumberIn(kTotal, 0, 1500), '='),
    NumberIn(kIodine, 140, 400)});
constexpr auto kAkTakes = std::to_array<VerbField>({
    Bare(NumberIn(kKerma, 0, 30, kMust)),
    OneOf(kExam, kExamsWords)});
constexpr auto kDapTakes = std::to_array<VerbField>({
    Bare(NumberIn(kArea, 0, 4000, kMust)),
    OneOf(kExam, kExamsWords)});
constexpr auto kFluoroTakes = std::to_array<VerbField>({
    Bare(NumberIn(kFluoro, 0, 600, kMust)),
    OneOf(kExam, kExamsWords)});

constexpr auto kVerbs = std::to_array<VerbRow>({
    {Verb::kContrast, "contrast", "dye", kGroup, kNoSide, kContrastTakes, "+ adds, = is the total of this session", "contrast +40", true},
    {Verb::kAk, "ak", "kerma", kGroup, kNoSide, kAkTakes, "air kerma at the reference point, as the console counts it", "ak 2.1Gy", false},
    {Verb::kDap, "dap", "kap", kGroup, kNoSide, kDapTakes, "kerma-area product, as the console counts it", "dap 118Gycm2", false},
    {Verb::kFluoro, "fluoro", "ft", kGroup, kNoSide, kFluoroTakes, "fluoroscopy time, as the console counts it", "fluoro 38", false}});

}  // namespace

std::span<const VerbRow> TotalVerbs() { return kVerbs; }

}  // namespace fairlead
