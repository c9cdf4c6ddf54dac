// SPDX-License-Identifier: Apache-2.0
// How large a pixel is, by geometry: the spacing at the detector, reduced to the isocentre by source-to-isocentre over
// source-to-detector (similar triangles; DICOM PS3.3 C.8.7.5, 10.7). Which attribute is trusted, in which order, and
// which values are not believed, is practice; each choice leaves its words in the run.
#include <algorithm>
#include <array>
#include <cmath>

#include "imaging/dicom/header.h"
#include "imaging/dicom/tags.h"

namespace fairlead {
namespace {

// Practice, no source: what C-arms can be set to.
constexpr double kLeastSid = 800.0, kMostSid = 1400.0;      // mm
constexpr double kLeastSod = 550.0, kMostSod = 900.0;       // mm
constexpr double kLeastRatio = 1.1, kMostRatio = 1.9;       // SID / SOD
constexpr double kLeastSpacing = 0.08, kMostSpacing = 0.80; // mm at the detector
constexpr double kFactorAgrees = 0.02;                      // stated magnification against SID / SOD
constexpr double kFieldAgrees = 0.03;                       // spacing x columns against field of view

// Practice, no source: standard deviations behind a size by geometry.
constexpr double kDepthSd = 25.0;           // mm: how far the artery lies from the isocentre along the beam
constexpr double kDistanceSd = 5.0;         // mm: a stated SID or SOD
constexpr double kUsualSod = 750.0;         // mm: taken when none is stated
constexpr double kUsualSodSd = 50.0;        // mm
constexpr double kStatedSpacingSd = 0.005;  // of the value
constexpr double kDerivedSpacingSd = 0.02;  // of the value: nominal field of view
constexpr double kFactorSd = 0.02;          // of the stated magnification
constexpr double kFileCalibrationSd = 0.05; // of the value

std::optional<PixelSpacing> SpacingIn(const Item& item, Tag tag, Run& run, const char* name) {
  const std::vector<double> values = NumbersOf(item, tag);
  if (TextOf(item, tag).empty()) return std::nullopt;
  if (values.size() != 2 || !(values[0] > 0.0) || !(values[1] > 0.0)) {
    Warn(run, std::string("The file's ") + name + " cannot be a spacing and is not used.");
    return std::nullopt;
  }
  return PixelSpacing{Length::Millimetres(values[0]), Length::Millimetres(values[1])};
}

bool Believable(const PixelSpacing& spacing) {
  const auto inside = [](Length x) { return x.millimetres() >= kLeastSpacing && x.millimetres() <= kMostSpacing; };
  return inside(spacing.row) && inside(spacing.column);
}

std::optional<double> DistanceIn(const Item& item, Tag tag, std::array<double, 2> range, const char* name, Run& run) {
  const std::optional<double> value = NumberOf(item, tag);
  if (!value || *value == 0.0) return std::nullopt;
  if (*value >= range[0] && *value <= range[1]) return value;
  Warn(run, std::string("The file states a ") + name + " of " + Plain(*value) + " mm, which no C-arm has; it is not used.");
  return std::nullopt;
}

void FillDistances(const Item& dataset, Run& run) {
  const Item* geometry = run.kind == RunKind::kEnhancedAngiogram ? GroupItem(dataset, tags::kXRayGeometry, 0) : &dataset;
  if (geometry == nullptr) return;
  const Tag to_isocentre = run.kind == RunKind::kEnhancedAngiogram ? tags::kSourceToIsocentre : tags::kSourceToPatient;
  std::optional<double> sid = DistanceIn(*geometry, tags::kSourceToDetector, {kLeastSid, kMostSid}, "source-to-detector distance", run);
  std::optional<double> sod = DistanceIn(*geometry, to_isocentre, {kLeastSod, kMostSod}, "source-to-isocentre distance", run);
  if (sid && sod && (*sid / *sod < kLeastRatio || *sid / *sod > kMostRatio)) {
    Warn(run, "The stated distances " + Plain(*sid) + " and " + Plain(*sod) + " mm do not fit each other; neither is used.");
    sid.reset();
    sod.reset();
  }
  if (sid) run.source_to_detector = Length::Millimetres(*sid);
  if (sod) run.source_to_isocentre = Length::Millimetres(*sod);
}

void FillMagnification(const Item& dataset, Run& run) {
  run.magnification = NumberOf(dataset, tags::kMagnification);
  if (!run.magnification) return;
  if (*run.magnification < kLeastRatio || *run.magnification > kMostRatio) {
    Warn(run, "The file states a magnification of " + Plain(*run.magnification, 4) + ", which no C-arm has; it is not used.");
    run.magnification.reset();
    return;
  }
  if (!run.source_to_detector || !run.source_to_isocentre) return;
  const double ratio = *run.source_to_detector / *run.source_to_isocentre;
  if (std::abs(*run.magnification / ratio - 1.0) > kFactorAgrees) {
    Warn(run, "The stated magnification " + Plain(*run.magnification, 4) + " disagrees with the distances, which give " + Plain(ratio, 4) + ".");
  }
}

// Field of view at the detector: rows\columns, or one diameter.
std::optional<PixelSpacing> FieldOfView(const Item& dataset, const Run& run) {
  std::vector<double> field = NumbersOf(dataset, tags::kFieldOfView);
  if (const Item* enhanced = GroupItem(dataset, tags::kFieldOfViewSequence, 0)) field = NumbersOf(*enhanced, tags::kFieldOfViewFloat);
  if (field.size() == 1) field.push_back(field.front());
  if (field.size() != 2 || !(field[0] > 0.0) || !(field[1] > 0.0)) return std::nullopt;
  return PixelSpacing{Length::Millimetres(field[0] / run.rows), Length::Millimetres(field[1] / run.columns)};
}

bool Differ(const PixelSpacing& a, const PixelSpacing& b, double share) {
  return std::abs(a.row / b.row - 1.0) > share || std::abs(a.column / b.column - 1.0) > share;
}

// The detector's spacing and its relative sd; a PixelSpacing that calibrates the object's plane is left in `calibrated`.
double FillDetectorSpacing(const Item& dataset, Run& run, std::optional<PixelSpacing>& calibrated) {
  const Item* enhanced = run.kind == RunKind::kEnhancedAngiogram ? GroupItem(dataset, tags::kFramePixelData, 0) : nullptr;
  std::optional<PixelSpacing> imager = SpacingIn(enhanced != nullptr ? *enhanced : dataset, tags::kImagerPixelSpacing, run, "Imager Pixel Spacing");
  const std::optional<PixelSpacing> plain = SpacingIn(dataset, tags::kPixelSpacing, run, "Pixel Spacing");
  const std::optional<PixelSpacing> field = FieldOfView(dataset, run);
  if (imager && !Believable(*imager)) {
    Warn(run, "The file states a detector spacing of " + Plain(imager->row.millimetres(), 4) + " mm, which no detector has; it is not used.");
    imager.reset();
  }
  if (imager && field && Differ(*imager, *field, kFieldAgrees)) {
    Warn(run, "The detector spacing times the picture's size disagrees with the field of view by more than 3 %; part of the field may be cut away.");
  }
  const std::string type = TextOf(dataset, tags::kCalibrationType);
  const bool typed = type == "GEOMETRY" || type == "FIDUCIAL";
  constexpr double kSame = 0.001;
  if (plain && (typed || (imager && Differ(*plain, *imager, kSame)))) calibrated = plain;
  run.detector_spacing = imager;
  run.spacing_from = "Imager Pixel Spacing";
  if (imager) return kStatedSpacingSd;
  if (plain && !calibrated && Believable(*plain)) {
    run.detector_spacing = plain;
    run.spacing_from = "Pixel Spacing without a calibration, taken as the detector's";
    Note(run, "The file's Pixel Spacing carries no calibration; it is taken as the spacing at the detector.");
    return kStatedSpacingSd;
  }
  if (field && Believable(*field)) {
    run.detector_spacing = field;
    run.spacing_from = "derived: field of view divided by rows and columns";
    Note(run, "The file states no detector spacing; it is derived from the field of view.");
    return kDerivedSpacingSd;
  }
  run.spacing_from = "the file states no spacing";
  return 0.0;
}

struct Reduction {
  double factor = 1.0;  // SOD / SID
  double sid = 0.0, sod = 0.0;
  double sid_sd = 0.0, sod_sd = 0.0;  // relative
  std::string text;
};

std::optional<Reduction> ReductionOf(Run& run) {
  Reduction by;
  if (run.source_to_detector) {
    by.sid = run.source_to_detector->millimetres();
    by.sid_sd = kDistanceSd / by.sid;
    by.sod = run.source_to_isocentre ? run.source_to_isocentre->millimetres() : kUsualSod;
    by.sod_sd = (run.source_to_isocentre ? kDistanceSd : kUsualSodSd) / by.sod;
    if (run.source_to_isocentre || !run.magnification) {
      by.factor = by.sod / by.sid;
      by.text = Plain(by.sod) + " / " + Plain(by.sid);
      if (!run.source_to_isocentre) {
        Warn(run, "The file states no source-to-isocentre distance; 750 mm is assumed, so sizes by geometry may be 7 % off.");
      }
      return by;
    }
  }
  if (!run.magnification) return std::nullopt;
  by = {1.0 / *run.magnification, 0.0, kUsualSod, kFactorSd, 0.0, "1 / " + Plain(*run.magnification, 4)};
  return by;
}

void FillPixelSize(Run& run, double spacing_sd) {
  if (!run.detector_spacing) return;
  const std::optional<Reduction> by = ReductionOf(run);
  if (!by) {
    Note(run, "The file states no distances, so sizes in millimetres need a calibration.");
    return;
  }
  const Length detector = 0.5 * (run.detector_spacing->row + run.detector_spacing->column);
  GeometricPixelSize size;
  size.per_pixel = detector * by->factor;
  size.method = "geometry, isocentre: " + Plain(detector.millimetres(), 4) + " mm x " + by->text;
  const auto part = [&](const char* name, double share) {
    if (share > 0.0) size.parts.push_back({name, size.per_pixel * share});
  };
  part("depth of the artery", kDepthSd / by->sod);
  part(by->sid > 0.0 ? "source to detector" : "magnification", by->sid_sd);
  part("source to isocentre", by->sod_sd);
  part("detector spacing", spacing_sd);
  size.sd = RootSumOfSquares(size.parts);
  run.pixel_size = std::move(size);
}

void UseFileCalibration(const PixelSpacing& calibrated, Run& run) {
  const Length mean = 0.5 * (calibrated.row + calibrated.column);
  if (run.pixel_size) {
    const double share = mean / run.pixel_size->per_pixel - 1.0;
    Note(run, "The file also has a calibrated pixel of " + Plain(mean.millimetres(), 4) + " mm, " + Plain(100.0 * share, 1) + " % from the geometry; the geometry is used.");
    return;
  }
  GeometricPixelSize size;
  size.per_pixel = mean;
  size.parts = {{"calibration in the file", mean * kFileCalibrationSd}};
  size.sd = RootSumOfSquares(size.parts);
  size.method = "calibration stored in the file";
  run.pixel_size = std::move(size);
  Note(run, "The size of a pixel is the file's own calibration; at which depth it holds is not known.");
}

}  // namespace

void FillSpacing(const Item& dataset, Run& run) {
  const bool xray = run.kind == RunKind::kAngiogram || run.kind == RunKind::kRadiofluoroscopy || run.kind == RunKind::kEnhancedAngiogram;
  if (!xray) {
    run.spacing_from = "not an X-ray run";
    Note(run, "This is shown without measurement: its geometry is not that of an X-ray run.");
    return;
  }
  FillDistances(dataset, run);
  FillMagnification(dataset, run);
  std::optional<PixelSpacing> calibrated;
  const double spacing_sd = FillDetectorSpacing(dataset, run, calibrated);
  constexpr double kSquare = 0.01;
  if (run.detector_spacing && std::abs(run.detector_spacing->row / run.detector_spacing->column - 1.0) > kSquare) {
    Warn(run, "The pixels are not square; no size is taken from the geometry.");
    return;
  }
  FillPixelSize(run, spacing_sd);
  if (calibrated) UseFileCalibration(*calibrated, run);
  if (!run.detector_spacing && !run.pixel_size) Note(run, "The file states no spacing, so sizes in millimetres need a calibration.");
}

}  // namespace fairlead
