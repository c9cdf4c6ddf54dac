// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/border.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <thread>

#include "imaging/pullback/blank.h"
#include "imaging/pullback/circle_path.h"
#include "measure/normal.h"

namespace fairlead {
namespace {

constexpr double kMedia = 0.15;                 // mm: usual thickness of the dark band; chosen, coronary media 0.1 to 0.2
constexpr double kWallAtLeast = 0.25;           // mm from lumen to the media's outer edge
constexpr int kAverage = 2;                     // frames on each side that are averaged: blood changes, wall stays
constexpr double kShadowDrop = 35.0;            // grey levels below what is usual behind the wall
constexpr double kSpeckleDecibels = 5.57;        // sd of the logarithm of a Rayleigh envelope: pi / sqrt(24) * 20 / ln 10
constexpr float kExpected = 4.0f;               // samples that this expectation weighs
constexpr float kFlicker = 1.5f;                // grey levels that a level of change from frame to frame counts for
constexpr float kContrast = 20.0f;              // grey levels that count 1
constexpr float kStiff = 0.15f;                 // price of one sample's step between rays

std::size_t Index(int ray, int sample, int depth) { return static_cast<std::size_t>(ray) * static_cast<std::size_t>(depth) + static_cast<std::size_t>(sample); }

double Middle(std::vector<float> values, double share) {
  if (values.empty()) return 0.0;
  const auto at = static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), values.begin() + at, values.end());
  return static_cast<double>(values[static_cast<std::size_t>(at)]);
}

class Finder {
 public:
  explicit Finder(const Polar& polar) : polar_(polar), last_(polar.frames - 1) {
    out_.step_mm = polar.step_mm;
    out_.frames.resize(static_cast<std::size_t>(polar.frames));
    media_ = std::max(2, static_cast<int>(kMedia / polar.step_mm + 0.5));
    FindCatheter();
  }
  // Over frames `from` to `last` only, with what was learnt from all of them.
  Finder(const Polar& polar, const Borders& found, const std::vector<BorderPoint>& corrections, int from, int last)
      : polar_(polar), corrections_(corrections), out_(found), from_(from), last_(last) {
    media_ = std::max(2, static_cast<int>(kMedia / polar.step_mm + 0.5));
    first_ = FirstSample(static_cast<int>(std::lround(out_.blind_mm / polar_.step_mm)));
  }

  Result<Borders> Run(const std::stop_token& stop, const std::function<void()>& one_more) {
    out_.levels = FirstLevels();
    blood_still_ = static_cast<float>(out_.levels.blood - 25.0 * static_cast<double>(kFlicker));
    for (int sweep = 0; sweep < kSweeps; ++sweep) {
      out_.learnt[static_cast<std::size_t>(sweep)] = {out_.levels, blood_still_};
      if (!Sweep(sweep, stop, one_more)) return Error{"stopped", "", "", Fault::kInput};
      if (sweep + 1 < kSweeps) out_.levels = LevelsNow();
    }
    FindSpill();
    Unspill();
    out_.blank = BlankFrames(polar_, out_.blind_mm);
    HideBlank();
    return std::move(out_);
  }

  Result<Borders> Again(const std::stop_token& stop) {
    for (int sweep = 0; sweep < kSweeps; ++sweep) {
      const Borders::Learnt& learnt = out_.learnt[static_cast<std::size_t>(sweep)];
      out_.levels = learnt.levels, blood_still_ = learnt.blood_still;
      if (!Sweep(sweep, stop, {})) return Error{"stopped", "", "", Fault::kInput};
    }
    Unspill();
    HideBlank();
    return std::move(out_);
  }

 private:
  static int FirstSample(int still) { return std::max(2, still + 1); }

  // False: stopped.
  bool Sweep(int sweep, const std::stop_token& stop, const std::function<void()>& one_more) {
    before_ = out_.frames;
    sweep_ = sweep;
    if (sweep > 0) AllShadows(stop);
    const auto work = [&](int first) {
      Scratch scratch(polar_.depth);
      for (int frame = from_ + first; frame <= last_ && !stop.stop_requested(); frame += 2) {
        OneFrame(frame, scratch);
        if (one_more) one_more();
      }
    };
    std::jthread other(work, 1);
    work(0);
    other.join();
    if (stop.stop_requested()) return false;
    Smooth();
    return true;
  }

  struct Scratch {
    explicit Scratch(int depth) : mean(static_cast<std::size_t>(kAngles) * static_cast<std::size_t>(depth)), still(mean.size()), lumen(mean.size()), eem(mean.size()),
          sum_mean(mean.size() + kAngles), sum_still(sum_mean.size()) {}
    std::vector<float> mean, still, lumen, eem, sum_mean, sum_still;
    CirclePath path;
  };

  // The catheter's own disc is black, or so bright and still that nothing moves there.
  void FindCatheter() {
    const int depth = polar_.depth;
    std::vector<double> sum(static_cast<std::size_t>(depth)), change(static_cast<std::size_t>(depth));
    const int step = std::max(1, polar_.frames / 60);
    int count = 0;
    for (int frame = 0; frame + 1 < polar_.frames || frame == 0; frame += step, ++count) {
      const int next = std::min(frame + 1, polar_.frames - 1);
      for (int ray = 0; ray < kAngles; ++ray) {
        const auto a = polar_.Ray(frame, ray), b = polar_.Ray(next, ray);
        for (std::size_t i = 0; i < sum.size(); ++i) {
          sum[i] += a[i];
          change[i] += std::abs(static_cast<int>(a[i]) - static_cast<int>(b[i]));
        }
      }
    }
    const double share = 1.0 / (static_cast<double>(kAngles) * std::max(1, count));
    double usual = 0.0;
    for (std::size_t i = 0; i < sum.size(); ++i) usual = std::max(usual, change[i] * share);
    int edge = 0, still = 0;
    const int far = std::min(depth - 1, static_cast<int>(1.2 / polar_.step_mm));
    while (edge < far && sum[static_cast<std::size_t>(edge)] * share < 12.0) ++edge;
    if (edge == far) edge = 0;
    still = edge;
    const int most = std::min(depth - 1, edge + static_cast<int>(0.6 / polar_.step_mm));
    while (still < most && polar_.frames > 1 && change[static_cast<std::size_t>(still)] * share < 0.5 * usual) ++still;
    if (still == most) still = edge;
    out_.catheter_mm = edge * polar_.step_mm;
    out_.blind_mm = still * polar_.step_mm;
    first_ = FirstSample(still);
  }

  void AllShadows(const std::stop_token& stop) {
    const auto work = [&](int first) {
      std::vector<float> mean(static_cast<std::size_t>(kAngles) * static_cast<std::size_t>(polar_.depth));
      for (int frame = from_ + first; frame <= last_ && !stop.stop_requested(); frame += 2) {
        Average(frame, mean);
        FindShadows(mean, before_[static_cast<std::size_t>(frame)]);
        out_.frames[static_cast<std::size_t>(frame)] = before_[static_cast<std::size_t>(frame)];
      }
    };
    std::jthread other(work, 1);
    work(0);
  }

  void Average(int frame, std::vector<float>& mean) const {
    std::fill(mean.begin(), mean.end(), 0.0f);
    const int from = std::max(0, frame - kAverage), to = std::min(polar_.frames - 1, frame + kAverage);
    for (int f = from; f <= to; ++f) {
      const std::uint8_t* grey = polar_.Ray(f, 0).data();
      for (std::size_t i = 0; i < mean.size(); ++i) mean[i] += static_cast<float>(grey[i]);
    }
    const float share = 1.0f / static_cast<float>(to - from + 1);
    for (float& value : mean) value *= share;
  }

  // How much each sample changes from frame to frame, over the frames that are averaged.
  void Flicker(int frame, std::vector<float>& change) const {
    std::fill(change.begin(), change.end(), 0.0f);
    const int from = std::max(0, frame - kAverage), to = std::min(polar_.frames - 1, frame + kAverage);
    for (int f = from; f < to; ++f) {
      const std::uint8_t* a = polar_.Ray(f, 0).data();
      const std::uint8_t* b = polar_.Ray(f + 1, 0).data();
      for (std::size_t i = 0; i < change.size(); ++i) change[i] += static_cast<float>(std::abs(static_cast<int>(a[i]) - static_cast<int>(b[i])));
    }
    const float share = to > from ? 1.0f / static_cast<float>(to - from) : 0.0f;
    for (float& value : change) value *= share;
  }

  // Dark against bright: percentiles of all greys outside the catheter.
  GreyLevels FirstLevels() const {
    std::vector<float> all;
    const int step = std::max(1, polar_.frames / 40);
    std::vector<float> mean(static_cast<std::size_t>(kAngles) * static_cast<std::size_t>(polar_.depth));
    for (int frame = 0; frame < polar_.frames; frame += step) {
      Average(frame, mean);
      const int far = std::min(polar_.depth, first_ + static_cast<int>(2.0 / polar_.step_mm));
      for (int ray = 0; ray < kAngles; ray += 4) {
        for (int i = first_; i < far; ++i) all.push_back(mean[Index(ray, i, polar_.depth)]);
      }
    }
    const double dark = Middle(all, 0.15), bright = Middle(all, 0.75);
    return {dark, bright - 0.15 * (bright - dark), dark + 0.2 * (bright - dark), bright};
  }

  // A running sum along each ray, of a picture softened over neighbouring rays (1 2 1).
  void SumAlong(const std::vector<float>& from, std::vector<float>& sums) const {
    const int depth = polar_.depth;
    for (int ray = 0; ray < kAngles; ++ray) {
      const float* left = &from[Index((ray + kAngles - 1) % kAngles, 0, depth)];
      const float* here = &from[Index(ray, 0, depth)];
      const float* right = &from[Index((ray + 1) % kAngles, 0, depth)];
      float* sum = &sums[static_cast<std::size_t>(ray) * static_cast<std::size_t>(depth + 1)];
      sum[0] = 0.0f;
      for (int i = 0; i < depth; ++i) sum[i + 1] = sum[i] + 0.25f * (left[i] + 2.0f * here[i] + right[i]);
    }
  }

  // Along a ray: what it costs to have the border at each sample. Lumen: dark and restless before, bright and still
  // after. Media: a dark band with brighter tissue on both sides.
  void Costs(Scratch& s) const {
    const int depth = polar_.depth, wide = std::max(3, static_cast<int>(0.3 / polar_.step_mm)), flank = std::max(3, static_cast<int>(0.2 / polar_.step_mm));
    SumAlong(s.mean, s.sum_mean);
    const auto bright = static_cast<float>(out_.levels.adventitia + 8.0);  // calcium is no better wall than wall
    for (std::size_t i = 0; i < s.mean.size(); ++i) s.still[i] = std::min(s.mean[i], bright) - kFlicker * s.still[i];
    SumAlong(s.still, s.sum_still);
    std::fill(s.lumen.begin(), s.lumen.end(), kFar);
    std::fill(s.eem.begin(), s.eem.end(), kFar);
    for (int ray = 0; ray < kAngles; ++ray) {
      const std::size_t row = static_cast<std::size_t>(ray) * static_cast<std::size_t>(depth + 1);
      const float* still = &s.sum_still[row];
      const float* mean = &s.sum_mean[row];
      for (int i = first_ + 1; i < depth - wide; ++i) {
        const int back = std::min(wide, i - first_);
        // Where ring-down leaves little to look at, blood is expected to look as elsewhere in the pullback.
        const float before = (still[i] - still[i - back] + kExpected * blood_still_) / (static_cast<float>(back) + kExpected), after = (still[i + wide] - still[i]) / static_cast<float>(wide);
        s.lumen[Index(ray, i, depth)] = -std::clamp((after - before) / kContrast, -2.0f, 8.0f);
      }
      for (int i = first_ + media_ + flank; i < depth - flank; ++i) {
        const float band = (mean[i - 1] - mean[i - media_ + 1]) / static_cast<float>(media_ - 2);
        const float outer = (mean[i + flank] - mean[i]) / static_cast<float>(flank);
        const float inner = (mean[i - media_] - mean[i - media_ - flank]) / static_cast<float>(flank);
        s.eem[Index(ray, i, depth)] = -std::clamp((outer - band) / kContrast, -1.0f, 2.0f) - std::clamp((inner - band) / kContrast, -1.0f, 2.0f);
      }
    }
  }

  void OneFrame(int frame, Scratch& s) {
    BorderFrame& result = out_.frames[static_cast<std::size_t>(frame)];
    Average(frame, s.mean);
    Flicker(frame, s.still);
    Costs(s);
    if (sweep_ > 0) {
      for (int ray = 0; ray < kAngles; ++ray) {
        const auto k = static_cast<std::size_t>(ray);
        Blind(result.lumen_seen[k] == 0, &s.lumen[Index(ray, 0, polar_.depth)]);
        Blind(result.eem_seen[k] == 0, &s.eem[Index(ray, 0, polar_.depth)]);
        Pull(frame, ray, &s.lumen[Index(ray, 0, polar_.depth)], false);
        Pull(frame, ray, &s.eem[Index(ray, 0, polar_.depth)], true);
      }
    }
    const int wall = static_cast<int>(kWallAtLeast / polar_.step_mm);
    if (sweep_ > 0) {
      for (int ray = 0; ray < kAngles; ++ray) {
        const double lumen = static_cast<double>(before_[static_cast<std::size_t>(frame)].lumen[static_cast<std::size_t>(ray)]) / polar_.step_mm;
        const int least = std::min(static_cast<int>(lumen) + wall - 2, polar_.depth - 20);
        for (int i = 0; i < least; ++i) s.eem[Index(ray, i, polar_.depth)] = kFar;
      }
    }
    Pin(frame, s);
    s.path.Find(s.eem, polar_.depth, kStiff, result.eem);
    for (int ray = 0; ray < kAngles; ++ray) {  // the lumen ends before the media
      const int last = static_cast<int>(result.eem[static_cast<std::size_t>(ray)]) - wall;
      for (int i = std::max(first_ + 2, last); i < polar_.depth; ++i) s.lumen[Index(ray, i, polar_.depth)] = kFar;
    }
    s.path.Find(s.lumen, polar_.depth, kStiff, result.lumen);
    for (float& r : result.lumen) r *= static_cast<float>(polar_.step_mm);
    for (float& r : result.eem) r *= static_cast<float>(polar_.step_mm);
  }

  void Blind(bool blind, float* cost) const {
    if (!blind) return;
    for (int i = 0; i < polar_.depth; ++i) {
      if (cost[i] < kFar) cost[i] = 0.0f;
    }
  }

  // A quadratic pull towards what the neighbouring frames had.
  void Pull(int frame, int ray, float* cost, bool media) const {
    const auto k = static_cast<std::size_t>(ray);
    float sum = 0.0f;
    int count = 0;
    for (int f = std::max(from_, frame - 3); f <= std::min(last_, frame + 3); ++f) {
      if (f == frame) continue;
      const BorderFrame& other = before_[static_cast<std::size_t>(f)];
      if ((media ? other.eem_seen[k] : other.lumen_seen[k]) == 0) continue;
      sum += media ? other.eem[k] : other.lumen[k];
      ++count;
    }
    if (count == 0) return;
    const float target = sum / static_cast<float>(count) / static_cast<float>(polar_.step_mm);
    const auto weight = static_cast<float>(0.5 * polar_.step_mm * polar_.step_mm / 0.01);  // 0.5 (dr / 0.1 mm)^2
    for (int i = 0; i < polar_.depth; ++i) {
      const float d = static_cast<float>(i) - target;
      if (cost[i] < kFar) cost[i] += weight * std::min(400.0f, d * d);
    }
  }

  // Corrections hold in their frame and fade over `kPinned` frames and about 25 degrees.
  void Pin(int frame, Scratch& s) const {
    for (const BorderPoint& point : corrections_) {
      const int away = std::abs(point.frame - frame);
      if (away > kPinned) continue;
      const double ray = point.angle_deg / 360.0 * kAngles;
      for (int offset = -8; offset <= 8; ++offset) {
        const int k = ((static_cast<int>(std::lround(ray)) + offset) % kAngles + kAngles) % kAngles;
        const double weight = 4.0 * (1.0 - away / (kPinned + 1.0)) * std::exp(-offset * offset / 18.0);
        float* cost = &(point.media ? s.eem : s.lumen)[Index(k, 0, polar_.depth)];
        for (int i = 0; i < polar_.depth; ++i) {
          const double d = i - point.distance_mm / polar_.step_mm;
          if (cost[i] >= kFar) cost[i] = 0.0f;  // a person may see where we cannot
          cost[i] += static_cast<float>(weight * std::min(900.0, d * d));
        }
      }
    }
  }

  // Behind calcium, stent struts and wires there is nothing: far darker than what is usual behind the wall.
  void FindShadows(const std::vector<float>& mean_grey, BorderFrame& result) const {
    const BorderFrame now = result;
    std::vector<float> behind(kAngles), wall(kAngles);
    const auto mean = [&](int ray, double from_mm, double to_mm) {
      const int from = std::clamp(static_cast<int>(from_mm / polar_.step_mm), 0, polar_.depth - 2);
      const int to = std::clamp(static_cast<int>(to_mm / polar_.step_mm), from + 1, polar_.depth - 1);
      float sum = 0.0f;
      for (int i = from; i < to; ++i) sum += mean_grey[Index(ray, i, polar_.depth)];
      return sum / static_cast<float>(to - from);
    };
    for (int ray = 0; ray < kAngles; ++ray) {
      const auto k = static_cast<std::size_t>(ray);
      behind[k] = mean(ray, static_cast<double>(now.eem[k]) + 0.15, static_cast<double>(now.eem[k]) + 1.0);
      wall[k] = mean(ray, static_cast<double>(now.lumen[k]) + 0.02, static_cast<double>(now.lumen[k]) + 0.3);
    }
    const double usual_behind = std::max(Middle(behind, 0.7), out_.levels.adventitia - 15.0), usual_wall = out_.levels.plaque;
    for (int ray = 0; ray < kAngles; ++ray) {
      const auto k = static_cast<std::size_t>(ray);
      result.eem_seen[k] = static_cast<double>(behind[k]) > usual_behind - kShadowDrop ? 1 : 0;
      const bool dark_wall = static_cast<double>(wall[k]) < usual_wall - kShadowDrop;
      result.lumen_seen[k] = dark_wall && result.eem_seen[k] == 0 ? 0 : 1;
    }
  }

  // Averages over neighbouring frames and rays: the borders are smoother than the speckle.
  void Smooth() {
    const std::vector<BorderFrame> raw = out_.frames;
    for (int frame = from_; frame <= last_; ++frame) {
      for (int ray = 0; ray < kAngles; ++ray) {
        float lumen = 0, eem = 0;
        float count = 0;
        for (int f = std::max(from_, frame - 1); f <= std::min(last_, frame + 1); ++f) {
          for (int offset = -1; offset <= 1; ++offset) {
            const auto k = static_cast<std::size_t>((ray + offset + kAngles) % kAngles);
            lumen += raw[static_cast<std::size_t>(f)].lumen[k], eem += raw[static_cast<std::size_t>(f)].eem[k];
            count += 1.0f;
          }
        }
        auto& to = out_.frames[static_cast<std::size_t>(frame)];
        to.lumen[static_cast<std::size_t>(ray)] = lumen / count;
        to.eem[static_cast<std::size_t>(ray)] = eem / count;
      }
    }
  }

  // In a logarithmic picture the bright side of an edge spills over the dark side. The spread of the pulse is read off
  // the speckle itself: how far along a ray it stays alike, and how much it varies (5.57 dB for full speckle), which
  // also tells decibels from grey levels.
  void FindSpill() {
    const Speckle speckle = SpeckleBehindTheWall();
    if (speckle.sd < 4.0 || speckle.half_mm <= 0.0) return;
    const double decibels = std::clamp((out_.levels.plaque - out_.levels.blood) * kSpeckleDecibels / speckle.sd, 0.0, 40.0);
    const double field = speckle.half_mm / 1.1774, power = field / std::numbers::sqrt2;   // Gaussian: alike by half at 1.1774 sd
    const double dark = std::pow(10.0, -decibels / 10.0), share = (std::sqrt(dark) - dark) / std::max(1e-9, 1.0 - dark);
    double low = -4.0, high = 0.0;
    for (int i = 0; i < 40; ++i) {
      const double middle = 0.5 * (low + high);
      (NormalCdf(middle, 0.0, 1.0) < share ? low : high) = middle;
    }
    out_.spill_mm = -low * power;
  }

  void Unspill() {
    for (int f = from_; f <= last_; ++f) {
      BorderFrame& frame = out_.frames[static_cast<std::size_t>(f)];
      for (std::size_t k = 0; k < kAngles; ++k) {
        frame.lumen[k] = std::min(frame.lumen[k] + static_cast<float>(out_.spill_mm), std::max(frame.lumen[k], frame.eem[k] - static_cast<float>(kMedia)));
      }
    }
  }

  void HideBlank() {
    for (int f = from_; f <= last_; ++f) {
      if (!out_.blank[static_cast<std::size_t>(f)]) continue;
      out_.frames[static_cast<std::size_t>(f)].lumen_seen.fill(0), out_.frames[static_cast<std::size_t>(f)].eem_seen.fill(0);
    }
  }

  struct Speckle {
    double sd = 0.0, half_mm = 0.0;
  };
  Speckle SpeckleBehindTheWall() const {
    constexpr int kLags = 16;
    std::array<double, kLags> product{};
    const int length = static_cast<int>(0.6 / polar_.step_mm);
    const int step = std::max(1, polar_.frames / 20);
    int count = 0;
    for (int frame = 0; frame < polar_.frames; frame += step) {
      const BorderFrame& now = out_.frames[static_cast<std::size_t>(frame)];
      for (int ray = 0; ray < kAngles; ray += 3) {
        const auto k = static_cast<std::size_t>(ray);
        const int from = static_cast<int>((static_cast<double>(now.eem[k]) + 0.15) / polar_.step_mm);
        if (now.eem_seen[k] == 0 || from + length + kLags >= polar_.depth) continue;
        const auto grey = polar_.Ray(frame, ray).subspan(static_cast<std::size_t>(from));
        double mean = 0.0;
        for (int i = 0; i < length + kLags; ++i) mean += grey[static_cast<std::size_t>(i)];
        mean /= length + kLags;
        for (int lag = 0; lag < kLags; ++lag) {
          for (int i = 0; i < length; ++i) product[static_cast<std::size_t>(lag)] += (grey[static_cast<std::size_t>(i)] - mean) * (grey[static_cast<std::size_t>(i + lag)] - mean);
        }
        count += length;
      }
    }
    if (count == 0 || product[0] <= 0.0) return {};
    Speckle found{std::sqrt(product[0] / count), 0.0};
    for (std::size_t lag = 1; lag < kLags; ++lag) {
      const double before = product[lag - 1] / product[0], here = product[lag] / product[0];
      if (here > 0.5) continue;
      found.half_mm = (static_cast<double>(lag - 1) + (before - 0.5) / std::max(1e-9, before - here)) * polar_.step_mm;
      break;
    }
    return found;
  }

  // The grey levels of the four layers between the borders as they stand.
  GreyLevels LevelsNow() {
    std::vector<float> restless, change(static_cast<std::size_t>(kAngles) * static_cast<std::size_t>(polar_.depth));
    std::vector<float> blood, plaque, media, adventitia;
    std::vector<float> mean(static_cast<std::size_t>(kAngles) * static_cast<std::size_t>(polar_.depth));
    const int step = std::max(1, polar_.frames / 40);
    for (int frame = 0; frame < polar_.frames; frame += step) {
      Average(frame, mean);
      Flicker(frame, change);
      const BorderFrame& now = out_.frames[static_cast<std::size_t>(frame)];
      for (int ray = 0; ray < kAngles; ray += 2) {
        const auto k = static_cast<std::size_t>(ray);
        if (sweep_ > 0 && (now.eem_seen[k] == 0 || now.lumen_seen[k] == 0)) continue;
        const int lumen = static_cast<int>(static_cast<double>(now.lumen[k]) / polar_.step_mm), eem = static_cast<int>(static_cast<double>(now.eem[k]) / polar_.step_mm);
        for (int i = first_; i < std::min(polar_.depth, eem + 30); ++i) {
          const float v = mean[Index(ray, i, polar_.depth)];
          if (i < lumen - 2) blood.push_back(v), restless.push_back(v - kFlicker * change[Index(ray, i, polar_.depth)]);
          else if (i > lumen + 3 && i < eem - media_ - 2) plaque.push_back(v);
          else if (i >= eem - media_ + 2 && i < eem - 2) media.push_back(v);
          else if (i > eem + 3) adventitia.push_back(v);
        }
      }
    }
    GreyLevels levels = out_.levels;
    if (blood.size() > 200) levels.blood = Middle(blood, 0.5), blood_still_ = static_cast<float>(Middle(restless, 0.5));
    if (plaque.size() > 200) levels.plaque = Middle(plaque, 0.5);
    if (media.size() > 200) levels.media = Middle(media, 0.5);
    if (adventitia.size() > 200) levels.adventitia = Middle(adventitia, 0.5);
    // Layers that cannot be told apart are kept apart, so that the fit still has an order.
    levels.plaque = std::max(levels.plaque, levels.blood + 12.0);
    levels.media = std::min(levels.media, std::min(levels.plaque, levels.adventitia) - 12.0);
    return levels;
  }

  static constexpr float kFar = 1e9f;
  const Polar& polar_;
  std::vector<BorderPoint> corrections_;
  Borders out_;
  std::vector<BorderFrame> before_;
  float blood_still_ = 0.0f;
  int media_ = 6, first_ = 2, sweep_ = 0;
  int from_ = 0, last_ = 0;                     // frames that are gone through
};

}  // namespace

Result<Borders> FindBorders(const Polar& polar, std::stop_token stop, const std::function<void()>& one_more) {
  return Finder(polar).Run(stop, one_more);
}

Result<Borders> CorrectBorders(const Polar& polar, const Borders& found, const std::vector<BorderPoint>& corrections, std::stop_token stop, int margin) {
  std::vector<int> at;
  for (const BorderPoint& point : corrections) {
    if (point.frame >= 0 && point.frame < polar.frames) at.push_back(point.frame);
  }
  std::ranges::sort(at);
  Borders out = found;
  for (std::size_t i = 0; i < at.size();) {
    std::size_t end = i + 1;  // points whose windows touch are gone through together
    while (end < at.size() && at[end] - at[end - 1] <= 2 * (kFollowing + margin)) ++end;
    const int first = std::max(0, at[i] - kFollowing), last = std::min(polar.frames - 1, at[end - 1] + kFollowing);
    auto again = Finder(polar, found, corrections, std::max(0, first - margin), std::min(polar.frames - 1, last + margin)).Again(stop);
    if (!again.ok()) return again.error();
    for (int f = first; f <= last; ++f) out.frames[static_cast<std::size_t>(f)] = again->frames[static_cast<std::size_t>(f)];
    i = end;
  }
  return out;
}

}  // namespace fairlead
