// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/cut.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/imaging/pullback/scene.h"

namespace fairlead {
namespace {

// Rings of 20 pixels round the middle, the next frame 10 greys brighter: what each ray must hold is known without it.
std::vector<std::uint8_t> Rings(int size, int frames) {
  std::vector<std::uint8_t> bytes;
  for (int f = 0; f < frames; ++f) {
    for (int y = 0; y < size; ++y) {
      for (int x = 0; x < size; ++x) {
        const double r = std::hypot(x - 0.5 * (size - 1), y - 0.5 * (size - 1));
        bytes.push_back(static_cast<std::uint8_t>(20 + 40 * (static_cast<int>(r) / 20 % 2) + 10 * f));
      }
    }
  }
  return bytes;
}

PictureStack StackOf(const std::vector<std::uint8_t>& bytes, int size, int frames) {
  PictureStack stack;
  stack.bytes = bytes;
  stack.rows = stack.columns = size;
  stack.frames = frames;
  stack.centre_x = stack.centre_y = 0.5 * (size - 1);
  return stack;
}

TEST(Cut, HoldsTheGreysOfEachRayWithoutTheSizeOfAPixel) {
  const auto bytes = Rings(300, 3);
  const auto rays = RaysForCuts(StackOf(bytes, 300, 3), 1, 2, {});
  ASSERT_TRUE(rays.ok()) << rays.error().what;
  ASSERT_EQ(rays->grey.size(), 2U * kAngles * static_cast<std::size_t>(rays->depth));
  EXPECT_LE(rays->depth, kCutDeepest);
  for (int frame = 0; frame < 2; ++frame) {
    for (int ray = 0; ray < kAngles; ray += 7) {
      for (int i = 0; i < rays->depth; ++i) {
        const double r = i * rays->step_px;
        const double within = std::fmod(r, 20.0);
        if (r > 145.0 || within < 3.0 || within > 17.0) continue;  // near an edge both are right
        const int expected = 20 + 40 * (static_cast<int>(r) / 20 % 2) + 10 * (frame + 1);
        EXPECT_EQ(rays->grey[(static_cast<std::size_t>(frame) * kAngles + static_cast<std::size_t>(ray)) * static_cast<std::size_t>(rays->depth) + static_cast<std::size_t>(i)], expected)
            << "frame " << frame << " ray " << ray << " at " << r;
      }
    }
  }
}

TEST(Cut, IsTheSameWhetherAskedForAtOnceOrInPieces) {
  const auto made = InventPullback(OrderOf("open", Grade::kClean, 5, 4, 300));
  const PictureStack stack = QuestionOf(*made).stack;
  const auto all = RaysForCuts(stack, 0, 3, {});
  const auto part = RaysForCuts(stack, 2, 3, {});
  const std::size_t size = kAngles * static_cast<std::size_t>(all->depth);
  EXPECT_TRUE(std::equal(part->grey.begin(), part->grey.end(), all->grey.begin() + static_cast<std::ptrdiff_t>(2 * size)));
}

TEST(Cut, RefusesFramesThatAreNotThere) {
  const auto bytes = Rings(100, 2);
  for (const auto& [first, last] : {std::pair{-1, 0}, std::pair{1, 0}, std::pair{0, 2}}) {
    const auto rays = RaysForCuts(StackOf(bytes, 100, 2), first, last, {});
    ASSERT_FALSE(rays.ok());
    EXPECT_EQ(rays.error().what, "these frames are not in the pullback");
  }
  PictureStack cut_off = StackOf(bytes, 100, 3);
  EXPECT_FALSE(RaysForCuts(cut_off, 0, 2, {}).ok());
}

}  // namespace
}  // namespace fairlead
