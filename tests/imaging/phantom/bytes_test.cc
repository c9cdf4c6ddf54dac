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
  EXPECT_EQ(PixelHash("short-right", 1, 1, Grade::kTypical, 8), "acbf6c58067632644e64a207f5890c5d8ec556e040b652ebc153f3ef968a90e3");
  EXPECT_EQ(PixelHash("graft-anterior", 7, 2, Grade::kPoor, 12), "bd0d4e18b85c54c9682ed3df7ce6632e9abdb13e85d0be6bce3ce2c7078bccb2");
  EXPECT_EQ(PixelHash("circumflex-marginal", 3, 3, Grade::kClean, 12), "d8279a971772716589bfaf9eeef286d5150845a300920fbb57c1b8816f9b74bc");
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
  EXPECT_EQ(Sha256(truth.data(), truth.size()), "542675cb9594a5cbdf18a5f288f68c1f6f990a6c132172f8e4d061cdfa635acb");
}

}  // namespace
}  // namespace fairlead
