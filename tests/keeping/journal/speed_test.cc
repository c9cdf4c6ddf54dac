// SPDX-License-Identifier: Apache-2.0
// The bounds that a long case must keep, in the optimised build; the best of several runs, since the machine is shared.
#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>

#include "casebook/fold.h"
#include "tests/keeping/journal/data_folder.h"
#include "tests/slowed.h"

namespace fairlead {
namespace {

constexpr double kSlack = kSlowed ? 10.0 : 1.0;  // sanitizers: a guard against something quadratic, no more

template <typename Work>
double BestMilliseconds(int runs, Work work) {
  double best = 1e9;
  for (int run = 0; run < runs; ++run) {
    const auto start = std::chrono::steady_clock::now();
    work();
    best = std::min(best, std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count());
  }
  return best;
}

TEST(Speed, FiveThousandEntriesAreOpenedCheckedAndFoldedInTime) {
  DataFolder folder;
  JournalWithCase(folder, 5000).reset();
  std::size_t folded = 0;
  const double from_disk = BestMilliseconds(15, [&] {
    auto journal = Must(OpenJournal(folder.path(), {Access::kReadOnly, {}, 0}));
    folded = Fold(Must(journal->Entries("c1"))).entries.size();
  });
  EXPECT_EQ(folded, 5000u);
  EXPECT_LT(from_disk, 60.0 * kSlack);

  auto journal = Must(OpenJournal(folder.path(), {Access::kReadOnly, {}, 0}));
  const auto entries = Must(journal->Entries("c1"));
  double typed = 1e9;
  State state;
  for (int run = 0; run < 7; ++run) {
    auto copy = entries;
    typed = std::min(typed, BestMilliseconds(1, [&] { state = Fold(std::move(copy)); }));
  }
  EXPECT_LT(typed, 5.0 * kSlack);

  std::int64_t seq = 5000;
  const double one_more = BestMilliseconds(50, [&] {
    Entry entry = Written(100000 + static_cast<std::uint64_t>(++seq), LengthOf(12), 300);
    entry.seq = seq;
    AddEntry(state, std::move(entry));
  });
  EXPECT_LT(one_more, 0.1 * kSlack);
  std::printf("5,000 entries: from disk, checked and folded %.1f ms; from typed entries %.2f ms; one more %.4f ms\n", from_disk, typed, one_more);
}

}  // namespace
}  // namespace fairlead
