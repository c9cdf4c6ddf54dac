// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/uses.h"

#include <algorithm>
#include <map>
#include <set>
#include <unordered_map>
#include <utility>


namespace fairlead {
namespace {

// Of its lot, else the first to expire; batches without a day come last. Null: the list holds none any more.
Stock* BatchFor(Device& device, const std::string& lot) {
  Stock* best = nullptr;
  for (Stock& stock : device.stock) {
    if (stock.count <= 0) continue;
    if (!lot.empty() && stock.lot == lot) return &stock;
    const auto later = [](const Stock& one) { return std::pair(one.expires.empty(), std::string_view(one.expires)); };
    if (best == nullptr || later(stock) < later(*best)) best = &stock;
  }
  return best;
}

}  // namespace

ShelfLeft LessUses(const Shelf& shelf, std::span<const PackageUse> uses) {
  ShelfLeft left{shelf, {}};
  std::unordered_map<std::string, std::size_t> by_number;
  if (std::ranges::any_of(uses, [](const PackageUse& use) { return !use.gtin.empty(); })) {
    for (std::size_t i = 0; i < shelf.devices.size(); ++i) {
      for (std::string& number : NumbersOf(shelf.devices[i])) by_number.try_emplace(std::move(number), i);
    }
  }
  std::map<std::string, int> unknown;
  std::map<std::pair<std::string, std::size_t>, int> open;  // labels read, not yet gone in: by case and device
  std::set<std::pair<std::string, std::string>> read;
  for (const PackageUse& use : uses) {
    if (!use.gtin.empty() && !use.serial.empty() && !read.emplace(use.gtin, use.serial).second) continue;
    const auto numbered = by_number.find(use.gtin);
    const Device* named = numbered == by_number.end() && !use.name.empty() ? FindDevice(shelf, use.name) : nullptr;
    if (numbered == by_number.end() && named == nullptr) {
      if (!use.gtin.empty()) ++unknown[use.gtin];
      continue;
    }
    const std::size_t at = numbered != by_number.end() ? numbered->second : static_cast<std::size_t>(named - shelf.devices.data());
    if (!use.visit.empty()) {
      int& waiting = open[{use.visit, at}];
      if (use.opened) ++waiting;
      else if (use.gtin.empty() && waiting > 0) { --waiting; continue; }  // counted when its label was read
    }
    Device& device = left.shelf.devices[at];
    ++device.used;
    if (Stock* batch = BatchFor(device, use.lot)) --batch->count;
    else ++device.short_by;
  }
  for (const auto& [gtin, used] : unknown) left.provisional.push_back({gtin, used});
  return left;
}

}  // namespace fairlead
