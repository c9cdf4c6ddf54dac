// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/turning_search.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdlib>

#include "imaging/trace/four_floats.h"

namespace fairlead {
namespace {

// The pixels that a step passes, from its start, in a map of that width: its end and, of a long one, the two between which
// it goes; of a short one start and end once more, which leaves the mean as it is.
std::array<std::ptrdiff_t, 3> Passed(int direction, int width) {
  const auto d = static_cast<std::size_t>(direction);
  const std::ptrdiff_t dx = kTurnRight[d], dy = kTurnDown[d], end = dy * width + dx;
  const std::ptrdiff_t between = dy / 2 * width + dx / 2;
  return {end, between, end - between};
}

// Bit d of sixteen becomes bit 2 d.
std::uint32_t EverySecondBit(std::uint32_t bits) {
  bits = (bits | bits << 8) & 0x00FF00FFU;
  bits = (bits | bits << 4) & 0x0F0F0F0FU;
  bits = (bits | bits << 2) & 0x33333333U;
  return (bits | bits << 1) & 0x55555555U;
}

float HalfLength(int direction) {
  const auto d = static_cast<std::size_t>(direction);
  return 0.5f * std::sqrt(static_cast<float>(kTurnRight[d] * kTurnRight[d] + kTurnDown[d] * kTurnDown[d]));
}

float PriceOver(const float* cost, const std::array<std::ptrdiff_t, 3>& passed, float half_length) {
  return half_length * (0.5f * (cost[0] + cost[passed[0]]) + 0.5f * (cost[passed[1]] + cost[passed[2]]));
}

const float* CostAt(const CostMap& cost, Pixel p) {
  return cost.costs.data() + static_cast<std::size_t>(p.row + 1) * (static_cast<std::size_t>(cost.columns) + 2) + static_cast<std::size_t>(p.column) + 1;
}

}  // namespace

float TurnStepPrice(const CostMap& cost, Pixel from, int direction) {
  return PriceOver(CostAt(cost, from), Passed(direction, cost.columns + 2), HalfLength(direction));
}

TurnSearch::TurnSearch(const CostMap& cost, const TurnWindow& window, Pixel from, std::optional<Pixel> to, const ByDirection& start)
    : cost_(cost), window_(window), from_(from), to_(to), start_(start), width_(window.columns + 2 * kRim) {
  for (int d = 0; d < kTurnDirections; ++d) {
    const auto i = static_cast<std::size_t>(d);
    ahead_[i] = static_cast<std::ptrdiff_t>(kTurnDown[i]) * width_ + kTurnRight[i];
    passed_[i] = Passed(d, cost.columns + 2);
    half_length_[i] = HalfLength(d);
  }
  const std::size_t places = static_cast<std::size_t>(width_) * static_cast<std::size_t>(window.rows + 2 * kRim);
  store_.assign(kTurnDirections * (places + 1), -1.0f);  // the rim is never reached more cheaply
  const auto address = reinterpret_cast<std::uintptr_t>(store_.data()) / sizeof(float);
  prices_ = store_.data() + (kTurnDirections - address % kTurnDirections) % kTurnDirections;
  for (int row = 0; row < window.rows; ++row) {
    std::fill_n(prices_ + kTurnDirections * PlaceOf({window.left, window.top + row}), kTurnDirections * window.columns, kNever);
  }
  waiting_.resize(places);
  Search(start);
  waiting_ = {};
  buckets_ = {};
}

std::size_t TurnSearch::PlaceOf(Pixel p) const {
  return static_cast<std::size_t>(p.row - window_.top + kRim) * static_cast<std::size_t>(width_) + static_cast<std::size_t>(p.column - window_.left + kRim);
}

ByDirection TurnSearch::PricesAt(Pixel at) const {
  ByDirection prices{};
  std::copy_n(prices_ + kTurnDirections * PlaceOf(at), kTurnDirections, prices.begin());
  return prices;
}

std::uint32_t TurnSearch::CameBy(Pixel at) const {
  const float* prices = prices_ + kTurnDirections * PlaceOf(at);
  // Prices are sums made in this very way: a turn gives one or would give more, and where none gives it a step does.
  std::uint32_t from_less = 0, from_more = 0, set_out = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    const FourFloats before = LoadFour(prices + 4 * ((i + 3) % 4)), now = LoadFour(prices + 4 * i), after = LoadFour(prices + 4 * ((i + 1) % 4));
    from_less |= (~BitsBelow(now, OneLater(before, now) + SetFour(kTurnPrice)) & 15U) << (4 * i);
    from_more |= (~BitsBelow(now, OneSooner(now, after) + SetFour(kTurnPrice)) & 15U) << (4 * i);
  }
  if (at == from_) {
    for (std::size_t d = 0; d < kTurnDirections; ++d) set_out |= prices[d] == start_[d] ? 1U << d : 0U;
  }
  constexpr std::uint32_t kAll = (1U << kTurnDirections) - 1;
  return EverySecondBit(~from_less & ~set_out & kAll) | EverySecondBit((from_less | from_more) & ~set_out) << 1;
}

// One that would wait beyond the buckets' round waits at its end, and then on.
void TurnSearch::Wait(std::size_t place, int bucket) {
  bucket = std::min(bucket, now_ + static_cast<int>(kBuckets) - 1);
  if (bucket >= waiting_[place].bucket) return;
  waiting_[place].bucket = bucket;
  buckets_[static_cast<std::size_t>(bucket) % kBuckets].push_back(static_cast<std::uint32_t>(place));
  ++held_;
}

void TurnSearch::Search(const ByDirection& start) {
  const std::size_t from = PlaceOf(from_);
  std::copy_n(start.begin(), kTurnDirections, prices_ + kTurnDirections * from);
  waiting_[from].directions = (1U << kTurnDirections) - 1;
  const float least = *std::min_element(start.begin(), start.end());
  now_ = static_cast<int>(least * (1.0f / kBucket));
  Wait(from, now_);
  const float* goal = to_ ? prices_ + kTurnDirections * PlaceOf(*to_) : nullptr;
  for (; held_ > 0; ++now_) {
    auto& places = buckets_[static_cast<std::size_t>(now_) % kBuckets];
    for (std::size_t i = 0; i < places.size(); ++i) {
      if (waiting_[places[i]].bucket == now_) Visit(places[i]);
    }
    held_ -= places.size();
    places.clear();
    // Half a turn beyond the cheapest way there all its directions are known.
    if (goal != nullptr && *std::min_element(goal, goal + kTurnDirections) + kTurnPrice * (kTurnDirections / 2) + 1.0f < static_cast<float>(now_ + 1) * kBucket) break;
  }
}

// Turns at the place and steps on from it in each direction that is cheap enough for this bucket.
void TurnSearch::Visit(std::size_t place) {
  const float limit = static_cast<float>(now_ + 1) * kBucket;
  float* prices = prices_ + kTurnDirections * place;
  waiting_[place].bucket = std::numeric_limits<std::int32_t>::max();
  unsigned waiting = waiting_[place].directions;
  FourFloats now[4];
  for (std::size_t i = 0; i < 4; ++i) now[i] = LoadFour(prices + 4 * i);
  const Pixel at{window_.left - kRim + static_cast<int>(place % static_cast<std::size_t>(width_)), window_.top - kRim + static_cast<int>(place / static_cast<std::size_t>(width_))};
  const float* cost = CostAt(cost_, at);
  // A turn more at a time, until no direction that counts in this bucket becomes cheaper.
  for (unsigned cheaper = 1; cheaper != 0;) {
    cheaper = 0;
    FourFloats turned[4];
    for (std::size_t i = 0; i < 4; ++i) {
      const FourFloats by = LesserOf(OneLater(now[(i + 3) % 4], now[i]), OneSooner(now[i], now[(i + 1) % 4])) + SetFour(kTurnPrice);
      const unsigned bits = BitsBelow(by, now[i]);
      waiting |= bits << (4 * i);
      cheaper |= bits & BitsBelow(by, SetFour(limit));
      turned[i] = LesserOf(by, now[i]);
    }
    std::copy_n(turned, 4, now);
  }
  unsigned below = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    StoreFour(prices + 4 * i, now[i]);
    below |= BitsBelow(now[i], SetFour(limit)) << (4 * i);
  }
  for (unsigned going = waiting & below; going != 0; going &= going - 1) {
    const auto d = static_cast<std::size_t>(std::countr_zero(going));
    const std::size_t next = place + static_cast<std::size_t>(ahead_[d]);
    float& known = prices_[kTurnDirections * next + d];
    if (!(prices[d] < known)) continue;  // so is every place of the rim
    const float there = prices[d] + PriceOver(cost, passed_[d], half_length_[d]);
    if (!(there < known)) continue;
    known = there;
    waiting_[next].directions |= 1U << d;
    Wait(next, static_cast<int>(there * (1.0f / kBucket)));
  }
  waiting &= ~below;
  waiting_[place].directions = waiting;
  if (waiting == 0) return;
  float least = kNever;
  for (; waiting != 0; waiting &= waiting - 1) least = std::min(least, prices[std::countr_zero(waiting)]);
  if (least < kNever) Wait(place, std::max(now_ + 1, static_cast<int>(least * (1.0f / kBucket))));
}

}  // namespace fairlead
