// SPDX-License-Identifier: Apache-2.0
// Courses whose length and bend follow from a formula, seen in two views.
#include "imaging/pair/pair.h"

#include <gtest/gtest.h>

#include "tests/imaging/pair/invented.h"

namespace fairlead {
namespace {

const View kRao = TheView(-30, -20), kLao = TheView(45, 25);

Seen WithPath(const Curve& curve, PathKind kind, int clicks, double noise = 0.0, Random* random = nullptr) {
  Seen seen = TwoFrames(kRao, kLao);
  Taken taken = AsStated(seen);
  taken.noise_px = noise, taken.random = random;
  seen.paths.push_back({"vessel", kind, LinesOf(taken, curve, 0.0, 1.0, clicks)});
  return seen;
}

TEST(PairedViews, AnArcHasTheLengthOfItsFormula) {
  const Curve arc = ArcOf(30.0, 90.0);
  const auto found = MeasurePair(WithPath(arc, PathKind::kVessel, 12));
  ASSERT_TRUE(found.ok()) << Sentence(found.error());
  const double want = 30.0 * std::numbers::pi / 2.0;
  EXPECT_NEAR(found->courses[0].numbers.length.value.millimetres(), want, 0.01 * want);
  EXPECT_NEAR(found->courses[0].numbers.chord.value.millimetres(), 30.0 * std::numbers::sqrt2, 0.1);
}

TEST(PairedViews, AHelixHasTheLengthOfItsFormula) {
  const double radius = 1.2, pitch = 9.0, turns = 4.0;
  const auto found = MeasurePair(WithPath(HelixOf(radius, pitch, turns), PathKind::kCollateral, 41));
  ASSERT_TRUE(found.ok()) << Sentence(found.error());
  const double want = turns * std::hypot(2.0 * std::numbers::pi * radius, pitch);
  EXPECT_NEAR(found->courses[0].numbers.length.value.millimetres(), want, 0.03 * want);
}

}  // namespace
}  // namespace fairlead
