// SPDX-License-Identifier: Apache-2.0
// The form of JPEG in which angiogram runs come: lossless, Huffman, one component, predicted from the left (ISO/IEC
// 10918-1 annex H, selection value 1). Our own because it is most of the time of an import; whatever else a stream
// asks for (other predictors, restart intervals, point transform, several components) is left to the general codec.
#include <algorithm>
#include <array>
#include <bit>
#include <cstring>

#include "imaging/dicom/pixels.h"

namespace fairlead {
namespace {

constexpr int kFastBits = 12;

// A code's length in bits and its category, the number of bits that follow; length 0 = no such code.
struct Code {
  std::uint8_t length = 0;
  std::uint8_t category = 0;
};

// What the next 12 bits say in one look: a whole difference with the bits it takes, where both fit (nearly always);
// `length` 0 where they do not.
struct Whole {
  std::int16_t difference = 0;
  std::uint8_t length = 0;
};

struct HuffmanTable {
  std::array<Whole, std::size_t{1} << kFastBits> fast{};
  std::array<int, 17> first{}, count{}, offset{};  // canonical codes of each length
  std::vector<std::uint8_t> values;
  bool present = false;
};

struct Scan {
  int precision = 0;
  HuffmanTable table;
  Bytes bits;  // entropy-coded, with stuffed bytes
};

std::size_t Big16(Bytes bytes, std::size_t at) { return static_cast<std::size_t>(bytes[at]) << 8 | bytes[at + 1]; }

// The difference of a category from the bits that follow its code (annex F.2.2.1).
int Extended(int extra, int category) { return extra < 1 << (category - 1) ? extra - (1 << category) + 1 : extra; }

// The code at the head of 64 left-aligned bits.
Code CodeAt(const HuffmanTable& table, std::uint64_t next) {
  for (std::size_t length = 1; length <= 16; ++length) {
    const int index = static_cast<int>(next >> (64 - length)) - table.first[length];
    if (index >= 0 && index < table.count[length]) {
      return {static_cast<std::uint8_t>(length), table.values[static_cast<std::size_t>(table.offset[length] + index)]};
    }
  }
  return {};
}

void FillFast(HuffmanTable& table) {
  for (std::size_t i = 0; i < table.fast.size(); ++i) {
    const std::uint64_t next = std::uint64_t{i} << (64 - kFastBits);
    const Code code = CodeAt(table, next);
    const int all = code.length + code.category;
    if (code.length == 0 || all > kFastBits) continue;
    const int extra = code.category == 0 ? 0 : static_cast<int>(next << code.length >> (64 - code.category));
    table.fast[i] = {static_cast<std::int16_t>(code.category == 0 ? 0 : Extended(extra, code.category)), static_cast<std::uint8_t>(all)};
  }
}

// Annex C.2. False for a table that no encoder makes: more codes than fit, or a category above 16.
bool ReadTable(Bytes segment, HuffmanTable& table) {
  constexpr std::size_t kCounts = 17;
  if (segment.size() < kCounts || segment[0] != 0) return false;
  int code = 0, offset = 0;
  for (std::size_t length = 1; length <= 16; ++length) {
    table.first[length] = code;
    table.offset[length] = offset;
    table.count[length] = segment[length];
    code += segment[length];
    offset += segment[length];
    if (code > 1 << length) return false;
    code <<= 1;
  }
  if (segment.size() != kCounts + static_cast<std::size_t>(offset)) return false;  // one table a segment
  table.values.assign(segment.begin() + kCounts, segment.end());
  if (std::ranges::any_of(table.values, [](std::uint8_t v) { return v > 16; })) return false;
  table.present = true;
  FillFast(table);
  return true;
}

// Takes the stream apart; false for anything but the plain form.
bool ReadMarkers(Bytes stream, const Header& header, Scan& scan) {
  constexpr unsigned kFrame = 0xC3, kHuffman = 0xC4, kScan = 0xDA, kRestart = 0xDD;
  if (stream.size() < 4 || stream[0] != 0xFF || stream[1] != 0xD8) return false;
  std::size_t at = 2;
  while (at + 4 <= stream.size() && stream[at] == 0xFF) {
    const unsigned marker = stream[at + 1];
    const std::size_t length = Big16(stream, at + 2);
    if (length < 2 || length > stream.size() - at - 2) return false;
    const Bytes segment = stream.subspan(at + 4, length - 2);
    at += 2 + length;
    if (marker == kFrame) {
      if (segment.size() != 9 || segment[5] != 1 || Big16(segment, 1) != static_cast<std::size_t>(header.run.rows)) return false;
      if (Big16(segment, 3) != static_cast<std::size_t>(header.run.columns) || segment[7] != 0x11) return false;
      scan.precision = segment[0];
    } else if (marker == kHuffman) {
      if (scan.table.present || !ReadTable(segment, scan.table)) return false;
    } else if (marker == kScan) {
      // One component, its table 0, predictor 1, no point transform.
      const bool plain = segment.size() == 6 && segment[0] == 1 && segment[2] == 0 && segment[3] == 1 && segment[4] == 0 && segment[5] == 0;
      scan.bits = stream.subspan(at);
      return plain && scan.table.present && scan.precision >= 2 && scan.precision <= header.layout.allocated;
    } else if (marker == kRestart || (marker >= 0xC0 && marker <= 0xCF)) {
      return false;
    }
  }
  return false;
}

// The bits alone: a 0 after FF is taken out, the first marker ends them. `room` zeros follow, so that a reader may run
// over the end of a broken stream for a row before it is asked.
std::vector<std::uint8_t> WithoutStuffing(Bytes bits, std::size_t room) {
  std::vector<std::uint8_t> plain;
  plain.reserve(bits.size() + room);
  std::size_t at = 0;
  while (at < bits.size()) {
    const auto* found = static_cast<const std::uint8_t*>(std::memchr(bits.data() + at, 0xFF, bits.size() - at));
    const std::size_t end = found == nullptr ? bits.size() : static_cast<std::size_t>(found - bits.data());
    plain.insert(plain.end(), bits.begin() + static_cast<std::ptrdiff_t>(at), bits.begin() + static_cast<std::ptrdiff_t>(end));
    if (end + 1 >= bits.size() || bits[end + 1] != 0) break;
    plain.push_back(0xFF);
    at = end + 2;
  }
  return plain;
}

// A difference takes at most 16 bits of code and 16 that follow.
constexpr std::size_t kMostBytes = 4;

class BitReader {
 public:
  // `row_samples`: how many differences are read at most between two questions whether the bits have run out.
  BitReader(Bytes bits, std::size_t row_samples) {
    const std::size_t room = kMostBytes * row_samples + 16;
    bytes_ = WithoutStuffing(bits, room);
    all_bits_ = 8 * bytes_.size();
    bytes_.resize(bytes_.size() + room);
    next_ = bytes_.data();
  }
  bool overrun() const { return broken_ || 8 * static_cast<std::size_t>(next_ - bytes_.data()) - held_bits_ > all_bits_; }

  // The difference that comes next (annex F.2.2.1, H.1.2.2).
  int Difference(const HuffmanTable& table) {
    Refill();
    const Whole whole = table.fast[held_ >> (64 - kFastBits)];
    if (whole.length == 0) [[unlikely]] return LongDifference(table);
    Take(whole.length);
    return whole.difference;
  }

 private:
  // At least 56 bits are held after it: bytes not wholly taken up are read again the next time.
  void Refill() {
    std::uint64_t word = 0;
    std::memcpy(&word, next_, 8);
    if constexpr (std::endian::native == std::endian::little) word = __builtin_bswap64(word);
    held_ |= word >> held_bits_;
    next_ += (63 - held_bits_) >> 3;
    held_bits_ |= 56;
  }
  void Take(unsigned bits) {
    held_ <<= bits;
    held_bits_ -= bits;
  }

  int LongDifference(const HuffmanTable& table) {
    const Code code = CodeAt(table, held_);
    broken_ = broken_ || code.length == 0;
    Take(code.length);
    if (code.category == 0 || code.category == 16) return code.category == 0 ? 0 : 32'768;
    const int extra = static_cast<int>(held_ >> (64 - code.category));
    Take(code.category);
    return Extended(extra, code.category);
  }

  std::vector<std::uint8_t> bytes_;
  std::size_t all_bits_ = 0;
  const std::uint8_t* next_ = nullptr;
  std::uint64_t held_ = 0;   // bits not yet taken, left-aligned
  unsigned held_bits_ = 0;
  bool broken_ = false;      // a code that the table lacks
};

// Annex H.1.2.1: the first sample from half the range, a row's first from the one above, any other from its left.
template <int kBytes>
bool DecodeRows(const Header& header, const Scan& scan, BitReader& reader, std::vector<std::uint8_t>& out) {
  const auto rows = static_cast<std::size_t>(header.run.rows), columns = static_cast<std::size_t>(header.run.columns);
  std::uint8_t* to = out.data();
  int above = 1 << (scan.precision - 1);
  for (std::size_t y = 0; y < rows; ++y) {
    int left = above;
    for (std::size_t x = 0; x < columns; ++x) {
      left = (left + reader.Difference(scan.table)) & 0xFFFF;
      if (x == 0) above = left;
      *to++ = static_cast<std::uint8_t>(left & 0xFF);
      if constexpr (kBytes == 2) *to++ = static_cast<std::uint8_t>(left >> 8);
    }
    if (reader.overrun()) return false;
  }
  return true;
}

}  // namespace

std::optional<StoredFrame> LosslessFrame(const Header& header, const FramePieces& from) {
  if (header.layout.samples != 1) return std::nullopt;
  std::vector<std::uint8_t> joined;
  Bytes stream = from.pieces.front();
  if (from.pieces.size() > 1) {
    for (const Bytes piece : from.pieces) joined.insert(joined.end(), piece.begin(), piece.end());
    stream = joined;
  }
  Scan scan;
  if (!ReadMarkers(stream, header, scan)) return std::nullopt;
  // Every sample takes a bit at least: a short stream cannot fill the picture, and nothing is allocated for it.
  const std::size_t samples = static_cast<std::size_t>(header.run.rows) * static_cast<std::size_t>(header.run.columns);
  if (scan.bits.size() < samples / 8) return std::nullopt;
  BitReader reader(scan.bits, static_cast<std::size_t>(header.run.columns));
  StoredFrame frame;
  frame.bytes.resize(StoredFrameBytes(header.run, header.layout));
  const bool whole = header.layout.allocated == 8 ? DecodeRows<1>(header, scan, reader, frame.bytes) : DecodeRows<2>(header, scan, reader, frame.bytes);
  if (!whole) return std::nullopt;
  return frame;
}

}  // namespace fairlead
