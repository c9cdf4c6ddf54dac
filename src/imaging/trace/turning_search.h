// SPDX-License-Identifier: Apache-2.0
// The search behind turning_path.h: the least price at which each pixel of a window is reached in each of sixteen
// directions, where a step goes on in one's direction and a turn in place has a price of its own.
//
// A pixel's sixteen prices are one cache line and are turned together; pixels wait in buckets of price, and one that is
// reached more cheaply after it was looked at is looked at again. So prices are exact, whatever the buckets' width.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <vector>

#include "imaging/trace/path.h"

namespace fairlead {

inline constexpr int kTurnDirections = 16;
// Clockwise from the right, 18 to 27 degrees apart.
inline constexpr std::array<int, kTurnDirections> kTurnRight = {1, 2, 1, 1, 0, -1, -1, -2, -1, -2, -1, -1, 0, 1, 1, 2};
inline constexpr std::array<int, kTurnDirections> kTurnDown = {0, 1, 1, 2, 1, 2, 1, 1, 0, -1, -1, -2, -1, -2, -1, -1};
// A sixteenth of a whole turn costs what 12 pixels of a vessel of usual strength cost. Chosen on phantoms of seeds 3001 to
// 3040 (docs/methods-trace.md).
inline constexpr float kTurnPrice = 12.0f;
using ByDirection = std::array<float, kTurnDirections>;

struct TurnWindow {
  int left = 0, top = 0, columns = 0, rows = 0;  // in pixels of the picture, inside it
};

// The price of one step, along the pixels that it passes.
float TurnStepPrice(const CostMap& cost, Pixel from, int direction);

class TurnSearch {
 public:
  // Both pixels must lie in the window. Without `to` every place of it is reached; with it the search ends once all
  // sixteen directions at `to` are known. `start`: the price of setting out in each direction, none below 0.
  TurnSearch(const CostMap& cost, const TurnWindow& window, Pixel from, std::optional<Pixel> to, const ByDirection& start);

  TurnSearch(TurnSearch&&) = default;  // what it points to goes along
  TurnSearch(const TurnSearch&) = delete;

  ByDirection PricesAt(Pixel at) const;
  // How one comes to be at `at`, two bits a direction: 0 set out so, 1 by a step, 2 by a turn from one direction less, 3 from
  // one more. Only of directions that are known.
  std::uint32_t CameBy(Pixel at) const;

 private:
  static constexpr int kRim = 2;  // pixels around the window that no step enters, as far as one reaches
  static constexpr float kNever = std::numeric_limits<float>::infinity();
  static constexpr float kBucket = 64.0f;  // of price; chosen by its time
  static constexpr std::size_t kBuckets = 32;
  struct Waiting {
    std::int32_t bucket = std::numeric_limits<std::int32_t>::max();  // where the pixel waits
    std::uint32_t directions = 0;                                    // bits: reached more cheaply since steps went on from there
  };

  std::size_t PlaceOf(Pixel p) const;
  void Search(const ByDirection& start);
  void Visit(std::size_t place);
  void Wait(std::size_t place, int bucket);

  const CostMap& cost_;
  TurnWindow window_;
  Pixel from_;
  std::optional<Pixel> to_;
  ByDirection start_{};
  int width_ = 0;  // of the window with its rim
  std::array<std::ptrdiff_t, kTurnDirections> ahead_{};                          // in places
  std::array<std::array<std::ptrdiff_t, 3>, kTurnDirections> passed_{};          // in the map: the end and the two in between
  std::array<float, kTurnDirections> half_length_{};
  std::vector<float> store_;
  float* prices_ = nullptr;  // sixteen a place, from a cache line's start
  std::vector<Waiting> waiting_;
  std::array<std::vector<std::uint32_t>, kBuckets> buckets_;
  std::size_t held_ = 0;  // places in them, some of them twice
  int now_ = 0;           // the bucket at hand
};

}  // namespace fairlead
