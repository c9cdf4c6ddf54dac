// SPDX-License-Identifier: Apache-2.0
// Damaged copies of real runs: each opens or is refused with a sentence, in time. The long form is mutate_deep.
#include <gtest/gtest.h>

#include <chrono>

#include "imaging/child/decode.h"
#include "tests/imaging/child/files.h"

namespace fairlead {
namespace {

std::string PathOf(const char* name) {
  std::string path = FAIRLEAD_TESTS_DIR "/data/dicom/";
  return path.append(name);
}

void OpensOrIsRefused(std::span<const std::uint8_t> bytes) {
  const auto start = std::chrono::steady_clock::now();
  const Result<DecodedRun> decoded = DecodeInChild(InMemory(bytes).get(), {}, {}, {}, {});
  EXPECT_LT(std::chrono::steady_clock::now() - start, std::chrono::seconds(21));
  if (!decoded) {
    EXPECT_FALSE(decoded.error().what.empty());
    return;
  }
  EXPECT_GE(decoded->run.frames, 1);
}

TEST(DamagedFiles, OpenOrAreRefused) {
  constexpr int kEach = 60;
  for (const char* name : {"phantom/xa8.dcm", "frames/frame-107.png"}) {
    const std::vector<std::uint8_t> sound = BytesAt(PathOf(name));
    for (std::uint64_t seed = 0; seed < kEach; ++seed) {
      SCOPED_TRACE(testing::Message() << name << " seed " << seed);
      OpensOrIsRefused(Mutated(sound, seed % 4 == 0 ? 0.001 : 0.00001, seed));
    }
  }
}

TEST(TruncatedFiles, OpenOrAreRefused) {
  // Every multiple of 997 bytes is cut in the comparison with other readers; here the steps that fit a short test.
  const std::vector<std::uint8_t> sound = BytesAt(PathOf("phantom/xa8.dcm"));
  for (std::size_t size = 997; size < sound.size(); size += 997 * 31) OpensOrIsRefused(std::span(sound).first(size));
}

}  // namespace
}  // namespace fairlead
