// SPDX-License-Identifier: Apache-2.0
#include <nlohmann/json.hpp>

#include <cmath>
#include <optional>
#include <utility>

#include "casebook/derive.h"
#include "casebook/entry_text.h"
#include "casebook/run/run_state.h"
#include "imaging/dicom/dataset.h"
#include "record/picture/base64.h"
#include "record/exchange/exchange.h"

namespace fairlead {
namespace {
using Tree = nlohmann::ordered_json;

constexpr const char* kUcum = "http://unitsofmeasure.org";
constexpr const char* kLoinc = "http://loinc.org";
constexpr const char* kDicom = "http://dicom.nema.org/resources/ontology/DCM";
constexpr const char* kSnomed = "http://snomed.info/sct";

struct Code {
  const char* system = nullptr;
  const char* code = nullptr;
};

struct Unit {
  const char* shown;
  const char* ucum;
};

Tree Concept(const std::string& text, Code code = {}) {
  Tree tree = Tree::object();
  if (code.code != nullptr) tree["coding"] = Tree::array({{{"system", code.system}, {"code", code.code}}});
  tree["text"] = text;
  return tree;
}

Tree Amount(double value, Unit unit) { return {{"value", value}, {"unit", unit.shown}, {"system", kUcum}, {"code", unit.ucum}}; }

class Bundle {
 public:
  explicit Bundle(const State& state, const Report& report) : state_(state), report_(report), run_(RunOf(state)) {}

  std::string Text(std::string_view pdf) {
    tree_ = {{"resourceType", "Bundle"}, {"type", "collection"}, {"timestamp", ToIso(report_.as_of)}, {"entry", Tree::array()}};
    AddPatient();
    AddEncounter();
    AddMeasured();
    AddFacts();
    AddDrugs();
    AddDevices();
    AddProcedure();
    AddReport(pdf);
    return tree_.dump(1, ' ', false, Tree::error_handler_t::replace);
  }

 private:
  // A version 8 identifier made of the case's id and the resource's name: the same at every export.
  std::string Address(const std::string& name) const {
    const std::string seed = "fhir " + report_.case_id + " " + std::to_string(report_.visit) + " " + name;
    FileDigest digest = DigestOf({reinterpret_cast<const std::uint8_t*>(seed.data()), seed.size()});
    digest[6] = static_cast<std::uint8_t>((digest[6] & 0x0f) | 0x80);
    digest[8] = static_cast<std::uint8_t>((digest[8] & 0x3f) | 0x80);
    std::string text = "urn:uuid:";
    for (std::size_t i = 0; i < 16; ++i) {
      if (i == 4 || i == 6 || i == 8 || i == 10) text += '-';
      text += "0123456789abcdef"[digest[i] >> 4];
      text += "0123456789abcdef"[digest[i] & 15];
    }
    return text;
  }
  Tree To(const std::string& name) const { return {{"reference", Address(name)}}; }

  void Add(const std::string& name, Tree resource) {
    if (report_.invented) resource["meta"] = {{"tag", Tree::array({{{"display", "INVENTED: nobody lived this case"}}})}};
    tree_["entry"].push_back({{"fullUrl", Address(name)}, {"resource", std::move(resource)}});
  }

  Tree Observation(const std::string& text, Code code, std::optional<Instant> at) {
    Tree tree = {{"resourceType", "Observation"}, {"status", "final"}, {"code", Concept(text, code)}, {"subject", To("patient")}, {"encounter", To("encounter")}};
    if (at) tree["effectiveDateTime"] = ToIso(*at);
    return tree;
  }
  void AddObservation(const std::string& name, Tree observation) {
    Add(name, std::move(observation));
    results_.push_back(To(name));
  }
  void AddAmount(const std::string& name, const std::string& text, Code code, std::optional<Instant> at, double value, Unit unit) {
    Tree tree = Observation(text, code, at);
    tree["valueQuantity"] = Amount(value, unit);
    AddObservation(name, std::move(tree));
  }

  void AddPatient() {
    Tree patient = {{"resourceType", "Patient"}};
    const Facts facts = StandingFacts(state_);
    const auto* sex = std::get_if<GradeOdds>(&BeliefOf(facts, {"sex", ""}));
    patient["gender"] = sex != nullptr && sex->odds.size() == 1 ? sex->odds.front().first : "unknown";
    Add("patient", std::move(patient));
  }

  void AddEncounter() {
    const RunSession* session = PresentSession(run_);
    Tree tree = {{"resourceType", "Encounter"}, {"status", session != nullptr && session->end ? "finished" : "unknown"},
                 {"class", {{"display", "visit to the catheter laboratory"}}}, {"subject", To("patient")}};
    if (session != nullptr) tree["period"] = Period(*session);
    Add("encounter", std::move(tree));
  }
  static Tree Period(const RunSession& session) {
    Tree period = {{"start", ToIso(session.access.value_or(session.start))}};
    if (session.end) period["end"] = ToIso(*session.end);
    return period;
  }

  void AddMeasured() {
    const auto last = [](const Console& console) { return console.sums.empty() ? nullptr : &console.sums.back(); };
    if (const auto* kerma = last(run_.air_kerma)) AddAmount("air-kerma", "Dose (RP) Total", {kDicom, "113725"}, kerma->at, kerma->value, {"Gy", "Gy"});
    if (const auto* area = last(run_.kerma_area)) AddAmount("kerma-area", "Dose Area Product Total", {kDicom, "113722"}, area->at, area->value, {"Gy·cm²", "Gy.cm2"});
    if (const auto* fluoro = last(run_.fluoro)) AddAmount("fluoroscopy", "Total Fluoro Time", {kDicom, "113730"}, fluoro->at, fluoro->value, {"min", "min"});
    if (run_.residual) AddAmount("residual", "Residual diameter stenosis", {}, run_.residual->at, run_.residual->value, {"%", "%"});
    for (const auto& [branch, grade] : run_.flows) {
      Tree tree = Observation("TIMI flow" + (branch.empty() ? std::string(" of the treated vessel") : " of " + branch), {}, grade.at);
      tree["valueInteger"] = std::lround(grade.value);
      AddObservation("flow-" + branch, std::move(tree));
    }
    int number = 0;
    for (const auto& act : run_.acts) {
      if (act.value.off_scale) continue;
      AddAmount("act-" + std::to_string(++number), "Activated clotting time", {}, act.at, act.value.seconds, {"s", "s"});
    }
    for (const ReportSection& section : report_.sections)
      if (section.id == "labels")
        for (const auto& row : section.tables.front().rows) AddLabel(row);
  }

  // label, answer, because, definition, source
  void AddLabel(const std::vector<std::string>& row) {
    Tree tree = Observation(row[0], {}, std::nullopt);
    if (row[1].starts_with("not known")) tree["dataAbsentReason"] = Concept("unknown", {"http://terminology.hl7.org/CodeSystem/data-absent-reason", "unknown"});
    else tree["valueString"] = row[1];
    tree["note"] = Tree::array({{{"text", row[2]}}, {{"text", "Definition: " + row[3] + ". " + row[4]}}});
    AddObservation("label-" + row[0], std::move(tree));
  }

  static Code LoincOf(std::string_view fact) {
    static constexpr std::pair<std::string_view, const char*> kCodes[] = {
        {"creatinine", "2160-0"}, {"haemoglobin", "718-7"}, {"weight_kg", "29463-7"}, {"height_cm", "8302-2"}, {"lvef_pct", "10230-1"}};
    for (const auto& [name, code] : kCodes)
      if (name == fact) return {kLoinc, code};
    return {};
  }
  static std::optional<Unit> UnitOf(std::string_view unit) {
    static constexpr std::pair<std::string_view, Unit> kUnits[] = {
        {"mm", {"mm", "mm"}}, {"deg", {"deg", "deg"}}, {"%", {"%", "%"}}, {"kg", {"kg", "kg"}}, {"cm", {"cm", "cm"}}, {"mg/dL", {"mg/dL", "mg/dL"}}, {"g/dL", {"g/dL", "g/dL"}},
        {"mL", {"mL", "mL"}}, {"months", {"months", "mo"}}, {"years", {"years", "a"}}, {"mL/min/1.73 m²", {"mL/min/1.73 m²", "mL/min/{1.73_m2}"}}};
    for (const auto& [name, ucum] : kUnits)
      if (name == unit) return ucum;
    return std::nullopt;
  }

  void AddFacts() {
    for (const auto& [key, belief] : StandingFacts(state_)) {
      const FactRow* row = FindFact(key.name);
      const Entry* entry = StandingFactEntry(state_, key);
      if (row == nullptr || entry == nullptr || key.name == "sex") continue;
      Tree tree = Observation(std::string(row->label) + (key.of.empty() ? "" : " of channel " + key.of), LoincOf(key.name), entry->at);
      const auto* number = std::get_if<Number>(&belief);
      const auto unit = UnitOf(row->unit);
      const auto* flag = std::get_if<FlagOdds>(&belief);
      if (number != nullptr && unit) {
        tree["valueQuantity"] = Amount(number->value, *unit);
        if (number->sd) tree["component"] = Tree::array({{{"code", Concept("standard deviation")}, {"valueQuantity", Amount(*number->sd, *unit)}}});
      } else if (flag != nullptr && (flag->yes <= 0.0 || flag->yes >= 1.0)) {
        tree["valueBoolean"] = flag->yes >= 1.0;
      } else {
        tree["valueString"] = BeliefText(*row, belief);
      }
      AddObservation("fact-" + key.name + "-" + key.of, std::move(tree));
    }
  }

  void AddDrug(const std::string& name, const std::string& drug, Instant at, double amount, Unit unit, const std::string& remark = {}) {
    Tree tree = {{"resourceType", "MedicationAdministration"}, {"status", "completed"}, {"medicationCodeableConcept", Concept(drug)}, {"subject", To("patient")},
                 {"context", To("encounter")}, {"effectiveDateTime", ToIso(at)}, {"dosage", {{"dose", Amount(amount, unit)}}}};
    if (!remark.empty()) tree["note"] = Tree::array({{{"text", remark}}});
    Add(name, std::move(tree));
  }
  void AddDrugs() {
    int number = 0;
    for (const auto& dose : run_.heparin)
      if (dose.value.route != "drip") AddDrug("heparin-" + std::to_string(++number), "heparin", dose.at, dose.value.units, {"IU", "[iU]"});
    for (const auto& dose : run_.protamine) AddDrug("protamine-" + std::to_string(++number), "protamine", dose.at, dose.value, {"mg", "mg"});
    if (!run_.contrast.empty()) AddDrug("contrast", "iodinated contrast", run_.contrast.back().at, run_.contrast.back().value, {"mL", "mL"}, "total of the visit");
  }

  void AddDevice(const std::string& name, const std::string& what, const RunEvent& event) {
    Tree tree = {{"resourceType", "Device"}, {"status", "active"}, {"type", Concept(what)}, {"patient", To("patient")}};
    if (const std::string_view udi = WordOf(event, RunField::kUdi); !udi.empty()) tree["identifier"] = Tree::array({{{"value", std::string(udi)}}});
    Add(name, std::move(tree));
    devices_.push_back(To(name));
  }
  void AddDevices() {
    int number = 0;
    const auto size = [](const RunEvent& event) {
      const auto text = [](double value) { std::string digits = Tree(value).dump(); return digits.ends_with(".0") ? digits.substr(0, digits.size() - 2) : digits; };
      const auto diameter = NumberOf(event, RunField::kDiameter), length = NumberOf(event, RunField::kLength);
      return (diameter ? " " + text(*diameter) : "") + (length ? " x " + text(*length) : "") + (diameter || length ? " mm" : "");
    };
    for (const auto& stent : run_.stents) AddDevice("stent-" + std::to_string(++number), "coronary stent" + size(stent.value), stent.value);
    for (const auto& cover : run_.covered_stents) AddDevice("stent-" + std::to_string(++number), "covered coronary stent" + size(cover.value), cover.value);
  }

  void AddProcedure() {
    const RunSession* session = PresentSession(run_);
    Tree tree = {{"resourceType", "Procedure"}, {"status", run_.result ? "completed" : "unknown"},
                 {"code", Concept("percutaneous coronary intervention of a chronic total occlusion", {kSnomed, "415070008"})}, {"subject", To("patient")}, {"encounter", To("encounter")}};
    if (session != nullptr) tree["performedPeriod"] = Period(*session);
    if (run_.result) tree["outcome"] = Concept(std::string(WordOf(run_.result->value, RunField::kOutcome)));
    for (const Trouble& trouble : run_.troubles) {
      std::string text = trouble.kind.empty() ? "not named" : trouble.kind;
      if (!trouble.grade.empty()) text += ", " + trouble.grade;
      if (!trouble.site.empty()) text += ", " + trouble.site;
      if (trouble.active) text += ", during " + std::string(StrategyWord(*trouble.active));
      tree["complication"].push_back(Concept(text));
    }
    for (const Tree& device : devices_) tree["focalDevice"].push_back({{"manipulated", device}});
    for (const RunAttempt& attempt : run_.attempts) {
      const std::string end = attempt.end ? ToIso(*attempt.end) : "not ended";
      tree["note"].push_back({{"text", std::string(StrategyWord(attempt.strategy)) + " " + ToIso(attempt.start) + " to " + end + (attempt.reason.empty() ? "" : ", left: " + attempt.reason) + (attempt.ended == AttemptEnd::kCrossed ? ", crossed" : "")}});
    }
    Add("procedure", std::move(tree));
  }

  void AddReport(std::string_view pdf) {
    const bool sealed = !report_.seals.empty() && report_.seals.back().words == ReportWordsOf(report_);
    Tree tree = {{"resourceType", "DiagnosticReport"}, {"status", sealed ? "final" : "preliminary"}, {"code", Concept("Cardiac catheterization report", {kLoinc, "18745-0"})},
                 {"subject", To("patient")}, {"encounter", To("encounter")}, {"issued", ToIso(report_.as_of)}, {"result", results_},
                 {"conclusion", std::to_string(GapCount(report_)) + " items of the report are not recorded. " + std::string(kReportStanding)}};
    if (const RunSession* session = PresentSession(run_); session != nullptr) tree["effectivePeriod"] = Period(*session);
    if (!pdf.empty()) tree["presentedForm"] = Tree::array({{{"contentType", "application/pdf"}, {"language", "en"}, {"data", Base64(pdf)}, {"title", "Report of visit " + std::to_string(report_.visit)}}});
    Add("report", std::move(tree));
  }

  const State& state_;
  const Report& report_;
  RunState run_;
  Tree tree_, results_ = Tree::array();
  std::vector<Tree> devices_;
};

}  // namespace

std::string FhirBundle(const State& state, const Report& report, std::string_view pdf) { return Bundle(state, report).Text(pdf); }

}  // namespace fairlead
