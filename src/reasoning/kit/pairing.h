// SPDX-License-Identifier: Apache-2.0
// Which sections can meet, and the lumen that holds them. Only the room's own files include this header.
#pragma once

#include <map>
#include <vector>

#include "reasoning/kit/fit.h"

namespace fairlead {

// Packings already computed in this question, by their circles, largest first.
class PackingMemory {
 public:
  const Packing& Of(std::vector<Length> circles);

 private:
  std::map<std::vector<double>, Packing> kept_;
};

// One section of each device that is in.
struct Pairing {
  std::vector<const Section*> sections;  // by device
  std::size_t moving = 0;                // index of the device that moves; the last one that is in
  std::vector<Length> Circles() const;
};

// Every pairing that can occur while the devices go in, one after the other (or all at one place).
std::vector<Pairing> Pairings(const std::vector<std::vector<Section>>& devices, FitMode mode);

// The least lumen of a pairing with its one oval turned kindly; empty if there is none, or more than one neighbour.
std::optional<Length> TurnedKindly(const Pairing& pairing);

FitDoubt DoubtOf(const Host& host, const std::vector<Length>& circles, const std::vector<Length>& rounding, Length clearance);

}  // namespace fairlead
