// SPDX-License-Identifier: Apache-2.0
// Whole numbers, figures and words as few bytes, and those as text that every database keeps as it is (base64, RFC 4648
// section 4, without padding). A reader never goes beyond its bytes: what is cut off or too large makes it fail.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace fairlead {

class BytesOut {
 public:
  void Whole(std::uint64_t number);           // 7 bits a byte
  void Signed(std::int64_t number) { Whole((static_cast<std::uint64_t>(number) << 1U) ^ static_cast<std::uint64_t>(number >> 63)); }
  void Figure(double number);                 // thousandths where that is exact, else its 8 bytes; NaN is kept as unknown
  void Figure(float number);
  void Text(std::string_view text) { Whole(text.size()), bytes_.append(text); }
  void Append(const BytesOut& other) { bytes_ += other.bytes_; }
  std::string AsText() const;                 // base64
  const std::string& bytes() const { return bytes_; }

 private:
  void Raw(double number);
  std::string bytes_;
};

class BytesIn {
 public:
  explicit BytesIn(std::string_view text);    // base64; anything else fails
  std::uint64_t Whole();
  std::uint64_t Whole(std::uint64_t most);    // fails above it
  std::int64_t Signed() {
    const std::uint64_t number = Whole();
    return static_cast<std::int64_t>(number >> 1U) ^ -static_cast<std::int64_t>(number & 1U);
  }
  double Figure();
  float FloatFigure();
  std::string_view Text();
  bool failed() const { return failed_; }
  bool AtEnd() const { return at_ == bytes_.size(); }
  std::size_t left() const { return bytes_.size() - at_; }
  void Fail() { failed_ = true, at_ = bytes_.size(); }

 private:
  std::optional<double> Raw(std::uint64_t tag);
  std::string bytes_;
  std::size_t at_ = 0;
  bool failed_ = false;
};

}  // namespace fairlead
