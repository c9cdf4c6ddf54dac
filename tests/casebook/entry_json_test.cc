// SPDX-License-Identifier: Apache-2.0
// The contract is docs/wire.md; the JSON grammar is RFC 8259.
#include "casebook/entry_json.h"

#include <gtest/gtest.h>

#include "casebook/lift.h"
#include "tests/casebook/invented_entries.h"

namespace fairlead {
namespace {

std::string Wire(std::string_view kind, std::string_view data, std::string_view more = "", int v = 1) {
  return R"({"v":)" + std::to_string(v) + R"(,"id":"01ARZ3NDEKTSV4RRFFQ69G5FAV","at":"2026-11-25T09:41:07Z","written":"2026-11-25T09:41:08.250Z","by":"AB","device":"page","kind":")" +
         std::string(kind) + R"(","data":)" + std::string(data) + std::string(more) + "}";
}

std::string Refusal(const std::string& json) {
  const auto entry = ParseEntry(json);
  return entry ? "accepted" : Sentence(entry.error());
}

TEST(ParseEntry, ReadsAMeasuredLengthWithItsOrigin) {
  const std::string data = R"({"fact":"length_angio_mm","value":{"value":19.2,"sd":1.4},"mark":"measured","origin":{"image":")" +
                           std::string(64, 'b') + R"(","frame":12,"method":"ruler","points":[{"x":1.5,"y":2}],"parts":[{"name":"clicks","sd":0.5}]},"note":"tapers"})";
  const auto read = ParseEntry(Wire("fact", data));
  ASSERT_TRUE(read) << Sentence(read.error());
  EXPECT_EQ(read->entry.id, "01ARZ3NDEKTSV4RRFFQ69G5FAV");
  EXPECT_EQ(ToIso(read->entry.at), "2026-11-25T09:41:07.000Z");
  EXPECT_EQ(ToIso(read->entry.written), "2026-11-25T09:41:08.250Z");
  EXPECT_EQ(read->entry.by, "AB");
  EXPECT_EQ(read->entry.device, "page");
  const auto& fact = std::get<FactStated>(read->entry.data);
  EXPECT_EQ(fact.key.name, "length_angio_mm");
  EXPECT_EQ(fact.belief, Belief(Number{19.2, 1.4}));
  EXPECT_EQ(fact.mark, Mark::kMeasured);
  EXPECT_EQ(fact.origin.image, std::string(64, 'b'));
  EXPECT_EQ(fact.origin.frame, 12);
  ASSERT_EQ(fact.origin.points.size(), 1u);
  EXPECT_EQ(fact.origin.points[0].x, 1.5);
  ASSERT_EQ(fact.origin.parts.size(), 1u);
  EXPECT_EQ(fact.origin.parts[0].name, "clicks");
  EXPECT_EQ(fact.note, "tapers");
}

std::string OfViews(const std::string& views) {
  return R"({"fact":"length_angio_mm","value":{"value":19.2,"sd":1.4},"mark":"measured","origin":{"image":")" + std::string(64, 'a') + R"(","frame":35,"method":"pair 3","views":)" + views + "}}";
}

TEST(ParseEntry, ReadsEveryPictureOfAMeasurementInTwoViewsAndWritesThemAgain) {
  const std::string views = R"([{"image":")" + std::string(64, 'a') + R"(","frame":35,"method":"","table":"","shift_mm":[],"marks":[{"name":"near cap","points":[{"x":61.9,"y":259.6}]}]},{"image":")" + std::string(64, 'b') +
                            R"(","frame":34,"method":"trace 5","table":"moved","shift_mm":[1,0,-2.5],"marks":[{"name":"near cap","points":[{"x":144.1,"y":260.7}]},{"name":"vessel","points":[{"x":1,"y":2},{"x":3,"y":4}]}]}])";
  const auto read = ParseEntry(Wire("fact", OfViews(views)));
  ASSERT_TRUE(read) << Sentence(read.error());
  const auto& seen = std::get<FactStated>(read->entry.data).origin.views;
  ASSERT_EQ(seen.size(), 2u);
  EXPECT_EQ(seen[1].image, std::string(64, 'b'));
  EXPECT_EQ(seen[1].frame, 34);
  EXPECT_EQ(seen[1].method, "trace 5");
  EXPECT_EQ(seen[1].table, "moved");
  EXPECT_EQ(seen[1].shift_mm, (std::vector<double>{1.0, 0.0, -2.5}));
  ASSERT_EQ(seen[1].marks.size(), 2u);
  EXPECT_EQ(seen[1].marks[1].name, "vessel");
  ASSERT_EQ(seen[1].marks[1].points.size(), 2u);
  EXPECT_EQ(seen[1].marks[1].points[1].x, 3.0);
  const std::string written = EntryDataJson(read->entry.data);
  const auto again = ParseEntryData("fact", 1, written);
  ASSERT_TRUE(again) << Sentence(again.error());
  EXPECT_EQ(EntryDataJson(*again), written);
  EXPECT_EQ(std::get<FactStated>(*again).origin.views[1].shift_mm, seen[1].shift_mm);
}

TEST(ParseEntry, RefusesAPictureOfAMeasurementThatCannotBeOne) {
  const std::string image = R"("image":")" + std::string(64, 'a') + R"(")";
  for (const std::string& view : {std::string(R"({"frame":1})"), "{" + image + "}", "{" + image + R"(,"frame":-1})", "{" + image + R"(,"frame":1,"table":"sideways"})",
                                  "{" + image + R"(,"frame":1,"shift_mm":[1,2]})", "{" + image + R"(,"frame":1,"shift_mm":[1,2,"3"]})", "{" + image + R"(,"frame":1,"shift_mm":[1,2,1e9]})",
                                  "{" + image + R"(,"frame":1,"shift_mm":[1,2,3,4]})", "{" + image + R"(,"frame":1,"marks":[{"points":[]}]})", "{" + image + R"(,"frame":1,"angle":3})", std::string("7")}) {
    const auto read = ParseEntry(Wire("fact", OfViews("[" + view + "]")));
    ASSERT_FALSE(read) << view;
    EXPECT_NE(Sentence(read.error()).find("views"), std::string::npos) << Sentence(read.error());
  }
  std::string many = "[";
  for (int i = 0; i < 9; ++i) many += (i == 0 ? "{" : ",{") + image + R"(,"frame":1})";
  EXPECT_NE(Refusal(Wire("fact", OfViews(many + "]"))), "accepted");
}

TEST(ParseEntry, KeepsTheBytesOfDataAsTheyCame) {
  const std::string odd = "{ \"text\" :\t\"a \\\"}, \\\\ \\u00e9 \\\\\" }";
  const auto read = ParseEntry(Wire("note", "  " + odd + " \n"));
  ASSERT_TRUE(read) << Sentence(read.error());
  EXPECT_EQ(read->data, odd);
  EXPECT_EQ(std::get<NoteWritten>(read->entry.data).text, "a \"}, \\ \xc3\xa9 \\");
}

TEST(ParseEntry, FindsDataWhereverItStands) {
  const auto read = ParseEntry(R"( {"data" : {"text":"x"} , "kind":"note","v":1,"id":"01ARZ3NDEKTSV4RRFFQ69G5FAV","by":"a\"b{","at":"2026-11-25T09:41:07Z","written":"2026-11-25T09:41:07Z","device":"d"} )");
  ASSERT_TRUE(read) << Sentence(read.error());
  EXPECT_EQ(read->data, R"({"text":"x"})");
}

TEST(ParseEntry, SaysWhatWhereAndWhatToDo) {
  EXPECT_EQ(Refusal("{"), "this is not JSON (entry): send one JSON object");
  EXPECT_EQ(Refusal("[]"), "this is not an object (entry): send an object in braces");
  EXPECT_EQ(Refusal(Wire("nota", R"({"text":"x"})")), "there is no kind of entry \"nota\" (entry.kind): did you mean \"note\"?");
  EXPECT_EQ(Refusal(Wire("note", R"({"text":"x"})", "", 2)),
            "version 2 of kind \"note\" is not known here (entry.v): write version 1, or use the program that wrote it");
  EXPECT_EQ(Refusal(Wire("note", R"({"txt":"x"})")), "there is no member \"txt\" (entry.data): did you mean \"text\"?");
  EXPECT_EQ(Refusal(Wire("note", R"({"text":"x"})", R"(,"bye":"AB")")), "there is no member \"bye\" (entry): did you mean \"by\"?");
  EXPECT_EQ(Refusal(Wire("note", R"({"text":"x","text":"y"})")), "a member is given twice (entry): give each member once");
  EXPECT_EQ(Refusal(Wire("note", R"({})")), "the member \"text\" is missing (entry.data): add it");
  EXPECT_EQ(Refusal(Wire("note", R"({"text":7})")), "this is not text (entry.data.text): write it in quotes");
  EXPECT_EQ(Refusal(Wire("withdraw", R"({"reason":"wrong vessel"})")),
            "a withdrawal names no entry (entry.amends): name the entry that no longer counts");
  EXPECT_EQ(Refusal(Wire("note", R"({"text":"x"})", R"(,"amends":"01ARZ3NDEKTSV4RRFFQ69G5FAV")")),
            "an entry cannot amend itself (entry.amends): name the original entry");
  EXPECT_EQ(Refusal(Wire("note", R"({"text":"x"})", R"(,"amends":"7")")), "this is not a ULID (entry.amends): name the entry by its id");
  EXPECT_EQ(Refusal(Wire("fact", R"({"fact":"length_angio","value":3,"mark":"stated"})")),
            "there is no fact \"length_angio\" (entry.data.fact): did you mean \"length_angio_mm\"?");
  EXPECT_EQ(Refusal(Wire("fact", R"({"fact":"length_angio_mm","value":3,"mark":"guessed"})")),
            "there is no mark \"guessed\" (entry.data.mark): use \"stated\", \"read\" or \"measured\"");
  EXPECT_EQ(Refusal(Wire("fact", R"({"fact":"length_angio_mm","of":"c1","value":3,"mark":"read"})")),
            "\"length_angio_mm\" is a fact of the case, not of a channel (entry.data.of): leave \"of\" out");
  EXPECT_EQ(Refusal(Wire("image", R"({"hash":"AB","label":"run 1","frames":1,"rows":2,"columns":2,"modality":"XA"})")),
            "this is not a SHA-256 of 64 small hexadecimal digits (entry.data.hash): send the image's hash as the engine gave it");
  EXPECT_EQ(Refusal(Wire("calibration", R"({"image":")" + std::string(64, '0') + R"(","mm_per_px":0,"sd_mm_per_px":0,"method":"m"})")),
            "a pixel has a size above 0 (entry.data.mm_per_px): calibrate again");
}

TEST(ParseEntry, RefusesAValueOutsideTheFactsLimits) {
  EXPECT_NE(Refusal(Wire("fact", R"({"fact":"length_angio_mm","value":-3,"mark":"stated"})")).find("entry.data.value"), std::string::npos);
  EXPECT_NE(Refusal(Wire("fact", R"({"fact":"length_angio_mm","value":1e999,"mark":"stated"})")), "accepted");
}

TEST(ParseEntry, BoundsSizeAndDepth) {
  EXPECT_EQ(Refusal(Wire("note", "{\"text\":\"" + std::string(kLongestEntry, 'x') + "\"}")), "the entry is longer than 64 KiB (entry): shorten it");
  const std::string deep(40, '['), end(40, ']');
  EXPECT_EQ(Refusal(Wire("note", R"({"text":)" + deep + end + "}")), "lists and objects are nested deeper than 16 (entry): send a flatter entry");
  EXPECT_NE(Refusal(std::string(60000, '[')), "accepted");
}

TEST(ParseEntry, RefusesATimeWithoutAZone) {
  std::string json = Wire("note", R"({"text":"x"})");
  json.replace(json.find("07Z"), 3, "07");
  EXPECT_NE(Refusal(json).find("entry.at"), std::string::npos) << Refusal(json);
}

TEST(EntryJson, ReadsBackWhatItWrote) {
  for (const Entry& entry : InventedCase(300, "EntryJson.ReadsBackWhatItWrote")) {
    const IncomingEntry made = MakeIncoming(entry);
    const auto read = ParseEntry(EntryJson(made));
    ASSERT_TRUE(read) << Sentence(read.error()) << EntryJson(made);
    EXPECT_EQ(EntryJson(*read), EntryJson(made));
    EXPECT_EQ(EntryDataJson(read->entry.data), made.data);
    EXPECT_EQ(read->entry.at, entry.at);
    EXPECT_EQ(read->entry.amends, entry.amends);
  }
}

TEST(EntryJson, WritesEveryKind) {
  const EntryData all[] = {CaseOpened{"an invented case", "lab 2", true}, LengthOf(7), ImageAdded{std::string(64, '1'), "run 1", 80, 512, 512, "XA"},
                           PixelSizeSet{std::string(64, '1'), 0.25, 0.01, "geometry", -1, {}}, NoteWritten{"n"}, Withdrawn{"r"}, Shown{"acceptance", "t"}};
  EXPECT_EQ(EntryDataJson(all[0]), R"({"title":"an invented case","room":"lab 2","invented":true})");
  EXPECT_EQ(EntryDataJson(all[2]), R"({"hash":")" + std::string(64, '1') + R"(","label":"run 1","frames":80,"rows":512,"columns":512,"modality":"XA"})");
  for (const EntryData& data : all) {
    const auto read = ParseEntryData(KindName(data), PresentVersion(KindName(data)), EntryDataJson(data));
    ASSERT_TRUE(read) << KindName(data) << ": " << Sentence(read.error());
    EXPECT_EQ(read->index(), data.index());
    EXPECT_EQ(EntryDataJson(*read), EntryDataJson(data));
  }
}

TEST(ReadEntryData, KeepsWhatANewerProgramWrote) {
  EXPECT_TRUE(std::holds_alternative<NotUnderstood>(ReadEntryData("hologram", 1, "{}")));
  EXPECT_TRUE(std::holds_alternative<NotUnderstood>(ReadEntryData("note", 2, R"({"text":"x"})")));
  EXPECT_TRUE(std::holds_alternative<NotUnderstood>(ReadEntryData("note", 1, "not JSON")));
  EXPECT_TRUE(std::holds_alternative<NoteWritten>(ReadEntryData("note", 1, R"({"text":"x"})")));
}

TEST(Lift, BringsVersionZeroOfAFactToVersionOne) {
  const auto lifted = LiftEntryData("fact", 0, R"({"name":"length_angio_mm","value":22,"note":"by eye"})");
  ASSERT_TRUE(lifted);
  EXPECT_EQ(*lifted, R"({"fact":"length_angio_mm","mark":"stated","value":22,"note":"by eye"})");
  const auto read = ParseEntryData("fact", 0, R"({"name":"length_angio_mm","value":22})");
  ASSERT_TRUE(read);
  EXPECT_EQ(std::get<FactStated>(*read).belief, Belief(Number{22, std::nullopt}));
  EXPECT_EQ(std::get<FactStated>(*read).mark, Mark::kStated);
}

TEST(Lift, RefusesWhatTheOldVersionDidNotHave) {
  EXPECT_FALSE(LiftEntryData("fact", 0, R"({"fact":"length_angio_mm","value":22})"));
  EXPECT_FALSE(LiftEntryData("fact", 0, R"({"name":"length_angio_mm","mark":"read","value":22})"));
  EXPECT_FALSE(LiftEntryData("note", 0, "{}"));
  EXPECT_FALSE(ParseEntryData("fact", -1, "{}"));
  EXPECT_FALSE(ParseEntryData("note", 0, R"({"text":"x"})"));
}

}  // namespace
}  // namespace fairlead
