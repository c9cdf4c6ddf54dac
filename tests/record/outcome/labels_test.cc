// SPDX-License-Identifier: Apache-2.0
// Expected labels follow from the wording of each published definition, applied by hand; the citation stands beside.
#include "record/outcome/labels.h"

#include <algorithm>

namespace fairlead {
namespace {

const ResultLabel& Find(const std::vector<ResultLabel>& labels, std::string_view id) {
  const auto found = std::ranges::find(labels, id, &ResultLabel::id);
  EXPECT_NE(found, labels.end()) << id;
  return *found;
}

LabelAnswer Ask(const ResultFindings& found, std::string_view id) {
  const auto labels = LabelsOf(found);
  return Find(labels, id).answer;
}

constexpr auto kYes = LabelAnswer::kYes, kNo = LabelAnswer::kNo, kUnknown = LabelAnswer::kUnknown;

// "residual diameter stenosis < 30 %": strict (Circulation 2021;143:479-500; registry form in JACC Cardiovasc Interv 2018;11:1325-1335).
TEST(ResultLabels, ExactlyThirtyPercentIsNoSuccess) {
  ResultFindings found;
  found.flow = 3, found.branch_lost = false, found.residual_pct = 30.0;
  EXPECT_EQ(Ask(found, "technical-registry"), kNo);
  EXPECT_EQ(Ask(found, "technical-arc"), kNo);
  found.residual_pct = 29.9;
  EXPECT_EQ(Ask(found, "technical-registry"), kYes);
  EXPECT_EQ(Ask(found, "technical-arc"), kYes);
}

// Flow 2 with 20 % left: the two forms differ (same sources).
TEST(ResultLabels, FlowTwoDividesTheTwoForms) {
  ResultFindings found;
  found.flow = 2, found.residual_pct = 20.0, found.branch_lost = false;
  EXPECT_EQ(Ask(found, "technical-registry"), kNo);
  EXPECT_EQ(Ask(found, "technical-arc"), kYes);
  found.branch_lost = true;
  EXPECT_EQ(Ask(found, "technical-arc"), kNo);
}

TEST(ResultLabels, WhatNobodyRecordedIsNeverNo) {
  for (const ResultLabel& label : LabelsOf({})) {
    EXPECT_EQ(label.answer, kUnknown) << label.id;
    EXPECT_FALSE(label.because.empty()) << label.id;
  }
}

TEST(ResultLabels, OneFailedConditionSettlesSuccessWhateverElseIsUnknown) {
  ResultFindings found;
  found.residual_pct = 60.0;
  EXPECT_EQ(Ask(found, "technical-registry"), kNo);
  EXPECT_EQ(Ask(found, "procedural-registry"), kNo);
  found = {};
  found.stroke = true;
  EXPECT_EQ(Ask(found, "events-in-hospital"), kYes);
  EXPECT_EQ(Ask(found, "procedural-arc"), kNo);
}

TEST(ResultLabels, ProceduralSuccessWaitsForDischarge) {
  ResultFindings found;
  found.flow = 3, found.residual_pct = 5.0;
  found.tamponade_treated = false;
  EXPECT_EQ(Ask(found, "technical-registry"), kYes);
  EXPECT_EQ(Ask(found, "procedural-registry"), kUnknown);
  found.death = found.infarction = found.stroke = found.urgent_repeat = false;
  EXPECT_EQ(Ask(found, "procedural-registry"), kYes);
}

// Circulation 2011;123:2736-2747, types 3a and 3b; 1 g/dL added for each unit given (from memory).
TEST(ResultLabels, BleedingIsGradedByTheFallCorrectedForTransfusion) {
  struct Vector { double before, least; std::optional<double> units; std::string_view grade; };
  for (const Vector& vector : std::vector<Vector>{{13.0, 9.2, 0.0, "3a"}, {13.0, 9.2, 2.0, "3b"}, {13.0, 8.0, 0.0, "3b"}, {13.0, 10.1, 0.0, "1 or 2"}, {13.0, 12.0, 1.0, "3a"}}) {
    ResultFindings found;
    found.overt_bleeding = true, found.haemoglobin_before_g_dl = vector.before, found.haemoglobin_least_g_dl = vector.least, found.units_transfused = vector.units;
    EXPECT_EQ(BleedingLabel(found).grade, vector.grade) << vector.before << " to " << vector.least;
  }
  ResultFindings tamponade;
  tamponade.tamponade = true, tamponade.haemoglobin_before_g_dl = 13.0, tamponade.haemoglobin_least_g_dl = 12.0;
  EXPECT_EQ(BleedingLabel(tamponade).grade, "3b");
}

// Universal definition: above 5 times, strictly. Eur Heart J 2018;39:2192-2207: 35 and 70 times. J Am Coll Cardiol
// 2013;62:1563-1570: 70 times, or 35 with Q waves (both from memory).
TEST(ResultLabels, InfarctionSchemesDisagreeAsPublished) {
  ResultFindings found;
  found.angiographic_complication = true;
  found.ischaemic_ecg = found.new_q_or_bundle_block = found.new_wall_motion_loss = false;
  found.troponin_times_url = 40.0;  // a side branch shut
  EXPECT_EQ(Ask(found, "injury-universal"), kYes);
  EXPECT_EQ(Ask(found, "infarction-4a"), kYes);
  EXPECT_EQ(Ask(found, "infarction-arc2"), kYes);
  EXPECT_EQ(Ask(found, "infarction-relevant"), kNo);
  found.troponin_times_url = 12.0;  // a collateral lost
  EXPECT_EQ(Ask(found, "infarction-4a"), kYes);
  EXPECT_EQ(Ask(found, "infarction-arc2"), kNo);
  found.angiographic_complication = false, found.troponin_times_url = 80.0;  // nothing else
  EXPECT_EQ(Ask(found, "infarction-4a"), kNo);
  EXPECT_EQ(Ask(found, "infarction-arc2"), kNo);
  EXPECT_EQ(Find(LabelsOf(found), "infarction-arc2").grade, "significant injury");
  EXPECT_EQ(Ask(found, "infarction-relevant"), kYes);
  found.ischaemic_ecg = true, found.troponin_times_url = 5.0;  // exactly
  EXPECT_EQ(Ask(found, "injury-universal"), kYes);
  EXPECT_EQ(Ask(found, "infarction-4a"), kNo);
}

TEST(ResultLabels, HighTroponinWithoutAnEcgOnRecordIsNotRuledOut) {
  ResultFindings found;
  found.troponin_times_url = 40.0;
  EXPECT_EQ(Ask(found, "infarction-4a"), kUnknown);
  EXPECT_EQ(Ask(found, "infarction-relevant"), kUnknown);
}

// Kidney Int Suppl 2012;2:1-138: 0.3 mg/dL in 48 h or 1.5 times in 7 days; J Am Coll Cardiol 2004;44:1393-1399: 25 % or 0.5 mg/dL.
TEST(ResultLabels, TwoKidneyDefinitionsDisagreeAsPublished) {
  struct Vector { double before, after; LabelAnswer now, old; };
  for (const Vector& vector : std::vector<Vector>{{1.0, 1.3, kYes, kYes}, {2.0, 2.3, kYes, kNo}, {0.6, 0.8, kNo, kYes}, {1.0, 1.0, kNo, kNo}}) {
    ResultFindings found;
    found.creatinine_before_mg_dl = vector.before, found.creatinine_after = {{47.0, vector.after}};
    EXPECT_EQ(Ask(found, "kidney-present"), vector.now) << vector.before << " to " << vector.after;
    EXPECT_EQ(Ask(found, "kidney-2004"), vector.old) << vector.before << " to " << vector.after;
  }
  ResultFindings late;
  late.creatinine_before_mg_dl = 1.0, late.creatinine_after = {{100.0, 2.1}, {200.0, 9.0}};
  EXPECT_EQ(Find(LabelsOf(late), "kidney-present").grade, "stage 2");  // the value of the ninth day does not count
  EXPECT_EQ(Ask(late, "kidney-2004"), kUnknown);
}

TEST(ResultLabels, EveryLabelHasItsDefinitionAndItsSource) {
  for (const ResultLabel& label : LabelsOf({})) {
    EXPECT_FALSE(label.definition.empty());
    EXPECT_NE(FindSource(label.source.id), nullptr) << label.source.id;
  }
}

// More that is known never turns a yes into a no or back: it only settles what was unknown.
TEST(ResultLabels, LearningMoreOnlySettlesTheUnknown) {
  for (int mask = 0; mask < 64; ++mask) {
    const auto bit = [mask](int i) { return (mask >> i & 1) != 0; };
    ResultFindings full;
    full.residual_pct = bit(0) ? 10.0 : 40.0, full.flow = bit(1) ? 3 : 1, full.branch_lost = bit(2), full.death = bit(3), full.stroke = bit(4);
    full.infarction = full.urgent_repeat = full.tamponade_treated = false;
    ResultFindings less = full;
    if (bit(5)) less.flow.reset(), less.death.reset();
    else less.residual_pct.reset(), less.stroke.reset(), less.branch_lost.reset();
    const auto known = LabelsOf(full), guess = LabelsOf(less);
    for (std::size_t i = 0; i < known.size(); ++i)
      if (guess[i].answer != kUnknown) {
        EXPECT_EQ(guess[i].answer, known[i].answer) << known[i].id << " " << mask;
      }
  }
}

}  // namespace
}  // namespace fairlead
