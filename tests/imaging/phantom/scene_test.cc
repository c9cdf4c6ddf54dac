// SPDX-License-Identifier: Apache-2.0
#include "imaging/phantom/scene.h"

#include <gtest/gtest.h>

#include <cmath>

#include "geometry/curve.h"
#include "imaging/phantom/tree.h"

namespace fairlead {
namespace {

TEST(Scene, IsMadeForEveryNameAndManySeeds) {
  for (const std::string_view name : SceneNames()) {
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
      SCOPED_TRACE(std::string(name) + " " + std::to_string(seed));
      const Scene scene = MakeScene(name, seed).value();
      for (const Vessel& vessel : scene.vessels) {
        ASSERT_GE(vessel.nodes.size(), 3u) << vessel.name;
        for (std::size_t i = 0; i < vessel.nodes.size(); ++i) {
          ASSERT_TRUE(std::isfinite(Norm(vessel.nodes[i].at)));
          ASSERT_LT(Norm(vessel.nodes[i].at), 90.0) << vessel.name;  // inside a chest
          ASSERT_GT(vessel.nodes[i].radius, 0.1);
          ASSERT_LT(vessel.nodes[i].radius, 2.5);
          if (i > 0) {
            ASSERT_LT(Norm(vessel.nodes[i].at - vessel.nodes[i - 1].at), 4.0) << vessel.name;
          }
        }
      }
      for (const GuideCatheter& catheter : scene.catheters) ASSERT_GE(catheter.vessel, 0);
    }
  }
}

TEST(Scene, HasTheOcclusionsThatItsNamePromises) {
  for (std::uint64_t seed = 0; seed < 40; ++seed) {
    const Scene shorter = MakeScene("short-right", seed).value();
    EXPECT_EQ(shorter.vessels[static_cast<std::size_t>(shorter.occlusion->vessel)].name, "RCA");
    EXPECT_LT(LengthOf(OcclusionCourse(shorter)).millimetres(), 13.0);
    EXPECT_EQ(shorter.occlusion->proximal_cap, CapShape::kTapered);

    const Scene marginal = MakeScene("circumflex-marginal", seed).value();
    const Occlusion& o = *marginal.occlusion;
    EXPECT_GT(LengthOf(OcclusionCourse(marginal)).millimetres(), 20.0);
    EXPECT_EQ(o.proximal_cap, CapShape::kBlunt);
    const Vessel& branch = marginal.vessels[static_cast<std::size_t>(o.side_branch)];
    EXPECT_EQ(branch.from.vessel, o.vessel);
    EXPECT_EQ(branch.from.node, o.proximal);  // it leaves at the cap exactly

    const Scene graft = MakeScene("graft-anterior", seed).value();
    EXPECT_EQ(graft.wires.size(), 4u);
    EXPECT_GE(FindVessel(graft.vessels, "graft"), 0);
  }
  EXPECT_FALSE(MakeScene("open-left", 1)->occlusion.has_value());
}

TEST(Scene, RefusesAnUnknownNameAndSaysWhichThereAre) {
  const auto none = MakeScene("left", 1);
  ASSERT_FALSE(none.ok());
  EXPECT_EQ(none.error().what, "there is no scene \"left\"");
  EXPECT_EQ(none.error().to_do, "choose one of circumflex-marginal, graft-anterior, short-right, open-left, open-right");
}

TEST(Scene, PutsTheArteriesWhereTheyLieInAPatient) {
  for (std::uint64_t seed = 0; seed < 20; ++seed) {
    const Scene scene = MakeScene("short-right", seed).value();
    const auto middle = [&](std::string_view name) {
      const auto& nodes = scene.vessels[static_cast<std::size_t>(FindVessel(scene.vessels, name))].nodes;
      return nodes[nodes.size() / 2].at;
    };
    EXPECT_LT(middle("RCA").x, -20.0);                // the right artery runs on the patient's right,
    EXPECT_GT(middle("LCX").x, 0.0);                  // the circumflex on the left
    EXPECT_GT(middle("LCX").y, middle("LAD").y);      // and behind the anterior descending
    EXPECT_GT(middle("PDA").y, middle("LAD").y);      // the posterior descending behind it too,
    EXPECT_LT(middle("PDA").z, middle("LAD").z);      // and below
  }
}

TEST(Moment, BeatsAndReturns) {
  Scene scene = MakeScene("open-left", 3).value();
  scene.heart_rate = 60;
  EXPECT_EQ(MomentAt(scene, Duration::Seconds(0), true).contraction, 0.0);
  EXPECT_NEAR(MomentAt(scene, Duration::Seconds(0.35), true).contraction, 1.0, 1e-12);
  EXPECT_EQ(MomentAt(scene, Duration::Seconds(0.9), true).contraction, 0.0);
  EXPECT_NEAR(MomentAt(scene, Duration::Seconds(2.0), true).breath, 9.8, 1e-12);
  EXPECT_EQ(MomentAt(scene, Duration::Seconds(2.0), false).breath, 0.0);
  // Arteries move by millimetres in a beat, as in life.
  double most = 0.0;
  for (const Vessel& vessel : scene.vessels) {
    for (const Node& node : vessel.nodes) most = std::max(most, Norm(node.swing));
  }
  EXPECT_GT(most, 5.0);
  EXPECT_LT(most, 20.0);
}

}  // namespace
}  // namespace fairlead
