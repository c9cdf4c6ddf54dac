// SPDX-License-Identifier: Apache-2.0
#include "imaging/dicom/write_us.h"

#include "imaging/dicom/dataset.h"

namespace fairlead {
namespace {

constexpr std::string_view kUsMultiframe = "1.2.840.10008.5.1.4.1.1.3.1";
constexpr std::string_view kExplicitLittle = "1.2.840.10008.1.2.1";

void PutWho(DataSet& set, const SyntheticPullback& pullback, const std::string& instance) {
  set.Text(0x00080008, "CS", "DERIVED\\PRIMARY\\INTRAVASCULAR\\0001");
  set.Text(0x00080016, "UI", kUsMultiframe);
  set.Text(0x00080018, "UI", instance);
  for (const std::uint32_t date : {0x00080020u, 0x00080023u, 0x00100030u}) set.Text(date, "DA", "");
  for (const std::uint32_t time : {0x00080030u, 0x00080033u}) set.Text(time, "TM", "");
  set.Text(0x0008002A, "DT", "19000101000000");         // asked for in intravascular pictures; plainly no time of an examination
  set.Text(0x00080050, "SH", "");
  set.Text(0x00080060, "CS", "IVUS");
  set.Text(0x00080070, "LO", "");
  set.Text(0x00080090, "PN", "");
  set.Text(0x0008103E, "LO", "synthetic: " + pullback.title);
  set.Text(0x00082111, "ST", "synthetic: computed from an invented vessel; there is no patient");
  set.Text(0x00100010, "PN", "INVENTED^" + pullback.set.substr(0, 40));
  set.Text(0x00100020, "LO", "INVENTED-" + pullback.set.substr(0, 40));
  set.Text(0x00100040, "CS", "O");
  set.Text(0x00120062, "CS", "YES");
  set.Text(0x00120063, "LO", "synthetic, no patient");
  set.Text(0x00180015, "CS", "HEART");
  set.Text(0x0018106A, "CS", "NO TRIGGER");             // PS3.3 A.7.3.1: IVUS carries the Synchronization Module
  set.Text(0x00181800, "CS", "N");
  set.Text(0x00200200, "UI", UidOf("clock " + pullback.set));
  set.Text(0x0020000D, "UI", UidOf("study " + pullback.set));
  set.Text(0x0020000E, "UI", UidOf("pullbacks " + pullback.set));
  set.Text(0x00200010, "SH", "");
  set.Text(0x00200011, "IS", "1");
  set.Text(0x00200013, "IS", "1");
  set.Text(0x00200020, "CS", "");
}

DataSet Region(const SyntheticPullback& pullback) {
  DataSet region;
  region.Short(0x00186012, 1);  // 2D
  region.Short(0x00186014, 1);  // tissue
  region.Long(0x00186016, 0);
  region.Long(0x00186018, 0);
  region.Long(0x0018601A, 0);
  region.Long(0x0018601C, static_cast<std::uint32_t>(pullback.columns - 1));
  region.Long(0x0018601E, static_cast<std::uint32_t>(pullback.rows - 1));
  region.Short(0x00186024, 3);  // cm
  region.Short(0x00186026, 3);
  region.Real(0x0018602C, pullback.pixel.millimetres() / 10.0);
  region.Real(0x0018602E, pullback.pixel.millimetres() / 10.0);
  return region;
}

DataSet PictureOf(const SyntheticPullback& pullback, std::size_t frames) {
  DataSet set;
  set.Text(0x00181063, "DS", DecimalText(pullback.frame_time.milliseconds()));
  if (pullback.pullback_mm_s > 0.0) {
    set.Text(0x00183100, "CS", "MOTOR_PULLBACK");
    set.Text(0x00183101, "DS", DecimalText(pullback.pullback_mm_s));
    set.Text(0x00183103, "IS", "1");
    set.Text(0x00183104, "IS", std::to_string(frames));
  }
  if (pullback.calibrated) set.OneItem(0x00186011, Region(pullback));
  set.Short(0x00280002, 1);
  set.Text(0x00280004, "CS", "MONOCHROME2");
  set.Text(0x00280008, "IS", std::to_string(frames));
  set.Raw(0x00280009, "AT", {0x18, 0x00, 0x63, 0x10});  // to Frame Time
  set.Short(0x00280010, pullback.rows);
  set.Short(0x00280011, pullback.columns);
  set.Short(0x00280100, 8);
  set.Short(0x00280101, 8);
  set.Short(0x00280102, 7);
  set.Short(0x00280103, 0);
  set.Text(0x00280301, "CS", "NO");
  set.Text(0x00282110, "CS", "00");
  return set;
}

}  // namespace

Result<std::vector<std::uint8_t>> UltrasoundFile(const SyntheticPullback& pullback) {
  const std::size_t size = static_cast<std::size_t>(pullback.rows) * static_cast<std::size_t>(pullback.columns);
  if (size == 0 || pullback.pixels.empty() || pullback.pixels.size() % size != 0) {
    return Error{"the pixels do not make whole frames", "synthetic pullback", "give rows x columns x frames values"};
  }
  if (pullback.title.size() > 50) return Error{"the title is longer than 50 letters", "synthetic pullback", "shorten it"};
  DataSet set = PictureOf(pullback, pullback.pixels.size() / size);
  FileBytes named = set.Written();
  const FileDigest digest = DigestOf(pullback.pixels);
  named.insert(named.end(), digest.begin(), digest.end());
  named.insert(named.end(), pullback.set.begin(), pullback.set.end());
  const std::string instance = UidOf(DigestOf(named));
  PutWho(set, pullback, instance);
  FileBytes out = FilePreamble(kUsMultiframe, kExplicitLittle, instance);
  const FileBytes header = set.Written();
  out.insert(out.end(), header.begin(), header.end());
  FileBytes pixels(pullback.pixels.begin(), pullback.pixels.end());
  if (pixels.size() % 2 == 1) pixels.push_back(0);
  PutElement(out, 0x7FE00010, "OB", pixels);
  return out;
}

}  // namespace fairlead
