// SPDX-License-Identifier: Apache-2.0
// Expected: the partner of RAO 30 for the worked segment is LAO 60 CRA 36.2, from the cross product of its direction and
// the beam; the dose-rate model's figures for a trunk of 165 by 110 mm, worked in closed form: LAO 45 CRA 30 3.03, lateral 4.07.
#include "reasoning/views/advice.h"

#include <gtest/gtest.h>

#include "geometry/foreshortening.h"

namespace fairlead {
namespace {

GantryAngles At(double primary, double secondary) { return {Angle::Degrees(primary), Angle::Degrees(secondary)}; }

ViewQuestion Worked() {
  ViewQuestion question;
  question.tree.target = {{10, -25, 35}, {24, -33, 13}};
  question.tree.target_radius = {1, 1};
  question.tree.measured = true;
  question.body.torso.trunk = {165, 110, {-20, 20, 0}};
  return question;
}

SkinSoFar Exposed(const ViewQuestion& question, const GantryAngles& angles, double gray) {
  IrradiationEvent event;
  event.id = "1";
  event.kerma = Kerma::Gray(gray);
  event.angles = angles;
  event.source_to_isocentre = Length::Millimetres(750);
  event.source_to_detector = Length::Millimetres(1050);
  event.field_width = event.field_height = Length::Millimetres(150);
  BeamSettings settings;
  settings.body = question.body;
  const std::vector<IrradiationEvent> events{event};
  return SkinSoFarOf(EstimateSkin(events, settings, 1), events);
}

TEST(Advice, GivesTheDoseRatesOfTheWorkedTrunk) {
  const Body body = Worked().body;
  EXPECT_NEAR(DoseRateAgainstFrontal(body, At(0, 0)), 1.0, 1e-12);
  EXPECT_NEAR(DoseRateAgainstFrontal(body, At(45, 30)), 3.03, 0.01);
  EXPECT_NEAR(DoseRateAgainstFrontal(body, At(90, 0)), 4.07, 0.02);
  EXPECT_NEAR(DoseRateAgainstFrontal(body, At(45, -30)), DoseRateAgainstFrontal(body, At(45, 30)), 1e-9);
}

TEST(Advice, FindsTheViewThatShowsTheSegmentAndItsPartner) {
  ViewQuestion question = Worked();
  question.weights.rate = question.weights.operator_side = 0.0;
  const ViewAdvice advice = Advise(question, 1);
  ASSERT_FALSE(advice.best.empty());
  EXPECT_LT(advice.best.front().along_beam, 1e-3);
  question.held = At(-30, 0);
  EXPECT_NEAR(Advise(question, 1).held->along_beam, 0.0, 1e-4);
  for (std::size_t i = 0; i < advice.best.size(); ++i) EXPECT_LE(advice.best[i].along_beam, 0.2501);
  EXPECT_GT(advice.second_about, 60.0);
}

TEST(Advice, PutsTheIdealPartnerAtRightAnglesAboutTheVessel) {
  ViewQuestion question = Worked();
  question.gantry.primary_from = question.gantry.primary_to = -30.0;  // only RAO 30 is left
  question.gantry.secondary_from = question.gantry.secondary_to = 0.0;
  const ViewAdvice advice = Advise(question, 1);
  ASSERT_TRUE(advice.ideal_second);
  EXPECT_NEAR(advice.ideal_second->primary.degrees(), 60.0, 0.1);
  EXPECT_NEAR(advice.ideal_second->secondary.degrees(), 36.2, 0.1);
}

TEST(Advice, NamesTheViewDownTheBarrel) {
  ViewQuestion question = Worked();
  question.tree.target = {{0, 0, 0}, {10, -10, 0}};
  const ViewAdvice advice = Advise(question, 1);
  EXPECT_NEAR(advice.axis.primary.degrees(), 45.0, 1e-6);
  EXPECT_NEAR(advice.axis.secondary.degrees(), 0.0, 1e-6);
  EXPECT_GT(advice.barrel.along_beam, 0.99);
}

TEST(Advice, TurnsAwayFromBurdenedSkinAndNoFartherThanItMust) {
  ViewQuestion question = Worked();
  const GantryAngles used = At(-30, 0);
  question.skin = Exposed(question, used, 5.0);
  const TreeBalls balls = BallsOf(question.tree);
  const ViewAdvice advice = Advise(question, 1);
  const auto spared = SpareSkin(question, balls, advice.maps, used, 2.0);
  ASSERT_TRUE(spared);
  EXPECT_GE(DoseInField(*question.skin, used).highest, 2.0);
  EXPECT_LT(spared->to.skin_gray, 2.0);
  EXPECT_LE(spared->to.along_beam, 0.2501);
  // Two fields of 150 mm at the detector are about 86 mm on the skin: they part where the entries are about that far apart.
  EXPECT_GT(spared->moved, 60.0);
  EXPECT_LT(spared->turn, 60.0);
  for (std::size_t i = 0; i < question.grid.cells(); i += 7) {  // nothing nearer would have done
    const GantryAngles angles = question.grid.AnglesAt(i);
    const Vec3 a = BeamOf(used), b = BeamOf(angles);
    const double turn = std::atan2(Norm(Cross(a, b)), Dot(a, b)) * 57.29577951308232;
    if (turn > spared->turn - 1e-9 || advice.maps.reach[i] == Reach::kOut || advice.maps.foreshortening[i] > 0.25F) continue;
    EXPECT_GE(DoseInField(*question.skin, angles).highest, 2.0);
  }
  ASSERT_TRUE(advice.away);
  EXPECT_LT(advice.away->skin_gray, 0.5 * question.skin->peak);
}

TEST(Advice, NeverAdvisesAViewThatEntersBurntSkin) {
  ViewQuestion question = Worked();
  question.skin = Exposed(question, At(-30, 0), 30.0);
  for (const WorkingView& view : Advise(question, 1).best) {
    EXPECT_NE(GantryText(view.angles), "RAO 30");
    EXPECT_LT(ExposedAt(question.skin->map, *EntryOfView(question.skin->body, view.angles)), 10.0);
  }
}

TEST(Advice, SaysWhatItDoesNotKnow) {
  auto tree = ModelTree("LAD", 0.3, 0.5);
  ASSERT_TRUE(tree.ok());
  ViewQuestion question;
  question.tree = *tree;
  const ViewAdvice advice = Advise(question, 2);
  ASSERT_FALSE(advice.notes.empty());
  EXPECT_NE(advice.notes[0].find("not measured in this patient"), std::string::npos);
  EXPECT_FALSE(advice.balls.considered.empty());
}

// What is told of the channel is what its course gives by the definitions, view by view.
TEST(Advice, TheModelHeartHasAChannelAndAViewThatShowsIt) {
  for (const std::string vessel : {"RCA", "LAD", "LCX"}) {
    auto tree = ModelTree(vessel, 0.3, 0.5);
    ASSERT_TRUE(tree.ok());
    EXPECT_NE(tree->collateral_name.find("of the model"), std::string::npos);
    ASSERT_GT(tree->collateral.size(), 10U);
    for (std::size_t i = 1; i < tree->collateral.size(); ++i) EXPECT_LT(Norm(tree->collateral[i] - tree->collateral[i - 1]), 10.0) << vessel << i;
    EXPECT_GT(LengthOf(tree->collateral), 30.0);
    EXPECT_LT(LengthOf(tree->collateral), 200.0);
    ViewQuestion question;
    question.tree = *tree;
    const ViewAdvice advice = Advise(question, 2);
    ASSERT_TRUE(advice.collateral) << vessel;
    VesselTree as_target = *tree;
    as_target.target = tree->collateral;
    as_target.target_radius.assign(as_target.target.size(), 0.4);
    const TreeBalls balls = BallsOf(as_target);
    const auto both = [&](const GantryAngles& angles) {
      View view;
      view.primary = angles.primary;
      view.secondary = angles.secondary;
      view.source_to_isocentre = Length::Millimetres(750);
      return Foreshortening(view, as_target.target) + OverlapByDefinition(angles, balls);
    };
    EXPECT_NEAR(both(advice.collateral->angles), advice.collateral_foreshortening + advice.collateral_overlap, 1e-9) << vessel;
  }
}

}  // namespace
}  // namespace fairlead
