// SPDX-License-Identifier: Apache-2.0
#include "imaging/dicom/syntax.h"

#include <algorithm>
#include <array>

namespace fairlead {
namespace {

struct Syntax {
  std::string_view uid, name;
  Codec codec;
  bool lossy;
};

constexpr auto kSyntaxes = std::to_array<Syntax>({
    {"1.2.840.10008.1.2", "uncompressed, implicit VR little endian", Codec::kNone, false},
    {"1.2.840.10008.1.2.1", "uncompressed, explicit VR little endian", Codec::kNone, false},
    {"1.2.840.10008.1.2.1.99", "deflated, explicit VR little endian", Codec::kNone, false},
    {"1.2.840.10008.1.2.2", "uncompressed, explicit VR big endian", Codec::kNone, false},
    {"1.2.840.10008.1.2.5", "RLE lossless", Codec::kRle, false},
    {"1.2.840.10008.1.2.4.50", "JPEG baseline", Codec::kJpeg, true},
    {"1.2.840.10008.1.2.4.51", "JPEG extended", Codec::kJpeg, true},
    {"1.2.840.10008.1.2.4.53", "JPEG spectral selection", Codec::kJpeg, true},
    {"1.2.840.10008.1.2.4.55", "JPEG full progression", Codec::kJpeg, true},
    {"1.2.840.10008.1.2.4.57", "JPEG lossless", Codec::kJpeg, false},
    {"1.2.840.10008.1.2.4.70", "JPEG lossless, first-order prediction", Codec::kJpeg, false},
    {"1.2.840.10008.1.2.4.80", "JPEG-LS lossless", Codec::kJpegLs, false},
    {"1.2.840.10008.1.2.4.81", "JPEG-LS near-lossless", Codec::kJpegLs, true},
    {"1.2.840.10008.1.2.4.90", "JPEG 2000 lossless", Codec::kJpeg2000, false},
    {"1.2.840.10008.1.2.4.91", "JPEG 2000", Codec::kJpeg2000, true},
});

const Syntax* FindSyntax(std::string_view uid) {
  const auto found = std::ranges::find(kSyntaxes, uid, &Syntax::uid);
  return found == kSyntaxes.end() ? nullptr : &*found;
}

struct Unread {
  std::string_view start, name;
};

// Not read, but worth a name in the refusal.
constexpr auto kUnread = std::to_array<Unread>({
    {"1.2.840.10008.1.2.4.100", "MPEG-2 video"}, {"1.2.840.10008.1.2.4.101", "MPEG-2 video"},
    {"1.2.840.10008.1.2.4.102", "MPEG-4 video"}, {"1.2.840.10008.1.2.4.103", "MPEG-4 video"},
    {"1.2.840.10008.1.2.4.104", "MPEG-4 video"}, {"1.2.840.10008.1.2.4.105", "MPEG-4 video"},
    {"1.2.840.10008.1.2.4.106", "MPEG-4 video"}, {"1.2.840.10008.1.2.4.107", "HEVC video"},
    {"1.2.840.10008.1.2.4.108", "HEVC video"}, {"1.2.840.10008.1.2.4.92", "JPEG 2000 multi-component"},
    {"1.2.840.10008.1.2.4.93", "JPEG 2000 multi-component"}, {"1.2.840.10008.1.2.4.201", "high-throughput JPEG 2000"},
    {"1.2.840.10008.1.2.4.202", "high-throughput JPEG 2000"}, {"1.2.840.10008.1.2.4.203", "high-throughput JPEG 2000"},
});

}  // namespace

bool IsRead(std::string_view uid) { return FindSyntax(uid) != nullptr; }

Codec CodecOf(std::string_view uid) {
  const Syntax* syntax = FindSyntax(uid);
  return syntax == nullptr ? Codec::kNone : syntax->codec;
}

bool IsLossy(std::string_view uid) {
  const Syntax* syntax = FindSyntax(uid);
  return syntax != nullptr && syntax->lossy;
}

std::string SyntaxName(std::string_view uid) {
  if (const Syntax* syntax = FindSyntax(uid)) return std::string(syntax->name);
  const auto found = std::ranges::find(kUnread, uid, &Unread::start);
  return found == kUnread.end() ? "unknown" : std::string(found->name);
}

}  // namespace fairlead
