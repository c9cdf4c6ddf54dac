// SPDX-License-Identifier: Apache-2.0
#include "imaging/dicom/elements.h"

#include <zlib.h>

#include <algorithm>
#include <utility>

#include "imaging/dicom/element_walk.h"
#include "imaging/dicom/tags.h"

namespace fairlead {
namespace {

constexpr std::size_t kMostInflated = std::size_t{384} << 20;     // chosen: fits the child's memory twice
constexpr std::size_t kPreamble = 128;

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
