// SPDX-License-Identifier: Apache-2.0
#include "imaging/dicom/element_walk.h"

#include <algorithm>
#include <string>
#include <utility>

#include "imaging/dicom/tags.h"

namespace fairlead {
namespace {

constexpr Tag kItem = 0xFFFE'E000, kItemEnd = 0xFFFE'E00D, kSequenceEnd = 0xFFFE'E0DD;

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

bool HasLongLength(std::array<char, 2> vr) {
  constexpr std::string_view kLong = "OBODOFOLOVOWSQSVUCUNURUTUV";
  for (std::size_t i = 0; i < kLong.size(); i += 2) {
    if (Is(vr, kLong.substr(i, 2))) return true;
  }
  return false;
}

Error TooDeep(std::size_t at) {
  return {"sequences are nested more than " + std::to_string(kDeepestNesting) + " deep", "byte " + std::to_string(at),
          "this is no sound angiogram file; ask where it came from"};
}

}  // namespace

Error CutOff(std::size_t at) {
  return {"the file ends inside a data element", "byte " + std::to_string(at), "export or copy the file again"};
}

Result<HeaderOf> Walker::Header() {
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

Result<Item> Walker::Elements(std::size_t end, int depth, bool top, HeaderOf* pixels) {
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

std::uint16_t Walker::Read16(std::size_t at) const {
  const unsigned a = bytes_[at], b = bytes_[at + 1];
  return static_cast<std::uint16_t>(encoding_.big ? a << 8 | b : b << 8 | a);
}

std::uint32_t Walker::Read32(std::size_t at) const {
  const std::uint32_t a = Read16(at), b = Read16(at + 2);
  return encoding_.big ? a << 16 | b : b << 16 | a;
}

Status Walker::Take(const HeaderOf& header, std::size_t end, int depth, Item& item) {
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
Status Walker::Sequence(const HeaderOf& header, int depth, Element& element) {
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

Status Walker::Items(std::size_t end, bool undefined, int depth, Element& element) {
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
Status Walker::SkipFragments() {
  while (true) {
    Result<HeaderOf> header = Header();
    if (!header) return header.error();
    if (header->tag == kSequenceEnd) return Done{};
    if (header->tag != kItem || header->length > left()) return CutOff(at_);
    at_ += header->length;
  }
}

}  // namespace fairlead
