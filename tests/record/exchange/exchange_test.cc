// SPDX-License-Identifier: Apache-2.0
// The DICOM object is judged by dciodvfy and read back by dcm2pdf, which know nothing of this program. The bundle is held
// against the official R4 schema by an independent validator in web/tests/browser/record.test.mjs.
#include "record/exchange/exchange.h"

#include <sys/wait.h>
#include <unistd.h>

#include <cstdio>
#include <fstream>
#include <iterator>
#include <memory>

#include "record/picture/base64.h"
#include "tests/record/report/told_case.h"

namespace fairlead {
namespace {

std::string Asked(const std::string& command) {
  std::unique_ptr<FILE, int (*)(FILE*)> pipe(popen(command.c_str(), "r"), pclose);
  std::string text;
  char part[4096];
  while (const std::size_t size = std::fread(part, 1, sizeof part, pipe.get())) text.append(part, size);
  return text;
}

const std::string kPdf = "%PDF-1.5\nan odd number of bytes\n%%EOF";

TEST(Exchange, TheDicomObjectIsCleanAndGivesThePdfBack) {
  const Report report = MakeReport(Fold(ToldEntries()), {});
  const auto bytes = DicomPdf(report, kPdf);
  const std::string path = testing::TempDir() + "fairlead-" + std::to_string(getpid()) + ".dcm", back = path + ".pdf";
  std::ofstream(path, std::ios::binary).write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
  const std::string said = Asked("dciodvfy " + path + " 2>&1");
  EXPECT_EQ(said.find("Error"), std::string::npos) << said;
  EXPECT_EQ(said.find("Warning"), std::string::npos) << said;
  EXPECT_NE(said.find("EncapsulatedPDF"), std::string::npos) << said;
  Asked("dcm2pdf " + path + " " + back + " 2>&1");
  std::ifstream file(back, std::ios::binary);
  EXPECT_EQ(std::string(std::istreambuf_iterator<char>(file), {}).substr(0, kPdf.size()), kPdf);
}

// A length measured on frame 12 of a run, with its points; judged by dciodvfy (Debian dicom3tools), read back by dcmtk's dsrdump and dcmdump.
TEST(Exchange, TheStructuredReportIsCleanAndCarriesValuesWithTheirPoints) {
  auto entries = ToldEntries();
  const std::string hash(64, 'c');
  FactStated fact;
  fact.key = {"length_angio_mm", ""};
  fact.belief = Number{19.2, 1.4};
  fact.mark = Mark::kMeasured;
  fact.origin.image = hash, fact.origin.frame = 11, fact.origin.method = "ruler, catheter 6 French";
  fact.origin.points = {{100.0, 120.0}, {140.25, 150.0}};
  FactStated bend = fact;  // in two views: its second picture is named as well
  bend.key.name = "bend_angio_deg", bend.belief = Number{50, 4};
  bend.origin.views = {{hash, 11, "", "", {}, {{"near cap", {{100.0, 120.0}}}}}, {std::string(64, 'd'), 20, "", "still", {}, {{"near cap", {{33.0, 44.0}}}}}};
  entries.push_back(NextEntry(entries, bend, 3));
  entries.push_back(NextEntry(entries, ImageAdded{hash, "run 1", 60, 512, 512, "XA"}, 1));
  entries.push_back(NextEntry(entries, fact, 2));
  const State state = Fold(std::move(entries));
  const SrImages images = {{hash, {"1.2.840.10008.5.1.4.1.1.12.1", "2.25.11", "2.25.12", "2.25.13", 60}}, {std::string(64, 'd'), {"1.2.840.10008.5.1.4.1.1.12.1", "2.25.21", "2.25.12", "2.25.23", 60}}};
  const Report report = MakeReport(state, {});
  const auto bytes = DicomMeasurements(state, report, images);
  EXPECT_EQ(bytes, DicomMeasurements(state, report, images));
  const std::string path = testing::TempDir() + "fairlead-sr-" + std::to_string(getpid()) + ".dcm";
  std::ofstream(path, std::ios::binary).write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
  const std::string said = Asked("dciodvfy " + path + " 2>&1");
  EXPECT_EQ(said.find("Error"), std::string::npos) << said;
  EXPECT_EQ(said.find("Warning"), std::string::npos) << said;
  const std::string read = Asked("dsrdump +Pc +Pl " + path + " 2>&1");
  for (const char* part : {"(386136009,SCT,\"Standard Deviation\")=\"1.4\"", "SCOORD:(111030,DCM,\"Image Region\")=(POLYLINE", "100.5/120.5,140.75/150.5", "(POINT,33.5/44.5", "(XA image,,21)", "(410668003,SCT,\"Length\")=\"19.2\" (mm,UCUM", "=\"Occlusion length, angiogram\"", "(113725,DCM,\"Dose (RP) Total\")=\"3.12\" (Gy,UCUM"})
    EXPECT_NE(read.find(part), std::string::npos) << part << "\n" << read;
  const std::string bare = Asked("dcmdump +P 0040,a375 +P 0008,1155 +P 0008,1160 " + path + " 2>&1");
  EXPECT_NE(bare.find("[2.25.11]"), std::string::npos) << bare;
  EXPECT_NE(read.find("(XA image,,12)"), std::string::npos) << read;
}

TEST(Exchange, SameCaseSameIdentifiersOtherEntriesAnotherInstance) {
  const Report report = MakeReport(Fold(ToldEntries()), {}), other = MakeReport(Fold(ToldWithout(Verb::kResidual)), {});
  EXPECT_EQ(DicomPdf(report, kPdf), DicomPdf(report, kPdf));
  EXPECT_NE(DicomPdf(report, kPdf), DicomPdf(other, kPdf));
  const State state = Fold(ToldEntries());
  EXPECT_EQ(FhirBundle(state, report, kPdf), FhirBundle(state, report, kPdf));
}

TEST(Exchange, TheBundleSaysWhatTheLogSays) {
  const State state = Fold(ToldEntries());
  const std::string json = FhirBundle(state, MakeReport(state, {}), {});
  for (const char* part : {"\"code\": \"113725\"", "\"value\": 3.12", "\"code\": \"Gy.cm2\"", "\"value\": 8000.0", "\"[iU]\"", "\"gender\": \"male\"", "coronary stent 3 x 38 mm", "standard deviation", "perforation, I, septal", "\"preliminary\""})
    EXPECT_NE(json.find(part), std::string::npos) << part;
}

// RFC 4648, section 10.
TEST(Exchange, Base64IsThatOfTheStandard) {
  EXPECT_EQ(Base64(""), "");
  EXPECT_EQ(Base64("f"), "Zg==");
  EXPECT_EQ(Base64("fo"), "Zm8=");
  EXPECT_EQ(Base64("foo"), "Zm9v");
  EXPECT_EQ(Base64("foobar"), "Zm9vYmFy");
}

}  // namespace
}  // namespace fairlead
