// SPDX-License-Identifier: Apache-2.0
#include "casebook/irradiation.h"

namespace fairlead {

std::string_view EventKindName(EventKind kind) {
  switch (kind) {
    case EventKind::kUnknown: return "unknown";
    case EventKind::kFluoroscopy: return "fluoroscopy";
    case EventKind::kAcquisition: return "acquisition";
    case EventKind::kRotation: return "rotation";
  }
  return "";
}

std::string_view PlaneName(Plane plane) {
  switch (plane) {
    case Plane::kSingle: return "single";
    case Plane::kA: return "A";
    case Plane::kB: return "B";
  }
  return "";
}

}  // namespace fairlead
