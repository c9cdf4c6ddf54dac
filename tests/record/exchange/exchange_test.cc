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

#include "record/exchange/base64.h"
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
