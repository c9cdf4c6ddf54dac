// SPDX-License-Identifier: Apache-2.0
// Which bytes belong to which frame (DICOM PS3.5 annex A.4).
#include <algorithm>

#include "imaging/dicom/pixels.h"

namespace fairlead {
namespace {

struct Fragment {
  std::size_t offset = 0;  // of its item tag, from the first byte after the offset table
  Bytes bytes;
};

struct Fragments {
  std::vector<std::size_t> offsets;  // the basic offset table
  std::vector<Fragment> list;
  bool cut = false;  // the file ends before the closing delimiter
};

std::uint32_t Little32(Bytes bytes, std::size_t at) {
  return static_cast<std::uint32_t>(bytes[at]) | static_cast<std::uint32_t>(bytes[at + 1]) << 8 |
         static_cast<std::uint32_t>(bytes[at + 2]) << 16 | static_cast<std::uint32_t>(bytes[at + 3]) << 24;
}

constexpr std::uint32_t kItemTag = 0xE000'FFFE, kEndTag = 0xE0DD'FFFE;  // as read little-endian in one go
constexpr std::size_t kItemHeader = 8;

// A fragment that is cut off is dropped: what it holds is no whole frame.
Fragments SplitFragments(Bytes bytes) {
  Fragments fragments;
  std::size_t at = 0, first = 0;
  bool table = true;
  fragments.cut = true;
  while (at + kItemHeader <= bytes.size()) {
    const std::uint32_t tag = Little32(bytes, at), length = Little32(bytes, at + 4);
    if (tag == kEndTag) {
      fragments.cut = false;
      break;
    }
    if (tag != kItemTag || length > bytes.size() - at - kItemHeader) break;
    const Bytes value = bytes.subspan(at + kItemHeader, length);
    if (table) {
      for (std::size_t i = 0; i + 4 <= value.size(); i += 4) fragments.offsets.push_back(Little32(value, i));
      first = at + kItemHeader + length;
    } else {
      fragments.list.push_back({at - first, value});
    }
    table = false;
    at += kItemHeader + length;
  }
  return fragments;
}

bool StartsStream(Bytes fragment, Codec codec) {
  if (fragment.size() < 2 || fragment[0] != 0xFF) return false;
  return fragment[1] == (codec == Codec::kJpeg2000 ? 0x4F : 0xD8);  // SOC, SOI
}

// Frames that begin where the offset table says; empty if it does not fit the fragments.
std::vector<FramePieces> ByOffsets(const Fragments& fragments, std::size_t frames) {
  std::vector<FramePieces> found;
  if (fragments.offsets.size() != frames) return found;
  for (const Fragment& fragment : fragments.list) {
    if (found.size() < frames && fragment.offset == fragments.offsets[found.size()]) found.emplace_back();
    if (found.empty()) return {};
    found.back().pieces.push_back(fragment.bytes);
  }
  return found.size() == frames ? found : std::vector<FramePieces>{};
}

// Frames that begin where a fragment starts a new stream.
std::vector<FramePieces> ByStreams(const Fragments& fragments, Codec codec) {
  std::vector<FramePieces> found;
  for (const Fragment& fragment : fragments.list) {
    if (found.empty() || codec == Codec::kRle || StartsStream(fragment.bytes, codec)) found.emplace_back();
    found.back().pieces.push_back(fragment.bytes);
  }
  return found;
}

std::string OfFrames(std::size_t there, std::size_t wanted) { return std::to_string(there) + " of " + std::to_string(wanted) + " frames"; }

Error NoFrame(std::size_t there, std::size_t wanted) {
  return {"the pixel data end early: " + OfFrames(there, wanted) + " are there", "Pixel Data", "export or copy the file again"};
}

Result<FrameTable> Encapsulated(const PixelElement& pixels, std::size_t wanted, Codec codec) {
  const Fragments fragments = SplitFragments(pixels.bytes);
  FrameTable table;
  if (fragments.list.size() == wanted) {
    for (const Fragment& fragment : fragments.list) table.frames.push_back({{fragment.bytes}});
  } else if (wanted == 1 && !fragments.list.empty() && !fragments.cut) {
    table.frames.emplace_back();
    for (const Fragment& fragment : fragments.list) table.frames.back().pieces.push_back(fragment.bytes);
  } else {
    table.frames = ByOffsets(fragments, wanted);
    if (table.frames.empty()) table.frames = ByStreams(fragments, codec);
  }
  // A frame of several fragments may lack its end where the file is cut.
  if (fragments.cut && !table.frames.empty() && fragments.list.size() != table.frames.size()) table.frames.pop_back();
  if (table.frames.size() > wanted) {
    return Error{"the file holds " + std::to_string(table.frames.size()) + " compressed frames but says " + std::to_string(wanted),
                 "Number of Frames", "export or copy the file again"};
  }
  return table;
}

FrameTable Uncompressed(const PixelElement& pixels, std::size_t wanted, std::size_t frame_bytes) {
  FrameTable table;
  const std::size_t there = std::min(wanted, pixels.bytes.size() / frame_bytes);
  for (std::size_t i = 0; i < there; ++i) table.frames.push_back({{pixels.bytes.subspan(i * frame_bytes, frame_bytes)}});
  return table;
}

}  // namespace

std::size_t StoredFrameBytes(const Run& run, const PixelLayout& layout) {
  const std::size_t pixels = static_cast<std::size_t>(run.rows) * static_cast<std::size_t>(run.columns);
  return pixels * static_cast<std::size_t>(layout.samples) * static_cast<std::size_t>(layout.allocated / 8);
}

Result<FrameTable> LocateFrames(const PixelElement& pixels, const Header& header, Codec codec) {
  const auto wanted = static_cast<std::size_t>(header.run.frames);
  if (pixels.encapsulated && codec == Codec::kNone) {
    return Error{"the pixel data are compressed but the file says they are not", "Transfer Syntax UID", "export or copy the file again"};
  }
  if (!pixels.encapsulated && codec != Codec::kNone) {
    return Error{"the file says the pixel data are compressed, but they are not", "Transfer Syntax UID", "export or copy the file again"};
  }
  FrameTable table;
  if (codec == Codec::kNone) {
    std::size_t frame = StoredFrameBytes(header.run, header.layout);
    // Two pixels share their colour: Y Y Cb Cr (PS3.3 C.7.6.3.1.2).
    if (header.layout.photometric == "YBR_FULL_422") frame = frame / 3 * 2;
    table = Uncompressed(pixels, wanted, frame);
  } else {
    Result<FrameTable> found = Encapsulated(pixels, wanted, codec);
    if (!found) return found;
    table = std::move(*found);
  }
  if (table.frames.empty() || (table.frames.size() < wanted && wanted == 1)) return NoFrame(table.frames.size(), wanted);
  if (table.frames.size() < wanted) {
    table.remarks.push_back({RemarkLevel::kWarning, "The file ends early: only " + OfFrames(table.frames.size(), wanted) + " are there."});
  }
  return table;
}

}  // namespace fairlead
