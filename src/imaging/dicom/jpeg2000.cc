// SPDX-License-Identifier: Apache-2.0
// JPEG 2000 frames through OpenJPEG. The stream's size header (ISO/IEC 15444-1 A.5.1) is checked before the codec sees
// the stream, because the codec allocates what that header says.
#include <openjpeg.h>

#include <algorithm>
#include <cstring>
#include <memory>

#include "imaging/dicom/pixels.h"

namespace fairlead {
namespace {

constexpr std::uint64_t kMostTiles = 4096;  // chosen: 64 x 64 tiles of a 4096 x 4096 picture

Error Broken(const char* what) { return {what, "Pixel Data, JPEG 2000", "export or copy the file again"}; }

std::uint64_t Big(Bytes bytes, std::size_t at, std::size_t size) {
  std::uint64_t value = 0;
  for (std::size_t i = 0; i < size; ++i) value = value << 8 | bytes[at + i];
  return value;
}

// The stream inside the boxes of a JP2 file (ISO/IEC 15444-1 I.4), which some writers store although they should not.
Bytes WithoutBoxes(Bytes stream) {
  constexpr std::uint64_t kSignature = 0x6A50'2020, kStream = 0x6A70'3263;  // "jP  ", "jp2c"
  constexpr std::size_t kBoxHeader = 8;
  if (stream.size() < kBoxHeader || Big(stream, 4, 4) != kSignature) return stream;
  std::size_t at = 0;
  while (at + kBoxHeader <= stream.size()) {
    const std::size_t length = Big(stream, at, 4);
    if (Big(stream, at + 4, 4) == kStream) return stream.subspan(at + kBoxHeader);
    if (length < kBoxHeader) break;
    at += length;
  }
  return {};
}

// SOC, SIZ, then the fields of SIZ at fixed places.
Status CheckSizeHeader(const Header& header, Bytes stream) {
  constexpr std::size_t kSize = 2, kFields = 42;
  if (stream.size() < kFields + 3 || Big(stream, 0, 4) != 0xFF4F'FF51) return Broken("a compressed frame has no size header");
  const std::uint64_t right = Big(stream, kSize + 6, 4), bottom = Big(stream, kSize + 10, 4);
  const std::uint64_t left = Big(stream, kSize + 14, 4), top = Big(stream, kSize + 18, 4);
  const std::uint64_t tile_columns = Big(stream, kSize + 22, 4), tile_rows = Big(stream, kSize + 26, 4);
  const std::uint64_t samples = Big(stream, kSize + 38, 2);
  const auto rows = static_cast<std::uint64_t>(header.run.rows), columns = static_cast<std::uint64_t>(header.run.columns);
  if (right != left + columns || bottom != top + rows || left > 0xFFFF || top > 0xFFFF) {
    return Broken("a compressed frame has another size than the file says");
  }
  if (samples != static_cast<std::uint64_t>(header.layout.samples) || stream.size() < kFields + 3 * samples) {
    return Broken("a compressed frame has another number of samples than the file says");
  }
  if (tile_columns == 0 || tile_rows == 0 || (columns / tile_columns + 2) * (rows / tile_rows + 2) > kMostTiles) {
    return Broken("a compressed frame is cut into too many tiles");
  }
  for (std::size_t s = 0; s < samples; ++s) {
    const std::uint64_t bits = (Big(stream, kFields + 3 * s, 1) & 0x7F) + 1;
    if (bits > static_cast<std::uint64_t>(header.layout.allocated)) return Broken("a compressed frame has more bits than the file allows");
    if (Big(stream, kFields + 3 * s + 1, 2) != 0x0101) return Broken("a compressed frame has samples of different sizes");
  }
  return Done{};
}

// Bytes in memory as the codec's stream.
struct Cursor {
  Bytes bytes;
  std::size_t at = 0;
};

OPJ_SIZE_T ReadSome(void* into, OPJ_SIZE_T count, void* user) {
  auto& cursor = *static_cast<Cursor*>(user);
  const std::size_t size = std::min<std::size_t>(count, cursor.bytes.size() - cursor.at);
  if (size == 0) return static_cast<OPJ_SIZE_T>(-1);
  std::memcpy(into, cursor.bytes.data() + cursor.at, size);
  cursor.at += size;
  return size;
}

OPJ_OFF_T Skip(OPJ_OFF_T count, void* user) {
  auto& cursor = *static_cast<Cursor*>(user);
  if (count < 0) return -1;
  const std::size_t size = std::min<std::size_t>(static_cast<std::size_t>(count), cursor.bytes.size() - cursor.at);
  cursor.at += size;
  return static_cast<OPJ_OFF_T>(size);
}

OPJ_BOOL Seek(OPJ_OFF_T to, void* user) {
  auto& cursor = *static_cast<Cursor*>(user);
  if (to < 0 || static_cast<std::size_t>(to) > cursor.bytes.size()) return OPJ_FALSE;
  cursor.at = static_cast<std::size_t>(to);
  return OPJ_TRUE;
}

using StreamHolder = std::unique_ptr<opj_stream_t, decltype(&opj_stream_destroy)>;
using CodecHolder = std::unique_ptr<opj_codec_t, decltype(&opj_destroy_codec)>;
using ImageHolder = std::unique_ptr<opj_image_t, decltype(&opj_image_destroy)>;

StreamHolder Open(Cursor& cursor) {
  StreamHolder stream(opj_stream_default_create(OPJ_TRUE), &opj_stream_destroy);
  opj_stream_set_user_data(stream.get(), &cursor, nullptr);
  opj_stream_set_user_data_length(stream.get(), cursor.bytes.size());
  opj_stream_set_read_function(stream.get(), ReadSome);
  opj_stream_set_skip_function(stream.get(), Skip);
  opj_stream_set_seek_function(stream.get(), Seek);
  return stream;
}

bool Fits(const opj_image_t& image, const Header& header) {
  if (image.numcomps != static_cast<OPJ_UINT32>(header.layout.samples)) return false;
  for (OPJ_UINT32 c = 0; c < image.numcomps; ++c) {
    const opj_image_comp_t& part = image.comps[c];
    const bool size = part.w == static_cast<OPJ_UINT32>(header.run.columns) && part.h == static_cast<OPJ_UINT32>(header.run.rows);
    if (!size || part.data == nullptr) return false;
  }
  return true;
}

StoredFrame Packed(const opj_image_t& image, const Header& header) {
  const auto samples = static_cast<std::size_t>(header.layout.samples), step = static_cast<std::size_t>(header.layout.allocated / 8);
  const std::size_t pixels = static_cast<std::size_t>(header.run.rows) * static_cast<std::size_t>(header.run.columns);
  StoredFrame frame;
  frame.bytes.resize(pixels * samples * step);
  for (std::size_t c = 0; c < samples; ++c) {
    const OPJ_INT32* from = image.comps[c].data;
    for (std::size_t i = 0; i < pixels; ++i) {
      const auto value = static_cast<std::uint32_t>(from[i]);
      std::uint8_t* to = frame.bytes.data() + (i * samples + c) * step;
      to[0] = static_cast<std::uint8_t>(value & 0xFF);
      if (step == 2) to[1] = static_cast<std::uint8_t>(value >> 8 & 0xFF);
    }
  }
  // The codec undoes the component transform that the stream names; what is left of YBR is the file's own.
  frame.is_rgb = header.layout.photometric == "YBR_RCT" || header.layout.photometric == "YBR_ICT";
  return frame;
}

}  // namespace

Result<StoredFrame> Jpeg2000Frame(const Header& header, const FramePieces& from) {
  std::vector<std::uint8_t> joined;
  for (const Bytes piece : from.pieces) joined.insert(joined.end(), piece.begin(), piece.end());
  const Bytes bare = WithoutBoxes(joined);
  if (Status size = CheckSizeHeader(header, bare); !size) return size.error();
  Cursor cursor{bare, 0};
  const StreamHolder stream = Open(cursor);
  const CodecHolder codec(opj_create_decompress(OPJ_CODEC_J2K), &opj_destroy_codec);
  opj_dparameters_t parameters;
  opj_set_default_decoder_parameters(&parameters);
  if (!opj_setup_decoder(codec.get(), &parameters)) return Broken("a compressed frame cannot be decoded");
  opj_image_t* raw = nullptr;
  const bool read = opj_read_header(stream.get(), codec.get(), &raw) != OPJ_FALSE;
  const ImageHolder image(raw, &opj_image_destroy);
  if (!read || !opj_decode(codec.get(), stream.get(), image.get()) || !Fits(*image, header)) return Broken("a compressed frame is broken");
  return Packed(*image, header);
}

}  // namespace fairlead
