// SPDX-License-Identifier: Apache-2.0
#include "imaging/dicom/elements.h"

#include <zlib.h>

#include <algorithm>
#include <utility>

#include "imaging/dicom/tags.h"

namespace fairlead {
namespace {

constexpr std::uint32_t kUndefined = 0xFFFF'FFFF;
constexpr Tag kItem = 0xFFFE'E000, kItemEnd = 0xFFFE'E00D, kSequenceEnd = 0xFFFE'E0DD;
constexpr std::size_t kMostInflated = std::size_t{384} << 20;     // chosen: fits the child's memory twice
constexpr std::size_t kPreamble = 128;

// Types of the needed tags for files without types (implicit VR) and for elements marked UN.
struct Typed {
  Tag tag;
  std::array<char, 2> vr;
};
constexpr auto kTypes = std::to_array<Typed>({
    {tags::kImageType, {'C', 'S'}}, {tags::kSopClass, {'U', 'I'}}, {tags::kModality, {'C', 'S'}},
    {tags::kFieldOfViewFloat, {'F', 'L'}}, {tags::kSourceToIsocentre, {'F', 'L'}},
    {tags::kSamples, {'U', 'S'}}, {tags::kPlanar, {'U', 'S'}}, {tags::kRows, {'U', 'S'}}, {tags::kColumns, {'U', 'S'}},
    {tags::kBitsAllocated, {'U', 'S'}}, {tags::kBitsStored, {'U', 'S'}}, {tags::kHighBit, {'U', 'S'}},
    {tags::kPixelRepresentation, {'U', 'S'}}, {tags::kFramePointer, {'A', 'T'}}, {tags::kRWavePointer, {'U', 'S'}},
    {tags::kPaletteDescriptor, {'U', 'S'}}, {tags::kPaletteDescriptor + 1, {'U', 'S'}},
    {tags::kPaletteDescriptor + 2, {'U', 'S'}}, {tags::kPaletteData, {'O', 'W'}}, {tags::kPaletteData + 1, {'O', 'W'}},
    {tags::kPaletteData + 2, {'O', 'W'}}, {tags::kLutDescriptor, {'U', 'S'}}, {tags::kLutData, {'U', 'S'}},
    {tags::kPositionerPosition, {'S', 'Q'}}, {tags::kXRayGeometry, {'S', 'Q'}}, {tags::kFieldOfViewSequence, {'S', 'Q'}},
    {tags::kFrameContent, {'S', 'Q'}}, {tags::kModalityLut, {'S', 'Q'}}, {tags::kVoiLut, {'S', 'Q'}},
    {tags::kFrameVoiLut, {'S', 'Q'}}, {tags::kFramePixelData, {'S', 'Q'}}, {tags::kIconImage, {'S', 'Q'}},
    {tags::kRegions, {'S', 'Q'}}, {tags::kRegionFormat, {'U', 'S'}}, {tags::kRegionUnitsX, {'U', 'S'}},
    {tags::kRegionUnitsY, {'U', 'S'}}, {tags::kRegionLeft, {'U', 'L'}}, {tags::kRegionTop, {'U', 'L'}},
    {tags::kRegionRight, {'U', 'L'}}, {tags::kRegionBottom, {'U', 'L'}}, {tags::kRegionDeltaX, {'F', 'D'}},
    {tags::kRegionDeltaY, {'F', 'D'}},
    {tags::kMeasurementUnits, {'S', 'Q'}}, {tags::kConceptName, {'S', 'Q'}}, {tags::kConceptCode, {'S', 'Q'}},
    {tags::kMeasuredValue, {'S', 'Q'}}, {tags::kFloatingValue, {'F', 'D'}}, {tags::kContent, {'S', 'Q'}},
    {tags::kSharedGroups, {'S', 'Q'}}, {tags::kFrameGroups, {'S', 'Q'}}, {tags::kPixelData, {'O', 'W'}},
});

std::array<char, 2> TypeOf(Tag tag) {
  const auto found = std::ranges::find(kTypes, tag, &Typed::tag);
  return found == kTypes.end() ? std::array<char, 2>{'U', 'N'} : found->vr;
}

bool Is(std::array<char, 2> vr, std::string_view name) { return vr[0] == name[0] && vr[1] == name[1]; }

bool HasLongLength(std::array<char, 2> vr) {
  constexpr std::string_view kLong = "OBODOFOLOVOWSQSVUCUNURUTUV";
  for (std::size_t i = 0; i < kLong.size(); i += 2) {
    if (Is(vr, kLong.substr(i, 2))) return true;
  }
  return false;
}

Error CutOff(std::size_t at) {
  return {"the file ends inside a data element", "byte " + std::to_string(at), "export or copy the file again"};
}

Error TooDeep(std::size_t at) {
  return {"sequences are nested more than " + std::to_string(kDeepestNesting) + " deep", "byte " + std::to_string(at),
          "this is no sound angiogram file; ask where it came from"};
}

struct Encoding {
  bool explicit_vr = true;
  bool big = false;
};

struct HeaderOf {
  Tag tag = 0;
  std::array<char, 2> vr{};
  std::uint32_t length = 0;
};

// Walks the bytes once, front to back.
class Walker {
 public:
  Walker(Bytes bytes, Encoding encoding, std::size_t start, std::size_t most = kMostElements) : bytes_(bytes), encoding_(encoding), at_(start), most_(most) {}

  std::size_t at() const { return at_; }

  Result<HeaderOf> Header() {
    if (left() < 8) return CutOff(at_);
    HeaderOf header;
    header.tag = static_cast<Tag>(Read16(at_)) << 16 | Read16(at_ + 2);
    if (header.tag >> 16 == 0xFFFE || !encoding_.explicit_vr) {
      header.vr = header.tag >> 16 == 0xFFFE ? std::array<char, 2>{'U', 'N'} : TypeOf(header.tag);
      header.length = Read32(at_ + 4);
      at_ += 8;
      return header;
    }
    header.vr = {static_cast<char>(bytes_[at_ + 4]), static_cast<char>(bytes_[at_ + 5])};
    if (!HasLongLength(header.vr)) {
      header.length = Read16(at_ + 6);
      at_ += 8;
      return header;
    }
    if (left() < 12) return CutOff(at_);
    header.length = Read32(at_ + 8);
    at_ += 12;
    return header;
  }

  // Elements until `end`, an item's delimiter or, at the top level, the pixel data (left to the caller).
  Result<Item> Elements(std::size_t end, int depth, bool top, HeaderOf* pixels) {
    Item item;
    while (at_ < end) {
      // The trailing padding that some writers leave is shorter than an element.
      if (top && end - at_ < 8) break;
      const std::size_t start = at_;
      Result<HeaderOf> header = Header();
      if (!header) return header.error();
      if (header->tag == kItemEnd) return item;
      if (header->tag >> 16 == 0xFFFE) {
        return Error{"an item stands where a data element should be", "byte " + std::to_string(start), "export or copy the file again"};
      }
      if (top && header->tag == tags::kPixelData) {
        *pixels = *header;
        return item;
      }
      Status taken = Take(*header, end, depth, item);
      if (!taken) return taken.error();
    }
    if (!top && at_ > end) return CutOff(at_);
    return item;
  }

 private:
  std::size_t left() const { return bytes_.size() - at_; }

  std::uint16_t Read16(std::size_t at) const {
    const unsigned a = bytes_[at], b = bytes_[at + 1];
    return static_cast<std::uint16_t>(encoding_.big ? a << 8 | b : b << 8 | a);
  }

  std::uint32_t Read32(std::size_t at) const {
    const std::uint32_t a = Read16(at), b = Read16(at + 2);
    return encoding_.big ? a << 16 | b : b << 16 | a;
  }

  Status Take(const HeaderOf& header, std::size_t end, int depth, Item& item) {
    if (++count_ > most_) {
      return Error{"the file has more than " + std::to_string(most_) + " data elements", "", "export the run alone"};
    }
    const bool undefined = header.length == kUndefined;
    if (!undefined && header.length > end - std::min(end, at_)) return CutOff(at_);
    Element element{header.tag, header.vr, encoding_.big, {}, {}};
    if (undefined && header.tag == tags::kPixelData) return SkipFragments();
    if (undefined || Is(header.vr, "SQ")) {
      Status taken = Sequence(header, depth, element);
      if (!taken) return taken;
    } else {
      element.value = bytes_.subspan(at_, header.length);
      at_ += header.length;
      if (Is(element.vr, "UN")) element.vr = TypeOf(element.tag);
    }
    const bool is_private = (header.tag >> 16) % 2 == 1;
    if (!is_private) item.elements.push_back(std::move(element));
    return Done{};
  }

  // A sequence of undefined length, of unknown type too, is walked; one of defined length that is broken inside is
  // stepped over, unless it is broken by depth.
  Status Sequence(const HeaderOf& header, int depth, Element& element) {
    if (depth >= kDeepestNesting) return TooDeep(at_);
    const bool undefined = header.length == kUndefined;
    const Encoding outer = encoding_;
    if (Is(header.vr, "UN")) encoding_ = {false, false};  // PS3.5 section 6.2.2: such a sequence is implicit VR
    const std::size_t end = undefined ? bytes_.size() : at_ + header.length;
    Status walked = Items(end, undefined, depth, element);
    encoding_ = outer;
    if (undefined) return walked;
    if (!walked && walked.error().what.starts_with("sequences are nested")) return walked;
    at_ = end;
    return Done{};
  }

  Status Items(std::size_t end, bool undefined, int depth, Element& element) {
    while (at_ < end) {
      const std::size_t start = at_;
      Result<HeaderOf> header = Header();
      if (!header) return header.error();
      if (header->tag == kSequenceEnd) return Done{};
      if (header->tag != kItem) {
        return Error{"a sequence holds something that is no item", "byte " + std::to_string(start), "export or copy the file again"};
      }
      const bool open = header->length == kUndefined;
      if (!open && header->length > end - std::min(end, at_)) return CutOff(at_);  // the item's own head may reach over the end
      const std::size_t item_end = open ? end : at_ + header->length;
      Result<Item> item = Elements(item_end, depth + 1, false, nullptr);
      if (!item) return item.error();
      element.items.push_back(std::move(*item));
    }
    if (undefined) return CutOff(at_);
    return Done{};
  }

  // Encapsulated pixel data below the top level: an icon. Never read.
  Status SkipFragments() {
    while (true) {
      Result<HeaderOf> header = Header();
      if (!header) return header.error();
      if (header->tag == kSequenceEnd) return Done{};
      if (header->tag != kItem || header->length > left()) return CutOff(at_);
      at_ += header->length;
    }
  }

  Bytes bytes_;
  Encoding encoding_;
  std::size_t at_ = 0;
  std::size_t most_ = kMostElements;
  std::size_t count_ = 0;
};

bool TypeLetters(Bytes file, std::size_t at) {
  if (at + 6 > file.size()) return false;
  const auto upper = [](std::uint8_t c) { return c >= 'A' && c <= 'Z'; };
  return upper(file[at + 4]) && upper(file[at + 5]);
}

// A data set without file meta information starts with group 0008 (or a leftover group 0002).
std::optional<Encoding> GuessEncoding(Bytes file, std::size_t at) {
  if (at + 8 > file.size()) return std::nullopt;
  const bool little = file[at + 1] == 0 && (file[at] == 0x08 || file[at] == 0x02);
  const bool big = file[at] == 0 && (file[at + 1] == 0x08 || file[at + 1] == 0x02);
  if (!little && !big) return std::nullopt;
  const bool typed = TypeLetters(file, at);
  if (big && !typed) return std::nullopt;
  return Encoding{typed, big};
}

Result<std::vector<std::uint8_t>> Inflate(Bytes packed) {
  z_stream stream{};
  if (inflateInit2(&stream, -MAX_WBITS) != Z_OK) return Error{"no memory to inflate the file", "", "", Fault::kOutside};
  std::vector<std::uint8_t> out;
  std::vector<std::uint8_t> block(std::size_t{1} << 16);
  stream.next_in = const_cast<Bytef*>(packed.data());  // zlib reads only, its type is older than const
  stream.avail_in = static_cast<uInt>(std::min<std::size_t>(packed.size(), 0x7FFF'FFFF));
  int state = Z_OK;
  while (state == Z_OK && out.size() < kMostInflated) {
    stream.next_out = block.data();
    stream.avail_out = static_cast<uInt>(block.size());
    state = inflate(&stream, Z_NO_FLUSH);
    out.insert(out.end(), block.begin(), block.end() - stream.avail_out);
  }
  inflateEnd(&stream);
  if (out.size() >= kMostInflated) return Error{"the deflated file grows beyond 384 MiB", "", "export it uncompressed"};
  if (state != Z_STREAM_END && out.empty()) return Error{"the deflated data is broken", "", "export or copy the file again"};
  return out;
}

Status ReadMeta(Bytes file, DicomFile& dicom, std::size_t& at) {
  Walker walker(file, {true, false}, at);
  while (walker.at() + 8 <= file.size()) {
    const std::size_t start = walker.at();
    if (file[start] != 0x02 || file[start + 1] != 0) break;
    Result<HeaderOf> header = walker.Header();
    if (!header) return header.error();
    if (header->length > file.size() - walker.at()) return CutOff(walker.at());
    if (header->tag == tags::kTransferSyntax) {
      Item item;
      item.elements.push_back({header->tag, {'U', 'I'}, false, file.subspan(walker.at(), header->length), {}});
      dicom.transfer_syntax = TextOf(item, tags::kTransferSyntax);
    }
    walker = Walker(file, {true, false}, walker.at() + header->length);
  }
  at = walker.at();
  return Done{};
}

PixelElement PixelsFrom(const HeaderOf& header, Bytes body, std::size_t at) {
  PixelElement pixels;
  pixels.encapsulated = header.length == kUndefined;
  pixels.words = Is(header.vr, "OW");
  pixels.declared = pixels.encapsulated ? 0 : header.length;
  const std::size_t left = body.size() - at;
  pixels.bytes = body.subspan(at, pixels.encapsulated ? left : std::min<std::size_t>(left, header.length));
  return pixels;
}

// Decides the encoding of the data set that starts at `at`. Some writers announce types and leave them out.
Result<Encoding> EncodingOf(Bytes file, std::size_t at, DicomFile& dicom) {
  if (dicom.transfer_syntax == "1.2.840.10008.1.2") return Encoding{false, false};
  if (dicom.transfer_syntax == "1.2.840.10008.1.2.2") return Encoding{true, true};
  if (dicom.transfer_syntax == "1.2.840.10008.1.2.1.99") return Encoding{true, false};
  if (!dicom.transfer_syntax.empty()) return Encoding{TypeLetters(file, at), false};
  const std::optional<Encoding> guess = GuessEncoding(file, at);
  if (!guess && at != 0) return Error{"the file does not say how it is encoded", "Transfer Syntax UID", "export or copy the file again"};
  if (!guess) {
    return Error{"this is not a DICOM file", "the mark DICM is missing and no data set begins",
                 "choose the run's own file; pictures are taken as PNG"};
  }
  dicom.guessed_syntax = true;
  return *guess;
}

}  // namespace

bool LooksLikeDicom(Bytes file) {
  const auto mark = std::to_array<std::uint8_t>({'D', 'I', 'C', 'M'});
  if (file.size() >= kPreamble + 4 && std::ranges::equal(file.subspan(kPreamble, 4), mark)) return true;
  return GuessEncoding(file, 0).has_value();
}

Result<DicomFile> ParseDicom(Bytes file, std::size_t most) {
  DicomFile dicom;
  std::size_t at = 0;
  if (file.size() >= kPreamble + 4 && file[kPreamble] == 'D' && file[kPreamble + 1] == 'I' && file[kPreamble + 2] == 'C' &&
      file[kPreamble + 3] == 'M') {
    at = kPreamble + 4;
  }
  if (at != 0 || (file.size() > 2 && file[0] == 0x02 && file[1] == 0)) {
    Status meta = ReadMeta(file, dicom, at);
    if (!meta) return meta.error();
  }
  Result<Encoding> encoding = EncodingOf(file, at, dicom);
  if (!encoding) return encoding.error();
  dicom.big_endian = encoding->big;
  Bytes body = file;
  if (dicom.transfer_syntax == "1.2.840.10008.1.2.1.99") {
    Result<std::vector<std::uint8_t>> inflated = Inflate(file.subspan(at));
    if (!inflated) return inflated.error();
    dicom.inflated = std::move(*inflated);
    body = dicom.inflated;  // moving a vector keeps its bytes where they are
    at = 0;
  }
  Walker walker(body, *encoding, at, most);
  HeaderOf pixels;
  Result<Item> dataset = walker.Elements(body.size(), 0, true, &pixels);
  if (!dataset) return dataset.error();
  dicom.dataset = std::move(*dataset);
  if (pixels.tag != 0) dicom.pixels = PixelsFrom(pixels, body, walker.at());
  return dicom;
}

}  // namespace fairlead
