// SPDX-License-Identifier: Apache-2.0
// How often text that is burned into a run is missed: letters and digits drawn by Cairo at random places of invented angiograms, and
// of speckle as ultrasound has it; and how much of a run without text is suspected. 200 pictures a row:
//   bench_record_deidentify --benchmark_filter=Burned
#include <benchmark/benchmark.h>
#include <cairo/cairo.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "imaging/phantom/truth.h"
#include "record/deidentify/burned.h"

namespace fairlead {
namespace {

constexpr int kSide = 512, kFrames = 3, kTrials = 200;

struct Picture {
  Run run;
  std::vector<std::uint8_t> frames;
};

// Seven invented angiograms, the last frames of each; the eighth is speckle (Rayleigh) within a disc.
const std::vector<Picture>& Pictures() {
  static const std::vector<Picture> pictures = [] {
    std::vector<Picture> made;
    for (std::uint64_t seed = 1; seed <= 7; ++seed) {
      const Scene scene = MakeScene("short-right", seed).value();
      auto plans = UsualRuns(scene, seed % 2 == 0 ? Grade::kTypical : Grade::kPoor);
      RunPlan plan = plans[seed % plans.size()];
      plan.frames = 24;
      const PhantomRun rendered = RenderRun(scene, plan).value();
      Picture picture;
      for (const std::size_t frame : {14U, 18U, 23U})
        for (std::size_t i = 0; i < kSide * kSide; ++i) picture.frames.push_back(static_cast<std::uint8_t>(rendered.pixels[frame * kSide * kSide + i]));
      made.push_back(std::move(picture));
    }
    std::mt19937 draw(3);
    Picture speckle;
    for (int i = 0; i < kFrames * kSide * kSide; ++i) {
      const int x = i % kSide - kSide / 2, y = i / kSide % kSide - kSide / 2;
      const double grey = std::hypot(x, y) > 240.0 ? 0.0 : 40.0 * std::sqrt(-2.0 * std::log(static_cast<double>(draw() % 100'000 + 1) / 100'001.0));
      speckle.frames.push_back(static_cast<std::uint8_t>(std::min(grey, 255.0)));
    }
    made.push_back(std::move(speckle));
    for (Picture& picture : made) picture.run.rows = picture.run.columns = kSide, picture.run.frames = kFrames, picture.run.bits = picture.run.bits_stored = 8, picture.run.samples = 1;
    return made;
  }();
  return pictures;
}

struct Ink {
  std::vector<double> share;  // of each pixel
  int left = kSide, top = kSide, right = 0, bottom = 0;
};

Ink Write(const std::string& text, double size_px, double x, double y) {
  cairo_surface_t* surface = cairo_image_surface_create(CAIRO_FORMAT_A8, kSide, kSide);
  cairo_t* cairo = cairo_create(surface);
  cairo_select_font_face(cairo, "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_NORMAL);
  cairo_set_font_size(cairo, size_px);
  cairo_move_to(cairo, x, y);
  cairo_show_text(cairo, text.c_str());
  cairo_surface_flush(surface);
  Ink ink;
  const unsigned char* bytes = cairo_image_surface_get_data(surface);
  const int stride = cairo_image_surface_get_stride(surface);
  for (int row = 0; row < kSide; ++row)
    for (int column = 0; column < kSide; ++column) {
      const double share = bytes[row * stride + column] / 255.0;
      ink.share.push_back(share);
      if (share > 0.3) ink.left = std::min(ink.left, column), ink.right = std::max(ink.right, column + 1), ink.top = std::min(ink.top, row), ink.bottom = std::max(ink.bottom, row + 1);
    }
  cairo_destroy(cairo);
  cairo_surface_destroy(surface);
  return ink;
}

// range(0): font size in pixels; range(1): how far the text lies from what is below it, per cent of the way to white (above 0) or black; range(2): 1 on ultrasound.
void Burned(benchmark::State& state) {
  const double size = static_cast<double>(state.range(0)), depth = static_cast<double>(state.range(1)) / 100.0;
  int missed = 0, partly = 0;
  for (auto _ : state) {
    std::mt19937 draw(static_cast<std::uint32_t>(17 + state.range(0) * 1000 + state.range(1)));
    for (int trial = 0; trial < kTrials; ++trial) {
      const Picture& base = Pictures()[state.range(2) == 1 ? 7 : static_cast<std::size_t>(trial % 7)];
      std::string text;
      for (unsigned i = 0, count = static_cast<unsigned>(8 + draw() % 9); i < count; ++i) text += trial % 3 == 0 ? static_cast<char>('0' + draw() % 10) : static_cast<char>((i == 0 || trial % 3 == 1 ? 'A' : 'a') + draw() % 26);
      const double across = size * 0.7 * static_cast<double>(text.size());
      const Ink ink = Write(text, size, 8.0 + static_cast<double>(draw() % static_cast<unsigned>(std::max(1.0, kSide - 16.0 - across))), size + 8.0 + static_cast<double>(draw() % static_cast<unsigned>(kSide - 2 * size - 16)));
      Picture marked = base;
      for (std::size_t i = 0; i < marked.frames.size(); ++i) {
        const double below = marked.frames[i], to = depth > 0.0 ? 255.0 : 0.0;
        marked.frames[i] = static_cast<std::uint8_t>(std::lround(below + (to - below) * std::abs(depth) * ink.share[i % (kSide * kSide)]));
      }
      double seen = 0.0, all = 0.0;
      const auto boxes = SuspectText(marked.run, marked.frames);
      for (int y = ink.top; y < ink.bottom; ++y)
        for (int x = ink.left; x < ink.right; ++x) {
          const double share = ink.share[static_cast<std::size_t>(y * kSide + x)];
          all += share;
          const bool covered = std::ranges::any_of(boxes, [x, y](const MaskBox& box) { return x >= box.left && y >= box.top && x < box.left + box.width && y < box.top + box.height; });
          seen += covered ? share : 0.0;
        }
      missed += seen < 0.1 * all ? 1 : 0;
      partly += seen >= 0.1 * all && seen < 0.95 * all ? 1 : 0;
    }
  }
  state.counters["missed_pct"] = 100.0 * missed / kTrials;
  state.counters["partly_pct"] = 100.0 * partly / kTrials;
}
BENCHMARK(Burned)->ArgsProduct({{10, 12, 16, 24, 40}, {100, 40, -100}, {0}})->ArgsProduct({{12, 20}, {100, 60}, {1}})->Iterations(1)->Unit(benchmark::kMillisecond);

// Without any text: boxes a run, and the share of the picture that they cover.
void BurnedNothing(benchmark::State& state) {
  double boxes = 0.0, area = 0.0;
  for (auto _ : state)
    for (const Picture& picture : Pictures())
      for (const MaskBox& box : SuspectText(picture.run, picture.frames)) boxes += 1.0, area += static_cast<double>(box.width) * box.height / (kSide * kSide);
  state.counters["boxes_a_run"] = boxes / static_cast<double>(Pictures().size());
  state.counters["area_pct"] = 100.0 * area / static_cast<double>(Pictures().size());
}
BENCHMARK(BurnedNothing)->Iterations(1)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace fairlead
