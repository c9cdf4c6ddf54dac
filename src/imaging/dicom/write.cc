// SPDX-License-Identifier: Apache-2.0
// Written by hand and not through a toolkit: the bytes must not depend on a toolkit's version or its dictionary file.
#include "imaging/dicom/write.h"

#include <algorithm>
#include <array>
#include <string_view>

#include "imaging/dicom/dataset.h"
#include "imaging/dicom/jpeg_lossless.h"

namespace fairlead {
namespace {

using Bytes = FileBytes;

constexpr std::string_view kXaStorage = "1.2.840.10008.5.1.4.1.1.12.1";
constexpr std::string_view kExplicitLittle = "1.2.840.10008.1.2.1";
constexpr std::string_view kJpegLosslessSv1 = "1.2.840.10008.1.2.4.70";

void PutIdentity(DataSet& set, const SyntheticRun& run, const std::string& instance) {
  set.Text(0x00080008, "CS", "DERIVED\\PRIMARY\\SINGLE PLANE");  // computed: no detector ever saw it
  set.Text(0x00080016, "UI", kXaStorage);
  set.Text(0x00080018, "UI", instance);
  for (const std::uint32_t date : {0x00080020u, 0x00080023u, 0x00100030u}) set.Text(date, "DA", "");
  for (const std::uint32_t time : {0x00080030u, 0x00080033u}) set.Text(time, "TM", "");
  set.Text(0x00080050, "SH", "");
  set.Text(0x00080060, "CS", "XA");
  set.Text(0x00080070, "LO", "");
  set.Text(0x00080090, "PN", "");
  set.Text(0x0008103E, "LO", "synthetic: " + run.title);
  set.Text(0x00082111, "ST", "synthetic: computed from an invented heart; there is no patient");
  set.Text(0x00100010, "PN", "INVENTED^" + run.set.substr(0, 40));
  set.Text(0x00100020, "LO", "INVENTED-" + run.set.substr(0, 40));
  set.Text(0x00100040, "CS", "O");
  set.Text(0x00120062, "CS", "YES");
  set.Text(0x00120063, "LO", "synthetic, no patient");
  set.Text(0x00180015, "CS", "HEART");
  set.Text(0x0020000D, "UI", UidOf("study " + run.set));
  set.Text(0x0020000E, "UI", UidOf("series " + run.set));
  set.Text(0x00200010, "SH", "");
  set.Text(0x00200011, "IS", "1");
  set.Text(0x00200013, "IS", std::to_string(run.number));
  set.Text(0x00200020, "CS", "");
}

void PutGeometry(DataSet& set, const SyntheticRun& run) {
  const View& view = run.view;
  const double sid = view.source_to_detector.millimetres(), sod = view.source_to_isocentre.millimetres();
  set.Text(0x00180060, "DS", "");
  set.Text(0x00181063, "DS", DecimalText(run.frame_time.milliseconds()));
  set.Text(0x00181110, "DS", DecimalText(sid));
  set.Text(0x00181111, "DS", DecimalText(sod));
  set.Text(0x00181114, "DS", DecimalText(sid / sod));
  for (const std::uint32_t exposure : {0x00181150u, 0x00181151u, 0x00181152u}) set.Text(exposure, "IS", "");
  set.Text(0x00181155, "CS", "GR");
  set.Text(0x00181164, "DS", DecimalText(view.row_spacing.millimetres()) + "\\" + DecimalText(view.column_spacing.millimetres()));
  set.Text(0x00181500, "CS", "STATIC");
  set.Text(0x00181510, "DS", DecimalText(view.primary.degrees()));
  set.Text(0x00181511, "DS", DecimalText(view.secondary.degrees()));
  // The standard counts columns and rows from 1, and an edge is the first column or row that is covered.
  set.Text(0x00181700, "CS", "RECTANGULAR");
  set.Text(0x00181702, "IS", std::to_string(run.collimator.left));
  set.Text(0x00181704, "IS", std::to_string(run.collimator.right + 2));
  set.Text(0x00181706, "IS", std::to_string(run.collimator.top));
  set.Text(0x00181708, "IS", std::to_string(run.collimator.bottom + 2));
}

void PutPicture(DataSet& set, const SyntheticRun& run, std::size_t frames) {
  set.Short(0x00280002, 1);
  set.Text(0x00280004, "CS", "MONOCHROME2");
  set.Text(0x00280008, "IS", std::to_string(frames));
  set.Raw(0x00280009, "AT", {0x18, 0x00, 0x63, 0x10});  // to Frame Time
  set.Short(0x00280010, run.view.rows);
  set.Short(0x00280011, run.view.columns);
  set.Short(0x00280100, run.bits_stored > 8 ? 16 : 8);
  set.Short(0x00280101, run.bits_stored);
  set.Short(0x00280102, run.bits_stored - 1);
  set.Short(0x00280103, 0);
  set.Text(0x00280301, "CS", "NO");
  set.Text(0x00281040, "CS", "DISP");
  if (run.window_width > 0.0) {
    set.Text(0x00281050, "DS", DecimalText(run.window_center));
    set.Text(0x00281051, "DS", DecimalText(run.window_width));
  }
  set.Text(0x00282110, "CS", "00");
  if (!run.r_wave_frames.empty()) {
    std::vector<int> from_one;
    for (const int frame : run.r_wave_frames) from_one.push_back(frame + 1);
    set.Short(0x00286040, from_one);
  }
}

Bytes PlainPixels(const SyntheticRun& run) {
  Bytes pixels;
  pixels.reserve(run.pixels.size() * (run.bits_stored > 8 ? 2 : 1) + 1);
  if (run.bits_stored > 8) {
    for (const std::uint16_t value : run.pixels) Put16(pixels, value);
  } else {
    for (const std::uint16_t value : run.pixels) pixels.push_back(static_cast<std::uint8_t>(value));
  }
  if (pixels.size() % 2 == 1) pixels.push_back(0);
  return pixels;
}

// One fragment a frame after a table of offsets; PS3.5 A.4.
void PutFragments(Bytes& out, const SyntheticRun& run, std::size_t frames) {
  const std::size_t size = run.pixels.size() / frames;
  Bytes offsets, items;
  for (std::size_t f = 0; f < frames; ++f) {
    Put32(offsets, items.size());
    Bytes frame = JpegLosslessFrame(run.pixels.subspan(f * size, size), run.view.rows, run.view.columns, run.bits_stored);
    if (frame.size() % 2 == 1) frame.push_back(0);
    Put32(items, 0xE000FFFE);
    Put32(items, frame.size());
    items.insert(items.end(), frame.begin(), frame.end());
  }
  Put32(out, 0x00107FE0);
  out.insert(out.end(), {'O', 'B', 0, 0});
  Put32(out, 0xFFFFFFFF);
  Put32(out, 0xE000FFFE);
  Put32(out, offsets.size());
  out.insert(out.end(), offsets.begin(), offsets.end());
  out.insert(out.end(), items.begin(), items.end());
  Put32(out, 0xE0DDFFFE);
  Put32(out, 0);
}

Status CheckRun(const SyntheticRun& run) {
  if (const Status good = CheckView(run.view); !good) return good.error();
  const std::size_t size = static_cast<std::size_t>(run.view.rows) * static_cast<std::size_t>(run.view.columns);
  if (run.pixels.empty() || run.pixels.size() % size != 0) return Error{"the pixels do not make whole frames", "synthetic run", "give rows x columns x frames values"};
  if (run.bits_stored != 8 && run.bits_stored != 10 && run.bits_stored != 12) return Error{"a synthetic run stores 8, 10 or 12 bits", "synthetic run", "choose one of these"};
  const auto brightest = *std::max_element(run.pixels.begin(), run.pixels.end());
  if (brightest >> run.bits_stored != 0) return Error{"a pixel is larger than the stored bits hold", "synthetic run", "store more bits"};
  if (run.title.size() > 50) return Error{"the title is longer than 50 letters", "synthetic run", "shorten it"};
  return Done{};
}

}  // namespace

Result<std::vector<std::uint8_t>> XaFile(const SyntheticRun& run, XaCompression compression) {
  if (const Status good = CheckRun(run); !good) return good.error();
  const std::size_t frames = run.pixels.size() / (static_cast<std::size_t>(run.view.rows) * static_cast<std::size_t>(run.view.columns));
  DataSet set;
  PutGeometry(set, run);
  PutPicture(set, run, frames);
  const Bytes plain = PlainPixels(run);
  Bytes named = set.Written();  // what the instance's UID stands for
  named.insert(named.end(), plain.begin(), plain.end());
  named.insert(named.end(), run.set.begin(), run.set.end());
  named.push_back(compression == XaCompression::kNone ? 0 : 1);
  const std::string instance = UidOf(DigestOf(named));
  PutIdentity(set, run, instance);

  const bool lossless = compression == XaCompression::kJpegLossless;
  Bytes out = FilePreamble(kXaStorage, lossless ? kJpegLosslessSv1 : kExplicitLittle, instance);
  const Bytes header = set.Written();
  out.insert(out.end(), header.begin(), header.end());
  if (lossless) {
    PutFragments(out, run, frames);
  } else {
    PutElement(out, 0x7FE00010, run.bits_stored > 8 ? "OW" : "OB", plain);
  }
  return out;
}

}  // namespace fairlead
