// SPDX-License-Identifier: Apache-2.0
// What is believed of a header, and what is said where it is not. Attributes and signs: DICOM PS3.3 C.8.7.5, C.7.6.5;
// orders of trust and limits: practice, no source.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "imaging/dicom/read.h"
#include "tests/imaging/dicom/file_builder.h"

namespace fairlead {
namespace {

Run HeaderOf(const FileBuilder& file) {
  FileBuilder whole = file;
  whole.Pixels(FileBytes(512 * 512 * 3, 50));
  Result<fairlead::Run> run = ReadHeader(whole.bytes(), {});
  EXPECT_TRUE(run) << (run ? "" : Sentence(run.error()));
  return run ? *run : fairlead::Run{};
}

FileBuilder Base() { return Angiogram(512, 512, 3); }

bool Warns(const fairlead::Run& run, std::string_view part) {
  return std::ranges::any_of(run.remarks, [&](const RunRemark& r) { return r.level == RemarkLevel::kWarning && r.text.find(part) != std::string::npos; });
}

FileBuilder& Pointer(FileBuilder& file, Tag to) {
  FileBytes value;
  PutTag(value, to);
  FileBytes element;
  PutShort(element, tags::kFramePointer, "AT", value);
  return file.Raw(element);
}

TEST(Timing, FollowsThePointerToTheFrameTime) {
  FileBuilder file = Base();
  Pointer(file.Text(tags::kFrameTimeVector, "DS", "0\\70\\70").Text(tags::kFrameTime, "DS", "66.7"), tags::kFrameTime);
  EXPECT_EQ(HeaderOf(file).frame_ms, (std::vector<double>{0, 66.7, 133.4}));
}

TEST(Timing, FollowsThePointerToTheVector) {
  FileBuilder file = Base();
  Pointer(file.Text(tags::kFrameTimeVector, "DS", "0\\125\\124").Text(tags::kFrameTime, "DS", "66.7"), tags::kFrameTimeVector);
  EXPECT_EQ(HeaderOf(file).frame_ms, (std::vector<double>{0, 125, 249}));
}

TEST(Timing, TakesAVectorThatLacksItsFirstZero) {
  FileBuilder file = Base();
  EXPECT_EQ(HeaderOf(file.Text(tags::kFrameTimeVector, "DS", "125\\124")).frame_ms, (std::vector<double>{0, 125, 249}));
}

TEST(Timing, TakesAFirstValueThatIsNotZeroAsADelay) {
  FileBuilder file = Base();
  EXPECT_EQ(HeaderOf(file.Text(tags::kFrameTimeVector, "DS", "40\\125\\124")).frame_ms, (std::vector<double>{0, 125, 249}));
}

TEST(Timing, WarnsOfAVectorOfAnotherLength) {
  FileBuilder file = Base();
  const fairlead::Run run = HeaderOf(file.Text(tags::kFrameTimeVector, "DS", "0").Text(tags::kCineRate, "IS", "10"));
  EXPECT_EQ(run.timing, "cine rate of the file");
  EXPECT_TRUE(Warns(run, "1 values for 3 frames"));
}

TEST(Timing, IgnoresAFrameTimeOfZeroAndFallsThrough) {
  FileBuilder file = Base();
  const fairlead::Run run = HeaderOf(file.Text(tags::kFrameTime, "DS", "0").Text(tags::kRecommendedRate, "IS", "8"));
  EXPECT_EQ(run.frame_ms, (std::vector<double>{0, 125, 250}));
  EXPECT_EQ(run.rate_hz, 8.0);
}

TEST(Timing, AssumesFifteenASecondAndSaysSo) {
  const fairlead::Run run = HeaderOf(Base());
  EXPECT_NEAR(run.rate_hz, 15.0, 1e-12);
  EXPECT_TRUE(Warns(run, "15 a second is assumed"));
}

TEST(View, IsReadWithItsSigns) {
  FileBuilder file = Base();
  const fairlead::Run run = HeaderOf(file.Text(tags::kPrimaryAngle, "DS", "-27.3").Text(tags::kSecondaryAngle, "DS", "+25.5"));
  ASSERT_TRUE(run.view);
  EXPECT_EQ(ViewText(*run.view), "RAO 27 CRA 26");
}

TEST(View, OutsideTheRangeIsRejected) {
  for (const char* angles : {"200", "-181", "NaN"}) {
    FileBuilder file = Base();
    EXPECT_FALSE(HeaderOf(file.Text(tags::kPrimaryAngle, "DS", angles).Text(tags::kSecondaryAngle, "DS", "0")).view) << angles;
  }
  FileBuilder file = Base();
  const fairlead::Run run = HeaderOf(file.Text(tags::kPrimaryAngle, "DS", "10").Text(tags::kSecondaryAngle, "DS", "91"));
  EXPECT_FALSE(run.view);
  EXPECT_TRUE(Warns(run, "which no gantry has"));
}

TEST(View, EmptyAnglesAreNoView) {
  FileBuilder file = Base();
  EXPECT_FALSE(HeaderOf(file.Text(tags::kPrimaryAngle, "DS", "").Text(tags::kSecondaryAngle, "DS", "")).view);
}

TEST(View, OfAMovingGantryIsGivenForEachFrame) {
  FileBuilder file = Base();
  file.Text(tags::kPositionerMotion, "CS", "DYNAMIC").Text(tags::kPrimaryAngle, "DS", "-30").Text(tags::kSecondaryAngle, "DS", "0");
  const fairlead::Run run = HeaderOf(file.Text(tags::kPrimaryIncrement, "DS", "0\\20\\40").Text(tags::kSecondaryIncrement, "DS", "0\\0\\-5"));
  ASSERT_EQ(run.frame_views.size(), 3U);
  EXPECT_NEAR(run.frame_views[2].primary.degrees(), 10.0, 1e-12);
  EXPECT_NEAR(run.frame_views[2].secondary.degrees(), -5.0, 1e-12);
}

TEST(PixelSize, IsTheDetectorsReducedToTheIsocentre) {
  FileBuilder file = Base();
  file.Text(tags::kSourceToDetector, "DS", "1000").Text(tags::kSourceToPatient, "DS", "750");
  const fairlead::Run run = HeaderOf(file.Text(tags::kImagerPixelSpacing, "DS", "0.2\\0.2"));
  ASSERT_TRUE(run.pixel_size);
  EXPECT_NEAR(run.pixel_size->per_pixel.millimetres(), 0.15, 1e-12);
  // 25 mm of depth at 750 mm, 5 mm of either distance, 0.5 % of the spacing.
  const double share = std::sqrt(std::pow(25.0 / 750, 2) + std::pow(5.0 / 1000, 2) + std::pow(5.0 / 750, 2) + std::pow(0.005, 2));
  EXPECT_NEAR(run.pixel_size->sd.millimetres(), 0.15 * share, 1e-12);
}

TEST(PixelSize, ComesFromTheMagnificationWhereDistancesAreMissing) {
  FileBuilder file = Base();
  const fairlead::Run run = HeaderOf(file.Text(tags::kMagnification, "DS", "1.25").Text(tags::kImagerPixelSpacing, "DS", "0.2\\0.2"));
  ASSERT_TRUE(run.pixel_size);
  EXPECT_NEAR(run.pixel_size->per_pixel.millimetres(), 0.16, 1e-12);
}

TEST(PixelSize, AssumesAnIsocentreOnlyWithAWarning) {
  FileBuilder file = Base();
  file.Text(tags::kSourceToDetector, "DS", "1000").Text(tags::kSourceToPatient, "DS", "0");
  const fairlead::Run run = HeaderOf(file.Text(tags::kImagerPixelSpacing, "DS", "0.2\\0.2"));
  ASSERT_TRUE(run.pixel_size);
  EXPECT_FALSE(run.source_to_isocentre);
  EXPECT_TRUE(Warns(run, "750 mm is assumed"));
  EXPECT_GT(run.pixel_size->sd / run.pixel_size->per_pixel, 0.066);
}

TEST(PixelSize, IsNeverTheDetectorsOwn) {
  FileBuilder file = Base();
  const fairlead::Run run = HeaderOf(file.Text(tags::kImagerPixelSpacing, "DS", "0.2\\0.2"));
  EXPECT_TRUE(run.detector_spacing);
  EXPECT_FALSE(run.pixel_size);
}

TEST(PixelSize, TreatsAnUncalibratedPixelSpacingAsTheDetectors) {
  FileBuilder file = Base();
  const fairlead::Run run = HeaderOf(file.Text(tags::kPixelSpacing, "DS", "0.3\\0.3"));
  ASSERT_TRUE(run.detector_spacing);
  EXPECT_FALSE(run.pixel_size);
}

TEST(PixelSize, KeepsTheGeometryBesideACalibrationInTheFile) {
  FileBuilder file = Base();
  file.Text(tags::kSourceToDetector, "DS", "1000").Text(tags::kSourceToPatient, "DS", "750").Text(tags::kImagerPixelSpacing, "DS", "0.2\\0.2");
  const fairlead::Run run = HeaderOf(file.Text(tags::kPixelSpacing, "DS", "0.16\\0.16").Text(tags::kCalibrationType, "CS", "FIDUCIAL"));
  ASSERT_TRUE(run.pixel_size);
  EXPECT_NEAR(run.pixel_size->per_pixel.millimetres(), 0.15, 1e-12);
  EXPECT_TRUE(std::ranges::any_of(run.remarks, [](const RunRemark& r) { return r.text.find("6.7 % from the geometry") != std::string::npos; }));
}

TEST(PixelSize, RefusesImpossibleSpacingsAndDistances) {
  for (const char* spacing : {"0\\0", "-0.2\\-0.2", "NaN\\NaN", "0.2", "3\\3"}) {
    FileBuilder file = Base();
    file.Text(tags::kSourceToDetector, "DS", "1000").Text(tags::kSourceToPatient, "DS", "750");
    const fairlead::Run run = HeaderOf(file.Text(tags::kImagerPixelSpacing, "DS", spacing));
    EXPECT_FALSE(run.detector_spacing) << spacing;
    EXPECT_FALSE(run.pixel_size) << spacing;
  }
  FileBuilder file = Base();
  file.Text(tags::kSourceToDetector, "DS", "805").Text(tags::kSourceToPatient, "DS", "890");
  const fairlead::Run run = HeaderOf(file.Text(tags::kImagerPixelSpacing, "DS", "0.2\\0.2"));
  EXPECT_FALSE(run.pixel_size);
  EXPECT_TRUE(Warns(run, "do not fit each other"));
}

TEST(PixelSize, WarnsWhereTheMagnificationDisagrees) {
  FileBuilder file = Base();
  file.Text(tags::kSourceToDetector, "DS", "1000").Text(tags::kSourceToPatient, "DS", "750");
  EXPECT_TRUE(Warns(HeaderOf(file.Text(tags::kMagnification, "DS", "1.5")), "disagrees with the distances"));
}

TEST(Greys, OfMonochrome1AreInverse) {
  FileBuilder file("1.2.840.10008.1.2.1");
  file.Text(tags::kSopClass, "UI", "1.2.840.10008.5.1.4.1.1.12.1").Number(tags::kSamples, 1).Text(tags::kPhotometric, "CS", "MONOCHROME1");
  EXPECT_TRUE(HeaderOf(file.Number(tags::kRows, 512).Number(tags::kColumns, 512).Number(tags::kBitsAllocated, 8)).inverse);
}

TEST(Greys, ShutterIsReadFromOneInclusive) {
  FileBuilder file = Base();
  file.Text(tags::kShutterShape, "CS", "RECTANGULAR").Text(tags::kShutterLeft, "IS", "8").Text(tags::kShutterRight, "IS", "508");
  const fairlead::Run run = HeaderOf(file.Text(tags::kShutterUpper, "IS", "6").Text(tags::kShutterLower, "IS", "506"));
  ASSERT_TRUE(run.shutter);
  EXPECT_EQ(run.shutter->left, 7);
  EXPECT_EQ(run.shutter->bottom, 505);
}

TEST(Course, KeepsRWavesInsideTheRun) {
  FileBuilder file = Base();
  FileBytes value, element;
  for (const std::uint32_t frame : {1U, 3U, 77U}) PutLittle(value, frame, 2);
  PutShort(element, tags::kRWavePointer, "US", value);
  EXPECT_EQ(HeaderOf(file.Raw(element)).r_wave_frames, (std::vector<int>{0, 2}));
}

}  // namespace
}  // namespace fairlead
