// SPDX-License-Identifier: Apache-2.0
// Resources written by hand after the shapes of FHIR R4; conversions are checked against published
// tables: creatinine 1.10 mg/dL = 97.2 umol/L and haemoglobin 8.1 mmol/L = 13.05 g/dL (conversion tables of laboratory units, from
// memory), a pound of 0.45359237 kg and an inch of 2.54 cm (exact by international definition).
#include "record/exchange/fhir_in.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace fairlead {
namespace {

const Instant kVisit = ParseIso("2026-09-17T06:22:00Z").value();
const Instant kNow = ParseIso("2026-09-17T12:00:00Z").value();

std::string Observed(const std::string& loinc, const std::string& value, const std::string& unit, const std::string& when = "2026-09-10", const std::string& status = "final", const std::string& more = "") {
  return R"({"resourceType":"Observation","status":")" + status + R"(","code":{"coding":[{"system":"http://loinc.org","code":")" + loinc + R"("}]},"subject":{"reference":"Patient/1"},"effectiveDateTime":")" + when +
         R"(","valueQuantity":{"value":)" + value + R"(,"system":"http://unitsofmeasure.org","code":")" + unit + "\"" + more + "}}";
}
std::string Bundled(const std::vector<std::string>& resources) {
  std::string text = R"({"resourceType":"Bundle","type":"collection","entry":[)";
  for (std::size_t i = 0; i < resources.size(); ++i) text += (i == 0 ? "" : ",") + std::string(R"({"resource":)") + resources[i] + "}";
  return text + "]}";
}
const std::string kPatient = R"({"resourceType":"Patient","id":"1","name":[{"family":"Quillfeather"}],"identifier":[{"value":"88123477"}],"gender":"female","birthDate":"1958-09-18"})";

FhirRead Read(const std::string& json) {
  auto read = ReadFhir(json, kVisit, kNow);
  EXPECT_TRUE(read.ok()) << (read.ok() ? "" : Sentence(read.error()));
  return read.ok() ? *read : FhirRead{};
}
double ValueOf(const FhirRead& read, std::string_view name) {
  const auto found = std::ranges::find_if(read.facts, [&](const FhirFact& fact) { return fact.fact.key.name == name; });
  if (found == read.facts.end()) return -1.0;
  const auto* number = std::get_if<Number>(&found->fact.belief);
  return number == nullptr ? -2.0 : number->value;
}

TEST(FhirIn, WhatAnotherSystemKnowsBecomesFactsWithTheirOrigin) {
  const FhirRead read = Read(Bundled({kPatient, Observed("2160-0", "97.2", "umol/L"), Observed("718-7", "13.1", "g/dL"), Observed("10230-1", "45", "%"), Observed("29463-7", "180", "[lb_av]"), Observed("8302-2", "1.72", "m")}));
  EXPECT_TRUE(read.left_out.empty()) << read.left_out.front();
  ASSERT_EQ(read.facts.size(), 7u);
  EXPECT_EQ(ValueOf(read, "age_years"), 67.0) << "the birthday is tomorrow";
  EXPECT_NEAR(ValueOf(read, "creatinine"), 1.10, 0.001);
  EXPECT_EQ(ValueOf(read, "haemoglobin"), 13.1);
  EXPECT_EQ(ValueOf(read, "lvef_pct"), 45.0);
  EXPECT_NEAR(ValueOf(read, "weight_kg"), 81.6466, 0.0001);
  EXPECT_NEAR(ValueOf(read, "height_cm"), 172.0, 1e-9);
  for (const FhirFact& fact : read.facts) EXPECT_EQ(fact.fact.mark, Mark::kRead);
  const auto creatinine = std::ranges::find_if(read.facts, [](const FhirFact& fact) { return fact.fact.key.name == "creatinine"; });
  EXPECT_EQ(creatinine->fact.origin.method, "FHIR Observation, LOINC 2160-0, 97.2 umol/L");
  EXPECT_EQ(ToIso(creatinine->at), "2026-09-10T12:00:00.000Z");
  EXPECT_TRUE(creatinine->day_only);
}

TEST(FhirIn, NothingThatNamesThePatientIsTaken) {
  for (const FhirFact& fact : Read(Bundled({kPatient, Observed("2160-0", "1.1", "mg/dL")})).facts)
    for (const std::string& text : {fact.fact.origin.method, fact.fact.note})
      for (const char* named : {"Quillfeather", "88123477", "1958"}) EXPECT_EQ(text.find(named), std::string::npos);
}

TEST(FhirIn, UnitsAreConvertedAndForeignOnesLeftOut) {
  EXPECT_NEAR(ValueOf(Read(Observed("718-7", "8.1", "mmol/L")), "haemoglobin"), 13.05, 0.005);
  EXPECT_NEAR(ValueOf(Read(Observed("718-7", "131", "g/L")), "haemoglobin"), 13.1, 1e-9);
  EXPECT_NEAR(ValueOf(Read(Observed("14682-9", "0.0972", "mmol/L")), "creatinine"), 1.10, 0.001);
  EXPECT_NEAR(ValueOf(Read(Observed("10230-1", "0.45", "1")), "lvef_pct"), 45.0, 1e-9);
  const FhirRead odd = Read(Observed("2160-0", "97", "mmol/mol"));
  EXPECT_TRUE(odd.facts.empty());
  EXPECT_EQ(odd.left_out, std::vector<std::string>{"FHIR Observation, LOINC 2160-0: the unit \"mmol/mol\" is none of this quantity"});
}

TEST(FhirIn, TheNewestFinalValueCountsAndTheFutureDoesNot) {
  const FhirRead read = Read(Bundled({Observed("2160-0", "1.4", "mg/dL", "2026-09-12T08:00:00+02:00"), Observed("2160-0", "1.1", "mg/dL", "2026-08-01"), Observed("2160-0", "9.9", "mg/dL", "2026-09-13", "preliminary"),
                                      Observed("2160-0", "2.2", "mg/dL", "2027-01-01")}));
  EXPECT_EQ(ValueOf(read, "creatinine"), 1.4);
  EXPECT_EQ(ToIso(read.facts.front().at), "2026-09-12T06:00:00.000Z");
  EXPECT_EQ(read.left_out, (std::vector<std::string>{"FHIR Observation, LOINC 2160-0: its status is \"preliminary\", not final", "FHIR Observation, LOINC 2160-0, 2.2 mg/dL: it is dated in the future"}));
}

TEST(FhirIn, WhatIsNoSureValueIsLeftOutWithItsReason) {
  const auto why = [](const std::string& json) { const FhirRead read = Read(json); return read.facts.empty() && read.left_out.size() == 1 ? read.left_out.front() : std::string("taken"); };
  EXPECT_EQ(why(Observed("2160-0", "0.3", "mg/dL", "2026-09-10", "final", R"(,"comparator":"<")")), "FHIR Observation, LOINC 2160-0: its value is only a bound");
  EXPECT_EQ(why(Observed("2160-0", "\"1.1\"", "mg/dL")), "FHIR Observation, LOINC 2160-0: it has no value with a unit");
  EXPECT_EQ(why(Observed("2160-0", "1.1", "mg/dL", "2026-09")), "FHIR Observation, LOINC 2160-0: its time cannot be read");
  EXPECT_NE(why(Observed("2160-0", "970", "mg/dL")).find("970 mg/dL: "), std::string::npos) << "out of the dictionary's range";
  EXPECT_EQ(why(R"({"resourceType":"Patient","gender":"other"})"), "FHIR Patient, gender: \"other\" is none that the published scores know");
  EXPECT_EQ(why(R"({"resourceType":"Patient","birthDate":"1958"})"), "FHIR Patient, birthDate: it is not a whole date, so the age is 67 or 68: state it");
  EXPECT_EQ(why(R"({"resourceType":"Patient","birthDate":"2027-01-01"})"), "FHIR Patient, birthDate: it is no date before the visit");
  EXPECT_EQ(ValueOf(Read(R"({"resourceType":"Patient","birthDate":"1958-08"})"), "age_years"), 68.0) << "whatever the day, the birthday is past";
  EXPECT_EQ(ValueOf(Read(R"({"resourceType":"Patient","birthDate":"1960-02-29"})"), "age_years"), 66.0);
}

TEST(FhirIn, TwoPatientsInOneFileAreRefused) {
  for (const std::string& json : {Bundled({kPatient, R"({"resourceType":"Patient","id":"2","gender":"male"})"}), Bundled({Observed("2160-0", "1.1", "mg/dL"), R"({"resourceType":"Observation","subject":{"reference":"Patient/2"}})"})}) {
    const auto read = ReadFhir(json, kVisit, kNow);
    ASSERT_FALSE(read.ok());
    EXPECT_EQ(Sentence(read.error()), "the file speaks of more than one patient (Patient): export one patient's data only");
  }
}

TEST(FhirIn, ForeignTextsAreRefusedWithOneSentence) {
  for (const std::string& json : {std::string(), std::string("{"), std::string("[]"), std::string(R"({"resourceType":"Medication"})"), std::string(200'000, '['), std::string(5 * 1024 * 1024, ' ')}) {
    const auto read = ReadFhir(json, kVisit, kNow);
    ASSERT_FALSE(read.ok());
    EXPECT_EQ(Sentence(read.error()).find('\n'), std::string::npos);
  }
  // Members of the wrong kind everywhere: nothing is taken, nothing breaks.
  EXPECT_TRUE(Read(R"({"resourceType":"Bundle","entry":[1,{"resource":{"resourceType":"Observation","status":5,"code":{"coding":[7,{"system":3}]},"valueQuantity":[]}},null]})").facts.empty());
}

}  // namespace
}  // namespace fairlead
