// SPDX-License-Identifier: Apache-2.0
#include <gtest/gtest.h>
#include <sys/wait.h>

#include <algorithm>
#include <chrono>
#include <thread>

#include "imaging/child/decode.h"
#include "imaging/dicom/read.h"
#include "tests/imaging/child/files.h"

namespace fairlead {
namespace {

std::string PathOf(const char* name) {
  std::string path = FAIRLEAD_TESTS_DIR "/data/dicom/";
  return path.append(name);
}

Descriptor OpenFile(const char* name) { return Descriptor(open(PathOf(name).c_str(), O_RDONLY | O_CLOEXEC)); }

std::vector<std::uint8_t> FramesOf(const DecodedRun& decoded) {
  std::vector<std::uint8_t> bytes(FrameBytes(decoded.run) * static_cast<std::size_t>(decoded.run.frames));
  EXPECT_EQ(pread(decoded.frames.get(), bytes.data(), bytes.size(), 0), static_cast<ssize_t>(bytes.size()));
  return bytes;
}

TEST(DecodeInChild, GivesWhatTheReaderGives) {
  const Result<DecodedRun> decoded = DecodeInChild(OpenFile("phantom/xa8.dcm").get(), {}, {}, {}, {});
  ASSERT_TRUE(decoded) << Sentence(decoded.error());
  const std::vector<std::uint8_t> file = BytesAt(PathOf("phantom/xa8.dcm"));
  std::vector<std::uint8_t> frames(FrameBytes(decoded->run) * static_cast<std::size_t>(decoded->run.frames));
  const auto sink = [&](int frame, std::span<const std::uint8_t> bytes) -> Status {
    std::ranges::copy(bytes, frames.begin() + static_cast<std::ptrdiff_t>(static_cast<std::size_t>(frame) * bytes.size()));
    return Done{};
  };
  const Result<fairlead::Run> run = ReadRun(file, sink, {}, {}, {});
  ASSERT_TRUE(run);
  EXPECT_TRUE(FramesOf(*decoded) == frames);
  EXPECT_EQ(decoded->run.pixel_size->method, run->pixel_size->method);
  EXPECT_EQ(decoded->run.filling, run->filling);
}

TEST(DecodeInChild, TellsItsProgress) {
  int last = -1, all = 0;
  const auto progress = [&](int done, int frames) {
    EXPECT_GE(done, last);
    last = done;
    all = frames;
  };
  ASSERT_TRUE(DecodeInChild(OpenFile("phantom/xa8.dcm").get(), {}, {}, {}, progress));
  EXPECT_EQ(last, 8);
  EXPECT_EQ(all, 8);
}

TEST(DecodeInChild, SaysWhatIsWrongWithAFile) {
  const std::string text = "this is no picture at all";
  const Descriptor file = InMemory({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()});
  const Result<DecodedRun> decoded = DecodeInChild(file.get(), {}, {}, {}, {});
  ASSERT_FALSE(decoded);
  EXPECT_EQ(Sentence(decoded.error()), "this is not a DICOM file (the mark DICM is missing and no data set begins): choose the run's own file; pictures are taken as PNG");
}

TEST(DecodeInChild, RefusesAnEmptyFile) {
  const Descriptor file = InMemory({});
  const Result<DecodedRun> decoded = DecodeInChild(file.get(), {}, {}, {}, {});
  ASSERT_FALSE(decoded);
  EXPECT_EQ(decoded.error().what, "the file is empty");
}

TEST(DecodeInChild, StopsWhenAsked) {
  std::stop_source stop;
  const auto progress = [&](int done, int) {
    if (done > 0) stop.request_stop();
  };
  const Result<DecodedRun> decoded = DecodeInChild(OpenFile("phantom/xa5.dcm").get(), {}, {}, stop.get_token(), progress);
  ASSERT_FALSE(decoded);
  EXPECT_EQ(decoded.error().what, "the import was stopped");
}

TEST(DecodeInChild, GivesUpWhenTheTimeIsOver) {
  ChildLimits limits;
  limits.wall = std::chrono::milliseconds(1);
  const Result<DecodedRun> decoded = DecodeInChild(OpenFile("phantom/xa1.dcm").get(), {}, limits, {}, {});
  ASSERT_FALSE(decoded);
  EXPECT_EQ(decoded.error().what, "reading this file took more than 0 s");
}

TEST(DecodeInChild, RefusesMoreFramesThanAllowed) {
  ChildLimits limits;
  limits.served_bytes = 1 << 20;
  const Result<DecodedRun> decoded = DecodeInChild(OpenFile("phantom/xa8.dcm").get(), {}, limits, {}, {});
  ASSERT_FALSE(decoded);
  EXPECT_EQ(decoded.error().what, "the file declares 8 frame(s) of 512 x 512 pixels, more than the 1 MiB that are read");
}

TEST(DecodeInChild, LeavesNoProcessBehind) {
  ASSERT_TRUE(DecodeInChild(OpenFile("phantom/xa8.dcm").get(), {}, {}, {}, {}));
  EXPECT_EQ(waitpid(-1, nullptr, WNOHANG), -1);
}

TEST(FramesFile, IsReadBackAndNoticesDamage) {
  const Result<DecodedRun> decoded = DecodeInChild(OpenFile("phantom/xa8.dcm").get(), {}, {}, {}, {});
  ASSERT_TRUE(decoded);
  const int frames = decoded->frames.get();
  const Result<fairlead::Run> again = ReadFramesFile(frames);
  ASSERT_TRUE(again);
  EXPECT_EQ(again->frames, 8);
  std::uint8_t value = 0;
  ASSERT_EQ(pread(frames, &value, 1, 300'000), 1);
  value = static_cast<std::uint8_t>(value ^ 1U);
  ASSERT_EQ(pwrite(frames, &value, 1, 300'000), 1);
  EXPECT_FALSE(ReadFramesFile(frames));
}

}  // namespace
}  // namespace fairlead
