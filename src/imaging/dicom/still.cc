// SPDX-License-Identifier: Apache-2.0
#include "imaging/dicom/still.h"

#include <png.h>

#include <algorithm>
#include <array>
#include <cstring>

namespace fairlead {
namespace {

constexpr png_uint_32 kMostAcross = 16'384;

Error Broken(const char* what) { return {what, "PNG", "save or copy the picture again"}; }

struct Cursor {
  std::span<const std::uint8_t> bytes;
  std::size_t at = 0;
};

// libpng leaves by longjmp; between its calls and the jump no object with a destructor is alive in these functions.
void ReadSome(png_structp png, png_bytep into, png_size_t count) {
  auto& cursor = *static_cast<Cursor*>(png_get_io_ptr(png));
  if (count > cursor.bytes.size() - cursor.at) png_error(png, "end of file");
  std::memcpy(into, cursor.bytes.data() + cursor.at, count);
  cursor.at += count;
}

void Silent(png_structp, png_const_charp) {}
[[noreturn]] void Leave(png_structp png, png_const_charp) { png_longjmp(png, 1); }

struct Shape {
  png_uint_32 columns = 0, rows = 0;
  int bits = 8, samples = 1;
};

bool ReadShape(png_structp png, png_infop info, Shape& shape) {
  if (setjmp(png_jmpbuf(png)) != 0) return false;
  png_set_user_limits(png, kMostAcross, kMostAcross);
  png_set_chunk_malloc_max(png, 1 << 20);
  png_read_info(png, info);
  const png_byte colour = png_get_color_type(png, info), depth = png_get_bit_depth(png, info);
  const bool grey = colour == PNG_COLOR_TYPE_GRAY || colour == PNG_COLOR_TYPE_GRAY_ALPHA;
  if (!grey) {
    png_set_expand(png);
    if (depth == 16) png_set_scale_16(png);
  } else {
    if (depth < 8) png_set_expand_gray_1_2_4_to_8(png);
    if (depth == 16) png_set_swap(png);
  }
  png_set_strip_alpha(png);
  png_set_interlace_handling(png);
  png_read_update_info(png, info);
  shape = {png_get_image_width(png, info), png_get_image_height(png, info), grey && depth == 16 ? 16 : 8, grey ? 1 : 3};
  return true;
}

bool ReadRows(png_structp png, png_bytepp rows) {
  if (setjmp(png_jmpbuf(png)) != 0) return false;
  png_read_image(png, rows);
  png_read_end(png, nullptr);
  return true;
}

Run Described(const Shape& shape) {
  Run run;
  run.kind = RunKind::kStill;
  run.modality = "OT";
  run.transfer_syntax_name = "PNG";
  run.rows = static_cast<int>(shape.rows);
  run.columns = static_cast<int>(shape.columns);
  run.frames = 1;
  run.samples = shape.samples;
  run.bits = run.bits_stored = shape.bits;
  run.frame_ms = {0.0};
  run.timing = "one frame";
  run.spacing_from = "a picture without a header";
  if (shape.samples == 3) {
    run.window = {128.0, 256.0};
    run.window_from = "colours as stored";
  }
  Note(run, "A picture without a header: no view, no size; nothing in it can be measured in millimetres.");
  return run;
}

Result<Still> Decode(png_structp png, png_infop info, const ReadLimits& limits) {
  Shape shape;
  if (!ReadShape(png, info, shape)) return Broken("the picture is broken or too large");
  Still still{Described(shape), {}};
  const std::size_t row_bytes = png_get_rowbytes(png, info);
  if (FrameBytes(still.run) > std::min(limits.frame_bytes, limits.served_bytes)) return Broken("the picture is too large");
  if (row_bytes * shape.rows != FrameBytes(still.run)) return Broken("the picture has an unexpected form");
  still.bytes.resize(row_bytes * shape.rows);
  std::vector<png_bytep> rows;
  for (std::size_t r = 0; r < shape.rows; ++r) rows.push_back(still.bytes.data() + r * row_bytes);
  if (!ReadRows(png, rows.data())) return Broken("the picture is broken");
  return still;
}

}  // namespace

bool LooksLikePng(std::span<const std::uint8_t> file) {
  constexpr auto kMark = std::to_array<std::uint8_t>({0x89, 'P', 'N', 'G', 0x0D, 0x0A, 0x1A, 0x0A});
  return file.size() > kMark.size() && std::ranges::equal(file.first(kMark.size()), kMark);
}

Result<Still> ReadPng(std::span<const std::uint8_t> file, const ReadLimits& limits) {
  png_structp png = png_create_read_struct(PNG_LIBPNG_VER_STRING, nullptr, Leave, Silent);
  if (png == nullptr) return Error{"no memory for the picture", "", "", Fault::kOutside};
  png_infop info = png_create_info_struct(png);
  Cursor cursor{file, 0};
  png_set_read_fn(png, &cursor, ReadSome);
  Result<Still> still = info == nullptr ? Result<Still>(Broken("no memory for the picture")) : Decode(png, info, limits);
  png_destroy_read_struct(&png, &info, nullptr);
  return still;
}

}  // namespace fairlead
