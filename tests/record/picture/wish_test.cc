// SPDX-License-Identifier: Apache-2.0
// Notes that choose pictures. Expectations follow from the grammar in wish.h.
#include "record/picture/wish.h"

#include <gtest/gtest.h>

#include "casebook/entry_json.h"

namespace fairlead {
namespace {

State WithNotes(const std::vector<std::string>& notes) {
  std::vector<Entry> entries;
  const auto add = [&entries](EntryData data) {
    Entry entry;
    entry.case_id = "01M2NG00X0TESTCASE00000001";
    entry.seq = static_cast<std::int64_t>(entries.size()) + 1;
    entry.id = "01M2NG00X0000000000000000" + std::string(1, static_cast<char>('0' + entry.seq));
    entry.at = entry.written = entry.recorded = Instant{} + Duration::Minutes(static_cast<double>(entry.seq));
    entry.by = "op", entry.device = "page";
    entry.data = std::move(data);
    entry.kind = KindName(entry.data);
    entries.push_back(std::move(entry));
  };
  add(CaseOpened{"a case", "", true});
  add(ImageAdded{std::string(64, 'a'), "run 1", 60, 512, 400, "XA"});
  for (const std::string& note : notes) add(NoteWritten{note});
  return Fold(std::move(entries));
}

TEST(Wish, AFrameAClipAndDrawingsAreRead) {
  const auto wishes = WishesOf(WithNotes({"picture: run 1 frame 12; the cap", "clip: aaaaaaaaaaaaaaaa frames 10-60\ncontrast comes back", "picture: timeline", "picture: skin; after"}));
  ASSERT_EQ(wishes.size(), 4U);
  EXPECT_EQ(wishes[0].kind, WishKind::kFrame);
  EXPECT_EQ(wishes[0].image, std::string(64, 'a'));
  EXPECT_EQ(wishes[0].first, 11);
  EXPECT_EQ(wishes[0].caption, "the cap");
  EXPECT_EQ(wishes[0].columns, 400);
  EXPECT_EQ(wishes[1].kind, WishKind::kClip);
  EXPECT_EQ(wishes[1].label, "run 1");
  EXPECT_EQ(std::pair(wishes[1].first, wishes[1].last), std::pair(9, 59));
  EXPECT_EQ(wishes[1].caption, "contrast comes back");
  EXPECT_EQ(wishes[2].kind, WishKind::kTimeline);
  EXPECT_EQ(wishes[3].kind, WishKind::kSkin);
}

TEST(Wish, WhatCannotBeReadIsARemarkAndAnUnknownRunIsNamed) {
  for (const char* note : {"picture: run 1", "picture: run 1 frame 0", "picture: run 1 frame -2", "clip: run 1 frames 9-3", "picture: run 1 frame 3-9", "pictures of the cap", "picture: frame 3", "clip: timeline", "picture: run 1 frame 99999999999999"})
    EXPECT_FALSE(IsWish(note)) << note;
  const auto wishes = WishesOf(WithNotes({"picture: run 7 frame 3", "picture: aaaa frame 3"}));
  ASSERT_EQ(wishes.size(), 2U);
  for (const PictureWish& wish : wishes) EXPECT_EQ(wish.image, "");
  EXPECT_EQ(wishes[0].asked, "run 7");
}

}  // namespace
}  // namespace fairlead
