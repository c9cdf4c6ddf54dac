// SPDX-License-Identifier: Apache-2.0
// The plug is pulled: a writer is killed at a random moment, 500 times.
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <chrono>
#include <csignal>
#include <cstring>
#include <map>
#include <set>
#include <thread>

#include "casebook/fold.h"
#include "tests/keeping/journal/data_folder.h"
#include "tests/slowed.h"

namespace fairlead {
namespace {

constexpr int kRuns = kSlowed ? 125 : 500;  // the promise is kept by the 500; a sanitizer sees no more in them
constexpr int kRunsInOneFolder = 25;  // so that crashes also follow crashes, and folders stay small
constexpr std::size_t kLongestLife_us = 12000;

struct Acknowledged {
  std::uint64_t batch;
  std::uint64_t size;
};

// Says that it is ready, then appends batches of one to five entries for ever and says so after each acknowledgement. The device names the batch,
// so that half a batch can be told from a whole one.
[[noreturn]] void WriteUntilKilled(const std::filesystem::path& folder, std::uint64_t run, int said) {
  auto opened = OpenJournal(folder, Owning());
  if (!opened) _exit(3);
  Journal& journal = **opened;
  TaggedGenerator random("crash" + std::to_string(run));
  if (!journal.NewCase("c1", std::vector{MakeIncoming(Written(1, CaseOpened{"invented", "lab", true}))})) _exit(4);
  const Acknowledged ready{run * 100000, 0};
  if (write(said, &ready, sizeof ready) != sizeof ready) _exit(6);
  for (std::uint64_t n = 1;; ++n) {
    const std::uint64_t batch = run * 100000 + n, size = 1 + random.Below(5);
    std::vector<IncomingEntry> entries;
    for (std::uint64_t i = 0; i < size; ++i) {
      Entry entry = Written(2 + batch * 10 + i, i % 2 == 0 ? LengthOf(static_cast<double>(n % 100)) : EntryData(NoteWritten{std::string(1 + random.Below(3000), 'x')}));
      entry.device = std::to_string(batch) + "/" + std::to_string(size);
      entries.push_back(MakeIncoming(entry));
    }
    if (!journal.Append("c1", entries)) _exit(5);
    const Acknowledged acknowledged{batch, size};
    if (write(said, &acknowledged, sizeof acknowledged) != sizeof acknowledged) _exit(6);
  }
}

// Lets a writer live for a random time, and returns what it acknowledged. Every third is killed while it still opens the
// journal; the others have acknowledged none to three batches (the disk may be slow) and are killed on the way.
std::vector<Acknowledged> RunAndKill(const std::filesystem::path& folder, std::uint64_t run, TaggedGenerator& random) {
  int ends[2];
  if (pipe(ends) != 0) throw std::runtime_error("no pipe");
  const pid_t writer = fork();
  if (writer == 0) {
    close(ends[0]);
    WriteUntilKilled(folder, run, ends[1]);
  }
  close(ends[1]);
  std::vector<Acknowledged> acknowledged;
  Acknowledged one{};
  const auto hear = [&] {
    if (read(ends[0], &one, sizeof one) != sizeof one) return false;
    if (one.size > 0) acknowledged.push_back(one);
    return true;
  };
  const std::size_t wait_for = run % 3 == 0 ? 0 : 1 + random.Below(4);  // the first says only that it is ready
  for (std::size_t heard = 0; heard < wait_for; ++heard)
    if (!hear()) ADD_FAILURE() << "the writer left by itself";
  std::this_thread::sleep_for(std::chrono::microseconds(random.Below(kLongestLife_us)));
  kill(writer, SIGKILL);
  int how = 0;
  waitpid(writer, &how, 0);
  EXPECT_TRUE(WIFSIGNALED(how)) << "the writer left by itself: " << WEXITSTATUS(how);
  while (hear()) continue;
  close(ends[0]);
  return acknowledged;
}

TEST(Crash, KeepsEveryAcknowledgedEntryAndNoHalfOne) {
  TaggedGenerator random("Crash.KeepsEveryAcknowledgedEntryAndNoHalfOne");
  std::unique_ptr<DataFolder> folder;
  std::map<std::uint64_t, std::uint64_t> promised;  // batch -> entries, acknowledged in this folder
  std::size_t all_promised = 0, runs_that_wrote = 0, unsaid = 0, all_unsaid = 0;
  for (int run = 0; run < kRuns; ++run) {
    SCOPED_TRACE(run);
    if (run % kRunsInOneFolder == 0) {
      folder = std::make_unique<DataFolder>();
      promised.clear();
      unsaid = 0;
    }
    const auto acknowledged = RunAndKill(folder->path(), static_cast<std::uint64_t>(run), random);
    for (const Acknowledged& one : acknowledged) promised[one.batch] = one.size;
    all_promised += acknowledged.size();
    runs_that_wrote += acknowledged.empty() ? 0 : 1;

    auto journal = Must(OpenJournal(folder->path(), Owning()));
    if (Must(journal->Cases()).empty()) {
      ASSERT_TRUE(promised.empty());  // killed before it was a case
      continue;
    }
    const auto report = Must(journal->Verify("c1"));
    ASSERT_TRUE(report.faults.empty()) << report.faults.front();
    std::map<std::string, std::uint64_t> there;
    for (const Entry& entry : Must(journal->Entries("c1"))) {
      ASSERT_FALSE(std::holds_alternative<NotUnderstood>(entry.data)) << "half an entry at " << entry.seq;
      if (entry.device != "page") ++there[entry.device];
    }
    for (const auto& [device, count] : there)
      ASSERT_EQ(device.substr(device.find('/') + 1), std::to_string(count)) << "half a batch: " << device;
    for (const auto& [batch, size] : promised)
      ASSERT_EQ(there[std::to_string(batch) + "/" + std::to_string(size)], size) << "lost batch " << batch;
    all_unsaid += there.size() - promised.size() - unsaid;
    unsaid = there.size() - promised.size();
  }
  // The test must have had something to lose.
  EXPECT_GT(runs_that_wrote, static_cast<std::size_t>(kRuns) / 5);
  std::printf("%d runs, %zu of them wrote, %zu batches acknowledged, %zu more were there whole without it\n", kRuns,
              runs_that_wrote, all_promised, all_unsaid);
}

}  // namespace
}  // namespace fairlead
