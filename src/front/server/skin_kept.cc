// SPDX-License-Identifier: Apache-2.0
#include "front/server/skin_kept.h"

#include <fmt/core.h>

#include <algorithm>
#include <deque>
#include <memory>
#include <mutex>
#include <string>
#include <utility>

#include "reasoning/dose/skin_json.h"

namespace fairlead {
namespace {

constexpr std::size_t kKept = 4, kMostEventsKept = 20'000, kFewEvents = 200;  // chosen; a few are quicker worked out than looked up

// Everything that an estimate rests on, as text: two that read alike give one answer.
std::string KeyOf(std::span<const IrradiationEvent> events, const BeamSettings& settings) {
  const auto cylinder = [](const EllipticCylinder& each) {
    return fmt::format("{} {} {} {} {} {};", each.half_width, each.half_depth, each.centre.x, each.centre.y, each.centre.z, each.half_length);
  };
  const TableTop& table = settings.body.table;
  std::string key = cylinder(settings.body.torso.trunk);
  for (const EllipticCylinder& arm : settings.body.torso.arms) key += cylinder(arm);
  key += fmt::format("{} {} {} {} {} {} {} {} {} {} {} {} {}|", table.top_y, table.pad, table.half_width, table.centre_x, table.aluminium.millimetres(),
                     table.transmission.value_or(-1.0), table.forward_scatter, settings.body.size_known, settings.body.table_known, settings.calibration,
                     settings.calibrated, settings.medium.value_or(-1.0), static_cast<int>(settings.table));
  return key + EventsJson(events);
}

class KeptEstimates {
 public:
  std::shared_ptr<const SkinEstimate> Find(const std::string& key) {
    const std::lock_guard lock(mutex_);
    const auto found = std::ranges::find(kept_, key, &std::pair<std::string, std::shared_ptr<const SkinEstimate>>::first);
    return found == kept_.end() ? nullptr : found->second;
  }
  void Keep(std::string key, const SkinEstimate& made) {
    auto copy = std::make_shared<const SkinEstimate>(made);
    const std::lock_guard lock(mutex_);
    kept_.emplace_front(std::move(key), std::move(copy));
    if (kept_.size() > kKept) kept_.pop_back();
  }

 private:
  std::mutex mutex_;
  std::deque<std::pair<std::string, std::shared_ptr<const SkinEstimate>>> kept_;
};

}  // namespace

SkinEstimate EstimateSkinKept(std::span<const IrradiationEvent> events, const BeamSettings& settings) {
  if (events.size() < kFewEvents || events.size() > kMostEventsKept) return EstimateSkin(events, settings);
  static KeptEstimates kept;
  std::string key = KeyOf(events, settings);
  if (const auto held = kept.Find(key)) return *held;
  SkinEstimate made = EstimateSkin(events, settings);
  kept.Keep(std::move(key), made);
  return made;
}

}  // namespace fairlead
