// SPDX-License-Identifier: Apache-2.0
// A child that was taken over, or that dies: the parent gets one sentence and nothing else. The children are small
// scripts of the shell that write to the output (descriptor 4) and the report (descriptor 5).
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <cstdlib>
#include <filesystem>

#include "imaging/child/decode.h"
#include "tests/imaging/child/files.h"

namespace fairlead {
namespace {

namespace fs = std::filesystem;

class HostileChild : public testing::Test {
 protected:
  void SetUp() override { folder_ = fs::temp_directory_path() / ("fairlead-child-" + std::to_string(getpid())); fs::create_directories(folder_); }
  void TearDown() override { fs::remove_all(folder_); }

  std::string What(const std::string& script, int wall_ms = 5000) {
    const fs::path program = folder_ / "child";
    std::ofstream(program) << "#!/bin/sh\n" << script << "\n";
    chmod(program.c_str(), 0700);
    ChildLimits limits;
    limits.program = program.string();
    limits.wall = std::chrono::milliseconds(wall_ms);
    const std::vector<std::uint8_t> bytes(16, 1);
    const Result<DecodedRun> decoded = DecodeInChild(InMemory(bytes).get(), {}, limits, {}, {});
    return decoded ? "accepted" : decoded.error().what;
  }

  fs::path folder_;
};

TEST_F(HostileChild, ThatDiesByASignalGivesOneSentence) {
  for (const char* signal : {"SEGV", "ABRT", "BUS", "ILL", "FPE"}) {
    EXPECT_EQ(What(std::string("kill -") + signal + " $$"), "this file makes its decoder fail; it is damaged") << signal;
  }
}

TEST_F(HostileChild, ThatRunsOutOfTimeIsKilled) { EXPECT_EQ(What("sleep 60", 300), "reading this file took more than 0 s"); }

TEST_F(HostileChild, ThatEndsWithoutAWordIsNotBelieved) { EXPECT_EQ(What("exit 0"), "this file makes its decoder fail; it is damaged"); }

TEST_F(HostileChild, ThatSaysDoneWithoutFramesIsNotBelieved) { EXPECT_EQ(What("printf D >&5"), "the decoded frames are damaged"); }

TEST_F(HostileChild, ThatWritesRubbishFramesIsNotBelieved) {
  EXPECT_EQ(What("head -c 5000 /dev/urandom >&4; printf D >&5"), "the decoded frames are damaged: it is not complete or of another version");
  // A right ending with absurd numbers.
  EXPECT_EQ(What("head -c 32 /dev/zero | tr '\\0' '\\377' >&4; printf FLFRAME2 >&4; printf D >&5"), "the decoded frames are damaged");
}

TEST_F(HostileChild, ThatReportsRubbishIsNotBelieved) {
  EXPECT_EQ(What("seq 1 20000 >&5"), "this file makes its decoder fail; it is damaged");
  // Chance may begin with the letter that says done: not believed then either.
  const std::string chance = What("head -c 100000 /dev/urandom >&5");
  EXPECT_TRUE(chance == "this file makes its decoder fail; it is damaged" || chance == "the decoded frames are damaged") << chance;
}

TEST_F(HostileChild, ErrorTextIsCutToPrintableCharacters) { EXPECT_EQ(What("printf 'E\\000\\003\\000a\\033b\\000\\000\\000\\000' >&5; exit 1"), "a?b"); }

TEST_F(HostileChild, CannotWriteTheFileItReads) {
  EXPECT_NE(What("(echo x >&3) 2>/dev/null && printf 'E\\000\\005\\000wrote\\000\\000\\000\\000' >&5; exit 1"), "wrote");
}

TEST_F(HostileChild, SeesNoOtherDescriptorAndNoEnvironment) {
  ASSERT_EQ(setenv("FAIRLEAD_TEST_SECRET", "x", 1), 0);
  const Descriptor other(open("/dev/null", O_RDONLY));  // without close-on-exec
  EXPECT_EQ(What("[ -e /proc/self/fd/6 ] || [ -e /proc/self/fd/7 ] || [ -e /proc/self/fd/8 ] || [ -n \"$FAIRLEAD_TEST_SECRET\" ] && printf 'E\\000\\003\\000saw\\000\\000\\000\\000' >&5; exit 1"),
            "this file makes its decoder fail; it is damaged");
}

TEST_F(HostileChild, ThatIsMissingIsReported) {
  ChildLimits limits;
  limits.program = "/nonexistent/program";
  const std::vector<std::uint8_t> bytes(16, 1);
  const Result<DecodedRun> decoded = DecodeInChild(InMemory(bytes).get(), {}, limits, {}, {});
  ASSERT_FALSE(decoded);
  EXPECT_EQ(decoded.error().what, "the program that reads files could not be started");
  EXPECT_EQ(decoded.error().fault, Fault::kOutside);
}

}  // namespace
}  // namespace fairlead
