// SPDX-License-Identifier: Apache-2.0
// How full of contrast a frame is, on pictures drawn here: every expected value is the drawing's own.
#include "imaging/dicom/picture.h"

#include <gtest/gtest.h>

#include <vector>

namespace fairlead {
namespace {

constexpr int kSide = 256;

Run Plain(int frames) {
  Run run;
  run.rows = run.columns = kSide, run.frames = frames, run.samples = 1, run.bits = run.bits_stored = 8;
  return run;
}

// Grey 200, a dark rod that stands still, a band 8 rows wide that is darker by each frame's depth, and a whole that
// darkens slowly by 0.5 a frame, as exposure control does.
std::vector<double> FillingOf(const std::vector<int>& depths, bool inverse) {
  Run run = Plain(static_cast<int>(depths.size()));
  run.inverse = inverse;
  PictureGatherer gatherer(run);
  for (std::size_t k = 0; k < depths.size(); ++k) {
    std::vector<std::uint8_t> bytes(std::size_t{kSide} * kSide, static_cast<std::uint8_t>(200 - k / 2));
    for (int y = 0; y < kSide; ++y) {
      for (int x = 0; x < kSide; ++x) {
        auto& value = bytes[static_cast<std::size_t>(y * kSide + x)];
        if (x >= 40 && x < 48) value = 20;                                          // a catheter, in every frame
        if (y >= 128 && y < 136 && x >= 64) value = static_cast<std::uint8_t>(value - depths[k]);  // the vessel
        if (inverse) value = static_cast<std::uint8_t>(255 - value);
      }
    }
    gatherer.Add(static_cast<int>(k), bytes);
  }
  gatherer.Finish(run);
  return run.filling;
}

TEST(Filling, IsOfWhatComesAndGoesAndNotOfWhatStandsStill) {
  const std::vector<int> depths{0, 0, 0, 30, 60, 90, 90, 60, 30, 0, 0, 0};
  for (const bool inverse : {false, true}) {
    const std::vector<double> filling = FillingOf(depths, inverse);
    ASSERT_EQ(filling.size(), depths.size());
    // Greys from 20 to 200: 90 of 180, and what the whole darkened by.
    EXPECT_NEAR(filling[5], 0.5, 0.03);
    EXPECT_NEAR(filling[4] / filling[5], 60.0 / 90.0, 0.03);
    EXPECT_LT(filling[0], 0.02);
    EXPECT_LT(filling[11], 0.04) << "a slow drift of exposure is no contrast";
  }
}

TEST(Filling, ARunOfOneFrameHasNone) {
  EXPECT_EQ(FillingOf({90}, false), std::vector<double>{0.0});
}

TEST(Filling, APictureSmallerThanItsBlocksIsStillRead) {
  fairlead::Run run = Plain(3);
  run.rows = run.columns = 5;
  PictureGatherer gatherer(run);
  for (int k = 0; k < 3; ++k) gatherer.Add(k, std::vector<std::uint8_t>(25, static_cast<std::uint8_t>(k == 1 ? 10 : 200)));
  gatherer.Finish(run);
  EXPECT_DOUBLE_EQ(run.filling[0], 0.0);
  EXPECT_GT(run.filling[1], 0.9);
}

}  // namespace
}  // namespace fairlead
