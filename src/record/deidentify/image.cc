// SPDX-License-Identifier: Apache-2.0
#include "record/deidentify/image.h"

#include <algorithm>

#include "record/deidentify/treated.h"

namespace fairlead {
namespace {

constexpr std::string_view kExplicitLittle = "1.2.840.10008.1.2.1";

// Type 2 attributes that a file must have though they may be empty (PS3.3 C.7.3.1, C.7.6.1, C.8.7.2).
DataSet Empties(std::string_view storage) {
  DataSet set;
  set.Text(0x00200011, "IS", "");
  set.Text(0x00200013, "IS", "");
  set.Text(0x00200020, "CS", "");
  for (const Tag date : {0x00080020U, 0x00080023U}) set.Text(date, "DA", "");
  for (const Tag time : {0x00080030U, 0x00080033U}) set.Text(time, "TM", "");
  set.Text(0x00100040, "CS", "");
  if (storage != "1.2.840.10008.5.1.4.1.1.12.1") return set;
  set.Text(0x00180060, "DS", "");
  for (const Tag exposure : {0x00181150U, 0x00181151U, 0x00181152U}) set.Text(exposure, "IS", "");
  return set;
}

void PutPixels(DataSet& set, const Run& run, FileBytes pixels) {
  const int top = run.bits == 8 ? 8 : std::clamp(run.bits_stored, 9, 16);
  set.Short(0x00280002, run.samples);
  set.Text(0x00280004, "CS", run.samples == 3 ? "RGB" : run.inverse ? "MONOCHROME1" : "MONOCHROME2");
  if (run.samples == 3) set.Short(0x00280006, 0);
  set.Text(0x00280008, "IS", std::to_string(run.frames));
  set.Short(0x00280010, run.rows);
  set.Short(0x00280011, run.columns);
  set.Short(0x00280100, run.bits);
  set.Short(0x00280101, top);
  set.Short(0x00280102, top - 1);
  set.Short(0x00280103, 0);
  if (pixels.size() % 2 != 0) pixels.push_back(0);
  set.Raw(0x7FE00010, run.bits == 8 ? "OB" : "OW", std::move(pixels));
}

void Paint(FileBytes& pixels, const Run& run, const MaskBox& box) {
  const int left = std::clamp(box.left, 0, run.columns), right = std::clamp(box.left + box.width, 0, run.columns);
  const int top = std::clamp(box.top, 0, run.rows), bottom = std::clamp(box.top + box.height, 0, run.rows);
  const std::size_t pixel = static_cast<std::size_t>(run.samples) * static_cast<std::size_t>(run.bits / 8);
  const std::size_t row = static_cast<std::size_t>(run.columns) * pixel, frame = FrameBytes(run);
  if (left >= right) return;
  for (int f = 0; f < run.frames; ++f)
    for (int y = top; y < bottom; ++y) {
      const auto from = pixels.begin() + static_cast<std::ptrdiff_t>(static_cast<std::size_t>(f) * frame + static_cast<std::size_t>(y) * row + static_cast<std::size_t>(left) * pixel);
      std::fill(from, from + static_cast<std::ptrdiff_t>(static_cast<std::size_t>(right - left) * pixel), std::uint8_t{0});
    }
}

}  // namespace

Result<DeidImage> DeidentifyImage(Bytes file, const Run& run, Bytes frames, const std::vector<MaskBox>& boxes, const DeidProject& project) {
  auto parsed = ParseDicom(file);
  if (!parsed) return parsed.error();
  if (parsed->big_endian) return Error{"the file is big-endian, which is not rewritten here", "", "leave it out, or convert it first"};
  if (frames.size() != FrameBytes(run) * static_cast<std::size_t>(run.frames)) return Error{"the frames do not fit the run", "", "import the run again", Fault::kOutside};
  const std::string storage = TextOf(parsed->dataset, 0x00080016), instance = KeyedUid(project, TextOf(parsed->dataset, 0x00080018));
  if (!storage.starts_with("1.2.840.10008.") || storage.find_first_not_of("0123456789.") != std::string::npos || instance.empty()) return Error{"the file does not say what kind of object it is", "", "leave it out"};
  DeidImage image;
  DataSet set = TreatedSet(parsed->dataset, project, image, Empties(storage));
  set.Text(0x00080016, "UI", storage);
  set.Text(0x00080018, "UI", instance);
  PutStatement(set, project, false);
  FileBytes pixels(frames.begin(), frames.end());
  for (const MaskBox& box : boxes) Paint(pixels, run, box);
  PutPixels(set, run, std::move(pixels));
  image.file = FilePreamble(storage, kExplicitLittle, instance);
  const FileBytes body = set.Written();
  image.file.insert(image.file.end(), body.begin(), body.end());
  // What is written anew is not removed: its old value is, and that is what the list says.
  std::ranges::sort(image.removed);
  image.removed.emplace_back("private elements of every group and depth, and all that followed the pixels");
  return image;
}

}  // namespace fairlead
