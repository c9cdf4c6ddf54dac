// SPDX-License-Identifier: Apache-2.0
// JPEG and JPEG-LS frames through DCMTK's codecs, one frame at a time: each gets a data set of its own with just what
// the codec asks for, so that neither the file's other elements nor its other frames reach the codec.
#include <dcmtk/config/osconfig.h>

#include <dcmtk/dcmdata/dccodec.h>
#include <dcmtk/dcmdata/dcdatset.h>
#include <dcmtk/dcmdata/dcdeftag.h>
#include <dcmtk/dcmdata/dcpixseq.h>
#include <dcmtk/dcmdata/dcpxitem.h>
#include <dcmtk/dcmdata/dcvrcs.h>
#include <dcmtk/dcmdata/dcvris.h>
#include <dcmtk/dcmdata/dcvrus.h>
#include <dcmtk/dcmjpeg/djdecode.h>
#include <dcmtk/dcmjpls/djdecode.h>
#include <dcmtk/oflog/oflog.h>

#include <bit>
#include <mutex>
#include <optional>
#include <utility>

#include "imaging/dicom/pixels.h"

namespace fairlead {
namespace {

Error Broken(const char* what) { return {what, "Pixel Data, JPEG", "export or copy the file again"}; }

// DCMTK keeps its codecs in a list of its own, once a process, and writes its complaints to the terminal by default.
void RegisterOnce() {
  static std::once_flag once;
  std::call_once(once, [] {
    OFLog::configure(OFLogger::OFF_LOG_LEVEL);
    DJDecoderRegistration::registerCodecs();
    DJLSDecoderRegistration::registerCodecs();
  });
}

// What the stream's own frame header says (ISO/IEC 10918-1 B.2.2; JPEG-LS uses the same form).
struct StreamShape {
  int precision = 0, rows = 0, columns = 0, samples = 0;
};

bool IsFrameHeader(unsigned marker) {
  const bool family = marker >= 0xC0 && marker <= 0xCF && marker != 0xC4 && marker != 0xC8 && marker != 0xCC;
  return family || marker == 0xF7;
}

std::optional<StreamShape> ShapeOf(Bytes stream) {
  std::size_t at = 2;
  while (at + 4 <= stream.size()) {
    if (stream[at] != 0xFF) return std::nullopt;
    const unsigned marker = stream[at + 1];
    if (marker == 0xFF) {  // fill byte
      ++at;
      continue;
    }
    const std::size_t length = static_cast<std::size_t>(stream[at + 2]) << 8 | stream[at + 3];
    if (IsFrameHeader(marker)) {
      if (at + 10 > stream.size()) return std::nullopt;
      return StreamShape{stream[at + 4], stream[at + 5] << 8 | stream[at + 6], stream[at + 7] << 8 | stream[at + 8], stream[at + 9]};
    }
    if (marker == 0xDA || length < 2) return std::nullopt;
    at += 2 + length;
  }
  return std::nullopt;
}

Status CheckShape(const Header& header, Bytes stream) {
  const std::optional<StreamShape> shape = ShapeOf(stream);
  if (!shape) return Broken("a compressed frame has no header");
  if (shape->rows != header.run.rows || shape->columns != header.run.columns || shape->samples != header.layout.samples) {
    return Error{"a compressed frame is " + std::to_string(shape->columns) + " x " + std::to_string(shape->rows) + ", the file says " +
                     std::to_string(header.run.columns) + " x " + std::to_string(header.run.rows),
                 "Pixel Data, JPEG", "export or copy the file again"};
  }
  if (shape->precision < 2 || shape->precision > header.layout.allocated) {
    return Error{"a compressed frame has " + std::to_string(shape->precision) + " bits, the file allows " + std::to_string(header.layout.allocated),
                 "Pixel Data, JPEG", "export or copy the file again"};
  }
  return Done{};
}

void PutNumber(DcmItem& item, const DcmTagKey& key, int value) {
  auto* element = new DcmUnsignedShort(DcmTag(key, DcmVR(EVR_US)));  // owned by the item below
  element->putUint16(static_cast<Uint16>(value), 0);
  item.insert(element);
}

void PutText(DcmItem& item, DcmByteString* element, const char* text) {
  element->putString(text);
  item.insert(element);
}

void Describe(const Header& header, DcmDataset& dataset) {
  const PixelLayout& layout = header.layout;
  PutNumber(dataset, DCM_SamplesPerPixel, layout.samples);
  PutText(dataset, new DcmCodeString(DcmTag(DCM_PhotometricInterpretation, DcmVR(EVR_CS))), layout.photometric.c_str());
  if (layout.samples == 3) PutNumber(dataset, DCM_PlanarConfiguration, 0);
  PutText(dataset, new DcmIntegerString(DcmTag(DCM_NumberOfFrames, DcmVR(EVR_IS))), "1");
  PutNumber(dataset, DCM_Rows, header.run.rows);
  PutNumber(dataset, DCM_Columns, header.run.columns);
  PutNumber(dataset, DCM_BitsAllocated, layout.allocated);
  PutNumber(dataset, DCM_BitsStored, layout.stored);
  PutNumber(dataset, DCM_HighBit, layout.high_bit);
  PutNumber(dataset, DCM_PixelRepresentation, 0);
}

// The fragments, with an even length each as the sequence demands.
void PutPieces(const FramePieces& from, DcmPixelSequence& sequence) {
  sequence.insert(new DcmPixelItem(DcmTag(DCM_PixelItemTag, DcmVR(EVR_OB))));  // empty offset table
  for (const Bytes piece : from.pieces) {
    auto* item = new DcmPixelItem(DcmTag(DCM_PixelItemTag, DcmVR(EVR_OB)));
    std::vector<std::uint8_t> even(piece.begin(), piece.end());
    if (even.size() % 2 == 1) even.push_back(0);
    item->putUint8Array(even.data(), even.size());
    sequence.insert(item);
  }
}

E_TransferSyntax SyntaxOf(const std::string& uid) { return DcmXfer(uid.c_str()).getXfer(); }

}  // namespace

Result<StoredFrame> JpegFrame(const Header& header, const FramePieces& from) {
  RegisterOnce();
  if (Status shape = CheckShape(header, from.pieces.front()); !shape) return shape.error();
  DcmDataset dataset;
  Describe(header, dataset);
  DcmPixelSequence sequence(DcmTag(DCM_PixelData, DcmVR(EVR_OB)));
  PutPieces(from, sequence);
  StoredFrame frame;
  frame.bytes.resize(StoredFrameBytes(header.run, header.layout) + 1);  // the codec wants an even buffer
  frame.bytes.resize(frame.bytes.size() / 2 * 2);
  Uint32 fragment = 1;  // after the offset table
  OFString colours;
  const OFCondition decoded =
      DcmCodecList::decodeFrame(DcmXfer(SyntaxOf(header.run.transfer_syntax_uid)), nullptr, &sequence, &dataset, 0, fragment,
                                frame.bytes.data(), static_cast<Uint32>(frame.bytes.size()), colours);
  if (decoded.bad()) return Broken("a compressed frame is broken");
  frame.bytes.resize(StoredFrameBytes(header.run, header.layout));
  if (std::endian::native == std::endian::big && header.layout.allocated == 16) {
    for (std::size_t i = 0; i + 1 < frame.bytes.size(); i += 2) std::swap(frame.bytes[i], frame.bytes[i + 1]);
  }
  frame.is_rgb = colours == "RGB";
  return frame;
}

}  // namespace fairlead
