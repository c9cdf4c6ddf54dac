// SPDX-License-Identifier: Apache-2.0
// A disk of 8 MB is really filled: a tmpfs of the test's own.
#include <gtest/gtest.h>
#include <sys/mount.h>

#include <cerrno>
#include <cstring>

#include "keeping/journal/folder.h"
#include "tests/keeping/journal/data_folder.h"

namespace fairlead {
namespace {

constexpr std::uint64_t kBallast = 1024 * 1024;

class SmallDisk {
 public:
  SmallDisk() : mounted_(mount("tmpfs", mount_point_.path().c_str(), "tmpfs", 0, "size=8m") == 0), why_(std::strerror(errno)) {}
  ~SmallDisk() {
    if (mounted_) umount2(mount_point_.path().c_str(), MNT_DETACH);
  }
  SmallDisk(const SmallDisk&) = delete;
  SmallDisk& operator=(const SmallDisk&) = delete;
  bool mounted() const { return mounted_; }
  const std::string& why() const { return why_; }
  std::filesystem::path path() const { return mount_point_.path() / "data"; }
  // Somebody else's file that takes all the room but so many bytes.
  void Fill(std::uint64_t leave) const {
    std::ofstream out(filler(), std::ios::binary | std::ios::app);
    const std::string block(4096, '.');
    while (FreeBytes(filler()) > leave && out.write(block.data(), static_cast<std::streamsize>(block.size())).flush()) continue;
  }
  void MakeRoom() const { std::filesystem::remove(filler()); }

 private:
  std::filesystem::path filler() const { return mount_point_.path() / "others"; }
  DataFolder mount_point_;
  bool mounted_;
  std::string why_;
};

std::vector<IncomingEntry> OneNote(std::uint64_t n) { return {MakeIncoming(Written(n, NoteWritten{std::string(20000, 'n')}))}; }

#define NEEDS_A_SMALL_DISK(disk)                                                             \
  const SmallDisk disk;                                                                      \
  if (!disk.mounted()) {                                                                     \
    std::printf("skipped: mounting a tmpfs was refused (%s)\n", disk.why().c_str());         \
    GTEST_SKIP();                                                                            \
  }

TEST(FullDisk, SaysSoOnceLosesNothingAndGoesOnWhenThereIsRoom) {
  NEEDS_A_SMALL_DISK(disk)
  auto journal = Must(OpenJournal(disk.path(), Owning({}, kBallast)));
  Must(journal->NewCase("c1", AsIncoming(InventedCase(20, "full disk"))));
  EXPECT_FALSE(journal->Warning());
  disk.Fill(0);

  // The reserve carries the next entries, and says so.
  std::uint64_t n = 1000;
  std::size_t written = 20, from_the_reserve = 0;
  std::optional<Error> refused;
  for (; !refused && n < 2000; ++n) {
    const auto receipts = journal->Append("c1", OneNote(n));
    if (receipts) {
      ++written;
      from_the_reserve += journal->Warning() ? 1 : 0;
    } else {
      refused = receipts.error();
    }
  }
  EXPECT_GT(from_the_reserve, 10u);
  ASSERT_TRUE(refused);
  EXPECT_EQ(Sentence(*refused), "the disk is full, so this was not written; everything acknowledged before is safe (" +
                                    (disk.path() / "journal.sqlite").string() + "): make room on the disk, then send it again");
  ASSERT_TRUE(journal->Warning());
  EXPECT_EQ(journal->Warning()->what, "the disk is full and the reserve for the last entries is in use");

  // Still refused, still readable, still whole.
  EXPECT_FALSE(journal->Append("c1", OneNote(n - 1)));
  EXPECT_EQ(Must(journal->Entries("c1")).size(), written);
  EXPECT_TRUE(Must(journal->Verify("c1")).faults.empty());

  disk.MakeRoom();
  EXPECT_FALSE(Must(journal->Append("c1", OneNote(n - 1)))[0].again);  // the refused one, sent again
  EXPECT_FALSE(journal->Warning());
  EXPECT_TRUE((Ballast{disk.path() / "ballast", kBallast}.There()));
  journal.reset();
  journal = Must(OpenJournal(disk.path(), Owning({}, kBallast)));
  EXPECT_EQ(Must(journal->Entries("c1")).size(), written + 1);
  EXPECT_TRUE(Must(journal->Verify("c1")).faults.empty());
}

TEST(FullDisk, AJournalOpensAndIsReadOnAFullDisk) {
  NEEDS_A_SMALL_DISK(disk)
  {
    auto journal = Must(OpenJournal(disk.path(), Owning({}, kBallast)));
    Must(journal->NewCase("c1", AsIncoming(InventedCase(20, "full disk"))));
  }
  disk.Fill(0);
  auto journal = Must(OpenJournal(disk.path(), Owning({}, kBallast)));
  EXPECT_EQ(Must(journal->Entries("c1")).size(), 20u);
  EXPECT_FALSE(Must(journal->Append("c1", OneNote(1000)))[0].again);
  EXPECT_TRUE(journal->Warning());
}

TEST(FullDisk, AFullDiskWithoutAJournalIsRefusedInOneSentence) {
  NEEDS_A_SMALL_DISK(disk)
  disk.Fill(0);
  const auto refused = OpenJournal(disk.path(), Owning({}, kBallast));
  ASSERT_FALSE(refused);
  EXPECT_NE(Sentence(refused.error()), "");
  disk.MakeRoom();
  EXPECT_TRUE(OpenJournal(disk.path(), Owning({}, kBallast)));
}

TEST(Ballast, IsReallyAllocatedAndLeavesAsMuchFree) {
  NEEDS_A_SMALL_DISK(disk)
  std::filesystem::create_directories(disk.path());
  const Ballast ballast{disk.path() / "ballast", kBallast};
  const std::uint64_t before = FreeBytes(ballast.file);
  EXPECT_TRUE(ballast.Restore());
  EXPECT_LE(FreeBytes(ballast.file) + kBallast, before);
  EXPECT_TRUE(ballast.GiveUp());
  EXPECT_FALSE(ballast.GiveUp());
  disk.Fill(kBallast + kBallast / 2);
  EXPECT_FALSE(ballast.Restore());
  EXPECT_FALSE(std::filesystem::exists(ballast.file));
}

}  // namespace
}  // namespace fairlead
