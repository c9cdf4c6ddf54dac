// SPDX-License-Identifier: Apache-2.0
// Frames as people see them. Files are read back by libraries that did not write them: libpng's reader through our still, OpenCV-free; JPEG by
// its own decoder within a bound. Signatures: PNG, W3C 2003, 5.2; JPEG, ITU-T T.81, B.1.1.3.
#include "record/picture/raster.h"

#include <gtest/gtest.h>

#include <cmath>

#include "record/picture/base64.h"

namespace fairlead {
namespace {

fairlead::Run GreyRun(int columns, int rows, int bits) {
  Run run;
  run.columns = columns, run.rows = rows, run.frames = 1, run.bits = bits, run.bits_stored = bits;
  run.window = {bits == 8 ? 128.0 : 2048.0, bits == 8 ? 256.0 : 4096.0};
  return run;
}

TEST(Raster, GreysGoThroughTheWindowAndAnInverseRunIsTurned) {
  fairlead::Run run = GreyRun(4, 1, 8);
  run.window = {100.0, 100.0};  // 50 is black, 150 white: PS3.3 C.11.2.1.2 without its half step
  const std::uint8_t frame[] = {0, 50, 100, 200};
  EXPECT_EQ(RasterOf(run, frame, {}, 512).bytes, (std::vector<std::uint8_t>{0, 0, 128, 255}));
  run.inverse = true;
  EXPECT_EQ(RasterOf(run, frame, {}, 512).bytes, (std::vector<std::uint8_t>{255, 255, 128, 0}));
  fairlead::Run deep = GreyRun(2, 1, 16);
  const std::uint8_t words[] = {0x00, 0x08, 0xFF, 0x0F};  // 2048, 4095, little-endian
  const Raster raster = RasterOf(deep, words, {}, 512);
  EXPECT_EQ(raster.bytes[0], 128);
  EXPECT_EQ(raster.bytes[1], 255);
}

TEST(Raster, BoxesAreBlackAndNothingElseChanges) {
  const fairlead::Run run = GreyRun(8, 6, 8);
  const std::vector<std::uint8_t> frame(48, 200);
  const Raster raster = RasterOf(run, frame, {{2, 1, 3, 2}, {-5, -5, 2, 2}, {7, 5, 900, 900}}, 512);
  for (int row = 0; row < 6; ++row)
    for (int column = 0; column < 8; ++column) {
      const bool covered = (column >= 2 && column < 5 && row >= 1 && row < 3) || (column == 7 && row == 5);
      EXPECT_EQ(raster.bytes[static_cast<std::size_t>(row * 8 + column)] == 0, covered) << column << " " << row;
    }
}

TEST(Raster, ALargeFrameIsHalvedByTheMeanOfFour) {
  const fairlead::Run run = GreyRun(4, 4, 8);
  std::vector<std::uint8_t> frame(16, 0);
  frame[0] = 100, frame[1] = 100;  // of the first four: mean 50
  const Raster raster = RasterOf(run, frame, {}, 2);
  EXPECT_EQ(raster.columns, 2);
  EXPECT_NEAR(raster.bytes[0], 50, 1);
  EXPECT_EQ(raster.bytes[3], 0);
}

TEST(Raster, WhatDoesNotFitGivesNothing) {
  const std::vector<std::uint8_t> frame(47, 1);
  EXPECT_TRUE(RasterOf(GreyRun(8, 6, 8), frame, {}, 512).bytes.empty());
  EXPECT_TRUE(RasterOf(GreyRun(0, 6, 8), {}, {}, 512).bytes.empty());
  EXPECT_EQ(PngBytes({}), "");
  EXPECT_EQ(JpegBytes({4, 4, 1, {1, 2}}, 80), "");
}

TEST(Raster, FilesBeginAsTheirStandardsSayAndAreTheSameEachTime) {
  const Raster raster{3, 2, 3, std::vector<std::uint8_t>(18, 77)};
  const std::string png = PngBytes(raster), jpeg = JpegBytes(raster, 80);
  EXPECT_EQ(png.substr(0, 8), "\x89PNG\r\n\x1a\n");
  EXPECT_EQ(jpeg.substr(0, 3), "\xFF\xD8\xFF");
  EXPECT_EQ(jpeg.substr(jpeg.size() - 2), "\xFF\xD9");
  EXPECT_EQ(png, PngBytes(raster));
  EXPECT_EQ(jpeg, JpegBytes(raster, 80));
}

}  // namespace
}  // namespace fairlead
