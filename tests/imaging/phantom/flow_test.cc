// SPDX-License-Identifier: Apache-2.0
#include "imaging/phantom/flow.h"

#include <gtest/gtest.h>

#include "imaging/phantom/tree.h"

namespace fairlead {
namespace {

TEST(Flow, NeverCrossesTheOcclusion) {
  for (const std::string_view name : SceneNames()) {
    for (std::uint64_t seed = 0; seed < 20; ++seed) {
      const Scene scene = MakeScene(name, seed).value();
      if (!scene.occlusion) continue;
      const auto vessel = static_cast<std::size_t>(scene.occlusion->vessel);
      for (const Injected ostium : {Injected::kLeft, Injected::kRight, Injected::kGraft}) {
        const auto arrivals = ArrivalsFrom(scene, ostium);
        if (arrivals[vessel].empty()) continue;
        for (std::size_t i = scene.occlusion->proximal + 1; i < scene.occlusion->distal; ++i) ASSERT_LT(arrivals[vessel][i].seconds, 0.0);
      }
    }
  }
}

TEST(Flow, FillsTheDistalVesselLateAndThinThroughCollaterals) {
  const Scene scene = MakeScene("short-right", 4).value();
  const auto vessel = static_cast<std::size_t>(scene.occlusion->vessel);
  const auto right = ArrivalsFrom(scene, Injected::kRight), left = ArrivalsFrom(scene, Injected::kLeft);
  EXPECT_LT(right[vessel][scene.occlusion->proximal].seconds, 0.5);
  EXPECT_LT(right[vessel][scene.occlusion->distal].seconds, 0.0);   // nothing antegrade
  EXPECT_GT(left[vessel][scene.occlusion->distal].seconds, 0.8);    // the donor's medium, later
  EXPECT_LT(left[vessel][scene.occlusion->distal].share, 0.8);
  EXPECT_GT(left[vessel][scene.occlusion->distal].share, 0.2);
  EXPECT_LT(left[vessel][scene.occlusion->proximal].seconds, 0.0);
}

TEST(Flow, FillsTheMarginalsDistalBedFromTheSameSide) {
  const Scene scene = MakeScene("circumflex-marginal", 4).value();
  const auto vessel = static_cast<std::size_t>(scene.occlusion->vessel);
  EXPECT_GT(ArrivalsFrom(scene, Injected::kLeft)[vessel][scene.occlusion->distal].seconds, 0.0);
  EXPECT_TRUE(ArrivalsFrom(scene, Injected::kRight)[vessel].empty());  // there is no catheter on the right
}

TEST(Flow, RisesHoldsAndWashesOut) {
  const Arrival arrival{0.5, 0.8};
  EXPECT_EQ(FillingAt(arrival, 0.5, 2.0), 0.0);
  EXPECT_NEAR(FillingAt(arrival, 1.5, 2.0), 0.8, 1e-12);
  EXPECT_EQ(FillingAt(arrival, 4.0, 2.0), 0.0);
  EXPECT_EQ(FillingAt({}, 1.0, 2.0), 0.0);
}

}  // namespace
}  // namespace fairlead
