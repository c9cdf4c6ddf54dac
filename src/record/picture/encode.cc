// SPDX-License-Identifier: Apache-2.0
// A raster as a file in memory.
#include <png.h>
#include <turbojpeg.h>

#include "record/picture/raster.h"

namespace fairlead {
namespace {

bool Whole(const Raster& raster) {
  return raster.columns > 0 && raster.rows > 0 && (raster.samples == 1 || raster.samples == 3) &&
         raster.bytes.size() == static_cast<std::size_t>(raster.columns) * static_cast<std::size_t>(raster.rows) * static_cast<std::size_t>(raster.samples);
}

}  // namespace

std::string PngBytes(const Raster& raster) {
  if (!Whole(raster)) return {};
  png_image image{};
  image.version = PNG_IMAGE_VERSION;
  image.width = static_cast<png_uint_32>(raster.columns);
  image.height = static_cast<png_uint_32>(raster.rows);
  image.format = raster.samples == 1 ? PNG_FORMAT_GRAY : PNG_FORMAT_RGB;
  image.flags = PNG_IMAGE_FLAG_FAST;
  std::string file(PNG_IMAGE_PNG_SIZE_MAX(image), '\0');
  png_alloc_size_t size = file.size();
  if (png_image_write_to_memory(&image, file.data(), &size, 0, raster.bytes.data(), 0, nullptr) == 0) return {};
  file.resize(size);
  return file;
}

std::string JpegBytes(const Raster& raster, int quality) {
  if (!Whole(raster)) return {};
  const tjhandle coder = tjInitCompress();
  if (coder == nullptr) return {};
  unsigned char* bytes = nullptr;
  unsigned long size = 0;
  const bool grey = raster.samples == 1;
  const int failed = tjCompress2(coder, raster.bytes.data(), raster.columns, 0, raster.rows, grey ? TJPF_GRAY : TJPF_RGB, &bytes, &size, grey ? TJSAMP_GRAY : TJSAMP_420, quality, 0);
  std::string file;
  if (failed == 0) file.assign(reinterpret_cast<const char*>(bytes), size);
  tjFree(bytes);
  tjDestroy(coder);
  return file;
}

}  // namespace fairlead
