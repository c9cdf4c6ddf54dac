// SPDX-License-Identifier: Apache-2.0
// Eight real runs of a phantom (Sci Rep 2018;8:1711). Hashes of the decoded frames: DCMTK 3.6.7 and GDCM 3.0.21 agree on
// them bit for bit. Angles, distances and spacing as acquired; the derived spacing was confirmed by fitting one rigid pose
// to all eight.
#include <gtest/gtest.h>
#include <openssl/evp.h>

#include <array>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <iterator>

#include "imaging/dicom/read.h"

namespace fairlead {
namespace {

std::vector<std::uint8_t> FileAt(const std::string& name) {
  std::string path = FAIRLEAD_TESTS_DIR "/data/dicom/";
  std::ifstream file(path.append(name), std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

struct Decoded {
  fairlead::Run run;
  std::vector<std::vector<std::uint8_t>> frames;
};

Decoded Decode(const std::string& name) {
  const std::vector<std::uint8_t> file = FileAt(name);
  Decoded decoded;
  decoded.frames.resize(200);
  Result<fairlead::Run> run = ReadRun(
      file,
      [&](int frame, std::span<const std::uint8_t> bytes) -> Status {
        decoded.frames.at(static_cast<std::size_t>(frame)).assign(bytes.begin(), bytes.end());
        return Done{};
      },
      {}, {}, {});
  EXPECT_TRUE(run) << name;
  if (run) decoded.run = *run;
  return decoded;
}

std::string HashStart(const Decoded& decoded) {
  std::vector<std::uint8_t> all;
  for (const auto& frame : decoded.frames) all.insert(all.end(), frame.begin(), frame.end());
  std::array<std::uint8_t, 32> digest{};
  unsigned size = 0;
  EVP_Digest(all.data(), all.size(), digest.data(), &size, EVP_sha256(), nullptr);
  std::string hex;
  for (std::size_t i = 0; i < 16; ++i) {
    std::array<char, 3> two{};
    std::snprintf(two.data(), two.size(), "%02x", digest[i]);
    hex += two.data();
  }
  return hex;
}

struct Expected {
  const char* name;
  int frames;
  double primary, secondary, sid;
  bool stated_spacing;
  const char* hash;
};

constexpr auto kRuns = std::to_array<Expected>({
    {"xa1", 14, 31.3, 0.1, 860, false, "00b5735d31c6fc058d5015dab2b3b973"},
    {"xa2", 12, -27.3, -0.1, 865, false, "9057127f569d937ad32636c433a590c0"},
    {"xa3", 12, -0.8, -23.2, 891, false, "663602a95dbc26d5e69d6b5721d99675"},
    {"xa4", 10, 0.1, 28.7, 907, false, "47cbff892f8a227b915a875fff4945e4"},
    {"xa5", 16, -26.5, -32.7, 931, true, "48833ce327ca59cfdbb98886a095440f"},
    {"xa6", 9, 24, -18.8, 939, true, "39e0fe8c1b7a2463e5c3062da6a73489"},
    {"xa7", 9, -29.3, 25.5, 976, true, "bf6327220c5dfef319977dc825f3a448"},
    {"xa8", 8, 30.7, 23.6, 976, true, "e7ac3a238ffad2626530d61be9fea293"},
});

TEST(PhantomRuns, DecodeToTheBytesOfTwoOtherReaders) {
  for (const Expected& expected : kRuns) {
    EXPECT_EQ(HashStart(Decode("phantom/" + std::string(expected.name) + ".dcm")), expected.hash) << expected.name;
  }
}

TEST(PhantomRuns, KeepTheirGeometry) {
  for (const Expected& expected : kRuns) {
    SCOPED_TRACE(expected.name);
    const fairlead::Run run = Decode("phantom/" + std::string(expected.name) + ".dcm").run;
    EXPECT_EQ(run.frames, expected.frames);
    ASSERT_TRUE(run.view && run.source_to_detector && run.source_to_isocentre && run.magnification && run.detector_spacing && run.pixel_size);
    EXPECT_NEAR(run.view->primary.degrees(), expected.primary, 1e-9);
    EXPECT_NEAR(run.view->secondary.degrees(), expected.secondary, 1e-9);
    EXPECT_EQ(run.source_to_detector->millimetres(), expected.sid);
    EXPECT_EQ(run.source_to_isocentre->millimetres(), 720.0);
    EXPECT_NEAR(*run.magnification * 720.0 / expected.sid, 1.0, 1e-4);
    EXPECT_NEAR(run.detector_spacing->column.millimetres(), 0.390625, 1e-9);
    EXPECT_EQ(run.spacing_from.starts_with("derived"), !expected.stated_spacing);
    EXPECT_NEAR(run.pixel_size->per_pixel.millimetres(), 0.390625 * 720.0 / expected.sid, 1e-9);
    EXPECT_NEAR(run.frame_ms.back(), 66.6667 * (expected.frames - 1), 1e-6);
    EXPECT_EQ(run.radiation, expected.stated_spacing ? "acquisition" : "fluoroscopy");
  }
}

TEST(PhantomRuns, ShowNoSpineAndNoWarning) {
  for (const Expected& expected : kRuns) {
    const fairlead::Run run = Decode("phantom/" + std::string(expected.name) + ".dcm").run;
    EXPECT_FALSE(run.spine.sure) << expected.name;
    for (const RunRemark& remark : run.remarks) EXPECT_EQ(remark.level, RemarkLevel::kNote) << expected.name << ": " << remark.text;
  }
}

TEST(SingleFrames, AreShownWithoutAnyMillimetre) {
  const fairlead::Run run = Decode("frames/frame-010.png").run;
  EXPECT_EQ(run.kind, RunKind::kStill);
  EXPECT_EQ(run.rows, 512);
  EXPECT_EQ(run.samples, 1);
  EXPECT_FALSE(run.pixel_size);
  EXPECT_FALSE(run.detector_spacing);
  EXPECT_FALSE(run.view);
}

// Mean of frame-010 scaled to 1 is 0.543584 (scikit-image 0.19.3 reading the same file).
TEST(SingleFrames, DecodeToTheMeanOfAnotherReader) {
  const Decoded decoded = Decode("frames/frame-010.png");
  double sum = 0.0;
  for (const std::uint8_t value : decoded.frames.front()) sum += value;
  EXPECT_NEAR(sum / 255.0 / (512.0 * 512.0), 0.543584, 5e-7);
}

}  // namespace
}  // namespace fairlead
