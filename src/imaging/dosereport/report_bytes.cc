// SPDX-License-Identifier: Apache-2.0
// One list of members serves both ways, so that they cannot fall apart. Numbers are 8 bytes, little endian first.
#include "imaging/dosereport/report_bytes.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <string>

namespace fairlead {
namespace {

constexpr std::uint64_t kMark = 0x31'45'53'4F'44'4C'46ULL;  // "FLDOSE1"
constexpr std::size_t kLongestText = 600;
constexpr std::size_t kMostItems = 20'000;
constexpr double kLargest = 1e12;

bool Plain(char c) { return c >= 0x20 && c <= 0x7E; }

class Out {
 public:
  static constexpr bool kReads = false;
  void Whole(std::uint64_t value, std::uint64_t /*most*/) {
    for (int i = 0; i < 8; ++i) bytes_.push_back(static_cast<std::uint8_t>(value >> (8 * i) & 0xFF));
  }
  void Real(double value) { Whole(std::bit_cast<std::uint64_t>(value), 0); }
  void Text(const std::string& text) {
    const std::size_t length = std::min(text.size(), kLongestText);
    Whole(length, 0);
    for (std::size_t i = 0; i < length; ++i) bytes_.push_back(static_cast<std::uint8_t>(Plain(text[i]) ? text[i] : '?'));
  }
  void Refuse() {}
  std::vector<std::uint8_t> Take() { return std::move(bytes_); }

 private:
  std::vector<std::uint8_t> bytes_;
};

// After the first fault everything read is zero or empty.
class In {
 public:
  static constexpr bool kReads = true;
  explicit In(std::span<const std::uint8_t> bytes) : bytes_(bytes) {}
  bool ok() const { return sound_; }
  bool sound() const { return sound_ && at_ == bytes_.size(); }
  void Refuse() { sound_ = false; }
  void Whole(std::uint64_t& value, std::uint64_t most) {
    value = 0;
    if (bytes_.size() - at_ < 8) sound_ = false;
    if (!sound_) return;
    for (std::size_t i = 0; i < 8; ++i) value |= static_cast<std::uint64_t>(bytes_[at_ + i]) << (8 * i);
    at_ += 8;
    if (value > most) sound_ = false, value = 0;
  }
  void Real(double& value) {
    std::uint64_t held = 0;
    Whole(held, ~std::uint64_t{0});
    value = std::bit_cast<double>(held);
    if (!(std::abs(value) <= kLargest)) sound_ = false, value = 0.0;
  }
  void Text(std::string& text) {
    std::uint64_t length = 0;
    Whole(length, std::min<std::uint64_t>(kLongestText, bytes_.size() - at_));
    if (length > bytes_.size() - at_) sound_ = false, length = 0;
    text.clear();
    for (std::uint64_t i = 0; i < length; ++i) {
      const char c = static_cast<char>(bytes_[at_++]);
      sound_ = sound_ && Plain(c);
      text.push_back(c);
    }
  }

 private:
  std::span<const std::uint8_t> bytes_;
  std::size_t at_ = 0;
  bool sound_ = true;
};

// --- One member, either way.
template <typename Way, typename Whole>
void PassWhole(Way& way, Whole& value, std::uint64_t most) {
  auto held = static_cast<std::uint64_t>(value);
  way.Whole(held, most);
  if constexpr (Way::kReads) value = static_cast<Whole>(held);
}
template <typename Way>
void PassOne(Way& way, double& value) { way.Real(value); }
template <typename Way>
void PassOne(Way& way, Vec3& at) {
  way.Real(at.x);
  way.Real(at.y);
  way.Real(at.z);
}
template <typename Way>
void PassOne(Way& way, GantryAngles& angles) {
  double primary = angles.primary.radians(), secondary = angles.secondary.radians();
  way.Real(primary);
  way.Real(secondary);
  if constexpr (Way::kReads) angles = {Angle::Radians(primary), Angle::Radians(secondary)};
}
#define FAIRLEAD_PASS_QUANTITY(Type, Make, get)                     \
  template <typename Way>                                           \
  void PassOne(Way& way, Type& value) {                             \
    double held = value.get();                                      \
    way.Real(held);                                                 \
    if constexpr (Way::kReads) value = Type::Make(held);            \
  }
FAIRLEAD_PASS_QUANTITY(Kerma, Gray, gray)
FAIRLEAD_PASS_QUANTITY(AreaProduct, GraySquareMetres, gray_square_metres)
FAIRLEAD_PASS_QUANTITY(Length, Millimetres, millimetres)
FAIRLEAD_PASS_QUANTITY(Duration, Seconds, seconds)
#undef FAIRLEAD_PASS_QUANTITY

template <typename Way, typename T>
void PassMaybe(Way& way, std::optional<T>& value) {
  std::uint64_t there = value.has_value() ? 1 : 0;
  way.Whole(there, 1);
  if constexpr (Way::kReads) value = there == 1 ? std::optional<T>(T{}) : std::nullopt;
  if (value) PassOne(way, *value);
}
template <typename Way, typename T, typename Each>
void PassList(Way& way, std::vector<T>& list, Each each) {
  std::uint64_t count = list.size();
  way.Whole(count, kMostItems);
  if constexpr (Way::kReads) {
    list.clear();
    for (std::uint64_t i = 0; i < count && way.ok(); ++i) each(list.emplace_back());
  } else {
    for (T& item : list) each(item);
  }
}

template <typename Way>
void PassEvent(Way& way, IrradiationEvent& e) {
  way.Text(e.id);
  way.Text(e.started);
  PassWhole(way, e.kind, static_cast<std::uint64_t>(EventKind::kRotation));
  PassWhole(way, e.plane, static_cast<std::uint64_t>(Plane::kB));
  PassMaybe(way, e.kerma);
  PassMaybe(way, e.area_product);
  PassMaybe(way, e.angles);
  PassMaybe(way, e.end_angles);
  for (auto* length : {&e.source_to_isocentre, &e.source_to_detector, &e.source_to_reference, &e.field_width, &e.field_height, &e.copper}) PassMaybe(way, *length);
  way.Real(e.field_area_mm2);
  PassMaybe(way, e.kilovolts);
  PassMaybe(way, e.duration);
  PassMaybe(way, e.frames);
  PassMaybe(way, e.table);
  PassMaybe(way, e.table_end);
}

template <typename Way>
void PassTotals(Way& way, PlaneTotals& t) {
  PassWhole(way, t.plane, static_cast<std::uint64_t>(Plane::kB));
  PassWhole(way, t.all_planes, 1);
  PassMaybe(way, t.kerma);
  PassMaybe(way, t.area_product);
  PassMaybe(way, t.fluoroscopy);
  PassMaybe(way, t.acquisition);
}

template <typename Way>
void PassReport(Way& way, DoseReport& r) {
  std::uint64_t mark = kMark;
  way.Whole(mark, kMark);
  if (mark != kMark) way.Refuse();
  PassWhole(way, r.from, static_cast<std::uint64_t>(DoseSource::kRunHeader));
  way.Text(r.study);
  way.Text(r.written);
  PassList(way, r.events, [&](IrradiationEvent& e) { PassEvent(way, e); });
  PassList(way, r.totals, [&](PlaneTotals& t) { PassTotals(way, t); });
  PassMaybe(way, r.calibration);
  PassMaybe(way, r.height_cm);
  PassMaybe(way, r.weight_kg);
  PassWhole(way, r.containers, kMostItems);
  PassList(way, r.remarks, [&](std::string& text) { way.Text(text); });
}

}  // namespace

std::vector<std::uint8_t> ReportBytes(const DoseReport& report) {
  Out out;
  DoseReport held = report;  // the one list of members takes no const
  PassReport(out, held);
  return out.Take();
}

Result<DoseReport> ReportFromBytes(std::span<const std::uint8_t> bytes) {
  In in(bytes);
  DoseReport report;
  PassReport(in, report);
  if (!in.sound()) return Error{"what the dose report's reader answered is damaged", "dose report", "try again", Fault::kOutside};
  return report;
}

}  // namespace fairlead
