// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/invented.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <system_error>

#include "geometry/trigonometry.h"
#include "imaging/dicom/write_us.h"
#include "imaging/pullback/invented_picture.h"

namespace fairlead {
namespace {

std::string Num(double value) {
  std::array<char, 40> text{};
  const double rounded = std::floor(value * 1e4 + 0.5) / 1e4 + 0.0;
  return {text.data(), std::to_chars(text.data(), text.data() + text.size(), rounded).ptr};
}

std::string BorderJson(std::span<const float> border) {
  std::string out = "[";
  for (std::size_t i = 0; i < border.size(); i += 4) out += (i > 0 ? ", " : "") + Num(static_cast<double>(border[i]));
  return out + "]";
}

std::string WireJson(const WireTruth& wire) { return "{\"angle_deg\": " + Num(wire.angle_deg) + ", \"distance_mm\": " + Num(wire.distance_mm); }

std::string SectionJson(const SectionTruth& section) {
  std::string out = "{\"z_mm\": " + Num(section.z_mm) + ", \"catheter\": \"" + (section.inside ? "inside" : "outside") + "\"";
  out += ", \"catheter_space\": \"" + std::string(SpaceTruthName(section.space)) + "\", \"branch\": ";
  if (section.branch) {
    out += "{\"from_deg\": " + Num(section.branch->from_deg) + ", \"to_deg\": " + Num(section.branch->to_deg) + ", \"opens_here\": " +
           (section.space == SpaceTruth::kLumen ? "true}" : "false}");
  } else {
    out += "null";
  }
  out += ", \"lumen_area_mm2\": " + Num(AreaInside(section.lumen));
  out += ", \"eem_area_mm2\": " + (section.inside ? Num(AreaInside(section.eem)) : std::string("null"));
  out += ", \"vessel_min_mm\": " + Num(section.vessel_min_mm) + ", \"vessel_max_mm\": " + Num(section.vessel_max_mm);
  out += ",\n   \"lumen_mm\": " + BorderJson(section.lumen);
  out += ",\n   \"eem_mm\": " + (section.inside ? BorderJson(section.eem) : std::string("null"));
  out += ",\n   \"calcium\": [";
  for (std::size_t i = 0; i < section.calcium.size(); ++i) {
    out += (i > 0 ? ", " : "") + std::string("{\"from_deg\": ") + Num(section.calcium[i].from_deg) + ", \"to_deg\": " + Num(section.calcium[i].to_deg) + "}";
  }
  out += "], \"guidewire\": " + WireJson(section.guidewire) + "}, \"far_wire\": ";
  if (section.far_wire) out += WireJson(*section.far_wire) + ", \"space\": \"" + (section.far_wire->in_plaque ? "plaque" : "outside") + "\"}";
  else out += "null";
  out += ", \"stent_area_mm2\": " + (section.stent ? Num(AreaInside(*section.stent)) : std::string("null"));
  if (section.stent) out += ",\n   \"stent_mm\": " + BorderJson(*section.stent);
  return out + "}";
}

Status CheckOrder(const PullbackOrder& order) {
  const bool sizes = order.size >= 64 && order.size <= 1024 && order.frames >= 1 && order.frames <= 4000;
  if (order.stent && order.scene != "open") {
    return Error{"a stent is invented in an open lumen only", "--stent with --scene " + order.scene.substr(0, 40), "choose --scene open", Fault::kUsage};
  }
  const double pixel = order.pixel.millimetres();
  const bool lengths = pixel >= 0.005 && pixel <= 0.2 && order.speed_mm_s >= 0.0 && order.speed_mm_s <= 20.0;
  if (sizes && lengths && order.frame_time.milliseconds() >= 1.0) return Done{};
  return Error{"such a pullback cannot be made", "size, frames, pixel or speed",
               "choose 64 to 1024 pixels of 0.005 to 0.2 mm, 1 to 4000 frames, at most 20 mm/s"};
}

Status WriteFile(const std::filesystem::path& path, const char* bytes, std::size_t size) {
  std::ofstream file(path, std::ios::binary);
  file.write(bytes, static_cast<std::streamsize>(size));
  file.close();
  if (file) return Done{};
  return Error{"the file cannot be written", path.string(), "check the folder's rights and the space on the disk", Fault::kOutside};
}

}  // namespace

std::string_view SpaceTruthName(SpaceTruth space) {
  return space == SpaceTruth::kLumen ? "lumen" : space == SpaceTruth::kPlaque ? "plaque" : "outside";
}

Result<InventedPullback> InventPullback(const PullbackOrder& order) {
  if (auto good = CheckOrder(order); !good.ok()) return good.error();
  auto vessel = MakeVessel(order);
  if (!vessel.ok()) return vessel.error();
  InventedPullback made;
  made.order = order;
  const std::size_t size = static_cast<std::size_t>(order.size) * static_cast<std::size_t>(order.size);
  made.pixels.resize(size * static_cast<std::size_t>(order.frames));
  const EchoLevel level = LevelOf(order.grade);
  InventedPicture picture(order, order.seed * 131 + 5);
  SeededRandom random(order.seed * 977 + 3);
  double guidewire = random.Within(0.0, 360.0);
  for (int frame = 0; frame < order.frames; ++frame) {
    const double seconds = frame * order.frame_time.seconds();
    const double beat = SineCosineOf(Angle::Degrees(360.0 * seconds * 70.0 / 60.0)).sine;
    double z = seconds * order.speed_mm_s;
    if (order.backwards) z = (order.frames - 1) * order.frame_time.seconds() * order.speed_mm_s - z;
    guidewire += level.guidewire_step_deg * static_cast<double>(random.Noise());
    made.truth.push_back(SectionAt(*vessel, z + 0.5 * level.motion_mm * beat, guidewire));
    picture.Take(*vessel, made.truth.back(), std::span(made.pixels).subspan(size * static_cast<std::size_t>(frame), size));
  }
  return made;
}

std::string PullbackTruthJson(const InventedPullback& pullback) {
  const PullbackOrder& order = pullback.order;
  std::string out = "{\"synthetic\": true, \"scene\": \"" + order.scene + "\", \"seed\": " + std::to_string(order.seed) + ", \"grade\": \"" +
                    std::string(GradeName(order.grade)) + "\",\n \"pixel_mm\": " + Num(order.pixel.millimetres()) + ", \"speed_mm_s\": " +
                    Num(order.speed_mm_s) + ", \"frame_ms\": " + Num(order.frame_time.milliseconds()) + ",\n \"angles\": \"64 from the picture's right, clockwise\",\n \"frames\": [\n";
  for (std::size_t i = 0; i < pullback.truth.size(); ++i) out += (i > 0 ? ",\n  " : "  ") + SectionJson(pullback.truth[i]);
  return out + "\n ]}\n";
}

Result<std::vector<std::uint8_t>> PullbackFile(const InventedPullback& pullback) {
  const PullbackOrder& order = pullback.order;
  SyntheticPullback file;
  file.rows = file.columns = order.size;
  file.pixels = pullback.pixels;
  file.pixel = order.pixel;
  file.frame_time = order.frame_time;
  file.pullback_mm_s = order.speed_mm_s;
  file.calibrated = order.calibrated;
  file.title = order.scene + (order.stent ? " with a stent, " : ", ") + std::string(GradeName(order.grade));
  file.set = "pullback-" + order.scene + (order.stent ? "-stent" : "") + "-" + std::to_string(order.seed);
  return UltrasoundFile(file);
}

Status WritePullbackPhantom(const std::filesystem::path& folder, const PullbackOrder& order) {
  const auto made = InventPullback(order);
  if (!made) return made.error();
  std::error_code failed;
  std::filesystem::create_directories(folder, failed);
  if (failed) return Error{"the folder cannot be made: " + failed.message(), folder.string(), "choose another folder", Fault::kOutside};
  const auto bytes = PullbackFile(*made);
  if (!bytes) return bytes.error();
  if (Status written = WriteFile(folder / "pullback.dcm", reinterpret_cast<const char*>(bytes->data()), bytes->size()); !written) return written;
  const std::string truth = PullbackTruthJson(*made);
  return WriteFile(folder / "truth.json", truth.data(), truth.size());
}

}  // namespace fairlead
