// SPDX-License-Identifier: Apache-2.0
#include "tests/imaging/trace/trial.h"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <utility>

#include "imaging/phantom/random.h"
#include "tests/imaging/trace/trial_compare.h"
#include "tests/imaging/trace/trial_setup.h"

namespace fairlead {
namespace {

std::optional<TrialPicture> Render(const TrialSetup& s) {
  const auto run = RenderRun(s.scene, s.plan);
  if (!run.ok()) return std::nullopt;
  TrialPicture picture;
  picture.rows = s.plan.view.rows, picture.columns = s.plan.view.columns;
  const std::size_t size = static_cast<std::size_t>(picture.rows) * static_cast<std::size_t>(picture.columns);
  picture.bytes_per_value = s.plan.bits_stored > 8 ? 2 : 1;
  for (std::size_t i = 0; i < size; ++i) {
    const std::uint16_t value = run->pixels[size * static_cast<std::size_t>(s.plan.frames - 1) + i];
    picture.bytes.push_back(static_cast<std::uint8_t>(value & 0xff));
    if (picture.bytes_per_value == 2) picture.bytes.push_back(static_cast<std::uint8_t>(value >> 8));
  }
  picture.inside = {run->left + 2, run->right - 2, run->top + 2, run->bottom - 2};
  return picture;
}

std::vector<PixelPoint> Clicks(const TrialSetup& s, const TrialOrder& order) {
  SeededRandom random(order.seed * 31 + 7);
  std::vector<std::size_t> at{s.begin};
  if (s.truth[s.end].along_mm - s.truth[s.begin].along_mm > 27.0) at.push_back((s.begin + s.end) / 2);
  at.push_back(s.end);
  std::vector<PixelPoint> clicks;
  for (const std::size_t i : at) {
    const double dx = order.click_sd_px * static_cast<double>(random.Noise());
    clicks.push_back({s.truth[i].at.x + dx, s.truth[i].at.y + order.click_sd_px * static_cast<double>(random.Noise())});
  }
  return clicks;
}

// One more click where the tool asks for it: on the true course at the place nearest to the one named, as badly as the others.
std::vector<PixelPoint> Answered(const TrialSetup& s, const TrialOrder& order, std::vector<PixelPoint> clicks, PixelPoint asked, int more) {
  SeededRandom random(order.seed * 31 + 1000 + static_cast<std::uint64_t>(more));
  const double along = NearestTruth(s.truth, asked, s.begin, s.end).along_mm;
  std::size_t at = s.begin;
  while (at < s.end && s.truth[at].along_mm < along) ++at;
  const double dx = order.click_sd_px * static_cast<double>(random.Noise());
  const PixelPoint click{s.truth[at].at.x + dx, s.truth[at].at.y + order.click_sd_px * static_cast<double>(random.Noise())};
  const auto along_of = [&](PixelPoint p) { return NearestTruth(s.truth, p, s.begin, s.end).along_mm; };
  clicks.insert(std::find_if(clicks.begin() + 1, clicks.end() - 1, [&](PixelPoint p) { return along_of(p) > along; }), click);
  return clicks;
}

}  // namespace

std::optional<TrialPicture> PictureOfTrial(const TrialOrder& order) {
  const auto setup = SetUpTrial(order);
  if (!setup) return std::nullopt;
  auto picture = Render(*setup);
  if (picture) picture->clicks = Clicks(*setup, order);
  return picture;
}

std::optional<TrialResult> RunTrial(const TrialOrder& order) {
  auto both = RunTrials(order, 0);
  return both ? std::optional(std::move(both->plain)) : std::nullopt;
}

std::optional<AskedTrial> RunTrials(const TrialOrder& order, int most) {
  const auto setup = SetUpTrial(order);
  if (!setup) return std::nullopt;
  auto picture = Render(*setup);
  if (!picture) return std::nullopt;
  const Picture seen = AbsorptionOf(picture->frame(), picture->inside);
  const Vesselness vesselness = VesselnessOf(seen);
  TraceRequest request;
  request.through = Clicks(*setup, order);
  // The true size of a pixel at the middle of the vessel: the errors are the image's alone.
  PixelSize pixel;
  pixel.per_pixel = Length::Millimetres(1.0 / setup->truth[(setup->begin + setup->end) / 2].per_mm);
  pixel.method = "true";
  request.pixel = pixel;
  AskedTrial trial;
  auto trace = TraceVessel(seen, vesselness, request);
  trial.plain = trial.answered = CompareWithTruth(*setup, order.narrowed, trace);
  trial.clicks_first = static_cast<int>(request.through.size());
  while (trial.clicks_given < most && trace.ok() && trace->ask) {
    request.through = Answered(*setup, order, request.through, trace->ask->at, trial.clicks_given++);
    trace = TraceVessel(seen, vesselness, request);
    trial.answered = CompareWithTruth(*setup, order.narrowed, trace);
  }
  return trial;
}

}  // namespace fairlead
