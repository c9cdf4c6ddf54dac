// SPDX-License-Identifier: Apache-2.0
// Broken files: each is refused with a sentence, quickly and without taking memory for what is not there.
#include <gtest/gtest.h>
#include <sys/resource.h>

#include <chrono>

#include "imaging/dicom/elements.h"
#include "imaging/dicom/read.h"
#include "tests/imaging/dicom/file_builder.h"

namespace fairlead {
namespace {

Result<fairlead::Run> Read(const FileBytes& file) {
  return ReadRun(file, [](int, std::span<const std::uint8_t>) -> Status { return Done{}; }, {}, {}, {});
}

std::string WhatOf(const FileBytes& file) {
  const Result<fairlead::Run> run = Read(file);
  return run ? "read" : run.error().what;
}

long PeakKilobytes() {
  rusage use{};
  getrusage(RUSAGE_SELF, &use);
  return use.ru_maxrss;
}

FileBytes WithNesting(int depth) {
  FileBuilder file = Angiogram(4, 4, 1);
  file.Raw(NestedSequences(depth)).Pixels(FileBytes(16, 100));
  return file.bytes();
}

TEST(Nesting, TwentyDeepIsRead) { EXPECT_EQ(WhatOf(WithNesting(20)), "read"); }

TEST(Nesting, SixtyFourDeepIsRead) { EXPECT_EQ(WhatOf(WithNesting(64)), "read"); }

TEST(Nesting, SixtyFiveDeepIsRefused) { EXPECT_EQ(WhatOf(WithNesting(65)), "sequences are nested more than 64 deep"); }

// A widespread library overflows its stack at 6 000.
TEST(Nesting, AHundredThousandDeepIsRefusedAtOnceWithoutGrowth) {
  const FileBytes file = WithNesting(100'000);
  const long before = PeakKilobytes();
  const auto start = std::chrono::steady_clock::now();
  EXPECT_EQ(WhatOf(file), "sequences are nested more than 64 deep");
  EXPECT_LT(std::chrono::steady_clock::now() - start, std::chrono::milliseconds(100));
  EXPECT_LT(PeakKilobytes() - before, 2048);
}

TEST(DeclaredSize, BeyondAllMemoryIsRefusedWithoutGrowth) {
  FileBuilder file = Angiogram(60'000, 60'000, 9'999);
  file.Pixels(FileBytes(256, 7));
  const long before = PeakKilobytes();
  EXPECT_EQ(WhatOf(file.bytes()), "the file declares 9999 frame(s) of 60000 x 60000 pixels, more than the 1024 MiB that are read");
  EXPECT_LT(PeakKilobytes() - before, 2048);
}

// 46 341 squared overflows a signed product of 32 bits.
TEST(DeclaredSize, WhoseProductOverflowsIsRefused) {
  for (const int across : {46'341, 65'535}) {
    FileBuilder file = Angiogram(across, across, 1);
    file.Pixels(FileBytes(256, 7));
    EXPECT_NE(WhatOf(file.bytes()), "read");
  }
}

TEST(DeclaredSize, OfACompressedFrameIsCheckedAgainstItsBytes) {
  FileBuilder file = Angiogram(16'000, 16'000, 1, "1.2.840.10008.1.2.5");
  FileBytes frame;
  PutLittle(frame, 1, 4);
  PutLittle(frame, 64, 4);
  frame.resize(64 + 100, 0);
  file.Fragments({frame});
  const long before = PeakKilobytes();
  EXPECT_EQ(WhatOf(file.bytes()), "a compressed frame is too short for its picture");
  EXPECT_LT(PeakKilobytes() - before, 2048);
}

TEST(NumberOfFrames, MustBeOneOrMore) {
  for (const char* frames : {"0", "-1", "2147483647", "many", "1.5"}) {
    FileBuilder file("1.2.840.10008.1.2.1");
    file.Text(tags::kSopClass, "UI", "1.2.840.10008.5.1.4.1.1.12.1").Number(tags::kRows, 4).Number(tags::kColumns, 4);
    file.Text(tags::kFrames, "IS", frames).Text(tags::kPhotometric, "CS", "MONOCHROME2").Number(tags::kBitsAllocated, 8).Pixels(FileBytes(16, 1));
    const Result<fairlead::Run> run = Read(file.bytes());
    ASSERT_FALSE(run) << frames;
    EXPECT_EQ(run.error().where, "Number of Frames") << frames;
  }
}

TEST(Truncation, OfAnUncompressedRunKeepsWholeFramesAndSaysSo) {
  FileBuilder file = Angiogram(4, 4, 3);
  file.Pixels(FileBytes(48, 9));
  FileBytes cut = file.bytes();
  cut.resize(cut.size() - 1);
  const Result<fairlead::Run> run = Read(cut);
  ASSERT_TRUE(run);
  EXPECT_EQ(run->frames, 2);
  EXPECT_EQ(run->frame_ms.size(), 2U);
  EXPECT_EQ(run->filling.size(), 2U);
  ASSERT_FALSE(run->remarks.empty());
  EXPECT_EQ(run->remarks.back().text, "The file ends early: only 2 of 3 frames are there.");
}

TEST(Truncation, OfASingleFrameIsRefused) {
  FileBuilder file = Angiogram(4, 4, 1);
  file.Pixels(FileBytes(15, 9));
  EXPECT_EQ(WhatOf(file.bytes()), "the pixel data end early: 0 of 1 frames are there");
}

TEST(Truncation, AtEveryByteOfASmallFileNeverCrashes) {
  FileBuilder file = Angiogram(4, 4, 2);
  file.Raw(NestedSequences(3)).Text(tags::kFrameTime, "DS", "66.7").Pixels(FileBytes(32, 9));
  for (std::size_t size = 0; size < file.bytes().size(); ++size) {
    const FileBytes cut(file.bytes().begin(), file.bytes().begin() + static_cast<std::ptrdiff_t>(size));
    const Result<fairlead::Run> run = Read(cut);
    EXPECT_TRUE(run.ok() || !run.error().what.empty());
  }
}

TEST(Icon, AloneIsNoRun) {
  FileBuilder file = Angiogram(4, 4, 1);
  FileBytes icon;
  PutLong(icon, tags::kIconImage, "SQ", kUndefinedLength);
  PutTag(icon, 0xFFFE'E000);
  PutLittle(icon, kUndefinedLength, 4);
  PutLong(icon, tags::kPixelData, "OB", 4);
  PutLittle(icon, 0, 4);
  for (const Tag end : {0xFFFE'E00DU, 0xFFFE'E0DDU}) {
    PutTag(icon, end);
    PutLittle(icon, 0, 4);
  }
  file.Raw(icon);
  EXPECT_EQ(WhatOf(file.bytes()), "the file has an icon but no picture of its own");
}

// One literal run of 16 bytes: RLE of a 4 x 4 frame.
FileBytes RleOf(std::uint8_t value) {
  FileBytes frame;
  PutLittle(frame, 1, 4);
  PutLittle(frame, 64, 4);
  frame.resize(64, 0);
  frame.push_back(15);
  frame.insert(frame.end(), 16, value);
  frame.push_back(0);
  return frame;
}

std::vector<std::uint8_t> FirstBytesOf(const FileBytes& file, int frames) {
  std::vector<std::uint8_t> first(static_cast<std::size_t>(frames), 255);
  const auto sink = [&](int frame, std::span<const std::uint8_t> bytes) -> Status {
    first.at(static_cast<std::size_t>(frame)) = bytes.front();
    return Done{};
  };
  const Result<fairlead::Run> run = ReadRun(file, sink, {}, {}, {});
  return run ? first : std::vector<std::uint8_t>{};
}

TEST(Fragments, OneEachAreFramesWhateverTheOffsetTableSays) {
  const std::vector<FileBytes> fragments = {RleOf(10), RleOf(20), RleOf(30)};
  std::vector<FileBytes> tables(4);
  for (const std::uint32_t offset : {0U, 8U, 1'000'000U}) PutLittle(tables[1], offset, 4);          // wrong, beyond the end
  for (const std::uint32_t offset : {180U, 90U, 0U}) PutLittle(tables[2], offset, 4);               // decreasing
  PutLittle(tables[3], 0, 2);                                                                        // no whole entry
  for (const FileBytes& table : tables) {
    FileBuilder file = Angiogram(4, 4, 3, "1.2.840.10008.1.2.5");
    file.Fragments(fragments, table);
    EXPECT_EQ(FirstBytesOf(file.bytes(), 3), (std::vector<std::uint8_t>{10, 20, 30}));
  }
}

TEST(Fragments, MoreThanFramesAreRefused) {
  FileBuilder file = Angiogram(4, 4, 2, "1.2.840.10008.1.2.5");
  file.Fragments({RleOf(10), RleOf(20), RleOf(30)});
  EXPECT_EQ(WhatOf(file.bytes()), "the file holds 3 compressed frames but says 2");
}

TEST(Rle, RefusesSegmentsOutsideTheFrame) {
  FileBytes frame = RleOf(10);
  frame[4] = 255;
  FileBuilder file = Angiogram(4, 4, 1, "1.2.840.10008.1.2.5");
  file.Fragments({frame});
  EXPECT_EQ(WhatOf(file.bytes()), "a segment of a compressed frame lies outside it");
}

TEST(ScriptText, InNamesStaysOutOfTheRun) {
  FileBuilder file = Angiogram(4, 4, 1);
  file.Text(0x0010'0010, "PN", "<script>alert(1)</script>").Text(0x0008'103E, "LO", "<img src=x onerror=alert(1)>").Pixels(FileBytes(16, 9));
  const Result<fairlead::Run> run = Read(file.bytes());
  ASSERT_TRUE(run);
  for (const std::string* text : {&run->modality, &run->timing, &run->spacing_from, &run->window_from, &run->transfer_syntax_name}) {
    EXPECT_EQ(text->find('<'), std::string::npos);
  }
  for (const RunRemark& remark : run->remarks) EXPECT_EQ(remark.text.find('<'), std::string::npos);
}

}  // namespace
}  // namespace fairlead
