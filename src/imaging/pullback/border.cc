// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/border.h"

#include <algorithm>
#include <cmath>
#include <thread>

#include "imaging/pullback/blank.h"
#include "imaging/pullback/border_cost.h"
#include "imaging/pullback/border_level.h"
#include "imaging/pullback/border_rays.h"
#include "imaging/pullback/carry_over.h"
#include "imaging/pullback/circle_path.h"
#include "imaging/pullback/branch_ray.h"

namespace fairlead {
namespace {

constexpr double kWallAtLeast = 0.25;           // mm from lumen to the media's outer edge
constexpr float kBare = 4.0f, kLined = 14.0f;   // grey levels up to which a wall is bare, from which it is lined; chosen
constexpr float kBareOut = 0.018f;              // mm; measured on invented pullbacks of seeds 3001 to 3004
constexpr float kStiff = 0.15f;                 // price of one sample's step between rays

class Finder {
 public:
  explicit Finder(const Polar& polar) : polar_(polar), last_(polar.frames - 1) {
    out_.step_mm = polar.step_mm;
    out_.frames.resize(static_cast<std::size_t>(polar.frames));
    walless_.resize(out_.frames.size());
    out_.too_bright = FramesTooBright(polar);
    const CatheterRing ring = FindCatheterRing(polar, out_.too_bright);
    out_.catheter_mm = ring.edge * polar.step_mm;
    out_.blind_mm = ring.still * polar.step_mm;
    out_.ring_down = RingDownOf(polar, out_.too_bright, ring.edge);
    Begin(ring.still);
  }
  // Over frames `from` to `last` only, with what was learnt from all of them.
  Finder(const Polar& polar, const Borders& found, const std::vector<BorderPoint>& corrections, int from, int last)
      : polar_(polar), corrections_(corrections), out_(found), found_(&found), walless_(found.frames.size()), from_(from), last_(last) {
    Begin(static_cast<int>(std::lround(out_.blind_mm / polar_.step_mm)));
  }

  Result<Borders> Run(const std::stop_token& stop, const std::function<void()>& one_more) {
    rule_.levels = FirstLevels(polar_, out_.too_bright, rule_.first);
    // A channel's blood is seen near the catheter alone; elsewhere what is darkest may be media or shadow.
    rule_.levels.blood = std::clamp(static_cast<double>(out_.ring_down.rest_mean), rule_.levels.blood, std::max(rule_.levels.blood, rule_.levels.plaque - 20.0));
    rule_.blood_still = std::max(static_cast<float>(rule_.levels.blood - 25.0 * static_cast<double>(kFlicker)), std::min(out_.ring_down.rest_still, static_cast<float>(rule_.levels.plaque) - 40.0f));
    for (int sweep = 0; sweep < kSweeps; ++sweep) {
      out_.learnt[static_cast<std::size_t>(sweep)] = {rule_.levels, rule_.blood_still};
      if (!Sweep(sweep, stop, one_more)) return Error{"stopped", "", "", Fault::kInput};
      if (sweep + 1 == kSweeps) continue;
      const LevelsFound now = LevelsBetween(polar_, out_, {rule_.levels, rule_.blood_still}, rule_.first, rule_.media, sweep > 0);
      rule_.levels = now.levels, rule_.blood_still = now.blood_still;
    }
    out_.levels = rule_.levels;
    out_.clear_share = ClearShare();
    out_.spill_mm = SpillOf(polar_, out_);
    Unspill();
    out_.blank = BlankFrames(polar_, out_.blind_mm);
    CarryOver(walless_, out_);
    HideBlank();
    return std::move(out_);
  }

  Result<Borders> Again(const std::stop_token& stop) {
    for (int sweep = 0; sweep < kSweeps; ++sweep) {
      const Borders::Learnt& learnt = out_.learnt[static_cast<std::size_t>(sweep)];
      rule_.levels = learnt.levels, rule_.blood_still = learnt.blood_still;
      if (!Sweep(sweep, stop, {})) return Error{"stopped", "", "", Fault::kInput};
    }
    Unspill();
    StayCarried();
    HideBlank();
    return std::move(out_);
  }

 private:
  void Begin(int still) {
    rule_.ring = &out_.ring_down;
    rule_.first = std::max(2, still + 1);
    rule_.media = std::max(2, static_cast<int>(std::lround(kMediaBand / polar_.step_mm)));
  }

  // False: stopped.
  bool Sweep(int sweep, const std::stop_token& stop, const std::function<void()>& one_more) {
    before_ = out_.frames;
    sweep_ = sweep;
    if (sweep > 0) AllShadows(stop);
    const auto work = [&](int first) {
      BorderCosts costs(polar_.depth);
      CirclePath path;
      for (int frame = from_ + first; frame <= last_ && !stop.stop_requested(); frame += 2) {
        OneFrame(frame, costs, path);
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

  void AllShadows(const std::stop_token& stop) {
    const auto work = [&](int first) {
      std::vector<float> mean(static_cast<std::size_t>(kAngles) * static_cast<std::size_t>(polar_.depth));
      for (int frame = from_ + first; frame <= last_ && !stop.stop_requested(); frame += 2) {
        BorderFrame& before = before_[static_cast<std::size_t>(frame)];
        MeanOverFrames(polar_, out_.too_bright, frame, mean);
        before = WithShadows(polar_, rule_, mean, before);
        out_.frames[static_cast<std::size_t>(frame)] = before;
      }
    };
    std::jthread other(work, 1);
    work(0);
  }

  void OneFrame(int frame, BorderCosts& s, CirclePath& path) {
    BorderFrame& result = out_.frames[static_cast<std::size_t>(frame)];
    MeanOverFrames(polar_, out_.too_bright, frame, s.mean);
    ChangeOverFrames(polar_, out_.too_bright, frame, s.still);
    CostsFromPicture(polar_, rule_, s);
    if (sweep_ > 0) {
      for (int ray = 0; ray < kAngles; ++ray) {
        const auto k = static_cast<std::size_t>(ray);
        Blind(result.lumen_seen[k] == 0, &s.lumen[SampleAt(ray, 0, polar_.depth)]);
        Blind(result.eem_seen[k] == 0, &s.eem[SampleAt(ray, 0, polar_.depth)]);
        Pull(frame, ray, &s.lumen[SampleAt(ray, 0, polar_.depth)], false);
        Pull(frame, ray, &s.eem[SampleAt(ray, 0, polar_.depth)], true);
      }
    }
    const int wall = static_cast<int>(kWallAtLeast / polar_.step_mm);
    if (sweep_ > 0) {
      for (int ray = 0; ray < kAngles; ++ray) {
        const double lumen = static_cast<double>(before_[static_cast<std::size_t>(frame)].lumen[static_cast<std::size_t>(ray)]) / polar_.step_mm;
        const int least = std::min(static_cast<int>(lumen) + wall - 2, polar_.depth - 20);
        for (int i = 0; i < least; ++i) s.eem[SampleAt(ray, i, polar_.depth)] = kNever;
      }
    }
    CostsFromPoints(polar_, corrections_, frame, s);
    path.Find(s.eem, polar_.depth, kStiff, result.eem);
    const bool last_sweep = sweep_ + 1 == kSweeps;
    if (last_sweep) {
      result.ways = BranchRaysOf(polar_, rule_, s.sum_mean, result.eem), result.eem_clear = ClearMedia(polar_, s.mean, rule_.media, result.eem, corrections_, frame);
    }
    for (int ray = 0; ray < kAngles; ++ray) {  // the lumen ends before the media
      const int last = static_cast<int>(result.eem[static_cast<std::size_t>(ray)]) - wall;
      for (int i = std::max(rule_.first + 2, last); i < polar_.depth; ++i) s.lumen[SampleAt(ray, i, polar_.depth)] = kNever;
    }
    path.Find(s.lumen, polar_.depth, kStiff, result.lumen);
    if (last_sweep) result.lining = LiningBehind(polar_, s.sum_mean, result.lumen), walless_[static_cast<std::size_t>(frame)] = WallessShare(polar_, rule_, s.sum_mean, result.lumen);
    for (auto* border : {&result.lumen, &result.eem}) std::ranges::for_each(*border, [&](float& r) { r *= static_cast<float>(polar_.step_mm); });
  }

  void Blind(bool blind, float* cost) const {
    if (!blind) return;
    for (int i = 0; i < polar_.depth; ++i) {
      if (cost[i] < kNever) cost[i] = 0.0f;
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
      if (cost[i] < kNever) cost[i] += weight * std::min(400.0f, d * d);
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

  // Bright spills over dark; where no bright edge lines the wall the step is found a little too far out.
  void Unspill() {
    for (int f = from_; f <= last_; ++f) {
      BorderFrame& frame = out_.frames[static_cast<std::size_t>(f)];
      for (std::size_t k = 0; k < kAngles; ++k) {
        const float bare = 1.0f - std::clamp((frame.lining[k] - kBare) / (kLined - kBare), 0.0f, 1.0f);
        frame.lumen[k] = std::min(frame.lumen[k] + static_cast<float>(out_.spill_mm) - kBareOut * bare, std::max(frame.lumen[k], frame.eem[k] - static_cast<float>(kMediaBand)));
      }
    }
  }

  double ClearShare() const {
    double seen = 0.0, clear = 0.0;
    for (const BorderFrame& frame : out_.frames) {
      for (std::size_t k = 0; k < kAngles; ++k) {
        if (frame.eem_seen[k] != 0) seen += 1.0, clear += frame.eem_clear[k] != 0 ? 1.0 : 0.0;
      }
    }
    return seen > 0.0 ? clear / seen : 0.0;
  }

  // Unless a person has set a point near, a frame that was carried over stays as it was.
  void StayCarried() {
    for (int f = from_; f <= last_; ++f) {
      if (out_.carried[static_cast<std::size_t>(f)] && std::ranges::none_of(corrections_, [&](const BorderPoint& point) { return std::abs(point.frame - f) <= kPinned; })) out_.frames[static_cast<std::size_t>(f)] = found_->frames[static_cast<std::size_t>(f)];
    }
  }

  void HideBlank() {
    for (int f = from_; f <= last_; ++f) {
      if (!out_.blank[static_cast<std::size_t>(f)]) continue;
      out_.frames[static_cast<std::size_t>(f)].lumen_seen.fill(0), out_.frames[static_cast<std::size_t>(f)].eem_seen.fill(0);
    }
  }

  const Polar& polar_;
  std::vector<BorderPoint> corrections_;
  Borders out_;
  const Borders* found_ = nullptr;
  std::vector<double> walless_;                 // share of rays, one a frame
  std::vector<BorderFrame> before_;
  CostRule rule_;
  int sweep_ = 0, from_ = 0, last_ = 0;         // frames that are gone through
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
