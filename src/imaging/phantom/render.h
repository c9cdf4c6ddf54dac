// SPDX-License-Identifier: Apache-2.0
// An X-ray picture of a scene: attenuation along each ray through vessels, catheters, bone, lung and diaphragm, then
// scatter, blur, quantum noise and the detector's steps. Every number is made by sums, products, quotients and square
// roots alone, so a run has the same pixels on every processor.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "geometry/view.h"
#include "imaging/phantom/scene.h"
#include "measure/result.h"

namespace fairlead {

enum class Grade {
  kClean,    // low noise, no breathing, even background
  kTypical,
  kPoor,     // fluoroscopy-like noise, more scatter, thin contrast, breathing
};
std::string_view GradeName(Grade grade);                 // "clean", "typical", "poor"
Result<Grade> ParseGrade(std::string_view name);

struct NoiseLevel {
  double quanta = 0.0;       // mean quanta a pixel where nothing but the chest's mean thickness is in the beam
  double electronic = 0.0;   // standard deviation in quanta
  double scatter = 0.0;      // share of the primary beam's mean
  double contrast = 0.0;     // attenuation of undiluted contrast medium, 1/mm
  double blur = 0.0;         // standard deviation, pixels
  double busy = 0.0;         // how strong the small shadows of the chest are
};

// One catheter's injection.
struct Injection {
  Injected ostium = Injected::kLeft;
  Duration start, length;
};

struct RunPlan {
  View view;
  std::vector<Injection> injections;
  int frames = 45;
  Duration frame_time = Duration::Milliseconds(1000.0 / 15.0);
  int bits_stored = 8;       // 8 or 12
  Grade grade = Grade::kTypical;
  std::uint64_t seed = 0;    // of the noise
  std::optional<NoiseLevel> level;  // instead of the grade's
};

// A view as a usual C-arm gives it: source to isocentre 765 mm, source to detector 1100 mm, 512 x 512, 0.3125 mm.
View UsualView(Angle primary, Angle secondary);

NoiseLevel NoiseOf(Grade grade);
NoiseLevel LevelOf(const RunPlan& plan);  // its own, or the grade's

struct PhantomRun {
  std::vector<std::uint16_t> pixels;   // rows x columns x frames
  int left = 0, right = 0, top = 0, bottom = 0;  // inside the collimator, 0-based and inclusive
  std::vector<int> r_wave_frames;
};

// The stored value of a detector signal (quanta), and back: logarithmic between these shares of the level's quanta.
inline constexpr double kDarkest = 0.18, kBrightest = 2.7;
double StoredValueOf(double quanta, const RunPlan& plan);
double QuantaOf(double stored, const RunPlan& plan);

// Expected stored values of frame 0 without noise are what a test compares with: `noise` false leaves all noise out.
// Errors: a view that CheckView refuses, bits other than 8 and 12, no frame or more than 300.
Result<PhantomRun> RenderRun(const Scene& scene, const RunPlan& plan, bool noise = true);

}  // namespace fairlead
