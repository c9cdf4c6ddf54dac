// SPDX-License-Identifier: Apache-2.0
// The spine lies behind the heart, so in a head-first supine patient it shows on the right of the picture when the
// detector stands to the left (LAO), and on the left in RAO: seen from the isocentre, a posterior point moves with the
// sine of the primary angle (DICOM PS3.3 C.8.7.5). Where the picture shows it on the other side, the angle's sign is
// wrong or the picture is mirrored.
//
// The pixels alone tell the spine only in clear pictures: heart, diaphragm and collimator are dark too. The thresholds
// are chosen so that nothing is said in doubt: of 33 real runs and frames (one cine, eight of a phantom without a spine,
// 24 single frames of ARCADE, doi 10.1038/s41597-023-02871-z) only the cine, with 0.52, is above them; the next has 0.40.
#include <algorithm>
#include <cmath>

#include "imaging/dicom/header.h"
#include "imaging/dicom/picture.h"

namespace fairlead {
namespace {

constexpr std::size_t kBorder = 3;        // blocks at the left and right edge that may be collimator
constexpr std::size_t kFirstRow = 4, kLastRow = 27;
constexpr std::size_t kBand = 5;          // blocks: about as wide as a spine in a heart's field
constexpr std::size_t kOppositeWidth = 9; // blocks of the other side that it is compared with
constexpr double kSureContrast = 0.45;    // of the run's range of greys
constexpr double kSureRows = 0.9;         // share of rows in which the band is darker than the other side
constexpr double kRowContrast = 0.15;
constexpr double kOffCentre = 0.25;       // of half the width
constexpr double kSureAngle = 15.0;       // degrees: with less the spine is near the middle

double MeanOf(const CoarsePicture& picture, std::size_t row, std::size_t from, std::size_t width) {
  double sum = 0.0;
  for (std::size_t c = from; c < from + width; ++c) sum += picture[row * kGrid + c];
  return sum / static_cast<double>(width);
}

double MeanOfBand(const CoarsePicture& picture, std::size_t from, std::size_t width) {
  double sum = 0.0;
  for (std::size_t row = kFirstRow; row <= kLastRow; ++row) sum += MeanOf(picture, row, from, width);
  return sum / static_cast<double>(kLastRow - kFirstRow + 1);
}

}  // namespace

SpineSide SpineFrom(const CoarsePicture& picture) {
  std::size_t darkest = kBorder;
  for (std::size_t from = kBorder; from + kBand + kBorder <= kGrid; ++from) {
    if (MeanOfBand(picture, from, kBand) < MeanOfBand(picture, darkest, kBand)) darkest = from;
  }
  constexpr double kMiddle = kGrid / 2.0;
  const double offset = (static_cast<double>(darkest) + kBand / 2.0 - kMiddle) / kMiddle;
  const bool right = offset > 0.0;
  const std::size_t opposite = right ? kBorder : kGrid - kBorder - kOppositeWidth;
  const double contrast = MeanOfBand(picture, opposite, kOppositeWidth) - MeanOfBand(picture, darkest, kBand);
  double rows = 0.0;
  for (std::size_t row = kFirstRow; row <= kLastRow; ++row) {
    if (MeanOf(picture, row, darkest, kBand) < MeanOf(picture, row, opposite, kOppositeWidth) - kRowContrast) rows += 1.0;
  }
  const bool long_enough = rows >= kSureRows * static_cast<double>(kLastRow - kFirstRow + 1);
  const double share = std::clamp(contrast, 0.0, 1.0);
  return {right ? share : -share, contrast >= kSureContrast && long_enough && std::abs(offset) >= kOffCentre};
}

void CompareSpineWithView(Run& run) {
  if (!run.spine.sure || !run.view) return;
  const double primary = run.view->primary.degrees();
  if (std::abs(primary) <= kSureAngle || std::abs(primary) >= 90.0) return;
  if ((run.spine.share > 0.0) == (primary > 0.0)) return;
  const std::string side = run.spine.share > 0.0 ? "right" : "left", expected = run.spine.share > 0.0 ? "LAO" : "RAO";
  Warn(run, "The picture is dark all the way down on its " + side + ", as the spine makes it in a " + expected + " view, but the file states " +
                ViewText(*run.view) + ". The angle's sign may be wrong or the picture mirrored; check before you trust either.");
}

}  // namespace fairlead
