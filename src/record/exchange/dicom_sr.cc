// SPDX-License-Identifier: Apache-2.0
// Comprehensive 3D SR (PS3.3 A.35.13) by template TID 1500 (PS3.16): one group a fact or total, with its spread, and the points on the frame that it
// was measured on.
#include <algorithm>
#include <bit>
#include <cmath>
#include <tuple>

#include "casebook/entry_text.h"
#include "casebook/fact_pictures.h"
#include "casebook/run/run_state.h"
#include "imaging/dicom/dataset.h"
#include "record/exchange/dicom_subject.h"
#include "record/exchange/exchange.h"

namespace fairlead {
namespace {

constexpr std::string_view kStorage = "1.2.840.10008.5.1.4.1.1.88.34", kExplicitLittle = "1.2.840.10008.1.2.1";
constexpr const char *kDcm = "DCM", *kSnomed = "SCT", *kUcum = "UCUM";

struct SrCode {
  std::string value, scheme, meaning;
};

DataSet CodeSet(const SrCode& code) {
  DataSet set;
  set.Text(0x00080100, "SH", code.value);
  set.Text(0x00080102, "SH", code.scheme);
  set.Text(0x00080104, "LO", code.meaning);
  return set;
}

void PutItems(DataSet& set, std::uint32_t tag, const std::vector<DataSet>& items) {
  FileBytes all;
  for (const DataSet& item : items) {
    const FileBytes inside = item.Written();
    Put32(all, 0xE000FFFE);
    Put32(all, inside.size());
    all.insert(all.end(), inside.begin(), inside.end());
  }
  set.Raw(tag, "SQ", std::move(all));
}

DataSet ContentItem(const char* relation, const char* kind, const SrCode& name) {
  DataSet item;
  item.Text(0x0040A010, "CS", relation);
  item.Text(0x0040A040, "CS", kind);
  item.OneItem(0x0040A043, CodeSet(name));
  return item;
}
DataSet CodeItem(const char* relation, const SrCode& name, const SrCode& value) {
  DataSet item = ContentItem(relation, "CODE", name);
  item.OneItem(0x0040A168, CodeSet(value));
  return item;
}
DataSet TextItem(const char* relation, const SrCode& name, std::string_view text) {
  DataSet item = ContentItem(relation, "TEXT", name);
  item.Text(0x0040A160, "UT", text);
  return item;
}
DataSet UidItem(const char* relation, const SrCode& name, const std::string& uid) {
  DataSet item = ContentItem(relation, "UIDREF", name);
  item.Text(0x0040A124, "UI", uid);
  return item;
}
DataSet NumberItem(const char* relation, const SrCode& name, double value, const SrCode& unit) {
  DataSet measured, item = ContentItem(relation, "NUM", name);
  measured.OneItem(0x004008EA, CodeSet(unit));
  measured.Text(0x0040A30A, "DS", DecimalText(value));
  item.OneItem(0x0040A300, measured);
  return item;
}
DataSet Container(const char* relation, const SrCode& name, const std::vector<DataSet>& content) {
  DataSet item = ContentItem(relation, "CONTAINER", name);
  item.Text(0x0040A050, "CS", "SEPARATE");
  PutItems(item, 0x0040A730, content);
  return item;
}

DataSet InstanceSet(const SrImage& image) {
  DataSet set;
  set.Text(0x00081150, "UI", image.class_uid);
  set.Text(0x00081155, "UI", image.instance_uid);
  return set;
}

// Image coordinates have their origin in the corner of the first pixel, 0.5 from its centre (PS3.3 C.10.5.1.2).
DataSet PointsItem(const std::vector<PixelPoint>& points, int frame, const SrImage& image) {
  DataSet item = ContentItem("INFERRED FROM", "SCOORD", {"111030", kDcm, "Image Region"});
  FileBytes data;
  for (const PixelPoint& point : points)
    for (const double value : {point.x + 0.5, point.y + 0.5}) Put32(data, std::bit_cast<std::uint32_t>(static_cast<float>(value)));
  item.Raw(0x00700022, "FL", std::move(data));
  item.Text(0x00700023, "CS", points.size() == 1 ? "POINT" : "POLYLINE");
  DataSet instance = InstanceSet(image), source = ContentItem("SELECTED FROM", "IMAGE", {"260753009", kSnomed, "Source"});
  if (image.frames > 1) instance.Text(0x00081160, "IS", std::to_string(frame + 1));
  source.OneItem(0x00081199, instance);
  item.OneItem(0x0040A730, source);
  return item;
}

std::optional<SrCode> UnitCode(std::string_view unit) {
  static constexpr std::pair<std::string_view, std::string_view> kUnits[] = {
      {"mm", "mm"}, {"mm²", "mm2"}, {"deg", "deg"}, {"%", "%"}, {"kg", "kg"}, {"cm", "cm"}, {"mg/dL", "mg/dL"}, {"g/dL", "g/dL"}, {"mL", "mL"}, {"months", "mo"}, {"years", "a"},
      {"mL/min/1.73 m²", "mL/min/{1.73_m2}"}, {"Gy", "Gy"}, {"Gy·cm²", "Gy.cm2"}, {"min", "min"}, {"s", "s"}, {"IU", "[iU]"}, {"", "1"}};
  for (const auto& [name, ucum] : kUnits)
    if (name == unit) return SrCode{std::string(ucum), kUcum, std::string(unit.empty() ? "no units" : unit)};
  return std::nullopt;
}

// What kind of quantity it is; what exactly is said by the tracking identifier. SNOMED CT and LOINC codes from memory.
SrCode KindOfQuantity(std::string_view fact, const SrCode& unit) {
  static constexpr std::tuple<std::string_view, const char*, const char*> kLaboratory[] = {{"creatinine", "2160-0", "Creatinine"}, {"haemoglobin", "718-7", "Hemoglobin"},
      {"weight_kg", "29463-7", "Body weight"}, {"height_cm", "8302-2", "Body height"}, {"lvef_pct", "10230-1", "Left ventricular Ejection fraction"}};
  for (const auto& [name, code, meaning] : kLaboratory)
    if (name == fact) return {code, "LN", meaning};
  static constexpr std::tuple<std::string_view, const char*, const char*> kKinds[] = {{"mm", "410668003", "Length"}, {"deg", "1483009", "Angle"}, {"mm2", "42798000", "Area"}, {"mL", "118565006", "Volume"}};
  for (const auto& [name, code, meaning] : kKinds)
    if (name == unit.value) return {code, kSnomed, meaning};
  return {"246205007", kSnomed, "Quantity"};
}

class Measurements {
 public:
  Measurements(const State& state, const Report& report, const SrImages& images) : state_(state), report_(report), images_(images) {}

  std::vector<DataSet> Groups() {
    for (const auto& [key, belief] : StandingFacts(state_)) {
      const FactRow* row = FindFact(key.name);
      const auto* number = std::get_if<Number>(&belief);
      const auto unit = row == nullptr ? std::nullopt : UnitCode(row->unit);
      if (number == nullptr || !unit || key.name == "age_years") continue;
      const std::string label = std::string(row->label) + (key.of.empty() ? "" : " of channel " + key.of);
      Add("fact " + key.name + " " + key.of, label, KindOfQuantity(key.name, *unit), {number->value, number->sd, *unit}, StandingFact(state_, key));
    }
    const RunState run = RunOf(state_);
    const auto total = [&](const char* name, const char* label, const SrCode& code, const auto& values, const char* unit) {
      if (!values.empty()) Add(name, label, code, {values.back().value, std::nullopt, *UnitCode(unit)}, nullptr);
    };
    total("contrast", "Contrast given", KindOfQuantity("", {"mL", kUcum, ""}), run.contrast, "mL");
    total("air kerma", "Air kerma at the reference point", {"113725", kDcm, "Dose (RP) Total"}, run.air_kerma.sums, "Gy");
    total("kerma area", "Kerma-area product", {"113722", kDcm, "Dose Area Product Total"}, run.kerma_area.sums, "Gy·cm²");
    total("fluoroscopy", "Fluoroscopy time", {"113730", kDcm, "Total Fluoro Time"}, run.fluoro.sums, "min");
    if (run.residual) Add("residual", "Residual stenosis", KindOfQuantity("", {"%", kUcum, ""}), {run.residual->value, std::nullopt, *UnitCode("%")}, nullptr);
    const auto flow = run.flows.find("");
    if (flow != run.flows.end()) Add("flow", "TIMI flow of the treated vessel", KindOfQuantity("", {"1", kUcum, ""}), {flow->second.value, std::nullopt, *UnitCode("")}, nullptr);
    return std::move(groups_);
  }
  // Those that something points into.
  const std::vector<const SrImage*>& used() const { return used_; }

 private:
  struct Amount {
    double value = 0.0;
    std::optional<double> sd;
    SrCode unit;
  };
  void Add(const std::string& name, const std::string& label, const SrCode& code, const Amount& amount, const FactStated* fact) {
    DataSet number = NumberItem("CONTAINS", code, amount.value, amount.unit);
    std::vector<DataSet> below;
    if (fact != nullptr && !fact->origin.method.empty()) below.push_back(TextItem("HAS PROPERTIES", {"121106", kDcm, "Comment"}, fact->origin.method));
    if (amount.sd) below.push_back(NumberItem("HAS PROPERTIES", {"386136009", kSnomed, "Standard Deviation"}, *amount.sd, amount.unit));
    if (fact != nullptr) AddPlaces(below, fact->origin);
    if (!below.empty()) PutItems(number, 0x0040A730, below);
    const std::string uid = UidOf("measurement " + report_.case_id + " " + std::to_string(report_.visit) + " " + name);
    groups_.push_back(Container("CONTAINS", {"125007", kDcm, "Measurement Group"},
                                {TextItem("HAS OBS CONTEXT", {"112039", kDcm, "Tracking Identifier"}, label), UidItem("HAS OBS CONTEXT", {"112040", kDcm, "Tracking Unique Identifier"}, uid), number}));
  }

  // What was marked in each picture whose name is known.
  void AddPlaces(std::vector<DataSet>& below, const FactOrigin& origin) {
    for (const ViewOrigin& view : PicturesBehind(origin)) {
      const auto image = images_.find(view.image);
      if (image == images_.end()) continue;
      for (const NamedPlaces& places : PlacesIn(origin, view.image, view.frame)) {
        below.push_back(PointsItem(places.points, view.frame, image->second));
        if (std::ranges::find(used_, &image->second) == used_.end()) used_.push_back(&image->second);
      }
    }
  }

  const State& state_;
  const Report& report_;
  const SrImages& images_;
  std::vector<DataSet> groups_;
  std::vector<const SrImage*> used_;
};

// By study and series, as the evidence of a document is listed (PS3.3 C.17.2.3).
void PutEvidence(DataSet& set, std::vector<const SrImage*> used) {
  if (used.empty()) return;
  std::ranges::sort(used, {}, [](const SrImage* image) { return std::tie(image->study_uid, image->series_uid, image->instance_uid); });
  std::vector<DataSet> studies;
  for (std::size_t i = 0; i < used.size();) {
    std::vector<DataSet> series;
    const std::string& study = used[i]->study_uid;
    while (i < used.size() && used[i]->study_uid == study) {
      std::vector<DataSet> instances;
      const std::string& name = used[i]->series_uid;
      for (; i < used.size() && used[i]->study_uid == study && used[i]->series_uid == name; ++i) instances.push_back(InstanceSet(*used[i]));
      DataSet one;
      one.Text(0x0020000E, "UI", name);
      PutItems(one, 0x00081199, instances);
      series.push_back(std::move(one));
    }
    DataSet one;
    one.Text(0x0020000D, "UI", study);
    PutItems(one, 0x00081115, series);
    studies.push_back(std::move(one));
  }
  PutItems(set, 0x0040A375, studies);
}

void PutHeader(DataSet& set, const Report& report, const std::string& instance, const std::string& of) {
  const std::string iso = ToIso(report.as_of), day = iso.substr(0, 4) + iso.substr(5, 2) + iso.substr(8, 2), time = iso.substr(11, 2) + iso.substr(14, 2) + iso.substr(17, 2);
  set.Text(0x00080005, "CS", "ISO_IR 192");
  set.Text(0x00080016, "UI", kStorage);
  set.Text(0x00080018, "UI", instance);
  for (const std::uint32_t tag : {0x00080020U, 0x00080023U}) set.Text(tag, "DA", day);
  for (const std::uint32_t tag : {0x00080030U, 0x00080033U}) set.Text(tag, "TM", time);
  set.Text(0x00080050, "SH", "");
  set.Text(0x00080060, "CS", "SR");
  set.Text(0x00080070, "LO", "Fairlead");
  set.Text(0x00080090, "PN", "");
  PutItems(set, 0x00081111, {});
  set.Text(0x00081090, "LO", "Fairlead");
  PutSubject(set, report);
  set.Text(0x00181000, "LO", "1");
  set.Text(0x00181020, "LO", "1");
  set.Text(0x0020000D, "UI", UidOf("study " + of));
  set.Text(0x0020000E, "UI", UidOf("measurements " + of));
  set.Text(0x00200010, "SH", std::to_string(report.visit));
  set.Text(0x00200011, "IS", "2");
  set.Text(0x00200013, "IS", "1");
  PutItems(set, 0x0040A372, {});
  set.Text(0x0040A491, "CS", GapCount(report) > 0 ? "PARTIAL" : "COMPLETE");
  set.Text(0x0040A493, "CS", "UNVERIFIED");
}

}  // namespace

std::vector<std::uint8_t> DicomMeasurements(const State& state, const Report& report, const SrImages& images) {
  const std::string of = report.case_id + " visit " + std::to_string(report.visit);
  const std::string instance = UidOf("measurements " + of + " entry " + std::to_string(report.seq) + " " + report.hash);
  Measurements measurements(state, report, images);
  const std::vector<DataSet> groups = measurements.Groups();
  DataSet set, scheme;
  PutHeader(set, report, instance, of);
  PutEvidence(set, measurements.used());
  scheme.Text(0x00080105, "CS", "DCMR");
  scheme.Text(0x0040DB00, "CS", "1500");
  set.Text(0x0040A040, "CS", "CONTAINER");
  set.OneItem(0x0040A043, CodeSet({"126000", kDcm, "Imaging Measurement Report"}));
  set.Text(0x0040A050, "CS", "SEPARATE");
  set.OneItem(0x0040A504, scheme);
  std::vector<DataSet> content = {
      CodeItem("HAS CONCEPT MOD", {"121049", kDcm, "Language of Content Item and Descendants"}, {"en", "RFC5646", "English"}),
      CodeItem("HAS OBS CONTEXT", {"121005", kDcm, "Observer Type"}, {"121007", kDcm, "Device"}),
      UidItem("HAS OBS CONTEXT", {"121012", kDcm, "Device Observer UID"}, UidOf("observer " + report.case_id)),
      CodeItem("HAS CONCEPT MOD", {"121058", kDcm, "Procedure reported"}, {"415070008", kSnomed, "Percutaneous coronary intervention"}),
  };
  if (!groups.empty()) content.push_back(Container("CONTAINS", {"126010", kDcm, "Imaging Measurements"}, groups));
  PutItems(set, 0x0040A730, content);
  FileBytes file = FilePreamble(kStorage, kExplicitLittle, instance);
  const FileBytes body = set.Written();
  file.insert(file.end(), body.begin(), body.end());
  return file;
}

}  // namespace fairlead
