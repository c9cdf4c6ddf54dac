// SPDX-License-Identifier: Apache-2.0
#include "imaging/dicom/header.h"

#include <algorithm>
#include <charconv>

#include "imaging/dicom/syntax.h"
#include "imaging/dicom/tags.h"

namespace fairlead {
namespace {

struct ClassOf {
  std::string_view uid;
  RunKind kind;
};

// PS3.4 annex B.5 and, retired, earlier editions.
constexpr auto kClasses = std::to_array<ClassOf>({
    {"1.2.840.10008.5.1.4.1.1.12.1", RunKind::kAngiogram},
    {"1.2.840.10008.5.1.4.1.1.12.3", RunKind::kAngiogram},  // bi-plane, retired
    {"1.2.840.10008.5.1.4.1.1.12.1.1", RunKind::kEnhancedAngiogram},
    {"1.2.840.10008.5.1.4.1.1.12.2.1", RunKind::kEnhancedAngiogram},
    {"1.2.840.10008.5.1.4.1.1.12.2", RunKind::kRadiofluoroscopy},
    {"1.2.840.10008.5.1.4.1.1.3", RunKind::kUltrasound},
    {"1.2.840.10008.5.1.4.1.1.3.1", RunKind::kUltrasound},
    {"1.2.840.10008.5.1.4.1.1.6", RunKind::kUltrasound},
    {"1.2.840.10008.5.1.4.1.1.6.1", RunKind::kUltrasound},
    {"1.2.840.10008.5.1.4.1.1.7", RunKind::kSecondaryCapture},
    {"1.2.840.10008.5.1.4.1.1.7.1", RunKind::kSecondaryCapture},
    {"1.2.840.10008.5.1.4.1.1.7.2", RunKind::kSecondaryCapture},
    {"1.2.840.10008.5.1.4.1.1.7.3", RunKind::kSecondaryCapture},
    {"1.2.840.10008.5.1.4.1.1.7.4", RunKind::kSecondaryCapture},
});

// Letters, digits and blanks of a code string, so that nothing else of a file reaches a sentence.
std::string CodeOf(const Item& dataset, Tag tag) {
  std::string code;
  for (const char c : TextOf(dataset, tag)) {
    if ((c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == ' ' || c == '_') code.push_back(c);
    if (code.size() == 16) break;
  }
  return code;
}

Result<RunKind> KindOf(const DicomFile& file) {
  const std::string uid = TextOf(file.dataset, tags::kSopClass);
  const auto found = std::ranges::find(kClasses, uid, &ClassOf::uid);
  if (found != kClasses.end()) return found->kind;
  const std::string modality = CodeOf(file.dataset, tags::kModality);
  if (uid.empty() && modality.empty()) {
    return Error{"the file does not say what kind of picture it is", "SOP Class UID is missing", "choose an angiogram run"};
  }
  return Error{"this kind of DICOM object is not read" + (modality.empty() ? std::string() : ": modality " + modality),
               "SOP Class UID", "choose an angiogram, ultrasound or secondary capture"};
}

Result<int> WholeOf(const Item& dataset, Tag tag, const char* name, int low, int high) {
  const std::optional<double> value = NumberOf(dataset, tag);
  if (!value) return Error{std::string(name) + " is missing or no number", name, "export or copy the file again"};
  if (*value < low || *value > high || *value != static_cast<int>(*value)) {
    return Error{std::string(name) + " is " + Plain(*value) + "; " + std::to_string(low) + " to " + std::to_string(high) + " can be read",
                 name, "export or copy the file again"};
  }
  return static_cast<int>(*value);
}

constexpr int kMostAcross = 65'535;       // what the attribute can hold
constexpr int kMostFrames = 1'000'000;    // chosen: nine hours at 30 a second; the limit of bytes comes first

Status FillSize(const Item& dataset, Run& run) {
  Result<int> rows = WholeOf(dataset, tags::kRows, "Rows", 1, kMostAcross);
  if (!rows) return rows.error();
  Result<int> columns = WholeOf(dataset, tags::kColumns, "Columns", 1, kMostAcross);
  if (!columns) return columns.error();
  run.rows = *rows;
  run.columns = *columns;
  run.frames = 1;
  if (!TextOf(dataset, tags::kFrames).empty()) {
    Result<int> frames = WholeOf(dataset, tags::kFrames, "Number of Frames", 1, kMostFrames);
    if (!frames) return frames.error();
    run.frames = *frames;
  }
  return Done{};
}

Status FillLayout(const Item& dataset, PixelLayout& layout) {
  layout.photometric = CodeOf(dataset, tags::kPhotometric);
  const auto whole = [&](Tag tag, const char* name, int low, int high, int& into) -> Status {
    Result<int> value = WholeOf(dataset, tag, name, low, high);
    if (!value) return value.error();
    into = *value;
    return Done{};
  };
  if (Find(dataset, tags::kSamples) != nullptr) {
    Status samples = whole(tags::kSamples, "Samples per Pixel", 1, 3, layout.samples);
    if (!samples) return samples;
  }
  if (Status read = whole(tags::kBitsAllocated, "Bits Allocated", 8, 16, layout.allocated); !read) return read;
  layout.stored = layout.allocated;
  if (Find(dataset, tags::kBitsStored) != nullptr) {
    if (Status read = whole(tags::kBitsStored, "Bits Stored", 1, layout.allocated, layout.stored); !read) return read;
  }
  layout.high_bit = layout.stored - 1;
  if (Find(dataset, tags::kHighBit) != nullptr) {
    if (Status read = whole(tags::kHighBit, "High Bit", layout.stored - 1, layout.allocated - 1, layout.high_bit); !read) return read;
  }
  layout.planar = NumberOf(dataset, tags::kPlanar).value_or(0.0) == 1.0 && layout.samples == 3;
  return Done{};
}

Status CheckLayout(const Item& dataset, const PixelLayout& layout) {
  const std::string& photometric = layout.photometric;
  if (layout.allocated != 8 && layout.allocated != 16) {
    return Error{"pixels of " + std::to_string(layout.allocated) + " bits are not read", "Bits Allocated", "export the run with 8 or 16 bits"};
  }
  if (layout.samples == 2) return Error{"pixels of 2 samples are not read", "Samples per Pixel", "export the run as grey or RGB"};
  if (NumberOf(dataset, tags::kPixelRepresentation).value_or(0.0) != 0.0) {
    return Error{"signed pixel values are not read", "Pixel Representation", "export the run with unsigned values"};
  }
  const bool grey = photometric == "MONOCHROME1" || photometric == "MONOCHROME2" || photometric == "PALETTE COLOR";
  const bool colour = photometric == "RGB" || photometric.starts_with("YBR_");
  if (!grey && !colour) {
    return Error{"the colours are described as " + (photometric.empty() ? "nothing" : photometric) + ", which is not read",
                 "Photometric Interpretation", "export the run as grey or RGB"};
  }
  if (grey != (layout.samples == 1)) {
    return Error{"the file says " + photometric + " and " + std::to_string(layout.samples) + " samples a pixel", "Samples per Pixel",
                 "export or copy the file again"};
  }
  if (layout.samples == 3 && layout.allocated != 8) return Error{"colours of 16 bits are not read", "Bits Allocated", "export the run with 8 bits a colour"};
  return Done{};
}

Status CheckSizes(const Run& run, const ReadLimits& limits) {
  const std::size_t frame = FrameBytes(run);  // at most 2^32 * 6
  if (frame <= limits.frame_bytes && static_cast<std::size_t>(run.frames) <= limits.served_bytes / frame) return Done{};
  return Error{"the file declares " + std::to_string(run.frames) + " frame(s) of " + std::to_string(run.columns) + " x " +
                   std::to_string(run.rows) + " pixels, more than the " + std::to_string(limits.served_bytes >> 20) + " MiB that are read",
               "Rows, Columns, Number of Frames", "export a shorter or smaller run"};
}

void FillRemarks(const Item& dataset, const PixelLayout& layout, Run& run) {
  const std::string setting = TextOf(dataset, tags::kRadiationSetting);
  run.radiation = setting == "SC" ? "fluoroscopy" : setting == "GR" ? "acquisition" : "";
  run.calibration_image = TextOf(dataset, tags::kCalibrationImage) == "YES";
  const std::string burned = TextOf(dataset, tags::kBurnedIn);
  run.burned_in = burned == "YES" || burned == "NO" ? burned : "";
  if (run.calibration_image) Note(run, "The run shows an object of known size for calibration; it is no clinical view.");
  if (run.burned_in == "YES") Warn(run, "The file says that text is burned into the picture; it may name the patient.");
  if (TextOf(dataset, tags::kViewingMode) == "SUB") Note(run, "The run is meant to be seen subtracted; it is shown as acquired.");
  const std::string lossy = TextOf(dataset, tags::kLossy);
  if (lossy == "01" || IsLossy(run.transfer_syntax_uid)) Note(run, "The picture was compressed with loss; fine detail may be gone.");
  if (TextOf(dataset, tags::kImageType).find("BIPLANE") != std::string::npos) Note(run, "This is one plane of a biplane run.");
  const bool xray = run.kind == RunKind::kAngiogram || run.kind == RunKind::kRadiofluoroscopy;
  if (xray && (Find(dataset, tags::kModalityLut) != nullptr || Find(dataset, tags::kRescaleSlope) != nullptr)) {
    Note(run, "The file has a way back to beam intensity (modality LUT or rescale); it is not applied for display.");
  }
  if (layout.high_bit != layout.stored - 1) Note(run, "The pixel's bits do not start at bit 0; they were shifted down.");
}

// The pixel data is what makes the file a run: an icon alone is none.
Status CheckPixels(const DicomFile& file) {
  if (file.pixels) return Done{};
  if (Find(file.dataset, tags::kFloatPixels) != nullptr || Find(file.dataset, tags::kDoublePixels) != nullptr) {
    return Error{"pixels stored as floating-point numbers are not read", "Float Pixel Data", "export the run with 8 or 16 bits"};
  }
  const bool icon = Find(file.dataset, tags::kIconImage) != nullptr;
  return Error{icon ? "the file has an icon but no picture of its own" : "the file has no picture", "Pixel Data is missing",
               "export the run itself"};
}

}  // namespace

std::string Plain(double value, int digits) {
  std::array<char, 512> text{};
  const auto [end, fault] = std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed, digits);
  if (fault != std::errc{}) return "a huge number";
  std::string plain(text.data(), end);
  if (plain.find('.') == std::string::npos) return plain;
  while (plain.back() == '0') plain.pop_back();
  if (plain.back() == '.') plain.pop_back();
  return plain == "-0" ? "0" : plain;
}

const Item* GroupItem(const Item& dataset, Tag sequence, int frame) {
  const Element* frames = Find(dataset, tags::kFrameGroups);
  const auto index = static_cast<std::size_t>(frame);
  if (frames != nullptr && index < frames->items.size()) {
    if (const Item* own = FirstItem(frames->items[index], sequence)) return own;
  }
  const Item* shared = FirstItem(dataset, tags::kSharedGroups);
  return shared == nullptr ? nullptr : FirstItem(*shared, sequence);
}

Result<Header> HeaderFrom(const DicomFile& file, const ReadLimits& limits) {
  Header header;
  Run& run = header.run;
  Result<RunKind> kind = KindOf(file);
  if (!kind) return kind.error();
  run.kind = *kind;
  run.modality = CodeOf(file.dataset, tags::kModality);
  run.transfer_syntax_uid = file.transfer_syntax;
  if (file.guessed_syntax) {
    Note(run, "The file does not say how it is encoded; that was guessed from its bytes.");
  } else if (!IsRead(file.transfer_syntax)) {
    return Error{"the compression of this file is not read: " + SyntaxName(file.transfer_syntax), "Transfer Syntax UID",
                 "export the run uncompressed, or as JPEG, JPEG-LS, JPEG 2000 or RLE"};
  }
  run.transfer_syntax_name = file.guessed_syntax ? "not stated" : SyntaxName(file.transfer_syntax);
  if (Status pixels = CheckPixels(file); !pixels) return pixels.error();
  if (Status size = FillSize(file.dataset, run); !size) return size.error();
  if (Status layout = FillLayout(file.dataset, header.layout); !layout) return layout.error();
  if (Status layout = CheckLayout(file.dataset, header.layout); !layout) return layout.error();
  if (header.layout.photometric == "PALETTE COLOR") {
    Result<Palette> palette = PaletteFrom(file.dataset);
    if (!palette) return palette.error();
    header.layout.palette = std::move(*palette);
  }
  run.samples = header.layout.palette ? 3 : header.layout.samples;
  run.bits = header.layout.palette ? 8 : header.layout.allocated;
  run.bits_stored = header.layout.palette ? 8 : header.layout.stored;
  run.inverse = header.layout.photometric == "MONOCHROME1";
  if (Status sizes = CheckSizes(run, limits); !sizes) return sizes.error();
  FillRemarks(file.dataset, header.layout, run);
  FillTiming(file.dataset, run);
  FillView(file.dataset, run);
  FillSpacing(file.dataset, run);
  FillGreys(file.dataset, run);
  FillUltrasound(file.dataset, run);
  return header;
}

}  // namespace fairlead
