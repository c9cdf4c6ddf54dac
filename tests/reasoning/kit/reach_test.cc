// SPDX-License-Identifier: Apache-2.0
// Worked budgets: sums by hand with a valve of 9 cm (practice, no source), each under its id.
#include "reasoning/kit/reach.h"

#include <gtest/gtest.h>

#include <cmath>

#include "measure/random.h"
#include "reasoning/kit/route_json.h"

namespace fairlead {
namespace {

Length Cm(double v) { return Length::Centimetres(v); }
Stretch Exact(double v) { return {"", Cm(v), {}, false}; }

Spare Laid(double guide, std::vector<double> segments, double inside, double device) {
  DeviceRoute route{Exact(9), Exact(guide), {}, Cm(inside)};
  for (const double each : segments) route.segments.push_back(Exact(each));
  return LayAlong(route, {{"", Cm(device), {}}}).laid[0].spare;
}

struct Budget {
  std::string_view id;
  double guide;
  std::vector<double> segments;
  double inside, device, reserve;
  ReachClass reach;
};

TEST(Reach, WorkedBudgetsAreReproduced) {
  using enum ReachClass;
  const std::vector<Budget> budgets = {
      {"L01", 100, {1, 5}, 0, 135, 20, kOk}, {"L02", 100, {13, 6}, 0, 130, 2, kTight}, {"L03", 100, {13, 6}, 0, 135, 7, kOk},
      {"L04", 100, {20, 8}, 0, 135, -2, kShort}, {"L05", 90, {20, 8}, 0, 135, 8, kOk}, {"L06", 100, {20, 8}, 0, 150, 13, kOk},
      {"L07", 100, {5, 7, 4, 13}, 3, 135, -6, kShort}, {"L08", 100, {5, 7, 4, 13}, 3, 150, 9, kOk}, {"L09", 90, {5, 7, 4, 13}, 3, 135, 4, kOk},
      {"L10", 100, {16, 7, 5, 1}, 3, 150, 9, kOk}, {"L11", 100, {11, 12, 4, 13}, 3, 150, -2, kShort}, {"L12", 90, {11, 12, 4, 13}, 3, 150, 8, kOk},
      {"L13", 100, {11, 12, 4, 13}, 3, 155, 3, kOk}, {"L14", 100, {18, 3, 13}, 3, 150, 4, kOk}, {"L15", 90, {18, 3, 13}, 3, 135, -1, kShort},
      {"L16", 100, {9, 7, 11, 1}, 3, 150, 10, kOk}};
  for (const Budget& each : budgets) {
    SCOPED_TRACE(each.id);
    const Spare spare = Laid(each.guide, each.segments, each.inside, each.device);
    EXPECT_NEAR(spare.value.millimetres() / 10, each.reserve, 1e-9);
    EXPECT_EQ(WordOf(spare.reach), WordOf(each.reach));
  }
}

TEST(Reach, BroughtOutWiresAreReproduced) {
  struct Out { std::string_view id; double mc, guide; bool over; int stage; double wire, spare; };
  for (const Out& each : std::vector<Out>{{"L17", 135, 100, false, 1, 300, 6}, {"L18", 150, 100, false, 1, 300, -9}, {"L19", 150, 90, false, 1, 300, 1},
                                          {"L20", 150, 100, false, 1, 340, 31}, {"L21", 150, 100, false, 2, 340, 6}, {"L21b", 150, 100, false, 2, 330, -4},
                                          {"L22", 150, 100, true, 1, 409, 0}, {"X1", 150, 100, false, 0, 299, 0}, {"X1c", 150, 100, false, 2, 334, 0},
                                          {"X2", 150, 90, false, 0, 289, 0}}) {
    SCOPED_TRACE(each.id);
    const Externalising ask{Cm(each.mc), Exact(each.guide), Exact(9), each.over};
    const ExternalWire out = BringOut("", Cm(each.wire), ask);
    EXPECT_NEAR(out.spare[static_cast<std::size_t>(each.stage)].value.millimetres() / 10, each.spare, 1e-9);
    EXPECT_EQ(out.may_be_snared, out.spare[1].value >= Length{});
  }
}

TEST(Reach, WaysOutOfAShortWireAreReproduced) {
  Exchanging ask{Cm(180), Cm(135), Cm(124), Cm(124), Cm(150), Cm(25), Exact(9), Exact(100), Cm(2)};
  auto answer = Exchange(ask);
  EXPECT_TRUE(answer.ways[0].works);  // L26: rapid exchange, 56 against 30
  EXPECT_NEAR((answer.ways[0].has - answer.ways[0].needs).millimetres(), 260, 1e-6);
  EXPECT_FALSE(answer.ways[1].works);  // L23: over the wire, short by 84
  EXPECT_NEAR((answer.ways[1].has - answer.ways[1].needs).millimetres(), -840, 1e-6);
  EXPECT_NEAR((answer.ways[2].has - answer.ways[2].needs).millimetres(), 660, 1e-6);  // with an extension wire
  ask.microcatheter_at = Cm(118);  // L24: trap, tail 39, pull 13 and grip 5
  answer = Exchange(ask);
  EXPECT_NEAR(answer.tail.millimetres(), 390, 1e-6);
  EXPECT_NEAR(answer.ways[3].needs.millimetres(), 180, 1e-6);
  EXPECT_TRUE(answer.ways[3].works);
  Exchanging home{Cm(190), Cm(150), Cm(150), Cm(141), {}, {}, Exact(9), Exact(100), Cm(2)};  // L25
  answer = Exchange(home);
  EXPECT_NEAR((answer.ways[1].has - answer.ways[1].needs).millimetres(), -100, 1e-6);
  EXPECT_TRUE(answer.ways[2].works);  // L25b: bare wire 9 against 4 in the other guide
  EXPECT_NEAR(answer.longest_protrusion.millimetres(), 350, 1e-6);  // L27
  home.microcatheter = Cm(135);
  EXPECT_NEAR(Exchange(home).longest_protrusion.millimetres(), 500, 1e-6);
}

TEST(Reach, GuidesSnaresAndExtensionsAreReproduced) {
  EXPECT_NEAR(GuideReaches(Cm(90), Exact(88)).value.millimetres(), -60, 1e-6);   // L29
  EXPECT_NEAR(GuideReaches(Cm(100), Exact(88)).value.millimetres(), 40, 1e-6);
  EXPECT_NEAR(SnareReaches(Cm(120), Exact(9), Exact(100)).value.millimetres(), 60, 1e-6);  // L30
  EXPECT_EQ(SnareReaches(Cm(120), Exact(9), Exact(110)).reach, ReachClass::kShort);
  EXPECT_NEAR(ExtensionSpare(Cm(25), Cm(10.6)).millimetres(), 64, 1e-6);         // L31
  EXPECT_EQ(LoopIn(Length::Millimetres(30), Length::Millimetres(28)), LoopClass::kCovers);
  EXPECT_EQ(LoopIn(Length::Millimetres(30), Length::Millimetres(35)), LoopClass::kSmall);
  EXPECT_EQ(LoopIn(Length::Millimetres(15), Length::Millimetres(30)), LoopClass::kNo);
}

// Odds of the sum of independent normals against 200,000 draws.
TEST(Reach, OddsAgreeWithDraws) {
  DeviceRoute route{{"", Cm(9), Cm(1), true}, Exact(100), {{"", Cm(7), Cm(1), true}, {"", Cm(13), Cm(0.5), true}}, Cm(3)};
  const Spare spare = LayAlong(route, {{"", Cm(133), {}}}).laid[0].spare;
  SeededRandom random(3);
  const auto normal = [&] { return std::sqrt(-2 * std::log(1 - random.Share())) * std::cos(2 * std::acos(-1.0) * random.Share()); };
  int reaches = 0;
  for (int i = 0; i < 200000; ++i) reaches += 9 + normal() + 100 + 7 + normal() + 13 + 0.5 * normal() + 3 <= 133 ? 1 : 0;
  EXPECT_NEAR(spare.odds_reaches, reaches / 200000.0, 0.005);
  EXPECT_NEAR(spare.sd.millimetres(), 15, 1e-9);
}

std::string Fault(std::string_view json) {
  const auto question = RouteFromJson(json, InventedShelf());
  return question.ok() ? "taken" : Sentence(question.error());
}

TEST(DeviceRoute, AMissingLengthIsAskedForNotAssumed) {
  EXPECT_EQ(Fault(R"({"segments": ["left main"]})"), "the guide's length is missing (guide_cm): enter it: a cut guide has its own");
  EXPECT_TRUE(Fault(R"({"guide_cm": 100, "segments": [{"name": "my branch"}]})").starts_with("the length of 'my branch' is missing and none is usual (segments[0].length_cm)"));
  EXPECT_TRUE(Fault(R"({"guide_cm": 100, "segments": [], "devices": ["MC-A 13"]})").starts_with("the shelf has no 'MC-A 13'"));
  EXPECT_TRUE(Fault(R"({"guide_cm": 100, "segment": []})").starts_with("this member is not understood (segment)"));
  EXPECT_TRUE(Fault(R"({"guide_cm": "long", "segments": []})").starts_with("this is not a number that can be a length (guide_cm)"));
  EXPECT_EQ(Fault("[1"), "this is not JSON: look for a missing comma or quote");
}

TEST(DeviceRoute, UsualLengthsAreMarked) {
  const auto question = RouteFromJson(R"({"guide": "GC-7A 90", "segments": ["septal channel", {"name": "x", "length_mm": {"value": 52, "sd": 3}}], "devices": ["MC-A 150"]})", InventedShelf());
  ASSERT_TRUE(question.ok());
  EXPECT_TRUE(question->route->segments[0].typical);
  EXPECT_FALSE(question->route->segments[1].typical);
  EXPECT_NEAR(NeedOf(*question->route).length.millimetres(), 90 + 900 + 70 + 52, 1e-9);
  EXPECT_NE(ReachJson(*question).find("\"typical\":true"), std::string::npos);
}

}  // namespace
}  // namespace fairlead
