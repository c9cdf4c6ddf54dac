// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/moments.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "imaging/phantom/render.h"
#include "imaging/phantom/scene.h"
#include "tests/slowed.h"

namespace fairlead {
namespace {

// Bands 24 pixels wide, their darkness a sine, moved across: the answer is the shift by construction. As contrast does,
// they only add darkness to what lies behind.
Picture Bands(double shift, double depth) {
  Picture picture{128, 128, {}};
  for (int row = 0; row < 128; ++row) {
    for (int column = 0; column < 128; ++column) picture.values.push_back(static_cast<float>(100.0 + depth * (1.0 + std::sin(2.0 * std::numbers::pi * (column - shift) / 24.0))));
  }
  return picture;
}

// A vessel as it crosses a picture: of few of its pixels.
Picture Vessel(double shift, double depth) {
  Picture picture{128, 128, {}};
  for (int row = 0; row < 128; ++row) {
    for (int column = 0; column < 128; ++column) picture.values.push_back(static_cast<float>(100.0 + depth * std::exp(-0.5 * std::pow((column - 40.0 - shift) / 4.0, 2.0))));
  }
  return picture;
}

TEST(Moments, MotionOfBandsIsWhatTheyWereMovedBy) {
  for (const double step : {0.0, 0.5, 1.0, 2.0}) {
    MomentFinder finder;
    for (int i = 0; i < 9; ++i) finder.Add(Bands(step * i, 20.0));
    const RunMoments run = finder.Find({});
    ASSERT_EQ(run.frames.size(), 9u);
    EXPECT_NEAR(run.frames[4].motion_px, step, 0.12 * step + 1e-6) << step;
  }
}

TEST(Moments, OfFramesEquallyFullTheStillestIsSuggested) {
  MomentFinder finder;
  double place = 0.0;
  for (int i = 0; i < 16; ++i) {
    place += i < 8 || i > 11 ? 2.0 : 0.1;
    finder.Add(Vessel(place, i < 4 ? 4.0 : 20.0));
  }
  const RunMoments run = finder.Find({});
  ASSERT_TRUE(run.suggested);
  EXPECT_GE(*run.suggested, 8);
  EXPECT_LE(*run.suggested, 11);
}

TEST(Moments, RWavesPlaceEachFrameInItsBeatAndNoneOutside) {
  MomentFinder finder;
  for (int i = 0; i < 12; ++i) finder.Add(Bands(i, 20.0));
  const std::vector<int> waves{1, 9};
  const RunMoments run = finder.Find(waves);
  EXPECT_FALSE(run.frames[0].of_beat);
  EXPECT_DOUBLE_EQ(*run.frames[1].of_beat, 0.0);
  EXPECT_DOUBLE_EQ(*run.frames[5].of_beat, 0.5);
  EXPECT_FALSE(run.frames[9].of_beat);
}

TEST(Moments, AShortRunOrOneWithoutContrastBringsNoSuggestionButSaysWhy) {
  MomentFinder brief, flat, none;
  for (int i = 0; i < 3; ++i) brief.Add(Bands(i, 4.0 + i));
  for (int i = 0; i < 10; ++i) flat.Add(Bands(0.0, 20.0));
  for (const MomentFinder* finder : {&brief, &flat, &none}) {
    const RunMoments run = finder->Find({});
    EXPECT_FALSE(run.suggested);
    EXPECT_FALSE(run.because.empty());
  }
}

// Truth: the scene's own nodes, projected at the moments of the frames around.
TEST(Moments, OnPhantomRunsTheSuggestedFrameIsFilledAndNearItsStillest) {
  if (kSlowed) GTEST_SKIP() << "the other tests walk the same code";
  for (const auto& [seed, grade] : {std::pair{3u, Grade::kTypical}, std::pair{8u, Grade::kTypical}, std::pair{3u, Grade::kPoor}}) {
    auto scene = MakeScene("open-left", seed);
    ASSERT_TRUE(scene.ok());
    RunPlan plan;
    plan.view = UsualView(Angle::Degrees(-20.0), Angle::Degrees(-15.0));
    plan.injections = {{Injected::kLeft, Duration::Seconds(0.3), Duration::Seconds(2.0)}};
    plan.frames = 28, plan.grade = grade, plan.seed = seed;
    const auto run = RenderRun(*scene, plan);
    ASSERT_TRUE(run.ok());
    const std::size_t size = static_cast<std::size_t>(plan.view.rows) * static_cast<std::size_t>(plan.view.columns);
    MomentFinder finder;
    for (int k = 0; k < plan.frames; ++k) {
      Picture frame{plan.view.rows, plan.view.columns, {}};
      for (std::size_t i = 0; i < size; ++i) frame.values.push_back(255.0f - static_cast<float>(run->pixels[size * static_cast<std::size_t>(k) + i]));
      finder.Add(frame);
    }
    const RunMoments found = finder.Find(run->r_wave_frames);
    ASSERT_TRUE(found.suggested) << found.because;
    const Projector project(plan.view);
    const auto moved = [&](int frame) {
      const Moment a = MomentAt(*scene, plan.frame_time * (frame - 1.0), true), b = MomentAt(*scene, plan.frame_time * (frame + 1.0), true);
      double sum = 0.0, n = 0.0;
      for (const Node& node : scene->vessels.front().nodes) {
        const auto from = project(PlaceOf(node, a)).at, to = project(PlaceOf(node, b)).at;
        sum += 0.5 * std::hypot(to.column - from.column, to.row - from.row), n += 1.0;
      }
      return sum / n;
    };
    std::vector<double> all;
    for (int frame = 10; frame + 1 < plan.frames; ++frame) all.push_back(moved(frame));
    std::sort(all.begin(), all.end());
    EXPECT_GE(*found.suggested, 6) << "contrast began at frame 4.5";
    for (int frame = 0; frame < 4; ++frame) EXPECT_LT(found.frames[static_cast<std::size_t>(frame)].contrast, 0.3) << frame << ": no contrast yet, though the chest breathes";
    EXPECT_LE(moved(*found.suggested), all[all.size() / 3]) << seed;
  }
}

}  // namespace
}  // namespace fairlead
