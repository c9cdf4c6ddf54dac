// SPDX-License-Identifier: Apache-2.0
#include "imaging/dosereport/write_report.h"

#include <fmt/core.h>
#include <openssl/evp.h>

#include <algorithm>
#include <array>
#include <cstddef>
#include <map>

namespace fairlead {
namespace {

using Data = std::vector<std::uint8_t>;

void Put16(Data& out, std::size_t value) {
  out.push_back(static_cast<std::uint8_t>(value & 0xFF));
  out.push_back(static_cast<std::uint8_t>((value >> 8) & 0xFF));
}
void Put32(Data& out, std::size_t value) {
  Put16(out, value & 0xFFFF);
  Put16(out, (value >> 16) & 0xFFFF);
}

// Data elements of one level in the order of their tags, explicit little-endian (PS3.5 section 7.1.2).
class Level {
 public:
  Level& Text(std::uint32_t tag, std::string_view vr, std::string_view text) {
    Data value(text.begin(), text.end());
    if (value.size() % 2 == 1) value.push_back(vr == "UI" ? 0 : ' ');
    elements_[tag] = {std::string(vr), std::move(value)};
    return *this;
  }
  Level& Raw(std::uint32_t tag, std::string_view vr, Data value) {
    elements_[tag] = {std::string(vr), std::move(value)};
    return *this;
  }
  Level& Sequence(std::uint32_t tag, const std::vector<Level>& items) {
    Data value;
    for (const Level& item : items) {
      const Data written = item.Written();
      Put32(value, 0xE000FFFE);
      Put32(value, written.size());
      value.insert(value.end(), written.begin(), written.end());
    }
    return Raw(tag, "SQ", std::move(value));
  }
  Data Written() const {
    Data out;
    for (const auto& [tag, element] : elements_) {
      Put16(out, tag >> 16);
      Put16(out, tag & 0xFFFF);
      out.insert(out.end(), element.vr.begin(), element.vr.end());
      const bool is_long = element.vr == "SQ" || element.vr == "OB";
      if (is_long) Put16(out, 0);
      if (is_long) Put32(out, element.value.size());
      else Put16(out, element.value.size());
      out.insert(out.end(), element.value.begin(), element.value.end());
    }
    return out;
  }

 private:
  struct Element {
    std::string vr;
    Data value;
  };
  std::map<std::uint32_t, Element> elements_;
};

// "2.25." and 16 bytes of SHA-256 as one number; PS3.5 B.2, RFC 9562 section 5.8.
std::string Uid(const std::string& text) {
  std::array<unsigned char, 32> uuid{};
  unsigned int size = 0;
  EVP_Digest(text.data(), text.size(), uuid.data(), &size, EVP_sha256(), nullptr);
  uuid[6] = static_cast<unsigned char>((uuid[6] & 0x0F) | 0x80);
  uuid[8] = static_cast<unsigned char>((uuid[8] & 0x3F) | 0x80);
  std::string digits;
  const auto end = uuid.begin() + 16;
  while (std::any_of(uuid.begin(), end, [](unsigned char b) { return b != 0; })) {
    unsigned rest = 0;
    for (auto byte = uuid.begin(); byte != end; ++byte) {
      const unsigned value = rest * 256 + *byte;
      *byte = static_cast<unsigned char>(value / 10);
      rest = value % 10;
    }
    digits.insert(digits.begin(), static_cast<char>('0' + rest));
  }
  return "2.25." + digits;
}

struct Named {
  std::string_view value, scheme, meaning;
};

Level CodeItem(const Named& code) {
  Level item;
  item.Text(0x00080100, "SH", code.value).Text(0x00080102, "SH", code.scheme).Text(0x00080104, "LO", code.meaning);
  return item;
}

Level Content(std::string_view relation, std::string_view type, const Named& name) {
  Level item;
  item.Text(0x0040A010, "CS", relation).Text(0x0040A040, "CS", type).Sequence(0x0040A043, {CodeItem(name)});
  return item;
}

Named Dcm(std::string_view value, std::string_view meaning) { return {value, "DCM", meaning}; }

Level CodeContent(std::string_view relation, const Named& name, const Named& value) { return Content(relation, "CODE", name).Sequence(0x0040A168, {CodeItem(value)}); }
Level UidContent(std::string_view relation, const Named& name, std::string_view uid) { return Content(relation, "UIDREF", name).Text(0x0040A124, "UI", uid); }
Level Container(std::string_view relation, const Named& name, const std::vector<Level>& children) {
  return Content(relation, "CONTAINER", name).Text(0x0040A050, "CS", "SEPARATE").Sequence(0x0040A730, children);
}

// A decimal string has at most 16 characters (PS3.5 section 6.2).
std::string Decimal(double value) { return fmt::format("{:.9g}", value); }

Level NumberContent(const Named& name, const std::string& number, std::string_view unit) {
  Level value;
  value.Text(0x0040A30A, "DS", number).Sequence(0x004008EA, {CodeItem({unit, "UCUM", unit == "1" ? "no units" : unit})});
  return Content("CONTAINS", "NUM", name).Sequence(0x0040A300, {value});
}
Level NumberContent(const Named& name, double number, std::string_view unit) { return NumberContent(name, Decimal(number), unit); }

Level AreaProductContent(const Named& name, AreaProduct product, const ReportStyle& style) {
  if (style.micro_units) return NumberContent(name, 1e6 * product.gray_square_metres(), "uGy.m2");
  return NumberContent(name, style.wrong_area_unit ? product.gray_square_centimetres() : product.gray_square_metres(), "Gy.m2");
}
Level KermaContent(const Named& name, Kerma kerma, const ReportStyle& style) {
  return style.micro_units ? NumberContent(name, 1000.0 * kerma.gray(), "mGy") : NumberContent(name, kerma.gray(), "Gy");
}

Level PlaneContent() { return CodeContent("HAS CONCEPT MOD", Dcm("113764", "Acquisition Plane"), Dcm("113622", "Single Plane")); }
Level ReferenceContent() { return CodeContent("CONTAINS", Dcm("113780", "Reference Point Definition"), Dcm("113860", "15cm from Isocenter toward Source")); }

void AddGeometry(const IrradiationEvent& event, const ReportStyle& style, std::vector<Level>& items) {
  items.push_back(NumberContent(Dcm("112011", "Positioner Primary Angle"), event.angles->primary.degrees(), "deg"));
  items.push_back(NumberContent(Dcm("112012", "Positioner Secondary Angle"), event.angles->secondary.degrees(), "deg"));
  if (!style.no_distances) {
    items.push_back(NumberContent(Dcm("113748", "Distance Source to Isocenter"), event.source_to_isocentre->millimetres(), "mm"));
    items.push_back(NumberContent(Dcm("113737", "Distance Source to Reference Point"), event.source_to_isocentre->millimetres() - 150.0, "mm"));
    items.push_back(NumberContent(Dcm("113750", "Distance Source to Detector"), event.source_to_detector->millimetres(), "mm"));
  }
  const double wide = style.zero_fields ? 0.0 : event.field_width->millimetres(), high = style.zero_fields ? 0.0 : event.field_height->millimetres();
  items.push_back(NumberContent(Dcm("113788", "Collimated Field Height"), high, "mm"));
  items.push_back(NumberContent(Dcm("113789", "Collimated Field Width"), wide, "mm"));
  items.push_back(NumberContent(Dcm("113751", "Table Longitudinal Position"), event.table->x, "mm"));
  items.push_back(NumberContent(Dcm("113752", "Table Lateral Position"), event.table->z, "mm"));
  items.push_back(NumberContent(Dcm("113753", "Table Height Position"), event.table->y, "mm"));
}

void AddTube(const IrradiationEvent& event, const ReportStyle& style, std::vector<Level>& items) {
  const double seconds = event.duration->seconds();
  if (event.kind == EventKind::kFluoroscopy) {
    items.push_back(CodeContent("CONTAINS", Dcm("113732", "Fluoro Mode"), Dcm("113631", "Pulsed")));
    items.push_back(NumberContent(Dcm("113791", "Pulse Rate"), *event.frames / seconds, "{pulse}/s"));
  }
  items.push_back(NumberContent(Dcm("113768", "Number of Pulses"), *event.frames, "1"));
  items.push_back(NumberContent(Dcm("113793", "Pulse Width"), 6.0, "ms"));
  items.push_back(NumberContent(Dcm("113742", "Irradiation Duration"), seconds, "s"));
  items.push_back(NumberContent(Dcm("113733", "KVP"), *event.kilovolts, "kV"));
  items.push_back(NumberContent(Dcm("113734", "X-Ray Tube Current"), 120.0, "mA"));
  items.push_back(NumberContent(Dcm("113824", "Exposure Time"), 6.0 * *event.frames, "ms"));
  items.push_back(NumberContent(Dcm("113736", "Exposure"), 720.0 * *event.frames, "uA.s"));
  const Named copper = style.old_codes ? Named{"C-127F9", "SRT", "Copper or Copper compound"} : Named{"66925006", "SCT", "Copper"};
  items.push_back(Container("CONTAINS", Dcm("113771", "X-Ray Filters"),
                            {CodeContent("CONTAINS", Dcm("113772", "X-Ray Filter Type"), Dcm("113653", "Flat filter")),
                             CodeContent("CONTAINS", Dcm("113757", "X-Ray Filter Material"), copper),
                             NumberContent(Dcm("113758", "X-Ray Filter Thickness Minimum"), event.copper->millimetres(), "mm"),
                             NumberContent(Dcm("113773", "X-Ray Filter Thickness Maximum"), event.copper->millimetres(), "mm")}));
}

std::string DicomTime(const std::string& iso) {
  std::string digits;
  std::ranges::copy_if(iso, std::back_inserter(digits), [](char c) { return c >= '0' && c <= '9'; });
  return digits.substr(0, 14);
}

Level EventContent(const IrradiationEvent& event, std::size_t index, const ReportStyle& style, const std::string& first) {
  const bool empty = style.empty_values && index % 3 == 2;
  Named type = Dcm("113611", "Stationary Acquisition");
  if (event.kind == EventKind::kFluoroscopy) type = style.old_codes ? Named{"P5-06000", "SRT", "Fluoroscopy"} : Named{"44491008", "SCT", "Fluoroscopy"};
  std::vector<Level> items{PlaneContent()};
  items.push_back(UidContent("CONTAINS", Dcm("113769", "Irradiation Event UID"), style.one_identifier ? first : event.id));
  items.push_back(Content("CONTAINS", "DATETIME", Dcm("111526", "DateTime Started")).Text(0x0040A120, "DT", DicomTime(event.started)));
  items.push_back(CodeContent("CONTAINS", Dcm("113721", "Irradiation Event Type"), type));
  items.push_back(CodeContent("CONTAINS", Dcm("123014", "Target Region"), style.old_codes ? Named{"T-32000", "SRT", "Heart"} : Named{"80891009", "SCT", "Heart"}));
  items.push_back(AreaProductContent(Dcm("122130", "Dose Area Product"), *event.area_product, style));
  items.push_back(empty ? Content("CONTAINS", "NUM", Dcm("113738", "Dose (RP)")).Sequence(0x0040A300, {}) : KermaContent(Dcm("113738", "Dose (RP)"), *event.kerma, style));
  items.push_back(ReferenceContent());
  AddGeometry(event, style, items);
  AddTube(event, style, items);
  return Container("CONTAINS", Dcm("113706", "Irradiation Event X-Ray Data"), items);
}

Level TotalsContent(std::span<const IrradiationEvent> events, const ReportStyle& style) {
  struct Sum {
    Kerma kerma;
    AreaProduct product;
    double seconds = 0.0;
  };
  Sum fluoro, cine;
  double frames = 0.0;
  for (const IrradiationEvent& event : events) {
    Sum& sum = event.kind == EventKind::kFluoroscopy ? fluoro : cine;
    sum.kerma = sum.kerma + *event.kerma;
    sum.product = sum.product + *event.area_product;
    sum.seconds += event.duration->seconds();
    if (event.kind == EventKind::kAcquisition) frames += *event.frames;
  }
  return Container("CONTAINS", Dcm("113702", "Accumulated X-Ray Dose Data"),
                   {PlaneContent(), AreaProductContent(Dcm("113722", "Dose Area Product Total"), fluoro.product + cine.product, style),
                    KermaContent(Dcm("113725", "Dose (RP) Total"), fluoro.kerma + cine.kerma, style),
                    AreaProductContent(Dcm("113726", "Fluoro Dose Area Product Total"), fluoro.product, style),
                    KermaContent(Dcm("113728", "Fluoro Dose (RP) Total"), fluoro.kerma, style), NumberContent(Dcm("113730", "Total Fluoro Time"), fluoro.seconds, "s"),
                    AreaProductContent(Dcm("113727", "Acquisition Dose Area Product Total"), cine.product, style),
                    KermaContent(Dcm("113729", "Acquisition Dose (RP) Total"), cine.kerma, style), NumberContent(Dcm("113855", "Total Acquisition Time"), cine.seconds, "s"),
                    NumberContent(Dcm("113731", "Total Number of Radiographic Frames"), frames, "1"), ReferenceContent()});
}

constexpr std::string_view kReportClass = "1.2.840.10008.5.1.4.1.1.88.67";

std::vector<Level> RootContent(std::span<const IrradiationEvent> events, const std::string& set, const ReportStyle& style) {
  std::vector<Level> items;
  items.push_back(CodeContent("HAS CONCEPT MOD", Dcm("121058", "Procedure reported"), Dcm("113704", "Projection X-Ray"))
                      .Sequence(0x0040A730, {CodeContent("HAS CONCEPT MOD", style.old_codes ? Named{"G-C0E8", "SRT", "Has Intent"} : Named{"363703001", "SCT", "Has Intent"},
                                                         style.old_codes ? Named{"R-41531", "SRT", "Therapeutic Intent"} : Named{"262202000", "SCT", "Therapeutic Intent"})}));
  items.push_back(CodeContent("HAS OBS CONTEXT", Dcm("121005", "Observer Type"), Dcm("121007", "Device")));
  items.push_back(UidContent("HAS OBS CONTEXT", Dcm("121012", "Device Observer UID"), Uid("observer")));
  items.push_back(CodeContent("HAS OBS CONTEXT", Dcm("113705", "Scope of Accumulation"), Dcm("113014", "Study"))
                      .Sequence(0x0040A730, {UidContent("HAS PROPERTIES", Dcm("110180", "Study Instance UID"), Uid("dose study " + set))}));
  if (!style.no_totals) items.push_back(TotalsContent(events, style));
  for (std::size_t i = 0; i < events.size(); ++i) items.push_back(EventContent(events[i], i, style, events.front().id));
  items.push_back(CodeContent("CONTAINS", Dcm("113854", "Source of Dose Information"), Dcm("113867", "Computed From Image Attributes")));
  return items;
}

Level Identity(const std::string& set, const std::string& started) {
  Level level;
  const std::string day = started.size() >= 10 ? DicomTime(started).substr(0, 8) : "";
  level.Text(0x00080016, "UI", kReportClass).Text(0x00080018, "UI", Uid("dose report " + set)).Text(0x00080020, "DA", day).Text(0x00080023, "DA", day);
  level.Text(0x00080030, "TM", "").Text(0x00080033, "TM", "120000").Text(0x00080050, "SH", "").Text(0x00080060, "CS", "SR").Text(0x00080070, "LO", "invented");
  level.Text(0x00080090, "PN", "").Text(0x0008103E, "LO", "synthetic: invented dose report").Text(0x00081090, "LO", "none").Sequence(0x00081111, {});
  level.Text(0x00100010, "PN", "INVENTED^DOSE").Text(0x00100020, "LO", "INVENTED-DOSE").Text(0x00100030, "DA", "").Text(0x00100040, "CS", "O");
  level.Text(0x00101020, "DS", "1.74").Text(0x00101030, "DS", "82").Text(0x00120062, "CS", "YES").Text(0x00120063, "LO", "synthetic, no patient");
  level.Text(0x00181000, "LO", "none").Text(0x00181020, "LO", "none");
  level.Text(0x0020000D, "UI", Uid("dose study " + set)).Text(0x0020000E, "UI", Uid("dose series " + set)).Text(0x00200010, "SH", "").Text(0x00200011, "IS", "1").Text(0x00200013, "IS", "1");
  level.Sequence(0x0040A372, {}).Text(0x0040A491, "CS", "COMPLETE").Text(0x0040A493, "CS", "UNVERIFIED");
  Level identification;
  identification.Text(0x00080105, "CS", "DCMR").Text(0x0040DB00, "CS", "10001");
  level.Text(0x0040A040, "CS", "CONTAINER").Text(0x0040A050, "CS", "SEPARATE").Sequence(0x0040A504, {identification});
  return level.Sequence(0x0040A043, {CodeItem(Dcm("113701", "X-Ray Radiation Dose Report"))});
}

}  // namespace

std::vector<std::uint8_t> DoseReportFile(std::span<const IrradiationEvent> events, const std::string& set, const ReportStyle& style) {
  Level meta;
  meta.Raw(0x00020001, "OB", {0, 1}).Text(0x00020002, "UI", kReportClass).Text(0x00020003, "UI", Uid("dose report " + set));
  meta.Text(0x00020010, "UI", "1.2.840.10008.1.2.1").Text(0x00020012, "UI", Uid("writer of invented reports")).Text(0x00020013, "SH", "FAIRLEAD");
  const Data rest = meta.Written();
  Data out(132, 0), length;
  out[128] = 'D', out[129] = 'I', out[130] = 'C', out[131] = 'M';
  Put32(length, rest.size());
  Level group;
  const Data head = group.Raw(0x00020000, "UL", length).Written();
  out.insert(out.end(), head.begin(), head.end());
  out.insert(out.end(), rest.begin(), rest.end());
  const Data body = Identity(set, events.empty() ? "" : events.front().started).Sequence(0x0040A730, RootContent(events, set, style)).Written();
  out.insert(out.end(), body.begin(), body.end());
  return out;
}

}  // namespace fairlead
