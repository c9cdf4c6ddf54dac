// SPDX-License-Identifier: Apache-2.0
#include "keeping/journal/carry.h"

#include <gtest/gtest.h>

#include "casebook/fold.h"
#include "keeping/journal/chain.h"
#include "tests/casebook/state_text.h"
#include "tests/keeping/journal/data_folder.h"

namespace fairlead {
namespace {

constexpr Instant kLater{4'000'000'000'000};  // the year 2096

TEST(Carry, AChainIsTheSameOnTheOtherSideAndVerifiesThere) {
  DataFolder home, away;
  auto from = JournalWithCase(home, 60);
  Must(from->StrikeOut("c1", 7, "wrong patient"));
  const CarriedChain chain = Must(CarryOut(*from, "c1"));
  Must(CheckCarried(chain, kLater));
  auto to = Must(OpenJournal(away.path(), Owning()));
  EXPECT_EQ(Must(CarryIn(*to, {&chain}, true)), std::vector{CarriedIn::kNew});
  EXPECT_TRUE(Must(to->Cases()).empty()) << "looking writes nothing";
  EXPECT_EQ(Must(CarryIn(*to, {&chain}, false)), std::vector{CarriedIn::kNew});
  EXPECT_EQ(Must(CarryIn(*to, {&chain}, false)), std::vector{CarriedIn::kThere});
  EXPECT_EQ(StateText(Fold(Must(to->Entries("c1")))), StateText(Fold(Must(from->Entries("c1")))));
  const auto there = Must(to->Verify("c1")), here = Must(from->Verify("c1"));
  EXPECT_TRUE(there.faults.empty()) << there.faults.front();
  EXPECT_EQ(there.head, here.head);
  EXPECT_EQ(there.struck_out, 1);
  for (const std::int64_t seq : {1, 7, 30}) EXPECT_EQ(Must(to->DataOf("c1", seq)), Must(from->DataOf("c1", seq)));
  // It goes on where it was: the next entry follows the last carried one.
  Must(to->Append("c1", std::vector{MakeIncoming(Written(950, LengthOf(14)))}));
  EXPECT_TRUE(Must(to->Verify("c1")).faults.empty());
}

TEST(Carry, ALaterExportBringsOnlyWhatIsMissingAndTwoVersionsAreNotMixed) {
  DataFolder home, away;
  auto from = JournalWithCase(home, 10);
  auto to = Must(OpenJournal(away.path(), Owning()));
  const CarriedChain early = Must(CarryOut(*from, "c1"));
  Must(CarryIn(*to, {&early}, false));
  Must(from->Append("c1", std::vector{MakeIncoming(Written(950, LengthOf(14)))}));
  const CarriedChain late = Must(CarryOut(*from, "c1"));
  EXPECT_EQ(Must(CarryIn(*to, {&late}, false)), std::vector{CarriedIn::kLonger});
  EXPECT_EQ(Must(CarryIn(*to, {&early}, false)), std::vector{CarriedIn::kThere}) << "an older export takes nothing away";
  Must(from->Append("c1", std::vector{MakeIncoming(Written(951, LengthOf(15)))}));
  Must(to->Append("c1", std::vector{MakeIncoming(Written(952, LengthOf(16)))}));
  const CarriedChain other = Must(CarryOut(*from, "c1"));
  const auto refused = CarryIn(*to, {&other}, false);
  ASSERT_FALSE(refused.ok());
  EXPECT_EQ(Sentence(refused.error()), "this case is here already with other entries (case c1): nothing was changed: two versions of one case are not mixed");
  EXPECT_EQ(Must(to->Entries("c1")).size(), 12u);
}

// Each member of an entry changed by itself, whatever it is: the chain says so.
TEST(Carry, EveryChangedMemberIsFound) {
  DataFolder home;
  auto from = JournalWithCase(home, 12);
  const CarriedChain good = Must(CarryOut(*from, "c1"));
  const std::vector<void (*)(CarriedEntry&)> changes = {
      [](CarriedEntry& e) { e.entry.at.ms += 1; },     [](CarriedEntry& e) { e.entry.written.ms += 1; }, [](CarriedEntry& e) { e.entry.recorded.ms += 1; },
      [](CarriedEntry& e) { e.entry.by += "x"; },      [](CarriedEntry& e) { e.entry.device += "x"; },   [](CarriedEntry& e) { e.entry.kind = "notes"; },
      [](CarriedEntry& e) { e.entry.v += 1; },         [](CarriedEntry& e) { e.entry.seq += 1; },        [](CarriedEntry& e) { e.entry.hash[3] ^= 1; },
      [](CarriedEntry& e) { e.data_hash[0] ^= 1; },    [](CarriedEntry& e) { e.data->back() = ' '; },    [](CarriedEntry& e) { e.data.reset(); },
      [](CarriedEntry& e) { e.entry.case_id = "c2"; }, [](CarriedEntry& e) { e.entry.id.back() = e.entry.id.back() == '1' ? '2' : '1'; }};
  for (std::size_t i = 0; i < changes.size(); ++i)
    for (const std::size_t at : {std::size_t{0}, std::size_t{5}, good.entries.size() - 1}) {
      CarriedChain changed = good;
      changes[i](changed.entries[at]);
      EXPECT_FALSE(CheckCarried(changed, kLater).ok()) << "change " << i << " of entry " << at + 1;
    }
  CarriedChain shorter = good;
  shorter.entries.erase(shorter.entries.begin() + 4);
  EXPECT_FALSE(CheckCarried(shorter, kLater).ok());
}

// Somebody may compute a whole new chain; what the journal would not have taken is refused all the same.
TEST(Carry, AWellHashedChainOfThingsThatNoJournalTakesIsRefused) {
  DataFolder home;
  auto from = JournalWithCase(home, 3);
  const CarriedChain good = Must(CarryOut(*from, "c1"));
  const auto said = [&](void (*change)(CarriedEntry&)) {
    CarriedChain chain = good;
    change(chain.entries.back());
    ChainHasher hasher;
    CarriedEntry& last = chain.entries.back();
    if (last.data) last.data_hash = hasher.OfBytes(*last.data);
    last.entry.hash = hasher.OfEntry(chain.entries[1].entry.hash, last.entry, last.data_hash);
    const auto checked = CheckCarried(chain, good.entries.back().entry.recorded);
    return checked.ok() ? std::string("taken") : checked.error().what;
  };
  EXPECT_EQ(said([](CarriedEntry&) {}), "taken");
  EXPECT_EQ(said([](CarriedEntry& e) { e.entry.id = "../../etc/passwd"; }), "entry 3 is not what was exported: its id is no ULID");
  EXPECT_EQ(said([](CarriedEntry& e) { e.entry.by = "a\nb"; }), "entry 3 is not what was exported: its writer is no name");
  EXPECT_EQ(said([](CarriedEntry& e) { e.data = std::string(70'000, 'x'); }), "entry 3 is not what was exported: it is longer than an entry may be");
  EXPECT_EQ(said([](CarriedEntry& e) { e.entry.amends = "01NOSUCHENTRY0000000000000"; }), "entry 3 is not what was exported: it amends an entry that does not come before it");
  EXPECT_EQ(said([](CarriedEntry& e) { e.entry.recorded.ms += 3LL * 24 * 3600 * 1000; }), "entry 3 is not what was exported: it was recorded in the future");
  EXPECT_EQ(said([](CarriedEntry& e) { e.entry.kind = "knowledge"; }), "entry 3 is not what was exported: it is of kind \"knowledge\", which belongs to another journal");
}

}  // namespace
}  // namespace fairlead
