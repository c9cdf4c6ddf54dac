// SPDX-License-Identifier: Apache-2.0
#include "casebook/fold.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>

#include "tests/casebook/invented_entries.h"
#include "tests/casebook/state_text.h"

namespace fairlead {
namespace {

const FactKey kLengthKey{"length_angio_mm", ""};

double LengthIn(const State& state) {
  const FactStated* fact = StandingFact(state, kLengthKey);
  return fact == nullptr ? -1.0 : std::get<Number>(fact->belief).value;
}

std::string Statuses(const State& state) {
  std::string text;
  for (const EntryStatus status : state.status) text += (text.empty() ? "" : ", ") + std::string(StatusName(status));
  return text;
}

TEST(Fold, TheLatestByWhenItHappenedIsBelieved) {
  // Written later but seen earlier: does not overrule.
  const State state = Fold({Stored(1, LengthOf(20), 10), Stored(2, LengthOf(30), 5)});
  EXPECT_EQ(LengthIn(state), 20);
  EXPECT_EQ(state.facts.at(kLengthKey).history, (std::vector<EntryIndex>{0, 1}));
  EXPECT_EQ(state.facts.at(kLengthKey).standing, (std::vector<EntryIndex>{1, 0}));
}

TEST(Fold, AtTheSameInstantTheHigherSeqIsBelieved) {
  EXPECT_EQ(LengthIn(Fold({Stored(1, LengthOf(20), 5), Stored(2, LengthOf(30), 5)})), 30);
}

TEST(Fold, TheHighestAmendmentStandsForItsOriginal) {
  const State state = Fold({Stored(1, LengthOf(20)), Stored(2, LengthOf(21), 0, InventedId(1)), Stored(3, LengthOf(22), 0, InventedId(1))});
  EXPECT_EQ(LengthIn(state), 22);
  EXPECT_EQ(Statuses(state), "amended, amended, amendment");
  EXPECT_EQ(state.facts.at(kLengthKey).standing.size(), 1u);
}

TEST(Fold, AnAmendmentMayMoveTheTime) {
  // The first was 20 minutes later than thought, and so after the second.
  const State state = Fold({Stored(1, LengthOf(20), 0), Stored(2, LengthOf(30), 10), Stored(3, LengthOf(20), 20, InventedId(1))});
  EXPECT_EQ(LengthIn(state), 20);
}

TEST(Fold, AnAmendmentMayNameAnotherFact) {
  const State state = Fold({Stored(1, LengthOf(20)), Stored(2, Flag("proximal_cap_ambiguous", 1), 0, InventedId(1))});
  EXPECT_EQ(LengthIn(state), -1);
  EXPECT_NE(StandingFact(state, {"proximal_cap_ambiguous", ""}), nullptr);
}

TEST(Fold, WithdrawingAnAmendmentBringsBackTheOneBefore) {
  State state = Fold({Stored(1, LengthOf(20)), Stored(2, LengthOf(21), 0, InventedId(1)), Stored(3, LengthOf(22), 0, InventedId(1)),
                      Stored(4, Withdrawn{"typing"}, 0, InventedId(3))});
  EXPECT_EQ(LengthIn(state), 21);
  EXPECT_EQ(Statuses(state), "amended, amendment, withdrawn, counts");
  AddEntry(state, Stored(5, Withdrawn{"typing"}, 0, InventedId(2)));
  EXPECT_EQ(LengthIn(state), 20);
  AddEntry(state, Stored(6, Withdrawn{"wrong vessel"}, 0, InventedId(1)));
  EXPECT_EQ(LengthIn(state), -1);
  EXPECT_EQ(StandingFacts(state).size(), 0u);
}

TEST(Fold, WithdrawingAWithdrawalRestores) {
  State state = Fold({Stored(1, LengthOf(20)), Stored(2, Withdrawn{"wrong"}, 0, InventedId(1))});
  EXPECT_EQ(LengthIn(state), -1);
  AddEntry(state, Stored(3, Withdrawn{"it was right"}, 0, InventedId(2)));
  EXPECT_EQ(LengthIn(state), 20);
  EXPECT_EQ(Statuses(state), "counts, withdrawn, counts");
  AddEntry(state, Stored(4, Withdrawn{"no, wrong"}, 0, InventedId(3)));
  EXPECT_EQ(LengthIn(state), -1);
}

TEST(Fold, AsItWasUsesTodaysKnowledgeOfThatTime) {
  const std::vector<Entry> entries{Stored(1, LengthOf(20), 0), Stored(2, LengthOf(30), 10), Stored(3, LengthOf(25), 0, InventedId(1)),
                                   Stored(4, NoteWritten{"later"}, 30)};
  const State then = Fold(entries, AsItWas{{kInventedMorning.ms + 5 * 60000}});
  EXPECT_EQ(LengthIn(then), 25);  // corrected since, but it was so
  EXPECT_TRUE(then.notes.empty());
  EXPECT_EQ(JournalLines(then), (std::vector<EntryIndex>{0, 2}));
  // Moved away to after that time: nothing was known of it then.
  const State moved = Fold({Stored(1, LengthOf(20), 0), Stored(2, LengthOf(20), 10, InventedId(1))}, AsItWas{{kInventedMorning.ms + 5 * 60000}});
  EXPECT_EQ(LengthIn(moved), -1);
}

TEST(Fold, AsItWasKnownUsesOnlyWhatTheStoreHadThen) {
  // Stored() records entry n at n seconds.
  const std::vector<Entry> entries{Stored(1, LengthOf(20), 0), Stored(2, LengthOf(25), 0, InventedId(1)), Stored(3, Withdrawn{"no"}, 0, InventedId(2))};
  const auto known = [&](std::int64_t seconds) { return LengthIn(Fold(entries, AsItWasKnown{{kInventedMorning.ms + seconds * 1000}})); };
  EXPECT_EQ(known(0), -1);
  EXPECT_EQ(known(1), 20);
  EXPECT_EQ(known(2), 25);
  EXPECT_EQ(known(3), 20);
}

TEST(Fold, WhatIsNotUnderstoodIsKeptAndChangesNothing) {
  Entry newer = Stored(2, NotUnderstood{"kind of a newer program"});
  newer.kind = "hologram";
  Entry newer_amendment = Stored(3, NotUnderstood{"version 2"}, 0, InventedId(1));
  newer_amendment.kind = "fact";
  State state = Fold({Stored(1, LengthOf(20)), newer, newer_amendment, Stored(4, LengthOf(1), 0, InventedId(77))});
  EXPECT_EQ(LengthIn(state), 20);
  EXPECT_EQ(state.not_understood, 3u);
  EXPECT_EQ(Statuses(state), "counts, not understood, not understood, not understood");
  AddEntry(state, Stored(5, Withdrawn{"not needed"}, 0, InventedId(2)));
  AddEntry(state, Stored(6, Withdrawn{"not needed"}, 0, InventedId(4)));
  EXPECT_EQ(state.not_understood, 1u);
}

TEST(Fold, AWithdrawalOfANewerProgramTakesNothingOut) {
  Entry newer = Stored(2, NotUnderstood{"version 2"}, 0, InventedId(1));
  newer.kind = "withdraw";
  const State state = Fold({Stored(1, LengthOf(20)), newer});
  EXPECT_EQ(LengthIn(state), 20);
  EXPECT_EQ(state.not_understood, 1u);
}

TEST(Fold, StruckOutDataCountsNoMore) {
  Entry struck = Stored(2, StruckOut{}, 0, InventedId(1));
  struck.kind = "fact";
  EXPECT_EQ(Statuses(Fold({Stored(1, LengthOf(20)), struck})), "counts, struck out");
  EXPECT_EQ(LengthIn(Fold({Stored(1, LengthOf(20)), struck})), 20);
}

TEST(Fold, ImagesKeepTheirLatestPixelSize) {
  const std::string one(64, '1'), two(64, '2');
  State state = Fold({Stored(1, CaseOpened{"invented", "lab", true}), Stored(2, ImageAdded{two, "run 1", 10, 4, 4, "XA"}, 1),
                      Stored(3, ImageAdded{one, "run 2", 10, 4, 4, "XA"}, 2), Stored(4, PixelSizeSet{one, 0.25, 0.01, "geometry", -1, {}}, 3),
                      Stored(5, PixelSizeSet{one, 0.2, 0.002, "catheter 6 French", 4, {}}, 4), Stored(6, NoteWritten{"n"})});
  EXPECT_EQ(CaseInfo(state)->title, "invented");
  EXPECT_EQ(ImagesInOrder(state), (std::vector<EntryIndex>{1, 2}));
  const Entry* from = nullptr;
  EXPECT_EQ(PixelSizeOf(state, one, &from)->mm_per_px, 0.2);
  EXPECT_EQ(from->seq, 5);
  EXPECT_EQ(PixelSizeOf(state, two), nullptr);
  AddEntry(state, Stored(7, Withdrawn{"wrong catheter"}, 5, InventedId(5)));
  EXPECT_EQ(PixelSizeOf(state, one)->mm_per_px, 0.25);
  AddEntry(state, Stored(8, Withdrawn{"other patient"}, 5, InventedId(2)));
  EXPECT_EQ(ImagesInOrder(state), (std::vector<EntryIndex>{2}));
}

TEST(Fold, ShownNeverFeedsIt) {
  const State state = Fold({Stored(1, Shown{"acceptance", "J-CTO 2"})});
  EXPECT_TRUE(state.facts.empty());
  EXPECT_EQ(Statuses(state), "counts");
}

// --- Against a slow plain model, on random amendments, withdrawals, strikes and nonsense.

std::vector<Entry> RandomJournal(TaggedGenerator& random, std::size_t count) {
  std::vector<Entry> entries;
  for (std::int64_t seq = 1; entries.size() < count; ++seq) {
    const auto minutes = static_cast<std::int64_t>(random.Below(12));
    const auto value = static_cast<double>(seq);
    EntryData data = LengthOf(value);
    switch (random.Below(9)) {
      case 0: data = Flag("proximal_cap_ambiguous", 1.0 / value); break;
      case 1: data = NoteWritten{"note " + std::to_string(seq)}; break;
      case 2: case 3: case 4: data = Withdrawn{"w"}; break;
      case 5: data = PixelSizeSet{std::string(64, 'a'), 1.0 / value, 0, "m", -1, {}}; break;
      default: break;
    }
    const bool names = std::holds_alternative<Withdrawn>(data) || random.Below(2) == 0;
    // now and then it names itself or one that does not exist
    Entry entry = Stored(seq, std::move(data), minutes, names ? InventedId(1 + random.Below(static_cast<std::size_t>(seq) + 1)) : "");
    if (random.Below(15) == 0) entry.data = StruckOut{};
    if (random.Below(20) == 0) entry.data = NotUnderstood{"x"};
    if (random.Below(30) == 0 && seq > 1) entry.id = InventedId(1 + random.Below(static_cast<std::size_t>(seq) - 1));
    entries.push_back(std::move(entry));
  }
  return entries;
}

// What stands, said as directly as the words of docs/wire.md allow. Quadratic on purpose.
std::string PlainModel(const std::vector<Entry>& entries, std::optional<Instant> until = std::nullopt) {
  const auto index_of = [&](const std::string& id) {
    return static_cast<std::size_t>(std::find_if(entries.begin(), entries.end(), [&](const Entry& e) { return e.id == id; }) - entries.begin());
  };
  const auto duplicate = [&](std::size_t i) { return index_of(entries[i].id) != i; };
  std::vector<bool> out(entries.size(), false);
  for (std::size_t i = entries.size(); i-- > 0;) {
    const bool takes_out = entries[i].kind == "withdraw" && !std::holds_alternative<NotUnderstood>(entries[i].data) && !duplicate(i) && !out[i];
    const std::size_t target = index_of(entries[i].amends);
    if (takes_out && target < i) out[target] = true;
  }
  std::vector<std::pair<std::pair<Instant, std::int64_t>, std::size_t>> standing;
  for (std::size_t original = 0; original < entries.size(); ++original) {
    if (!entries[original].amends.empty() || entries[original].kind == "withdraw" || duplicate(original)) continue;
    std::optional<std::size_t> best;
    for (std::size_t i = original; i < entries.size(); ++i) {
      const bool version = i == original || (!duplicate(i) && entries[i].amends == entries[original].id && entries[i].kind == entries[original].kind);
      const bool readable = !std::holds_alternative<StruckOut>(entries[i].data) && !std::holds_alternative<NotUnderstood>(entries[i].data);
      if (version && readable && !out[i]) best = i;
    }
    if (best && (!until || entries[*best].at <= *until)) standing.push_back({{entries[*best].at, entries[*best].seq}, *best});
  }
  std::sort(standing.begin(), standing.end());
  std::map<std::string, std::string> lists;
  for (const auto& [order, i] : standing) {
    const auto* fact = std::get_if<FactStated>(&entries[i].data);
    lists[fact != nullptr ? fact->key.name : entries[i].kind] += " " + std::to_string(entries[i].seq);
  }
  std::string text;
  for (const auto& [name, seqs] : lists) text += name + seqs + "\n";
  return text;
}

std::string StandingText(const State& state) {
  std::map<std::string, std::string> lists;
  const auto add = [&](const std::string& name, const std::vector<EntryIndex>& standing) {
    for (const EntryIndex index : standing) lists[name] += " " + std::to_string(state.entries[index].seq);
  };
  for (const auto& [key, fact] : state.facts) add(key.name, fact.standing);
  for (const auto& [hash, image] : state.images) add("calibration", image.calibrations);
  add("note", state.notes);
  std::string text;
  for (const auto& [name, seqs] : lists) text += name + seqs + "\n";
  return text;
}

TEST(Fold, AgreesWithThePlainModel) {
  TaggedGenerator random("Fold.AgreesWithThePlainModel");
  for (int trial = 0; trial < 1500; ++trial) {
    SCOPED_TRACE(trial);
    const auto entries = RandomJournal(random, 1 + random.Below(40));
    ASSERT_EQ(StandingText(Fold(entries)), PlainModel(entries));
    const Instant until{kInventedMorning.ms + static_cast<std::int64_t>(random.Below(12)) * 60000};
    ASSERT_EQ(StandingText(Fold(entries, AsItWas{until})), PlainModel(entries, until));
    auto known = entries;
    const Instant recorded = entries[random.Below(entries.size())].recorded;
    std::erase_if(known, [&](const Entry& entry) { return entry.recorded > recorded; });
    ASSERT_EQ(StandingText(Fold(entries, AsItWasKnown{recorded})), PlainModel(known));
  }
}

TEST(Fold, DoesNotDependOnTheOrderOfArrival) {
  TaggedGenerator random("Fold.DoesNotDependOnTheOrderOfArrival");
  for (int trial = 0; trial < 200; ++trial) {
    SCOPED_TRACE(trial);
    const auto entries = RandomJournal(random, 1 + random.Below(40));
    auto shuffled = entries;
    for (std::size_t i = shuffled.size(); i > 1; --i) std::swap(shuffled[i - 1], shuffled[random.Below(i)]);
    const AsItWas past{{kInventedMorning.ms + 6 * 60000}};
    ASSERT_EQ(StateText(Fold(shuffled)), StateText(Fold(entries)));
    ASSERT_EQ(StateText(Fold(shuffled, past)), StateText(Fold(entries, past)));
  }
}

TEST(Fold, OneMoreGivesTheSameAsAll) {
  TaggedGenerator random("Fold.OneMoreGivesTheSameAsAll");
  for (int trial = 0; trial < 100; ++trial) {
    SCOPED_TRACE(trial);
    const auto entries = RandomJournal(random, 40);
    State state;
    for (std::size_t i = 0; i < entries.size(); ++i) {
      AddEntry(state, entries[i]);
      const auto next = entries.begin() + static_cast<std::ptrdiff_t>(i) + 1;
      ASSERT_EQ(StateText(state), StateText(Fold({entries.begin(), next}))) << "after " << i + 1;
    }
  }
}

TEST(Fold, CountsWhatItDoesNotUnderstandExactly) {
  TaggedGenerator random("Fold.CountsWhatItDoesNotUnderstandExactly");
  for (int trial = 0; trial < 300; ++trial) {
    const State state = Fold(RandomJournal(random, 40));
    ASSERT_EQ(state.not_understood, static_cast<std::size_t>(std::count(state.status.begin(), state.status.end(), EntryStatus::kNotUnderstood)));
  }
}

TEST(BeliefText, ClaimsNoMoreDigitsThanItsSpread) {
  const FactRow& length = *FindFact("length_angio_mm");
  EXPECT_EQ(BeliefText(length, Number{43.35785950160906, 5.466368710667631}), "43.4 ± 5.5 mm");
  EXPECT_EQ(BeliefText(length, Number{30.0, 4.5}), "30 ± 4.5 mm");
  EXPECT_EQ(BeliefText(length, Number{43.4, 31.2}), "43 ± 31 mm");
  EXPECT_EQ(BeliefText(length, Number{19.25, 0.0}), "19.25 ± 0 mm");
  EXPECT_EQ(BeliefText(length, Number{19.25, {}}), "19.25 mm, spread not stated");
}

TEST(EntryText, SaysOneLineForAPerson) {
  EXPECT_EQ(EntryText(Stored(1, LengthOf(19.2))), "Occlusion length, angiogram: 19.2 ± 1.4 mm (measured)");
  EXPECT_EQ(EntryText(Stored(1, Flag("proximal_cap_ambiguous", 0.3))), "Proximal cap ambiguous: 30 % yes (stated)");
  EXPECT_EQ(EntryText(Stored(1, Withdrawn{"wrong vessel"})), "withdrawn: wrong vessel");
  EXPECT_EQ(EntryText(Stored(1, CaseOpened{"c", "r", true})), "case: c (invented)");
}

}  // namespace
}  // namespace fairlead
