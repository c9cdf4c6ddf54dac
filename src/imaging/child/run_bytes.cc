// SPDX-License-Identifier: Apache-2.0
#include "imaging/child/run_bytes.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstring>
#include <string>

namespace fairlead {
namespace {

constexpr std::size_t kLongestText = 500;
constexpr std::size_t kMostRemarks = 64;
constexpr int kMostFrames = 1'000'000, kMostAcross = 65'535;

Error Damaged(const char* what) { return {std::string("the decoded frames are damaged: ") + what, "frames file", "import the run again", Fault::kOutside}; }

class Writer {
 public:
  void Whole(std::uint64_t value) {
    for (int i = 0; i < 8; ++i) bytes_.push_back(static_cast<std::uint8_t>(value >> (8 * i) & 0xFF));
  }
  void Int(int value) { Whole(static_cast<std::uint64_t>(static_cast<std::int64_t>(value))); }
  void Real(double value) { Whole(std::bit_cast<std::uint64_t>(value)); }
  void Text(const std::string& text) {
    const std::size_t length = std::min(text.size(), kLongestText);
    Whole(length);
    for (std::size_t i = 0; i < length; ++i) {
      const char c = text[i];
      bytes_.push_back(static_cast<std::uint8_t>(c >= 0x20 && c <= 0x7E ? c : '?'));
    }
  }
  std::vector<std::uint8_t> Take() { return std::move(bytes_); }

 private:
  std::vector<std::uint8_t> bytes_;
};

// After the first fault every answer is zero or empty, and `ok` stays false.
class Reader {
 public:
  explicit Reader(std::span<const std::uint8_t> bytes) : bytes_(bytes) {}
  bool ok() const { return ok_; }
  bool at_end() const { return at_ == bytes_.size(); }
  std::uint64_t Whole() {
    if (!Has(8)) return 0;
    std::uint64_t value = 0;
    for (std::size_t i = 0; i < 8; ++i) value |= static_cast<std::uint64_t>(bytes_[at_ + i]) << (8 * i);
    at_ += 8;
    return value;
  }
  int Int(int low, int high) {
    const auto value = static_cast<std::int64_t>(Whole());
    if (value >= low && value <= high) return static_cast<int>(value);
    ok_ = false;
    return low;
  }
  double Real() {
    const double value = std::bit_cast<double>(Whole());
    if (std::isfinite(value)) return value;
    ok_ = false;
    return 0.0;
  }
  std::string Text() {
    const std::uint64_t length = Whole();
    if (length > kLongestText || !Has(static_cast<std::size_t>(length))) {
      ok_ = false;
      return {};
    }
    std::string text;
    for (std::uint64_t i = 0; i < length; ++i) {
      const std::uint8_t c = bytes_[at_++];
      ok_ = ok_ && c >= 0x20 && c <= 0x7E;
      text.push_back(static_cast<char>(c));
    }
    return text;
  }
  // A count of things that take 8 bytes each at least.
  std::size_t Count(std::size_t most) {
    const std::uint64_t count = Whole();
    if (count <= most && count <= (bytes_.size() - at_) / 8) return static_cast<std::size_t>(count);
    ok_ = false;
    return 0;
  }

 private:
  bool Has(std::size_t count) {
    ok_ = ok_ && count <= bytes_.size() - at_;
    return ok_;
  }
  std::span<const std::uint8_t> bytes_;
  std::size_t at_ = 0;
  bool ok_ = true;
};

// One list of members for both directions, so that they cannot drift apart.
struct Put {
  Writer& to;
  void operator()(const int& value, int, int) { to.Int(value); }
  void operator()(const bool& value) { to.Int(value ? 1 : 0); }
  void operator()(const double& value) { to.Real(value); }
  void operator()(const std::string& value) { to.Text(value); }
  void operator()(const Length& value) { to.Real(value.millimetres()); }
  void operator()(const Angle& value) { to.Real(value.radians()); }
  template <typename T, typename Each>
  void List(const std::vector<T>& list, std::size_t, Each each) {
    to.Whole(list.size());
    for (const T& entry : list) each(entry);
  }
  template <typename T, typename Each>
  void Maybe(const std::optional<T>& value, Each each) {
    to.Int(value ? 1 : 0);
    if (value) each(*value);
  }
};

struct Get {
  Reader& from;
  void operator()(int& value, int low, int high) { value = from.Int(low, high); }
  void operator()(bool& value) { value = from.Int(0, 1) == 1; }
  void operator()(double& value) { value = from.Real(); }
  void operator()(std::string& value) { value = from.Text(); }
  void operator()(Length& value) { value = Length::Millimetres(from.Real()); }
  void operator()(Angle& value) { value = Angle::Radians(from.Real()); }
  template <typename T, typename Each>
  void List(std::vector<T>& list, std::size_t most, Each each) {
    list.resize(from.Count(most));
    for (T& entry : list) each(entry);
  }
  template <typename T, typename Each>
  void Maybe(std::optional<T>& value, Each each) {
    if (from.Int(0, 1) == 1) each(value.emplace());
  }
};

template <typename Way, typename RunType>
void Picture(Way& way, RunType& run) {
  way(run.modality);
  int kind = static_cast<int>(run.kind);
  way(kind, 0, static_cast<int>(RunKind::kStill));
  if constexpr (!std::is_const_v<RunType>) run.kind = static_cast<RunKind>(kind);
  way(run.transfer_syntax_uid);
  way(run.transfer_syntax_name);
  way(run.rows, 1, kMostAcross);
  way(run.columns, 1, kMostAcross);
  way(run.frames, 1, kMostFrames);
  way(run.samples, 1, 3);
  way(run.bits, 8, 16);
  way(run.bits_stored, 1, 16);
  way(run.inverse);
  way(run.window.center);
  way(run.window.width);
  way(run.window_from);
  way.Maybe(run.shutter, [&](auto& s) {
    for (auto* edge : {&s.left, &s.right, &s.top, &s.bottom}) way(*edge, 0, kMostAcross);
  });
  way.Maybe(run.ultrasound, [&](auto& u) {
    way(u.spacing.row);
    way(u.spacing.column);
    for (auto* edge : {&u.region.left, &u.region.right, &u.region.top, &u.region.bottom}) way(*edge, 0, kMostAcross);
    way(u.from);
  });
  way(run.pullback_mm_s);
  way(run.radiation);
  way(run.calibration_image);
  way(run.burned_in);
}

template <typename Way, typename RunType>
void Geometry(Way& way, RunType& run) {
  const auto view = [&](auto& v) {
    way(v.primary);
    way(v.secondary);
  };
  const auto one = [&](auto& v) { way(v); };
  way.Maybe(run.view, view);
  way.List(run.frame_views, kMostFrames, view);
  way.Maybe(run.source_to_detector, one);
  way.Maybe(run.source_to_isocentre, one);
  way.Maybe(run.magnification, one);
  way.Maybe(run.detector_spacing, [&](auto& s) {
    way(s.row);
    way(s.column);
  });
  way(run.spacing_from);
  way.Maybe(run.pixel_size, [&](auto& size) {
    way(size.per_pixel);
    way(size.sd);
    way(size.method);
    way.List(size.parts, kMostRemarks, [&](auto& part) {
      way(part.name);
      way(part.sd);
    });
  });
}

template <typename Way, typename RunType>
void Course(Way& way, RunType& run) {
  const auto one = [&](auto& v) { way(v); };
  way.List(run.frame_ms, kMostFrames, one);
  way(run.timing);
  way(run.rate_hz);
  way.List(run.r_wave_frames, kMostFrames, [&](auto& frame) { way(frame, 0, kMostFrames); });
  way.List(run.filling, kMostFrames, one);
  way(run.spine.share);
  way(run.spine.sure);
  way.List(run.remarks, kMostRemarks, [&](auto& remark) {
    int level = static_cast<int>(remark.level);
    way(level, 0, 1);
    if constexpr (!std::is_const_v<RunType>) remark.level = static_cast<RemarkLevel>(level);
    way(remark.text);
  });
}

bool Sound(const Run& run) {
  const auto frames = static_cast<std::size_t>(run.frames);
  const bool form = run.samples != 2 && (run.bits == 8 || run.bits == 16) && run.bits_stored <= run.bits;
  const bool lists = run.frame_ms.size() == frames && run.filling.size() == frames && (run.frame_views.empty() || run.frame_views.size() == frames);
  const bool waves = std::ranges::all_of(run.r_wave_frames, [&](int frame) { return frame < run.frames; });
  const bool shutter = !run.shutter || (run.shutter->left < run.shutter->right && run.shutter->right < run.columns &&
                                        run.shutter->top < run.shutter->bottom && run.shutter->bottom < run.rows);
  const bool scale = !run.ultrasound || (run.ultrasound->spacing.row > Length{} && run.ultrasound->spacing.column > Length{} &&
                                         run.ultrasound->region.left < run.ultrasound->region.right && run.ultrasound->region.right < run.columns &&
                                         run.ultrasound->region.top < run.ultrasound->region.bottom && run.ultrasound->region.bottom < run.rows);
  const bool sizes = !run.pixel_size || (run.pixel_size->per_pixel > Length{} && run.pixel_size->sd >= Length{});
  return form && lists && waves && shutter && scale && run.pullback_mm_s >= 0.0 && sizes && run.window.width > 0.0;
}

}  // namespace

std::vector<std::uint8_t> RunBytes(const Run& run) {
  Writer writer;
  Put put{writer};
  Picture(put, run);
  Geometry(put, run);
  Course(put, run);
  return writer.Take();
}

Result<Run> RunFromBytes(std::span<const std::uint8_t> bytes) {
  Reader reader(bytes);
  Get get{reader};
  Run run;
  Picture(get, run);
  Geometry(get, run);
  Course(get, run);
  if (!reader.ok() || !reader.at_end()) return Damaged("its description cannot be read");
  if (!Sound(run)) return Damaged("its description contradicts itself");
  return run;
}

std::vector<std::uint8_t> FooterBytes(const FramesFooter& footer) {
  Writer writer;
  for (const std::uint64_t value : {footer.frame_bytes, footer.run_bytes, footer.frame_sum, footer.run_sum}) writer.Whole(value);
  std::vector<std::uint8_t> bytes = writer.Take();
  bytes.insert(bytes.end(), kFramesMagic.begin(), kFramesMagic.end());
  return bytes;
}

Result<FramesFooter> FooterFromBytes(std::span<const std::uint8_t> bytes) {
  if (bytes.size() != kFramesFooter) return Damaged("its end is missing");
  const auto magic = bytes.last(kFramesMagic.size());
  if (!std::ranges::equal(magic, kFramesMagic, [](std::uint8_t a, char b) { return a == static_cast<std::uint8_t>(b); })) {
    return Damaged("it is not complete or of another version");
  }
  Reader reader(bytes);
  FramesFooter footer;
  footer.frame_bytes = reader.Whole();
  footer.run_bytes = reader.Whole();
  footer.frame_sum = reader.Whole();
  footer.run_sum = reader.Whole();
  return footer;
}

std::uint64_t SumOf(std::span<const std::uint8_t> bytes) {
  constexpr std::uint64_t kOdd = 0x9E37'79B9'7F4A'7C15;  // 2^64 over the golden ratio: mixes well
  std::array<std::uint64_t, 4> lanes{1, 2, 3, 4};
  std::size_t at = 0;
  for (; at + 32 <= bytes.size(); at += 32) {
    for (std::size_t lane = 0; lane < 4; ++lane) {
      std::uint64_t word = 0;
      std::memcpy(&word, bytes.data() + at + 8 * lane, 8);
      lanes[lane] = std::rotl((lanes[lane] ^ word) * kOdd, 29);
    }
  }
  std::uint64_t sum = bytes.size();
  for (; at < bytes.size(); ++at) sum = (sum ^ bytes[at]) * kOdd;
  for (const std::uint64_t lane : lanes) sum = std::rotl((sum ^ lane) * kOdd, 31);
  return sum;
}

std::uint64_t SumOfSums(std::span<const std::uint64_t> sums) {
  return SumOf({reinterpret_cast<const std::uint8_t*>(sums.data()), sums.size_bytes()});
}

}  // namespace fairlead
