// SPDX-License-Identifier: Apache-2.0
// Marks kept beside a run. The lines' chain is checked with OpenSSL's SHA-256 through the room's digest (FIPS 180-4).
#include "keeping/images/marks.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "keeping/images/digest.h"

namespace fairlead {
namespace {

namespace fs = std::filesystem;

const std::string kHash(64, 'a');

struct Folder {
  fs::path path = fs::temp_directory_path() / ("fairlead-marks-" + std::to_string(::getpid()) + "-" + ::testing::UnitTest::GetInstance()->current_test_info()->name());
  Folder() { fs::remove_all(path); }
  ~Folder() { fs::remove_all(path); }
  fs::path file() const { return path / "images" / "aa" / (kHash + ".marks"); }
};

KeptMarks Marks(std::string text) { return {0, *ParseIso("2026-03-01T08:00:00Z"), "AB", "page", std::move(text)}; }

std::vector<std::string> LinesOf(const fs::path& path) {
  std::ifstream file(path);
  std::vector<std::string> lines;
  for (std::string line; std::getline(file, line);) lines.push_back(line);
  return lines;
}

TEST(Marks, OutliveTheProgramAndSayWhoSetThem) {
  const Folder folder;
  {
    MarksStore store(folder.path);
    EXPECT_EQ(store.Latest(kHash)->version, 0);
    EXPECT_EQ(store.Add(kHash, 0, Marks("{\"a\":1}"))->version, 1);
    EXPECT_EQ(store.Add(kHash, 1, Marks("{\"a\":2}"))->version, 2);
  }
  MarksStore anew(folder.path);
  const auto kept = anew.Latest(kHash);
  ASSERT_TRUE(kept.ok());
  EXPECT_EQ(kept->version, 2);
  EXPECT_EQ(kept->text, "{\"a\":2}");
  EXPECT_EQ(kept->by, "AB");
  EXPECT_EQ(kept->device, "page");
  EXPECT_EQ(kept->recorded, *ParseIso("2026-03-01T08:00:00Z"));
}

TEST(Marks, EveryVersionStaysAndHoldsTheHashOfTheOneBefore) {
  const Folder folder;
  MarksStore store(folder.path);
  for (int i = 0; i < 3; ++i) ASSERT_TRUE(store.Add(kHash, i, Marks("{\"n\":" + std::to_string(i) + "}")).ok());
  const auto lines = LinesOf(folder.file());
  ASSERT_EQ(lines.size(), 3U);
  for (std::size_t i = 1; i < 3; ++i) {
    Sha256 digest;
    digest.Add({reinterpret_cast<const std::uint8_t*>(lines[i - 1].data()), lines[i - 1].size()});
    EXPECT_NE(lines[i].find('\t' + digest.Finish() + '\t'), std::string::npos) << lines[i];
  }
}

TEST(Marks, OfTwoScreensTheSecondIsToldThatItsAreOutdated) {
  const Folder folder;
  MarksStore store(folder.path);
  ASSERT_TRUE(store.Add(kHash, 0, Marks("{}")).ok());
  const auto late = store.Add(kHash, 0, Marks("{\"late\":1}"));
  ASSERT_FALSE(late.ok());
  EXPECT_TRUE(Outdated(late.error()));
  EXPECT_EQ(store.Latest(kHash)->text, "{}");
}

TEST(Marks, ALineCutOffByALostSupplyIsNoVersion) {
  const Folder folder;
  MarksStore store(folder.path);
  ASSERT_TRUE(store.Add(kHash, 0, Marks("{\"n\":1}")).ok());
  std::ofstream(folder.file(), std::ios::app) << "2\t2026-01-0";
  EXPECT_EQ(store.Latest(kHash)->version, 1);
  ASSERT_TRUE(store.Add(kHash, 1, Marks("{\"n\":2}")).ok());
  EXPECT_EQ(store.Latest(kHash)->text, "{\"n\":2}");
  EXPECT_EQ(LinesOf(folder.file()).size(), 2U);
}

TEST(Marks, RefuseWhatFitsNoLineAndAFileThatIsNoneOfTheirs) {
  const Folder folder;
  MarksStore store(folder.path);
  EXPECT_FALSE(store.Latest("../../etc/passwd").ok());
  EXPECT_FALSE(store.Add(kHash, 0, Marks("{\n}")).ok());
  EXPECT_FALSE(store.Add(kHash, 0, Marks(std::string(600000, ' '))).ok());
  KeptMarks nobody = Marks("{}");
  nobody.by = "";
  EXPECT_FALSE(store.Add(kHash, 0, nobody).ok());
  fs::create_directories(folder.file().parent_path());
  std::ofstream(folder.file()) << "what is this\n";
  const auto read = store.Latest(kHash);
  ASSERT_FALSE(read.ok());
  EXPECT_EQ(read.error().what, "the kept marks of this run cannot be read");
}

}  // namespace
}  // namespace fairlead
