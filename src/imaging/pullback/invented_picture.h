// SPDX-License-Identifier: Apache-2.0
// From tissue along rays to grey values: speckle as the envelope of complex noise spread by the beam and the pulse,
// attenuation, shadow, ring-down, logarithm. Rayleigh speckle: envelope mean over sd 1.913.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "imaging/phantom/random.h"
#include "imaging/pullback/invented_vessel.h"

namespace fairlead {

struct EchoLevel {                     // decibels against adventitia
  double blood = -16, media = -18, plaque = -5, noise = -36;
  double ring_down = 0.5;          // amplitude at the catheter's wall, of adventitia's
  double motion_mm = 0.4;          // to and fro with the heart
  double rotation_deg = 0.0;       // uneven rotation
  double guidewire_step_deg = 2.0; // a frame
};
EchoLevel LevelOf(Grade grade);

class InventedPicture {
 public:
  InventedPicture(const PullbackOrder& order, std::uint64_t seed);
  // Grey values of one frame.
  void Take(const InventedVessel& vessel, const SectionTruth& section, std::span<std::uint8_t> frame);

 private:
  void FillTissue(const InventedVessel& vessel, const SectionTruth& section);
  void FillRay(int ray, const SectionTruth& section, const RayCrossing& crossing);
  void AddCalcium(const InventedVessel& vessel, const SectionTruth& section);
  void AddBranch(const SectionTruth& section);
  void AddWire(const WireTruth& wire, double decibels);
  void AddStent(const SectionTruth& section);
  void Shade();
  void Scatter();
  void Blur(std::vector<float>& field);
  void Develop(bool saturated);
  void Convert(std::span<std::uint8_t> frame) const;

  PullbackOrder order_;
  EchoLevel level_;
  int depth_;                                   // samples along a ray
  double step_;                                 // mm
  SeededRandom random_;
  int taken_ = 0;
  std::vector<float> amplitude_, echo_, bright_, real_, imaginary_, work_, grey_, ring_;
  std::vector<std::uint8_t> moving_, opaque_;   // blood; shadow begins here
  std::vector<float> wall_real_, wall_imaginary_;
  struct Place {
    std::uint32_t ray = 0, sample = 0;
    float across = 0, along = 0;
    bool seen = false;
  };
  std::vector<Place> places_;                   // of each pixel
};

}  // namespace fairlead
