// SPDX-License-Identifier: Apache-2.0
// What is true of a set of phantom runs, from the generator's own parameters and never from the pictures.
#pragma once

#include <filesystem>
#include <span>
#include <string>
#include <vector>

#include "imaging/phantom/render.h"
#include "imaging/phantom/scene.h"
#include "measure/result.h"

namespace fairlead {

// truth.json: centrelines (mm, LPS, end of diastole and expiration) with radii, the occlusion's length and caps, and for
// each run its geometry, the vessels' pixel paths, the caps in each frame, foreshortening and the catheters' width.
std::string TruthJson(const Scene& scene, std::span<const RunPlan> plans);

// The usual runs of a scene: two views far apart with dual injection where the scene has two catheters, then others.
std::vector<RunPlan> UsualRuns(const Scene& scene, Grade grade);

struct PhantomOrder {
  std::string scene = "short-right";
  std::uint64_t seed = 1;
  Grade grade = Grade::kTypical;
  int bits_stored = 8;
};

// Writes run-1.dcm ... and truth.json into a folder, which is made if it is missing.
Status WriteXaPhantom(const std::filesystem::path& folder, const PhantomOrder& order);

// One run as a DICOM file, as WriteXaPhantom writes it. `number` counts from 1.
Result<std::vector<std::uint8_t>> PhantomFile(const Scene& scene, const RunPlan& plan, int number);

}  // namespace fairlead
