// SPDX-License-Identifier: Apache-2.0
// An invented vessel seen by ultrasound from inside while the catheter is drawn back, and what is true of each frame.
// Angles run clockwise on the picture from its right (columns grow to the right, rows down); distances are from the
// catheter's axis, which is the middle of the picture. Everything follows from scene, grade and seed; no library of
// mathematics is used, so the pixels are the same on every processor.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "imaging/phantom/render.h"
#include "measure/quantity.h"
#include "measure/result.h"

namespace fairlead {

inline constexpr int kRays = 256;               // of the generator and of the truth

// "open": true lumen with plaque round it. "plaque": a narrow channel in plaque, far wire in plaque too. "lumen": a true
// lumen no wider than such a channel. "entry": first in that lumen, then in plaque; far wire in plaque in both.
// "plaque-far-outside": the same, far wire beyond the media. "outside": the catheter lies beside the vessel, far wire in
// the vessel's plaque. "outside-far-outside": both beyond the media. "reentry": first inside, then outside.
std::span<const std::string_view> PullbackScenes();

struct PullbackOrder {
  std::string scene = "plaque";
  std::uint64_t seed = 1;
  Grade grade = Grade::kTypical;
  int frames = 120;
  int size = 400;                               // rows and columns
  Length pixel = Length::Millimetres(0.025);
  double speed_mm_s = 1.0;
  Duration frame_time = Duration::Milliseconds(1000.0 / 30.0);
  bool backwards = false;                       // the catheter is pushed forward instead
  bool saturated = false;                       // every second frame far too bright
  bool calibrated = true;                       // the file says how large a pixel is
  bool stent = false;                           // of scene "open": a stent along the middle half, narrower in its middle
};

struct WireTruth {
  double angle_deg = 0.0, distance_mm = 0.0;
  bool in_plaque = false;                       // of the far wire: inside the vessel's media
};

// The near wire's space. A true lumen is lined all round, but for a share that its vessel has; a channel in plaque is lined
// in patches only.
enum class SpaceTruth { kLumen, kPlaque, kOutside };
std::string_view SpaceTruthName(SpaceTruth space);  // "lumen", "plaque", "outside"

struct ArcTruth {
  double from_deg = 0.0, to_deg = 0.0;          // to may exceed 360
};

struct SectionTruth {
  double z_mm = 0.0;                            // along the vessel, motion included
  bool inside = true;                           // the catheter lies inside the plaque's media
  SpaceTruth space = SpaceTruth::kPlaque;       // of the catheter; kOutside where it is not inside
  std::array<float, kRays> lumen{};             // border of the lumen, or of the channel that holds the catheter, mm
  std::array<float, kRays> eem{};               // outer edge of the media, mm; 0 where the catheter lies outside
  std::array<float, kRays> lining{};            // 0 to 1: how much of an intima's bright edge the channel's border has
  std::vector<ArcTruth> calcium;
  std::optional<ArcTruth> branch;               // its mouth; it opens into the catheter's space where that is the true lumen
  WireTruth guidewire;                          // on which the catheter rides
  std::optional<WireTruth> far_wire;
  double vessel_min_mm = 0.0, vessel_max_mm = 0.0;  // diameters from media to media
  std::optional<std::array<float, kRays>> stent;    // through the near sides of its struts, mm
  std::vector<double> struts_deg;
};

// Area inside a border given at kRays angles, mm2.
double AreaInside(std::span<const float> border);

struct InventedPullback {
  PullbackOrder order;
  std::vector<std::uint8_t> pixels;             // size x size x frames
  std::vector<SectionTruth> truth;
};

// Errors: no such scene; sizes or counts that cannot be (64 to 1024 pixels, 1 to 4000 frames).
Result<InventedPullback> InventPullback(const PullbackOrder& order);

// As a DICOM file. Errors: what UltrasoundFile says.
Result<std::vector<std::uint8_t>> PullbackFile(const InventedPullback& pullback);

std::string PullbackTruthJson(const InventedPullback& pullback);

// Writes pullback.dcm and truth.json into a folder, which is made if it is missing.
Status WritePullbackPhantom(const std::filesystem::path& folder, const PullbackOrder& order);

}  // namespace fairlead
