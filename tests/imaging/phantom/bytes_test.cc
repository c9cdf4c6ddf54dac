// SPDX-License-Identifier: Apache-2.0
// The same seed gives the same bytes, on every compiler and processor: the hashes are kept here. A change of the
// phantom changes them on purpose, and CHANGELOG says so.
#include <gtest/gtest.h>
#include <openssl/evp.h>

#include <array>
#include <string>

#include "imaging/phantom/render.h"
#include "imaging/phantom/truth.h"

namespace fairlead {
namespace {

std::string Sha256(const void* bytes, std::size_t count) {
  std::array<unsigned char, 32> digest{};
  unsigned int size = 0;
  EVP_Digest(bytes, count, digest.data(), &size, EVP_sha256(), nullptr);
  std::string hex;
  for (const unsigned char byte : digest) {
    hex += "0123456789abcdef"[byte >> 4];
    hex += "0123456789abcdef"[byte & 15];
  }
  return hex;
}

std::string PixelHash(std::string_view scene_name, std::uint64_t seed, std::uint64_t noise, Grade grade, int bits) {
  const Scene scene = MakeScene(scene_name, seed).value();
  RunPlan plan = UsualRuns(scene, grade).front();
  plan.frames = 24, plan.bits_stored = bits, plan.seed = noise;
  const PhantomRun run = RenderRun(scene, plan).value();
  std::string bytes;  // little-endian whatever the processor
  for (const std::uint16_t value : run.pixels) bytes += {static_cast<char>(value & 0xFF), static_cast<char>(value >> 8)};
  return Sha256(bytes.data(), bytes.size());
}

TEST(PhantomBytes, AreTheKeptOnes) {
  EXPECT_EQ(PixelHash("short-right", 1, 1, Grade::kTypical, 8), "07fb4823584c91e51ec54f0d70f5a14ed91d7bc484aa9cd093b21a18ed2fa866");
  EXPECT_EQ(PixelHash("graft-anterior", 7, 2, Grade::kPoor, 12), "a0374dc651d3944b44c28c93bc6c4b2e724e23ba0284db300709097dc167436b");
  EXPECT_EQ(PixelHash("circumflex-marginal", 3, 3, Grade::kClean, 12), "e9ec1424a7451374a8960c6a87fd575f3ca4a1fb78e1e80032d9808ef80160d2");
}

TEST(PhantomBytes, ChangeWithEitherSeedAndNotByThemselves) {
  const std::string first = PixelHash("open-left", 1, 1, Grade::kTypical, 8);
  EXPECT_EQ(PixelHash("open-left", 1, 1, Grade::kTypical, 8), first);
  EXPECT_NE(PixelHash("open-left", 2, 1, Grade::kTypical, 8), first);
  EXPECT_NE(PixelHash("open-left", 1, 2, Grade::kTypical, 8), first);
  EXPECT_NE(PixelHash("open-left", 1, 1, Grade::kPoor, 8), first);
}

TEST(PhantomBytes, OfTheTruthAreTheKeptOnes) {
  const Scene scene = MakeScene("short-right", 1).value();
  const std::string truth = TruthJson(scene, UsualRuns(scene, Grade::kTypical));
  EXPECT_EQ(Sha256(truth.data(), truth.size()), "6a808ad39f1602b5c1d1a407e89a7135932760582394fd533575906996da93cc");
}

}  // namespace
}  // namespace fairlead
