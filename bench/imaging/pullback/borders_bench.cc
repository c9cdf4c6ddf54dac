// SPDX-License-Identifier: Apache-2.0
// Both borders of a pullback of 512 x 512 pixels, from pixels to borders; the time is that of all frames together.
// race_scikit.py times a plain pipeline on the same picture.
#include <benchmark/benchmark.h>
#include <sys/mman.h>
#include <sys/resource.h>

#include <cstdint>
#include <cstdio>
#include <memory>
#include <vector>

#include "tests/imaging/pullback/scene.h"

namespace fairlead {
namespace {

const InventedPullback& Pullback() {
  static const InventedPullback made = *InventPullback(OrderOf("open", Grade::kTypical, 1, 300, 512));
  return made;
}

void BothBorders(benchmark::State& state) {
  const PullbackQuestion question = QuestionOf(Pullback());
  for (auto _ : state) {
    auto polar = ToPolar(question.stack, {});
    benchmark::DoNotOptimize(FindBorders(*polar, {}));
  }
  state.counters["ms_a_frame"] = benchmark::Counter(0.3, benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}
BENCHMARK(BothBorders)->Unit(benchmark::kMillisecond)->UseRealTime();

void WholeReading(benchmark::State& state) {
  const PullbackQuestion question = QuestionOf(Pullback());
  for (auto _ : state) benchmark::DoNotOptimize(ReadPullback(question, {}));
}
BENCHMARK(WholeReading)->Unit(benchmark::kMillisecond)->UseRealTime();

double ProcessorSeconds() {
  rusage used{};
  ::getrusage(RUSAGE_SELF, &used);
  return static_cast<double>(used.ru_utime.tv_sec + used.ru_stime.tv_sec) + 1e-6 * static_cast<double>(used.ru_utime.tv_usec + used.ru_stime.tv_usec);
}

// As the server reads one: 3,000 frames mapped from a file (the invented ones ten times over). `cpu_s` is both threads'
// processor time, which other jobs on the machine do not lengthen much; `resident_mb` holds the mapped frames too (786 MB).
void ThreeThousandFrames(benchmark::State& state) {
  constexpr std::size_t kTimes = 10;
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::tmpfile(), std::fclose);
  const std::vector<std::uint8_t>& pixels = Pullback().pixels;
  for (std::size_t i = 0; i < kTimes; ++i) std::fwrite(pixels.data(), 1, pixels.size(), file.get());
  std::fflush(file.get());
  const std::size_t size = kTimes * pixels.size();
  void* mapped = ::mmap(nullptr, size, PROT_READ, MAP_PRIVATE, ::fileno(file.get()), 0);
  if (mapped == MAP_FAILED) return state.SkipWithError("the frames cannot be mapped");
  PullbackQuestion question = QuestionOf(Pullback());
  question.stack.bytes = {static_cast<const std::uint8_t*>(mapped), size};
  question.stack.frames = static_cast<int>(kTimes) * question.stack.frames;
  question.frame_ms = 1000.0 / 30.0;
  double spent = 0.0;
  for (auto _ : state) {
    const double before = ProcessorSeconds();
    benchmark::DoNotOptimize(ReadPullback(question, {}));
    spent += ProcessorSeconds() - before;
  }
  rusage used{};
  ::getrusage(RUSAGE_SELF, &used);
  state.counters["cpu_s"] = spent / static_cast<double>(state.iterations());
  state.counters["resident_mb"] = static_cast<double>(used.ru_maxrss) / 1024.0;
  ::munmap(mapped, size);
}
BENCHMARK(ThreeThousandFrames)->Unit(benchmark::kMillisecond)->UseRealTime()->Iterations(1);

}  // namespace
}  // namespace fairlead
