// SPDX-License-Identifier: Apache-2.0
// What counts of the lab's journal. Names and texts are invented.
#include "casebook/knowledge.h"

#include <gtest/gtest.h>

#include "casebook/entry_json.h"
#include "casebook/entry_text.h"
#include "tests/casebook/invented_entries.h"

namespace fairlead {
namespace {

EntryData Text(std::string name, std::string version, std::string text) {
  return KnowledgeWritten{std::move(name), "head nurse", std::move(version), std::move(text)};
}

std::string VersionOf(const Knowledge& knowledge, std::string_view name) {
  const KnowledgeText* text = FindKnowledge(knowledge, name);
  return text == nullptr ? "none" : text->version;
}

TEST(Knowledge, TheNewestTextOfEachNameCounts) {
  const State lab = Fold({Stored(1, Text("shelf", "1", R"({"a": 1})"), 0), Stored(2, Text("limits", "7", "{}"), 1),
                          Stored(3, Text("shelf", "2", R"({"a":2})"), 2)});
  const Knowledge knowledge = KnowledgeOf(lab);
  ASSERT_EQ(knowledge.texts.size(), 2u);
  EXPECT_EQ(knowledge.seq, 3);
  EXPECT_EQ(VersionOf(knowledge, "shelf"), "2");
  EXPECT_EQ(VersionOf(knowledge, "limits"), "7");
  EXPECT_EQ(VersionOf(knowledge, "rules"), "none");
  const KnowledgeText* shelf = FindKnowledge(knowledge, "shelf");
  EXPECT_EQ(shelf->text, R"({"a":2})");
  EXPECT_EQ(shelf->owner, "head nurse");
  EXPECT_EQ(shelf->entry, InventedId(3));
  EXPECT_EQ(shelf->seq, 3);
  EXPECT_EQ(shelf->hash, lab.entries[2].hash);
}

TEST(Knowledge, WithdrawnTheOneBeforeCountsAgain) {
  State lab = Fold({Stored(1, Text("shelf", "1", "{}")), Stored(2, Text("shelf", "2", "{}"), 1),
                    Stored(3, Withdrawn{"wrong file"}, 2, InventedId(2))});
  EXPECT_EQ(VersionOf(KnowledgeOf(lab), "shelf"), "1");
  AddEntry(lab, Stored(4, Withdrawn{"none is right"}, 3, InventedId(1)));
  EXPECT_EQ(VersionOf(KnowledgeOf(lab), "shelf"), "none");
}

TEST(Knowledge, AsItWasKnownIsThatDaysKnowledge) {
  const std::vector<Entry> entries = {Stored(1, Text("shelf", "1", "{}")), Stored(2, Text("shelf", "2", "{}"), 60)};
  const Instant before{entries[1].recorded.ms - 1};
  EXPECT_EQ(VersionOf(KnowledgeOf(Fold(entries, AsItWasKnown{before})), "shelf"), "1");
  EXPECT_EQ(VersionOf(KnowledgeOf(Fold(entries, AsItWasKnown{entries[1].recorded})), "shelf"), "2");
}

TEST(Knowledge, TheTextIsKeptByteForByte) {
  const std::string odd = "{ \"width_mm\" :\t1.50, \"name\": \"\\u00e9}\" }";
  const IncomingEntry made = MakeIncoming(Written(1, Text("shelf", "1", odd)));
  const auto read = ParseEntry(EntryJson(made));
  ASSERT_TRUE(read) << Sentence(read.error());
  EXPECT_EQ(std::get<KnowledgeWritten>(read->entry.data).text, odd);
  EXPECT_EQ(read->data, made.data);
  EXPECT_EQ(EntryDataJson(read->entry.data), made.data);
  EXPECT_EQ(EntryText(read->entry), "knowledge: shelf, version 1 (head nurse)");
}

TEST(Knowledge, ALongShelfFitsAndABottomlessOneIsRefused) {
  const auto refusal = [](std::string text) {
    const auto read = ParseEntry(EntryJson(MakeIncoming(Written(1, Text("shelf", "1", std::move(text))))));
    return read ? "accepted" : Sentence(read.error());
  };
  EXPECT_EQ(refusal("{\"a\":\"" + std::string(400 * 1024, 'x') + "\"}"), "accepted");
  EXPECT_EQ(refusal("{\"a\":\"" + std::string(kLongestKnowledge, 'x') + "\"}"), "the entry is longer than 512 KiB (entry): shorten it");
  EXPECT_EQ(refusal("[1]"), "this is not an object (entry.data.text): send the knowledge as an object in braces");
  EXPECT_EQ(refusal(R"({"a":1,"a":2})"), "a member is given twice (entry): give each member once");
  EXPECT_EQ(refusal("{\"a\":" + std::string(20, '[') + std::string(20, ']') + "}"),
            "lists and objects are nested deeper than 16 (entry): send a flatter entry");
}

TEST(Knowledge, ANameIsPlain) {
  const auto read = ParseEntry(EntryJson(MakeIncoming(Written(1, Text("../shelf", "1", "{}")))));
  ASSERT_FALSE(read);
  EXPECT_EQ(Sentence(read.error()),
            "a name of knowledge has small letters, digits and - (entry.data.name): write it as \"shelf\" or \"act-limits\"");
}

}  // namespace
}  // namespace fairlead
