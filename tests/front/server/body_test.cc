// SPDX-License-Identifier: Apache-2.0
#include "front/server/body.h"

#include <gtest/gtest.h>

#include "front/server/json_text.h"

namespace fairlead {
namespace {

TEST(Members, KeepTheBytesOfEachValue) {
  const auto members = MembersOf(R"( { "a" : [1, {"b":"}\"]"}] , "c":1.50 , "d" : "x,y" } )");
  ASSERT_TRUE(members.ok());
  ASSERT_EQ(members->size(), 3u);
  EXPECT_EQ((*members)[0].second, R"([1, {"b":"}\"]"}])");
  EXPECT_EQ((*members)[1].second, "1.50");
  EXPECT_EQ((*members)[2].second, "\"x,y\"");
}

TEST(Members, RefuseWhatIsNoObjectOrGivenTwice) {
  EXPECT_FALSE(MembersOf("").ok());
  EXPECT_FALSE(MembersOf("[1]").ok());
  EXPECT_FALSE(MembersOf("{\"a\":1,}").ok());
  EXPECT_FALSE(MembersOf("{\"a\":1,\"\\u0061\":2}").ok());
}

TEST(Members, RefuseDeepNestingWithoutFollowingIt) {
  EXPECT_FALSE(MembersOf(std::string(500000, '[')).ok());
  EXPECT_FALSE(MembersOf("{\"a\":" + std::string(40, '[') + std::string(40, ']') + "}").ok());
}

TEST(NewCaseBody, OffersTheNearestKnownMember) {
  const auto body = ParseNewCase(R"({"titel": "x"})");
  ASSERT_FALSE(body.ok());
  EXPECT_EQ(Sentence(body.error()), "the request has an unknown member (\"titel\"): did you mean \"title\"?");
}

TEST(PixelSizeBody, TakesTheImageAloneForGeometry) {
  const auto body = ParsePixelSize(R"({"image": "ab"})");
  ASSERT_TRUE(body.ok());
  EXPECT_TRUE(body->by_geometry);
}

TEST(PixelSizeBody, RefusesOnePoint) {
  EXPECT_FALSE(ParsePixelSize(R"({"image":"ab","frame":0,"points":[{"x":1,"y":2}],"french":6,"how":"across"})").ok());
}

TEST(LengthBody, RefusesAPixelWithoutSize) {
  const auto body = ParseLength(
      R"({"image":"ab","frame":0,"points":[{"x":1,"y":2},{"x":3,"y":4}],"pixel_size":{"mm_per_px":0,"sd_mm_per_px":0,"method":""}})");
  ASSERT_FALSE(body.ok());
  EXPECT_EQ(body.error().where, "pixel_size.mm_per_px");
}

TEST(JsonText, ReadsBackWhatItWrote) {
  const std::string odd = "a\"b\\c\nd\x01 é";
  const std::string json = JsonText().Open('{').Member("k", odd).Member("n", 0.1).Key("l").Open('[').Close(']').Close('}').Take();
  const auto members = MembersOf(json);
  ASSERT_TRUE(members.ok()) << json;
  EXPECT_EQ(*ParseText((*members)[0].second), odd);
  EXPECT_EQ(*ParseNumber((*members)[1].second), 0.1);
}

TEST(JsonText, ReplacesBytesThatAreNotText) {
  EXPECT_EQ(JsonText().Text("a\xff" "b").Take(), "\"a\xef\xbf\xbd" "b\"");
}

}  // namespace
}  // namespace fairlead
