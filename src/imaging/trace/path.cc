// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/path.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>
#include <utility>

#include "imaging/trace/four_floats.h"

namespace fairlead {
namespace {

constexpr float kLeast = 0.02f;  // of the strength that 95 % stay below: smaller clings more to bright vessels. Chosen
constexpr float kMost = 1.5f;    // beyond it a ridge is no cheaper, so that a catheter does not draw a path over. Chosen
constexpr float kImpassable = std::numeric_limits<float>::infinity();

// Neighbours clockwise from the right, as `towards_root` counts them.
constexpr std::array<int, 8> kRight = {1, 1, 0, -1, -1, -1, 0, 1};
constexpr std::array<int, 8> kDown = {0, 1, 1, 1, 0, -1, -1, -1};

constexpr float kCheapest = 1.0f / (kLeast + kMost), kDearest = 1.0f / kLeast;  // cost per length, as CostOf makes them

// A queue of places by distance in buckets as wide as the cheapest step: whatever leaves the lowest bucket that is not
// empty is final, in any order, since no step from it leads back into it. Distances in use span less than the dearest
// step, so the buckets go round. A place that was reached again at a lower price stays in its old bucket too, and is
// known there by its distance.
class BucketQueue {
 public:
  static int BucketOf(float distance) { return static_cast<int>(distance * (1.0f / kCheapest)); }
  void Add(float distance, std::uint32_t place) { buckets_[static_cast<std::size_t>(BucketOf(distance)) % kBuckets].push_back(place); }
  // The lowest bucket's places, to be used up until the next call, and its number; none if every bucket is empty.
  std::span<std::uint32_t> TakeLowest(int& number) {
    out_.clear();
    for (std::size_t looked = 0; looked < kBuckets && buckets_[static_cast<std::size_t>(now_) % kBuckets].empty(); ++looked) ++now_;
    number = now_;
    std::swap(out_, buckets_[static_cast<std::size_t>(now_) % kBuckets]);
    return out_;
  }

 private:
  static constexpr std::size_t kBuckets = 128;
  static_assert(kDearest * std::numbers::sqrt2_v<float> / kCheapest + 3.0f < static_cast<float>(kBuckets));
  std::array<std::vector<std::uint32_t>, kBuckets> buckets_;
  std::vector<std::uint32_t> out_;
  int now_ = 0;
};

// The neighbours of a place in three groups of four: the three above and one that does not count, left and right, and one
// that does not count with the three below, so that no group reaches out of the map.
struct Neighbours {
  std::array<int, 12> offset{};                                            // in the map, from the place
  static constexpr std::array<std::uint8_t, 12> kBack = {1, 2, 3, 0, 0, 0, 4, 0, 0, 7, 6, 5};  // the way back, as `towards_root` counts
  static constexpr unsigned kCounts = 0b1110'0101'0111;
  static constexpr float kHalf = 0.5f, kSlant = 0.5f * std::numbers::sqrt2_v<float>;
  static constexpr std::array<float, 12> kHalfLength = {kSlant, kHalf, kSlant, kHalf, kHalf, kHalf, kHalf, kHalf, kHalf, kSlant, kHalf, kSlant};
  explicit Neighbours(int width) : offset{-width - 1, -width, -width + 1, 0, -1, 0, 1, 0, 0, width - 1, width, width + 1} {}
  int first(int group) const { return group == 2 ? offset[9] - 1 : offset[static_cast<std::size_t>(4 * group)]; }
};

// What a place offers its neighbours: their distance by way of it, and a bit for each that it would bring closer.
struct Offer {
  std::array<float, 12> distance;
  unsigned closer;
  std::uint32_t from;
};

// Places are counted in the map with its border. All places of a bucket make their offers before any is taken: that part has
// no branch to guess, and the branches of the other part need not wait for sums.
class PathSearch {
 public:
  PathSearch(const CostMap& cost, std::uint32_t root)
      : costs_(cost.costs), around_(cost.columns + 2), distance_(cost.costs.size(), kImpassable), back_(cost.costs.size(), kTreeUnreached) {
    distance_[root] = 0.0f;
    back_[root] = kTreeRoot;
    queue_.Add(0.0f, root);
  }
  // Until the distance of `goal` is known, or, if it cannot be reached, everything is.
  void Run(std::uint32_t goal) {
    int bucket = 0;
    while (!(distance_[goal] < static_cast<float>(bucket) * kCheapest)) {
      const auto places = queue_.TakeLowest(bucket);
      if (places.empty()) return;
      MakeOffers(places.first(Standing(places, bucket)));
      TakeOffers();
    }
  }
  std::vector<std::uint8_t> TakeBack() { return std::move(back_); }

 private:
  // Those that were not reached again at a lower price go first: how many.
  std::size_t Standing(std::span<std::uint32_t> places, int bucket) const {
    std::size_t held = 0;
    for (const std::uint32_t place : places) {
      places[held] = place;
      held += BucketQueue::BucketOf(distance_[place]) == bucket ? 1 : 0;
    }
    return held;
  }
  void MakeOffers(std::span<const std::uint32_t> places) {
    offers_.resize(places.size());
    for (std::size_t i = 0; i < places.size(); ++i) {
      Offer& offer = offers_[i];
      offer.from = places[i];
      offer.closer = 0;
      const FourFloats here = SetFour(distance_[places[i]]), cost = SetFour(costs_[places[i]]);
      for (int group = 0; group < 3; ++group) {
        const auto first = static_cast<std::size_t>(static_cast<int>(places[i]) + around_.first(group)), lane = static_cast<std::size_t>(4 * group);
        const FourFloats by = here + LoadFour(&Neighbours::kHalfLength[lane]) * (cost + LoadFour(&costs_[first]));
        StoreFour(&offer.distance[lane], by);
        offer.closer |= BitsBelow(by, LoadFour(&distance_[first])) << lane;
      }
    }
  }
  // In turn, each if it is still the better one.
  void TakeOffers() {
    for (const Offer& offer : offers_) {
      for (unsigned closer = offer.closer & Neighbours::kCounts; closer != 0; closer &= closer - 1) {
        const auto lane = static_cast<std::size_t>(std::countr_zero(closer));
        const auto to = static_cast<std::uint32_t>(static_cast<int>(offer.from) + around_.offset[lane]);
        const float distance = offer.distance[lane];
        if (!(distance < distance_[to])) continue;
        distance_[to] = distance;
        back_[to] = Neighbours::kBack[lane];
        queue_.Add(distance, to);
      }
    }
  }

  const std::vector<float>& costs_;
  const Neighbours around_;
  std::vector<float> distance_;
  std::vector<std::uint8_t> back_;
  BucketQueue queue_;
  std::vector<Offer> offers_;
};

// Stronger than its neighbours on both sides in some direction, and clearly than those two pixels away: the flank of a
// wide vessel is not.
bool IsCrest(const Vesselness& vesselness, int column, int row) {
  constexpr float kClearly = 1.03f;
  const auto at = [&](int c, int r) {
    c = std::clamp(c, 0, vesselness.columns - 1), r = std::clamp(r, 0, vesselness.rows - 1);
    return vesselness.strength[static_cast<std::size_t>(r) * static_cast<std::size_t>(vesselness.columns) + static_cast<std::size_t>(c)];
  };
  const float here = at(column, row);
  for (std::size_t d = 0; d < 4; ++d) {
    const int x = kRight[d], y = kDown[d];
    if (here >= at(column + x, row + y) && here >= at(column - x, row - y) &&
        here > kClearly * 0.5f * (at(column + 2 * x, row + 2 * y) + at(column - 2 * x, row - 2 * y))) {
      return true;
    }
  }
  return false;
}

}  // namespace

CostMap CostOf(const Vesselness& vesselness) {
  CostMap map{vesselness.rows, vesselness.columns, {}};
  const std::size_t width = static_cast<std::size_t>(map.columns) + 2;
  map.costs.assign(width * (static_cast<std::size_t>(map.rows) + 2), kImpassable);
  const float v95 = StrengthAtShare(vesselness, 0.95);
  const float per = v95 > 0.0f ? 1.0f / v95 : 0.0f;
  for (int row = 0; row < map.rows; ++row) {
    const float* in = vesselness.strength.data() + static_cast<std::size_t>(row) * static_cast<std::size_t>(map.columns);
    float* out = map.costs.data() + static_cast<std::size_t>(row + 1) * width + 1;
    for (int c = 0; c < map.columns; ++c) out[c] = 1.0f / (kLeast + std::min(kMost, in[c] * per));
  }
  return map;
}

PathTree CheapestPaths(const CostMap& cost, Pixel root, std::optional<Pixel> until) {
  const int width = cost.columns + 2;
  const auto place = [width](Pixel p) { return static_cast<std::uint32_t>((p.row + 1) * width + p.column + 1); };
  PathSearch search(cost, place(root));
  search.Run(until ? place(*until) : 0);  // 0 lies on the border, which is never reached
  std::vector<std::uint8_t> back = search.TakeBack();
  // The border is left out in place.
  for (int row = 0; row < cost.rows; ++row) std::copy_n(back.begin() + (row + 1) * width + 1, cost.columns, back.begin() + row * cost.columns);
  back.resize(static_cast<std::size_t>(cost.rows) * static_cast<std::size_t>(cost.columns));
  return {cost.rows, cost.columns, root, std::move(back)};
}

std::vector<Pixel> WalkToRoot(const PathTree& tree, Pixel from) {
  std::vector<Pixel> path;
  Pixel at = from;
  while (path.size() <= tree.towards_root.size()) {
    if (at.column < 0 || at.row < 0 || at.column >= tree.columns || at.row >= tree.rows) return {};
    const std::uint8_t way = tree.towards_root[static_cast<std::size_t>(at.row) * static_cast<std::size_t>(tree.columns) + static_cast<std::size_t>(at.column)];
    if (way == kTreeUnreached) return {};
    path.push_back(at);
    if (way == kTreeRoot) return path;
    at = {at.column + kRight[way], at.row + kDown[way]};
  }
  return {};
}

Pixel SnapToRidge(const Vesselness& vesselness, PixelPoint click) {
  constexpr int kReach = 6;      // pixels
  constexpr double kNear = 1.5;  // pixels: at this distance a ridge counts half. A click is right to about a pixel, with slips
  const Pixel own{std::clamp(static_cast<int>(std::lround(click.x)), 0, vesselness.columns - 1),
                  std::clamp(static_cast<int>(std::lround(click.y)), 0, vesselness.rows - 1)};
  Pixel best = own;
  double most = 0.0;
  bool found = false;  // a crest; from then on nothing else counts
  for (int row = std::max(0, own.row - kReach); row <= std::min(vesselness.rows - 1, own.row + kReach); ++row) {
    for (int column = std::max(0, own.column - kReach); column <= std::min(vesselness.columns - 1, own.column + kReach); ++column) {
      const double away2 = (column - click.x) * (column - click.x) + (row - click.y) * (row - click.y);
      if (away2 > kReach * kReach) continue;
      const auto at = static_cast<std::size_t>(row) * static_cast<std::size_t>(vesselness.columns) + static_cast<std::size_t>(column);
      const bool crest = IsCrest(vesselness, column, row);
      if (found && !crest) continue;
      if (crest && !found) found = true, most = 0.0;
      const double worth = static_cast<double>(vesselness.strength[at]) * (kNear * kNear / (kNear * kNear + away2));
      if (worth > most) most = worth, best = {column, row};
    }
  }
  return best;
}

}  // namespace fairlead
