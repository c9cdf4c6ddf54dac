// SPDX-License-Identifier: Apache-2.0
#include "record/exchange/fhir_in.h"

#include <fmt/core.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <set>

#include "casebook/entry_json.h"
#include "measure/source.h"
#include "record/exchange/fhir_time.h"
#include "record/exchange/ucum.h"

namespace fairlead {
namespace {
using Tree = nlohmann::json;

constexpr int kDeepest = 32;
constexpr std::size_t kMostLeftOut = 50;

struct WantedFhir {
  std::string_view fact;
  UcumAmount amount;
  std::vector<std::string_view> codes;  // LOINC
};

// LOINC codes as its table lists them (from memory): mass and molar concentration, blood and serum; measured and stated weight.
const std::vector<WantedFhir>& WantedFacts() {
  static const std::vector<WantedFhir> kWanted = {
      {"lvef_pct", UcumAmount::kPercent, {"10230-1", "8806-2", "18043-0", "8808-8", "8807-0"}},
      {"creatinine", UcumAmount::kCreatinine, {"2160-0", "14682-9", "38483-4", "77140-2"}},
      {"haemoglobin", UcumAmount::kHaemoglobin, {"718-7", "20509-6", "59260-0", "30350-3", "30313-1", "30351-1", "30352-9"}},
      {"weight_kg", UcumAmount::kMass, {"29463-7", "3141-9", "3142-7"}},
      {"height_cm", UcumAmount::kLength, {"8302-2", "8301-4", "3137-7"}},
  };
  return kWanted;
}

std::string TextIn(const Tree& tree, const char* name) {
  if (!tree.is_object()) return {};
  const auto found = tree.find(name);
  return found != tree.end() && found->is_string() ? found->get<std::string>() : std::string();
}
const Tree* ObjectIn(const Tree& tree, const char* name) {
  if (!tree.is_object()) return nullptr;
  const auto found = tree.find(name);
  return found != tree.end() && found->is_object() ? &*found : nullptr;
}
const Tree* ListIn(const Tree& tree, const char* name) {
  if (!tree.is_object()) return nullptr;
  const auto found = tree.find(name);
  return found != tree.end() && found->is_array() ? &*found : nullptr;
}
// A code or unit as it may be shown: short, and nothing but signs that codes have.
std::string Plainly(std::string text) {
  text.resize(std::min<std::size_t>(text.size(), 24));
  std::erase_if(text, [](char c) { return c < 0x21 || c > 0x7e; });
  return text;
}

// One patient's resources, taken out of whatever holds them.
struct FhirResources {
  std::vector<const Tree*> patients, observations;
  std::set<std::string> subjects;  // whom the observations are about, as far as they say
};

Status SortFhir(const Tree& resource, FhirResources& found) {
  const std::string type = TextIn(resource, "resourceType");
  if (type == "Patient") found.patients.push_back(&resource);
  if (type != "Observation") return Done{};
  found.observations.push_back(&resource);
  if (const Tree* subject = ObjectIn(resource, "subject"))
    if (const std::string whom = TextIn(*subject, "reference"); !whom.empty()) found.subjects.insert(whom);
  return Done{};
}

Result<FhirResources> ResourcesOf(const Tree& tree) {
  FhirResources found;
  const Tree* entries = ListIn(tree, "entry");
  if (TextIn(tree, "resourceType") != "Bundle") {
    if (auto sorted = SortFhir(tree, found); !sorted) return sorted.error();
  } else if (entries != nullptr) {
    if (entries->size() > kMostFhirResources) return Error{"the file holds more than " + std::to_string(kMostFhirResources) + " resources", "entry", "export the patient and the last observations only"};
    for (const Tree& entry : *entries)
      if (const Tree* resource = ObjectIn(entry, "resource")) (void)SortFhir(*resource, found);
  }
  if (found.patients.empty() && found.observations.empty()) return Error{"there is no Patient and no Observation in the file", "resourceType", "export a Bundle with both"};
  if (found.patients.size() > 1 || found.subjects.size() > 1) return Error{"the file speaks of more than one patient", "Patient", "export one patient's data only"};
  return found;
}

class FhirReading {
 public:
  FhirReading(Instant visit, Instant now) : visit_(visit), now_(now) {}

  FhirRead All(const FhirResources& found) {
    for (const Tree* patient : found.patients) AddPatient(*patient);
    for (const Tree* observation : found.observations) AddObservation(*observation);
    FhirRead read;
    for (const FactRow& row : Dictionary())
      if (const auto best = best_.find(row.name); best != best_.end()) read.facts.push_back(std::move(best->second));
    read.left_out = std::move(left_out_);
    return read;
  }

 private:
  void LeaveOut(std::string why) {
    if (left_out_.size() < kMostLeftOut) left_out_.push_back(std::move(why));
  }

  // Refused by the dictionary, it is left out; older than what is there, it is forgotten without a word.
  void Offer(std::string_view fact, Belief belief, std::string method, const FhirTime& time) {
    FhirFact offered{{{std::string(fact), ""}, std::move(belief), Mark::kRead, {}, time.given ? "" : "the file does not date it"}, time.given ? time.at : now_, time.given, time.day_only};
    offered.fact.origin.method = std::move(method);
    if (offered.at > now_ && !(time.day_only && (offered.at - now_).minutes() < 24 * 60)) return LeaveOut(offered.fact.origin.method + ": it is dated in the future");
    if (offered.at > now_) offered.at = now_;
    const auto fits = ParseEntryData("fact", PresentVersion("fact"), EntryDataJson(offered.fact));
    if (!fits) return LeaveOut(offered.fact.origin.method + ": " + fits.error().what);
    const auto held = best_.find(fact);
    if (held == best_.end() || (offered.dated && (!held->second.dated || offered.at >= held->second.at))) best_.insert_or_assign(std::string(fact), std::move(offered));
  }

  void AddPatient(const Tree& patient) {
    const std::string gender = TextIn(patient, "gender"), born = TextIn(patient, "birthDate");
    const FhirTime undated{now_, true, false};
    if (gender == "male" || gender == "female") Offer("sex", GradeOdds{{{gender, 1.0}}}, "FHIR Patient, gender", undated);
    else if (!gender.empty()) LeaveOut("FHIR Patient, gender: \"" + Plainly(gender) + "\" is none that the published scores know");
    if (born.empty()) return;
    const auto ages = AgesOn(born, visit_);
    if (!ages) return LeaveOut("FHIR Patient, birthDate: it is no date before the visit");
    if (ages->first != ages->second) return LeaveOut(fmt::format("FHIR Patient, birthDate: it is not a whole date, so the age is {} or {}: state it", ages->first, ages->second));
    Offer("age_years", Number{static_cast<double>(ages->first), std::nullopt}, "FHIR Patient, birthDate, at the visit", undated);
  }

  // Which of the wanted facts it speaks of, and by which code.
  static std::pair<const WantedFhir*, std::string> WantedBy(const Tree& observation) {
    const Tree* code = ObjectIn(observation, "code");
    const Tree* codings = code == nullptr ? nullptr : ListIn(*code, "coding");
    if (codings == nullptr) return {};
    for (const Tree& coding : *codings) {
      if (TextIn(coding, "system") != "http://loinc.org") continue;
      const std::string loinc = TextIn(coding, "code");
      for (const WantedFhir& wanted : WantedFacts())
        if (std::ranges::find(wanted.codes, loinc) != wanted.codes.end()) return {&wanted, loinc};
    }
    return {};
  }

  void AddObservation(const Tree& observation) {
    const auto [wanted, loinc] = WantedBy(observation);
    if (wanted == nullptr) return;
    const std::string from = "FHIR Observation, LOINC " + loinc;
    const std::string status = TextIn(observation, "status");
    if (status != "final" && status != "amended" && status != "corrected") return LeaveOut(from + ": its status is \"" + Plainly(status) + "\", not final");
    const FhirTime time = TimeOf(observation);
    if (time.wrong) return LeaveOut(from + ": its time cannot be read");
    const Tree* quantity = ObjectIn(observation, "valueQuantity");
    const auto value = quantity == nullptr ? Tree::const_iterator() : quantity->find("value");
    if (quantity == nullptr || value == quantity->end() || !value->is_number()) return LeaveOut(from + ": it has no value with a unit");
    const double number = value->get<double>();
    if (!TextIn(*quantity, "comparator").empty()) return LeaveOut(from + ": its value is only a bound");
    if (TextIn(*quantity, "system") != "http://unitsofmeasure.org") return LeaveOut(from + ": its unit is not given in UCUM");
    const std::string unit = TextIn(*quantity, "code");
    const auto converted = InOurUnit(wanted->amount, number, unit);
    if (!converted) return LeaveOut(from + ": the unit \"" + Plainly(unit) + "\" is none of this quantity");
    Offer(wanted->fact, Number{*converted, std::nullopt}, fmt::format("{}, {:g} {}", from, number, Plainly(unit)), time);
  }

  static FhirTime TimeOf(const Tree& observation) {
    for (const char* name : {"effectiveDateTime", "effectiveInstant"})
      if (const std::string text = TextIn(observation, name); !text.empty()) return ReadFhirTime(text);
    if (const Tree* period = ObjectIn(observation, "effectivePeriod"))
      for (const char* name : {"end", "start"})
        if (const std::string text = TextIn(*period, name); !text.empty()) return ReadFhirTime(text);
    return {};
  }

  Instant visit_, now_;
  std::map<std::string, FhirFact, std::less<>> best_;
  std::vector<std::string> left_out_;
};

}  // namespace

Result<FhirRead> ReadFhir(std::string_view json, Instant visit, Instant now) {
  if (json.size() > kLongestFhir) return Error{"the file is longer than 4 MiB", "FHIR", "export the patient and the last observations only"};
  const auto shallow = [](int depth, Tree::parse_event_t, Tree&) { return depth <= kDeepest; };
  const Tree tree = Tree::parse(json, shallow, false);
  if (tree.is_discarded() || !tree.is_object()) return Error{"this is no FHIR resource in JSON", "FHIR", "export a Bundle as JSON"};
  auto found = ResourcesOf(tree);
  if (!found) return found.error();
  return FhirReading(visit, now).All(*found);
}

}  // namespace fairlead
