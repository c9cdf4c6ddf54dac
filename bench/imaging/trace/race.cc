// SPDX-License-Identifier: Apache-2.0
// Vesselness raced against OpenCV's separable filters with the same measure, and the cheapest paths, in one process:
// the same picture, by turns, least and median of processor and wall time, with the machine's load.
//   race [rounds [size]]      sizes 512 and 1024 without one
#include <sys/resource.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <functional>
#include <stop_token>
#include <string>
#include <thread>
#include <vector>

#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include "imaging/phantom/render.h"
#include "imaging/phantom/scene.h"
#include "imaging/trace/moments.h"
#include "imaging/trace/path.h"
#include "imaging/trace/picture.h"
#include "imaging/trace/trace.h"
#include "imaging/trace/turning_path.h"
#include "imaging/trace/vesselness.h"

namespace fairlead {
namespace {

Picture Angiogram(int size) {
  const auto scene = MakeScene("open-right", 7);
  RunPlan plan;
  plan.view = UsualView(Angle::Degrees(45.0), Angle{});
  plan.injections = {{Injected::kRight, Duration{}, Duration::Seconds(3.0)}};
  plan.frames = 2, plan.frame_time = Duration::Milliseconds(900.0);
  const auto run = RenderRun(*scene, plan);
  const auto frame = std::vector<std::uint8_t>(run->pixels.end() - 512 * 512, run->pixels.end());
  const Picture small = AbsorptionOf({frame, 512, 512, 1}, std::nullopt);
  if (size == 512) return small;
  Picture large{size, size, {}};
  for (int y = 0; y < size; ++y) {
    for (int x = 0; x < size; ++x) large.values.push_back(static_cast<float>(ValueBetween(small, 511.0 * x / (size - 1), 511.0 * y / (size - 1))));
  }
  return large;
}

cv::Mat Weights(float sigma, int order) {
  const int r = static_cast<int>(std::ceil(3.0f * sigma));
  std::vector<double> g;
  double sum = 0.0, rest = 0.0;
  const double s2 = static_cast<double>(sigma) * static_cast<double>(sigma);
  for (int k = -r; k <= r; ++k) {
    const double v = std::exp(-0.5 * k * k / s2);
    sum += v;
    g.push_back(order == 0 ? v : order == 1 ? v * k / s2 : v * (k * k / s2 - 1.0) / s2);
    rest += g.back();
  }
  cv::Mat out(1, 2 * r + 1, CV_32F);
  for (int k = 0; k <= 2 * r; ++k) out.at<float>(k) = static_cast<float>((g[static_cast<std::size_t>(k)] - (order == 2 ? rest / (2 * r + 1) : 0.0)) / sum);
  return out;
}

// sepFilter2D three times a scale, then one loop that compilers turn into vectors.
struct ByOpenCv {
  std::vector<cv::Mat> g0, g1, g2;
  cv::Mat xx, xy, yy;
  std::vector<float> strength;
  ByOpenCv() {
    for (const float s : kVesselScales) g0.push_back(Weights(s, 0)), g1.push_back(Weights(s, 1)), g2.push_back(Weights(s, 2));
  }
  void Run(const Picture& picture) {
    const cv::Mat in(picture.rows, picture.columns, CV_32F, const_cast<float*>(picture.values.data()));
    strength.assign(picture.values.size(), 0.0f);
    for (std::size_t i = 0; i < g0.size(); ++i) {
      const float s = kVesselScales[i];
      cv::sepFilter2D(in, xx, CV_32F, g2[i], g0[i], {-1, -1}, 0, cv::BORDER_REPLICATE);
      cv::sepFilter2D(in, xy, CV_32F, g1[i], g1[i], {-1, -1}, 0, cv::BORDER_REPLICATE);
      cv::sepFilter2D(in, yy, CV_32F, g0[i], g2[i], {-1, -1}, 0, cv::BORDER_REPLICATE);
      Measure(xx.ptr<float>(), xy.ptr<float>(), yy.ptr<float>(), strength.data(), strength.size(), s * s);
    }
  }
#if defined(__x86_64__)
  __attribute__((target_clones("avx512f", "avx2", "default"), optimize("O3")))
#endif
  static void Measure(const float* __restrict a, const float* __restrict b, const float* __restrict c, float* __restrict out, std::size_t n, float s2) {
    for (std::size_t i = 0; i < n; ++i) {
      const float mean = 0.5f * (a[i] + c[i]), half = 0.5f * (a[i] - c[i]);
      const float r = __builtin_sqrtf(half * half + b[i] * b[i]);
      const float size = mean < 0.0f ? r - mean : 0.0f, l1 = mean + r, q = size * size;
      const float v = s2 * size * q / (q + 2.0f * l1 * l1 + 1e-20f);
      out[i] = v > out[i] ? v : out[i];
    }
  }
};

struct Taken {
  std::vector<double> wall, cpu;
};
double CpuNow() {
  timespec t{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) * 1e3 + static_cast<double>(t.tv_nsec) * 1e-6;
}
void Time(Taken& taken, const std::function<void()>& what) {
  const double cpu = CpuNow();
  const auto start = std::chrono::steady_clock::now();
  what();
  taken.wall.push_back(std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count());
  taken.cpu.push_back(CpuNow() - cpu);
}
double Least(const std::vector<double>& v) { return *std::min_element(v.begin(), v.end()); }
double Middle(std::vector<double> v) {
  std::nth_element(v.begin(), v.begin() + static_cast<std::ptrdiff_t>(v.size() / 2), v.end());
  return v[v.size() / 2];
}
void Row(const char* what, const Taken& t) {
  std::printf("  %-58s cpu %7.2f %7.2f   wall %7.2f %7.2f ms\n", what, Least(t.cpu), Middle(t.cpu), Least(t.wall), Middle(t.wall));
}

bool alike = true;  // what is raced gives the same

void RaceFilters(const Picture& picture, int rounds, int threads) {
  cv::setNumThreads(threads);
  ByOpenCv library;
  library.Run(picture);
  const Vesselness whole = VesselnessAtFullSize(picture, kVesselScales);
  // Where the two eigenvalues are of one size and opposite sign the measure jumps to nothing: there rounding decides.
  float apart = 0.0f, most = 0.0f;
  int jumps = 0;
  for (std::size_t i = 0; i < whole.strength.size(); ++i) {
    const float a = whole.strength[i], b = library.strength[i];
    if ((a > 0.0f) != (b > 0.0f)) ++jumps;
    else apart = std::max(apart, std::abs(a - b));
    most = std::max(most, a);
  }
  std::printf("vesselness, %d x %d, 5 scales, %d thread%s: at full size the two differ by %.1e of %.1f, and %d pixels are a tube to one only\n", picture.columns,
              picture.rows, threads, threads == 1 ? "" : "s", static_cast<double>(apart), static_cast<double>(most), jumps);
  if (!(apart < 1e-5f * most) || jumps > 20) std::printf("  THE TWO ARE NOT ALIKE: their times mean nothing\n"), alike = false;
  const auto each = [threads](const std::function<void(int)>& one) {
    std::vector<std::jthread> others;
    for (int t = 1; t < threads; ++t) others.emplace_back(one, t);
    one(0);
  };
  Taken ours, into, full, theirs;
  std::vector<Vesselness> kept(static_cast<std::size_t>(threads));
  float keep = 0.0f;
  for (int round = 0; round < rounds; ++round) {
    Time(ours, [&] { each([&](int) { VesselnessOf(picture); }); });
    Time(into, [&] { each([&](int t) { VesselnessInto(picture, kept[static_cast<std::size_t>(t)]); }); });
    Time(theirs, [&] { library.Run(picture); keep += library.strength[round % 100]; });
    Time(full, [&] { each([&](int) { VesselnessAtFullSize(picture, kVesselScales); }); });
  }
  Row(threads == 1 ? "ours, scales from 3 pixels on the halved picture" : "ours, two frames on two threads", ours);
  Row("  the same into the memory of the frame before", into);
  Row("ours, all at full size", full);
  Row("OpenCV sepFilter2D x 15 and a vectorised measure", theirs);
  std::printf("  OpenCV / ours, of the least: %.1f of cpu, %.1f of wall for each frame%s\n", Least(theirs.cpu) / Least(ours.cpu) * threads, Least(theirs.wall) / Least(ours.wall) * threads, keep < 0 ? "!" : "");
}

void RacePaths(const Picture& picture, int rounds) {
  const Vesselness v = VesselnessOf(picture);
  const Pixel from = SnapToRidge(v, {picture.columns * 0.3, picture.rows * 0.35}), near = SnapToRidge(v, {picture.columns * 0.42, picture.rows * 0.5});
  // From the ostium along the vessel, 490 pixels, as a cursor goes; `near` is where no vessel is, so that nearly all is searched.
  const double per = picture.columns / 512.0;
  const Pixel ostium = SnapToRidge(v, {180.0 * per, 162.0 * per}), along = SnapToRidge(v, {350.0 * per, 335.0 * per});
  Taken whole, live, stop, cost, trace, vessel, turns;
  const CostMap map = CostOf(v);
  const TraceRequest request{.through = {{static_cast<double>(from.column), static_cast<double>(from.row)}, {static_cast<double>(near.column), static_cast<double>(near.row)}}, .pixel = {}, .brush = {}, .healthy = {}};
  const TraceRequest on_vessel{.through = {{180.0 * per, 162.0 * per}, {62.0 * per, 225.0 * per}, {190.0 * per, 365.0 * per}}, .pixel = {}, .brush = {}, .healthy = {}};
  for (int round = 0; round < rounds; ++round) {
    Time(whole, [&] { CheapestPaths(map, from); });
    Time(live, [&] { CheapestPaths(map, ostium, along); });
    Time(stop, [&] { CheapestPaths(map, from, near); });
    Time(cost, [&] { CostOf(v); });
    if (round < 5) Time(turns, [&] { (void)CheapestTurns(map, from); });
    Time(trace, [&] { (void)TraceVessel(picture, v, request); });
    if (round < 5) Time(vessel, [&] { (void)TraceVessel(picture, v, on_vessel); });
  }
  std::printf("paths, %d x %d; along the vessel %zu pixels\n", picture.columns, picture.rows, WalkToRoot(CheapestPaths(map, ostium, along), along).size());
  Row("cheapest paths to every pixel", whole);
  Row("cheapest path to a place on the vessel", live);
  Row("cheapest path to a place off every vessel", stop);
  Row("the tree that prices corners, 256 pixels about", turns);
  Row("cost of every pixel", cost);
  Row("a whole trace with edges, vesselness at hand", trace);
  Row("the same along the vessel, three clicks", vessel);
}

// A hundred frames one after the other in a thread of its own, as the page has them worked out while the reader looks; and
// how long after the word it stops.
void RaceRun(const Picture& picture, int rounds) {
  constexpr int kFrames = 100;
  Taken run, moments;
  std::vector<double> stop_ms;
  const auto work = [&](const std::stop_token& stop) {
    Vesselness v;
    int done = 0;
    for (; done < kFrames && !stop.stop_requested(); ++done) VesselnessInto(picture, v);
    return done;
  };
  for (int round = 0; round < rounds; ++round) {
    Time(run, [&] { std::jthread([&](const std::stop_token& stop) { work(stop); }).join(); });
    Time(moments, [&] {
      MomentFinder finder;
      for (int k = 0; k < kFrames; ++k) finder.Add(picture);
      (void)finder.Find({});
    });
    std::jthread thread([&](const std::stop_token& stop) { work(stop); });
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
    const auto word = std::chrono::steady_clock::now();
    thread.request_stop();
    thread.join();
    stop_ms.push_back(std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - word).count());
  }
  std::printf("a run of %d frames of %d x %d in the background, one thread\n", kFrames, picture.columns, picture.rows);
  Row("vesselness of every frame", run);
  Row("contrast and motion of every frame (moments)", moments);
  std::printf("  frames a second, of the least: %.0f of cpu, %.0f of wall; told to stop it ends within %.1f ms (median), %.1f (most)\n", 1e3 * kFrames / Least(run.cpu),
              1e3 * kFrames / Least(run.wall), Middle(stop_ms), *std::max_element(stop_ms.begin(), stop_ms.end()));
}

std::string Load() {
  std::ifstream file("/proc/loadavg");
  std::string text;
  std::getline(file, text);
  return text;
}

}  // namespace
}  // namespace fairlead

int main(int argc, char** argv) {
  using namespace fairlead;
  const int rounds = std::max(15, argc > 1 ? std::atoi(argv[1]) : 25);
  std::printf("%d rounds by turns; least and median; load %s; OpenCV %s; %s\n", rounds, Load().c_str(), CV_VERSION, __VERSION__);
  const int only = argc > 2 ? std::atoi(argv[2]) : 0;
  for (const int size : {512, 1024}) {
    if (only != 0 && size != only) continue;
    const Picture picture = Angiogram(size);
    RaceFilters(picture, rounds, 1);
    if (size == 512) RaceFilters(picture, rounds, 2);
    RacePaths(picture, rounds);
    if (size == 512) RaceRun(picture, 15);
  }
  std::printf("load at the end %s\n", Load().c_str());
  return alike ? 0 : 1;
}
