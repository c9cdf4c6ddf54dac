// SPDX-License-Identifier: Apache-2.0
// Sets of runs on disk.
#include <cmath>
#include <cstddef>
#include <cstdlib>
#include <fstream>
#include <system_error>
#include <utility>

#include "imaging/dicom/write.h"
#include "imaging/phantom/truth.h"

namespace fairlead {
namespace {

std::vector<std::pair<double, double>> UsualAngles(std::string_view scene) {
  if (scene == "circumflex-marginal") return {{-20, -28}, {45, -25}, {40, 25}};
  if (scene == "graft-anterior") return {{-30, 22}, {45, 25}, {0, 35}};
  if (scene == "short-right") return {{45, 0}, {-30, 0}, {20, 25}};
  if (scene == "open-right") return {{45, 0}, {-30, 0}};
  return {{-20, -28}, {45, 25}};
}

Status WriteBytes(const std::filesystem::path& path, const void* bytes, std::size_t count) {
  std::ofstream file(path, std::ios::binary | std::ios::trunc);
  file.write(static_cast<const char*>(bytes), static_cast<std::streamsize>(count));
  file.flush();
  if (file) return Done{};
  return Error{"the file cannot be written", path.string(), "check the folder's rights and the room on the disk", Fault::kOutside};
}

// "RAO 30 CAU 0": whole degrees, 0 written LAO and CRA.
std::string AnglesText(const View& view) {
  const auto part = [](Angle angle, const char* plus, const char* minus) {
    const double degrees = angle.degrees();
    return std::string(degrees < -0.5 ? minus : plus) + " " + std::to_string(static_cast<int>(std::floor(std::abs(degrees) + 0.5)));
  };
  return part(view.primary, "LAO", "RAO") + " " + part(view.secondary, "CRA", "CAU");
}

}  // namespace

std::vector<RunPlan> UsualRuns(const Scene& scene, Grade grade) {
  std::vector<RunPlan> plans;
  for (const auto& [primary, secondary] : UsualAngles(scene.name)) {
    RunPlan plan;
    plan.view = UsualView(Angle::Degrees(primary), Angle::Degrees(secondary));
    plan.grade = grade;
    plan.seed = scene.seed * 100 + plans.size();
    // The donor first: its collaterals need the longer way.
    for (const GuideCatheter& catheter : scene.catheters) {
      const bool target = scene.catheters.size() > 1 && catheter.vessel == scene.catheters.front().vessel;
      plan.injections.push_back({catheter.ostium, Duration::Seconds(target ? 1.0 : 0.3), Duration::Seconds(target ? 1.5 : 2.2)});
    }
    plans.push_back(std::move(plan));
  }
  return plans;
}

Result<std::vector<std::uint8_t>> PhantomFile(const Scene& scene, const RunPlan& plan, int number) {
  const auto rendered = RenderRun(scene, plan);
  if (!rendered) return rendered.error();
  SyntheticRun run;
  run.view = plan.view;
  run.bits_stored = plan.bits_stored;
  run.frame_time = plan.frame_time;
  run.pixels = rendered->pixels;
  run.collimator = {rendered->left, rendered->right, rendered->top, rendered->bottom};
  run.r_wave_frames = rendered->r_wave_frames;
  const double top = (1 << plan.bits_stored) - 1;
  run.window_center = 0.5 * top, run.window_width = 0.9 * top;
  run.title = scene.name + " " + AnglesText(plan.view);
  run.set = scene.name + "-" + std::to_string(scene.seed);
  run.number = number;
  return XaFile(run, XaCompression::kJpegLossless);
}

Status WriteXaPhantom(const std::filesystem::path& folder, const PhantomOrder& order) {
  const auto scene = MakeScene(order.scene, order.seed);
  if (!scene) return scene.error();
  std::error_code failed;
  std::filesystem::create_directories(folder, failed);
  if (failed) return Error{"the folder cannot be made: " + failed.message(), folder.string(), "choose another folder", Fault::kOutside};
  std::vector<RunPlan> plans = UsualRuns(*scene, order.grade);
  for (std::size_t i = 0; i < plans.size(); ++i) {
    plans[i].bits_stored = order.bits_stored;
    const auto file = PhantomFile(*scene, plans[i], static_cast<int>(i) + 1);
    if (!file) return file.error();
    if (Status written = WriteBytes(folder / ("run-" + std::to_string(i + 1) + ".dcm"), file->data(), file->size()); !written) return written;
  }
  const std::string truth = TruthJson(*scene, plans);
  return WriteBytes(folder / "truth.json", truth.data(), truth.size());
}

}  // namespace fairlead
