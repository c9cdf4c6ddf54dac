// SPDX-License-Identifier: Apache-2.0
#include "imaging/dicom/run.h"

#include <cmath>
#include <utility>

namespace fairlead {

std::string KindText(RunKind kind) {
  switch (kind) {
    case RunKind::kAngiogram: return "X-ray angiogram";
    case RunKind::kEnhancedAngiogram: return "enhanced X-ray angiogram";
    case RunKind::kRadiofluoroscopy: return "radiofluoroscopy";
    case RunKind::kUltrasound: return "ultrasound";
    case RunKind::kSecondaryCapture: return "secondary capture";
    case RunKind::kStill: return "still picture";
  }
  return {};
}

std::string ViewText(const ViewAngles& view) {
  const auto part = [](double degrees, const char* positive, const char* negative) {
    const long whole = std::lround(degrees);
    return std::string(whole < 0 ? negative : positive) + " " + std::to_string(std::labs(whole));
  };
  return part(view.primary.degrees(), "LAO", "RAO") + " " + part(view.secondary.degrees(), "CRA", "CAU");
}

std::size_t FrameBytes(const Run& run) {
  return static_cast<std::size_t>(run.rows) * static_cast<std::size_t>(run.columns) * static_cast<std::size_t>(run.samples) *
         static_cast<std::size_t>(run.bits / 8);
}

void Note(Run& run, std::string text) { run.remarks.push_back({RemarkLevel::kNote, std::move(text)}); }

void Warn(Run& run, std::string text) { run.remarks.push_back({RemarkLevel::kWarning, std::move(text)}); }

}  // namespace fairlead
