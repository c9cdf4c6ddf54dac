// SPDX-License-Identifier: Apache-2.0
// The written report in the eyes of DCMTK's own reader of structured reports (strict: no flag that forgives), and our
// reading of it against DCMTK's, number by number.
#include <dcmtk/config/osconfig.h>
#include <dcmtk/dcmdata/dctk.h>
#include <dcmtk/dcmdata/dcistrmb.h>
#include <dcmtk/dcmsr/dsrdoc.h>
#include <gtest/gtest.h>

#include <unistd.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

#include "imaging/dosereport/report.h"
#include "imaging/dosereport/write_report.h"

namespace fairlead {
namespace {

struct PeerSums {
  int events = 0;
  double kerma = 0.0, product = 0.0, angle = 0.0;
};

PeerSums ReadByDcmtk(const std::vector<std::uint8_t>& file) {
  PeerSums sums;
  DcmInputBufferStream stream;
  stream.setBuffer(file.data(), static_cast<offile_off_t>(file.size()));
  stream.setEos();
  DcmFileFormat format;
  format.transferInit();
  EXPECT_TRUE(format.read(stream).good());
  format.transferEnd();
  DSRDocument document;
  EXPECT_TRUE(document.read(*format.getDataset()).good());
  EXPECT_EQ(document.getDocumentType(), DSRTypes::DT_XRayRadiationDoseSR);
  DSRDocumentTree& tree = document.getTree();
  EXPECT_GT(tree.gotoRoot(), 0U);
  do {
    const DSRContentItem& item = tree.getCurrentContentItem();
    const std::string code = item.getConceptName().getCodeValue().c_str();
    if (code == "113706") ++sums.events;
    if (item.getValueType() != DSRTypes::VT_Num) continue;
    const double value = std::strtod(item.getNumericValue().getNumericValue().c_str(), nullptr);
    if (code == "113738") sums.kerma += value;
    if (code == "122130") sums.product += value;
    if (code == "112011") sums.angle += value;
  } while (tree.iterate() > 0);
  return sums;
}

// What a program says of the file, and how it ended.
struct Said {
  int status = -1;
  std::string text;
};
Said Asked(const std::string& command) {
  Said said;
  FILE* pipe = popen((command + " 2>&1").c_str(), "r");
  if (pipe == nullptr) return said;
  char piece[512];
  while (std::fgets(piece, sizeof piece, pipe) != nullptr) said.text += piece;
  said.status = pclose(pipe);
  return said;
}

// dciodvfy (dicom3tools) knows the object and the relationships of its content; dsrdump (dcmtk) reads the tree strictly.
TEST(DoseReportPeer, IsFaultlessToTwoIndependentValidators) {
  const auto path = std::filesystem::temp_directory_path() / ("fairlead-rdsr-" + std::to_string(getpid()) + ".dcm");
  const auto file = DoseReportFile(InventedEvents(22, 12), "valid", {});
  std::ofstream(path, std::ios::binary).write(reinterpret_cast<const char*>(file.data()), static_cast<std::streamsize>(file.size()));
  const Said verified = Asked("timeout 60 dciodvfy -new " + path.string());
  EXPECT_EQ(verified.status, 0) << verified.text;
  EXPECT_EQ(verified.text.find("Error"), std::string::npos) << verified.text;
  EXPECT_NE(verified.text.find("XRayRadiationDoseSR"), std::string::npos) << verified.text;
  const Said dumped = Asked("timeout 60 dsrdump " + path.string());
  EXPECT_EQ(dumped.status, 0) << dumped.text;
  for (const char* level : {"\nE: ", "\nW: "}) EXPECT_EQ(("\n" + dumped.text).find(level), std::string::npos) << dumped.text;
  std::filesystem::remove(path);
}

TEST(DoseReportPeer, AgreesWithDcmtkOnEveryNumber) {
  const auto file = DoseReportFile(InventedEvents(21, 30), "peer", {});
  const PeerSums peer = ReadByDcmtk(file);
  const auto ours = ReadDoseReport(file);
  ASSERT_TRUE(ours.ok());
  double kerma = 0.0, product = 0.0, angle = 0.0;
  for (const IrradiationEvent& event : ours->events) {
    kerma += event.kerma->gray();
    product += event.area_product->gray_square_metres();
    angle += event.angles->primary.degrees();
  }
  EXPECT_EQ(peer.events, 30);
  EXPECT_NEAR(peer.kerma, kerma, 1e-9);
  EXPECT_NEAR(peer.product, product, 1e-12);
  EXPECT_NEAR(peer.angle, angle, 1e-6);
  EXPECT_NEAR(ours->totals.at(0).kerma->gray(), kerma, 1e-8);
}

}  // namespace
}  // namespace fairlead
