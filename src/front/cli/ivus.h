// SPDX-License-Identifier: Apache-2.0
// What `ivus` takes.
#pragma once

#include <filesystem>
#include <string>

namespace fairlead {

struct IvusArguments {
  std::filesystem::path file;          // a pullback; else the values below
  std::filesystem::path marks;         // of a person, on a file: borders' points, wires
  std::string near_wire, far_wire;     // "plaque", "outside=0.9", ...
  std::string same_side, in_ring;      // "yes", "no", "unknown"
  std::string eem_min, eem_max;        // "3.1", "3.1mm", "3.1±0.1mm"
  std::string calcium_arc;             // "200", "200deg"
  std::string overlap, tissue;
  std::string minutes;
  int cycles = 0, places = 1;
  std::string pixel, speed;            // of a file that does not say: "0.02mm", "0.5mm/s"
  // Of a synthetic pullback.
  int frames = 120, size = 400;        // rows and columns
  bool backwards = false, saturated = false, uncalibrated = false, stent = false;
};

}  // namespace fairlead
