// SPDX-License-Identifier: Apache-2.0
// One irradiation event: PS3.16 TID 10003, 10003B and 10003C.
#include <algorithm>
#include <array>
#include <cmath>

#include "imaging/dosereport/report_parts.h"

namespace fairlead {
namespace {

using enum Dimension;

struct Numbers {
  std::optional<double> area_product, kerma, isocentre, reference, detector, area, height, width;
  std::optional<double> primary, secondary, primary_end, secondary_end, duration, pulses, rate;
  std::optional<double> longitudinal, lateral, vertical, longitudinal_end, lateral_end, vertical_end;
  std::optional<double> x, y, z, x_end, y_end, z_end;
};
struct Row {
  std::string_view code;
  Dimension dimension;
  const char* name;
  std::optional<double> Numbers::* into;
};
constexpr auto kRows = std::to_array<Row>({
    {"122130", kAreaProduct, "area product", &Numbers::area_product},
    {"113738", kKerma, "air kerma", &Numbers::kerma},
    {"113748", kLength, "distance from source to isocentre", &Numbers::isocentre},
    {"113737", kLength, "distance from source to reference point", &Numbers::reference},
    {"113750", kLength, "distance from source to detector", &Numbers::detector},
    {"113790", kArea, "area of the field", &Numbers::area},
    {"113788", kLength, "height of the field", &Numbers::height},
    {"113789", kLength, "width of the field", &Numbers::width},
    {"112011", kAngle, "primary angle", &Numbers::primary},
    {"112012", kAngle, "secondary angle", &Numbers::secondary},
    {"113739", kAngle, "primary end angle", &Numbers::primary_end},
    {"113740", kAngle, "secondary end angle", &Numbers::secondary_end},
    {"113742", kTime, "duration", &Numbers::duration},
    {"113768", kCount, "number of pulses", &Numbers::pulses},
    {"113791", kRate, "pulse rate", &Numbers::rate},
    {"113751", kLength, "table longitudinal position", &Numbers::longitudinal},
    {"113752", kLength, "table lateral position", &Numbers::lateral},
    {"113753", kLength, "table height", &Numbers::vertical},
    {"113759", kLength, "table longitudinal end position", &Numbers::longitudinal_end},
    {"113760", kLength, "table lateral end position", &Numbers::lateral_end},
    {"113761", kLength, "table height end position", &Numbers::vertical_end},
    {"128766", kLength, "table X position", &Numbers::x},
    {"128767", kLength, "table Y position", &Numbers::y},
    {"128768", kLength, "table Z position", &Numbers::z},
    {"128769", kLength, "table X end position", &Numbers::x_end},
    {"128770", kLength, "table Y end position", &Numbers::y_end},
    {"128771", kLength, "table Z end position", &Numbers::z_end},
});

enum class Lying { kSupine, kProne, kLeftSide, kRightSide };

class EventReader {
 public:
  EventReader(std::size_t number, Remarks& remarks) : remarks_(remarks) { event_.id = "event " + std::to_string(number); }

  IrradiationEvent Read(const ContentItem& container) {
    for (const ContentItem& child : ChildrenOf(*container.item)) Take(child);
    PutDose();
    PutGeometry();
    PutTable();
    return event_;
  }

 private:
  void Take(const ContentItem& child) {
    switch (child.kind) {
      case ContentKind::kNumber: return TakeNumber(child);
      case ContentKind::kCode: return TakeCode(child);
      case ContentKind::kText: return TakeText(child);
      case ContentKind::kContainer:
        if (IsDcm(child.name, "113771")) TakeFilter(child);
        return;
      case ContentKind::kOther: return;
    }
  }

  void TakeNumber(const ContentItem& child) {
    if (child.name.scheme != "DCM") {
      if (!child.name.empty()) remarks_.Add("a number with the code " + child.name.value + " of " + child.name.scheme + " is not understood");
      return;
    }
    if (child.name.value == "113733") return TakeVoltage(child);
    const auto row = std::ranges::find(kRows, child.name.value, &Row::code);
    if (row == kRows.end()) return;
    const auto value = NumberIn(child, row->dimension, row->name, remarks_);
    if (!value) return;
    std::optional<double>& held = numbers_.*(row->into);
    if (!held) held = value;
    else if (*held != *value) remarks_.Add("two values of the " + std::string(row->name) + ": the first is used");
  }

  // One item a pulse, or several values in one: the plain mean.
  void TakeVoltage(const ContentItem& child) {
    const Measured measured = MeasuredOf(child);
    const auto factor = FactorOf(kVoltage, measured.unit.empty() ? UnitOf(kVoltage) : std::string_view(measured.unit));
    if (!factor) return remarks_.Add("the tube voltage has a unit that is not known");
    for (const double value : measured.values) {
      voltage_ += value * *factor;
      ++voltages_;
    }
  }

  void TakeCode(const ContentItem& child) {
    const Code value = CodeOf(child);
    if (IsDcm(child.name, "113764")) event_.plane = PlaneOf(value);
    if (IsDcm(child.name, "113721")) {
      if (IsSnomed(value, "44491008", "P5-06000")) event_.kind = EventKind::kFluoroscopy;
      else if (IsDcm(value, "113611") || IsDcm(value, "113612")) event_.kind = EventKind::kAcquisition;
      else if (IsDcm(value, "113613")) event_.kind = EventKind::kRotation;
    }
    if (IsDcm(child.name, "113745") && IsSnomed(value, "102541007", "F-10480")) feet_first_ = true;
    if (IsDcm(child.name, "113780")) reference_ = value.value;
    if (IsDcm(child.name, "113743")) {
      for (const ContentItem& below : ChildrenOf(*child.item)) {
        if (IsDcm(below.name, "113744")) TakeLying(CodeOf(below));
      }
    }
    if (IsDcm(child.name, "113744")) TakeLying(value);
  }

  void TakeLying(const Code& code) {
    if (IsSnomed(code, "1240000", "F-10310")) lying_ = Lying::kProne;
    if (IsSnomed(code, "102536004", "F-10317")) lying_ = Lying::kLeftSide;
    if (IsSnomed(code, "102535000", "F-10319")) lying_ = Lying::kRightSide;
  }

  void TakeText(const ContentItem& child) {
    const std::string text = TextValueOf(child);
    if (IsDcm(child.name, "113769") && !text.empty()) event_.id = text;
    if (IsDcm(child.name, "111526")) {
      event_.started = IsoTime(text);
      if (event_.started.empty() && !text.empty()) remarks_.Add("a start that is no date and time");
    }
  }

  void TakeFilter(const ContentItem& container) {
    std::optional<double> least, most;
    bool copper = false, none = false;
    for (const ContentItem& child : ChildrenOf(*container.item)) {
      if (child.kind == ContentKind::kCode && IsDcm(child.name, "113757")) copper = IsSnomed(CodeOf(child), "66925006", "C-127F9") || IsSnomed(CodeOf(child), "66925006", "C-12700");
      if (child.kind == ContentKind::kCode && IsDcm(child.name, "113772")) none = IsDcm(CodeOf(child), "111609");
      if (child.kind != ContentKind::kNumber) continue;
      if (IsDcm(child.name, "113758")) least = NumberIn(child, kLength, "filter", remarks_);
      if (IsDcm(child.name, "113773")) most = NumberIn(child, kLength, "filter", remarks_);
    }
    if (!event_.copper) event_.copper = Length();
    if (none || !copper) return;
    const auto thick = least && most ? std::optional((*least + *most) / 2) : (least ? least : most);
    if (thick && *thick >= 0.0 && *thick <= 3.0) event_.copper = *event_.copper + Length::Millimetres(*thick);
    else remarks_.Add("a copper filter without a possible thickness");
  }

  void PutDose() {
    const auto positive = [&](const std::optional<double>& value, double most, const char* name) {
      if (value && *value >= 0.0 && *value <= most) return true;
      if (value) remarks_.Add("an impossible " + std::string(name) + " is left out");
      return false;
    };
    if (positive(numbers_.kerma, 1000.0, "air kerma")) event_.kerma = Kerma::Gray(*numbers_.kerma);
    if (positive(numbers_.area_product, 1000.0, "area product")) event_.area_product = AreaProduct::GraySquareMetres(*numbers_.area_product);
    if (positive(numbers_.duration, 1e6, "duration")) event_.duration = Duration::Seconds(*numbers_.duration);
    if (positive(numbers_.pulses, 1e7, "number of pulses")) event_.frames = *numbers_.pulses;
    if (voltages_ > 0) event_.kilovolts = voltage_ / voltages_;
    constexpr double kLongPress = 120.0;  // seconds; practice, no source
    if (event_.kind == EventKind::kFluoroscopy && event_.duration && event_.duration->seconds() > kLongPress) {
      remarks_.Add("fluoroscopy longer than two minutes with one angle: the C-arm may have moved meanwhile");
    }
  }

  std::optional<GantryAngles> Angles(const std::optional<double>& primary, const std::optional<double>& secondary) {
    if (!primary || !secondary) return std::nullopt;
    double tilt = Wrapped(Angle::Degrees(*secondary)).degrees();
    if (std::abs(tilt) > 90.0) {
      remarks_.Add("a secondary angle outside -90 to 90 degrees: the angles are left out");
      return std::nullopt;
    }
    if (std::abs(*primary) > 180.0) remarks_.Add("a primary angle outside -180 to 180 degrees is brought back by whole turns");
    return GantryAngles{Wrapped(Angle::Degrees(*primary)), Angle::Degrees(tilt)};
  }

  void PutGeometry() {
    event_.angles = Angles(numbers_.primary, numbers_.secondary);
    if (!event_.angles) remarks_.Add("an event without usable angles");
    if (event_.kind == EventKind::kRotation || numbers_.primary_end) {
      event_.end_angles = Angles(numbers_.primary_end, numbers_.secondary_end ? numbers_.secondary_end : numbers_.secondary);
    }
    const auto put = [](const std::optional<double>& value, std::optional<Length>& into) {
      if (value) into = Length::Millimetres(*value);
    };
    put(numbers_.isocentre, event_.source_to_isocentre);
    put(numbers_.detector, event_.source_to_detector);
    put(numbers_.width, event_.field_width);
    put(numbers_.height, event_.field_height);
    const auto zero = [](const std::optional<double>& value) { return value && *value <= 0.0; };
    if (zero(numbers_.width) || zero(numbers_.height) || zero(numbers_.area)) {
      remarks_.Add("a field of no size is left out: the area product over the kerma gives it where both are stated");
      event_.field_width.reset();
      event_.field_height.reset();
    }
    if (numbers_.area && *numbers_.area > 0.0) event_.field_area_mm2 = *numbers_.area;
    PutReference();
  }

  // By definition where the report gives one, by its distance else.
  void PutReference() {
    if (numbers_.reference && *numbers_.reference > 0.0) event_.source_to_reference = Length::Millimetres(*numbers_.reference);
    if (reference_ == "113860" || reference_.empty()) return;
    if (reference_ == "113861" && numbers_.detector && *numbers_.detector > 300.0) {
      event_.source_to_reference = Length::Millimetres(*numbers_.detector - 300.0);
    } else if (reference_ == "113965") {
      event_.source_to_reference = Length::Millimetres(1000.0);
    } else if (!event_.source_to_reference) {
      remarks_.Add("a reference point that is not 15 cm before the isocentre and whose distance is not stated: 15 cm is taken");
    }
  }

  std::optional<Vec3> TableAt(const std::optional<double>& left, const std::optional<double>& down, const std::optional<double>& head) const {
    if (!left && !down && !head) return std::nullopt;
    const double side = feet_first_ ? -1.0 : 1.0;
    const double l = side * left.value_or(0.0), d = down.value_or(0.0), h = side * head.value_or(0.0);
    switch (lying_) {
      case Lying::kSupine: return Vec3{l, d, h};
      case Lying::kProne: return Vec3{-l, -d, h};
      case Lying::kLeftSide: return Vec3{d, -l, h};
      case Lying::kRightSide: return Vec3{-d, l, h};
    }
    return std::nullopt;
  }

  // Positions to the isocentre are preferred. In the others "longitudinal" is towards the patient's left and "lateral"
  // towards the head, as the standard's text has it; the estimate spans the other reading.
  void PutTable() {
    const auto either = [](const std::optional<double>& end, const std::optional<double>& start) { return end ? end : start; };
    Numbers& n = numbers_;
    event_.table = TableAt(n.x, n.y, n.z);
    if (event_.table) {
      event_.table_end = TableAt(either(n.x_end, n.x), either(n.y_end, n.y), either(n.z_end, n.z));
    } else {
      event_.table = TableAt(n.longitudinal, n.vertical, n.lateral);
      event_.table_end = TableAt(either(n.longitudinal_end, n.longitudinal), either(n.vertical_end, n.vertical), either(n.lateral_end, n.lateral));
    }
    if (event_.table_end == event_.table) event_.table_end.reset();
    if (lying_ != Lying::kSupine) remarks_.Add("the patient does not lie on the back: the body model's table is wrong for this event");
  }

  Remarks& remarks_;
  IrradiationEvent event_;
  Numbers numbers_;
  double voltage_ = 0.0;
  int voltages_ = 0;
  std::string reference_;
  bool feet_first_ = false;
  Lying lying_ = Lying::kSupine;
};

}  // namespace

IrradiationEvent EventFrom(const ContentItem& container, std::size_t number, Remarks& remarks) {
  return EventReader(number, remarks).Read(container);
}

}  // namespace fairlead
