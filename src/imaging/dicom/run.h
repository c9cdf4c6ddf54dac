// SPDX-License-Identifier: Apache-2.0
// An angiogram run as read from a file: what the picture is, how its frames follow each other, from where it was
// taken and how large a pixel is, each with how it is known. Never a patient's name, number or date.
// The served values are the stored values: 8 bit, or 16 bit little-endian, 1 sample a pixel (grey) or 3 (RGB).
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "measure/quantity.h"
#include "measure/reading.h"

namespace fairlead {

enum class RunKind {
  kAngiogram,          // X-Ray Angiographic Image, and the retired bi-plane class
  kEnhancedAngiogram,  // Enhanced XA and Enhanced XRF
  kRadiofluoroscopy,   // X-Ray Radiofluoroscopic Image
  kUltrasound,         // one frame or many
  kSecondaryCapture,   // shown, not measured
  kStill,              // a PNG: shown, not measured
};

// "X-ray angiogram", "ultrasound", ...: for people and for the wire.
std::string KindText(RunKind kind);

// Where the detector stands: +LAO -RAO, +CRA -CAU (DICOM PS3.3 C.8.7.5).
struct ViewAngles {
  Angle primary;
  Angle secondary;
};

// "LAO 31 CRA 0": whole degrees, away from zero at one half; 0 is written LAO 0 and CRA 0.
std::string ViewText(const ViewAngles& view);

struct GreyWindow {
  double center = 0.0;
  double width = 0.0;  // above 0
};

// Columns and rows of the picture inside the shutter, 0-based and inclusive.
struct Shutter {
  int left = 0, right = 0, top = 0, bottom = 0;
};

enum class RemarkLevel { kNote, kWarning };

struct RunRemark {
  RemarkLevel level = RemarkLevel::kNote;
  std::string text;  // a whole sentence
};

struct PixelSpacing {
  Length row;     // between rows
  Length column;  // between columns
};

// Size of a pixel at the isocentre, by geometry alone. `parts` are independent and in mm per pixel.
struct GeometricPixelSize {
  Length per_pixel;
  Length sd;
  std::vector<UncertaintyPart<Length>> parts;
  std::string method;  // "geometry, isocentre: 0.3906 mm x 720 / 860"
};

// Of an ultrasound picture: the size of a pixel, and the part of the picture in which it holds.
struct UltrasoundScale {
  PixelSpacing spacing;
  Shutter region;
  std::string from;  // how it is known
};

// Which side of the picture the spine lies on, as seen in the pixels. `share` in [-1, 1] is the side's weight:
// negative left, positive right; near 0 nothing is known.
struct SpineSide {
  double share = 0.0;
  bool sure = false;
};

struct Run {
  std::string hash;      // SHA-256 of the file's bytes, hex; filled by the store, empty before
  std::string modality;  // "XA", "RF", "US", "OT"; letters and digits only
  RunKind kind = RunKind::kStill;
  std::string transfer_syntax_uid, transfer_syntax_name;

  int rows = 0, columns = 0, frames = 0;
  int samples = 1;        // 1 or 3
  int bits = 8;           // of the served values: 8 or 16
  int bits_stored = 8;    // of which so many carry the picture
  bool inverse = false;   // MONOCHROME1: the smallest value is white

  std::vector<double> frame_ms;  // start of each frame after the first frame's, milliseconds
  std::string timing;            // how frame_ms is known
  double rate_hz = 0.0;          // mean rate; 0 for a single frame

  std::optional<ViewAngles> view;       // of the first frame
  std::vector<ViewAngles> frame_views;  // of each frame if the gantry moved, else empty
  std::optional<Length> source_to_detector;   // SID
  std::optional<Length> source_to_isocentre;  // SOD
  std::optional<double> magnification;        // estimated radiographic magnification factor, as stored
  std::optional<PixelSpacing> detector_spacing;
  std::string spacing_from;             // how detector_spacing is known, or why there is none
  std::optional<GeometricPixelSize> pixel_size;

  std::optional<UltrasoundScale> ultrasound;  // none: not ultrasound, or the file does not say
  double pullback_mm_s = 0.0;           // of a motor that draws the catheter back; 0: not stated

  GreyWindow window;                    // in stored values
  std::string window_from;              // how it is known
  std::optional<Shutter> shutter;
  std::vector<int> r_wave_frames;       // 0-based frames nearest an R wave
  std::string radiation;                // "fluoroscopy", "acquisition" or empty
  bool calibration_image = false;       // the run shows an object of known size; not a clinical view
  std::string burned_in;                // "YES", "NO" or empty: is text burned into the picture

  std::vector<double> filling;          // how much darker than the run's background each frame is where it is most so, 0 to 1
  SpineSide spine;
  std::vector<RunRemark> remarks;
};

// Bytes of one served frame.
std::size_t FrameBytes(const Run& run);

// Append a remark, a whole sentence.
void Note(Run& run, std::string text);
void Warn(Run& run, std::string text);

}  // namespace fairlead
