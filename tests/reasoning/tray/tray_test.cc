// SPDX-License-Identifier: Apache-2.0
// Lists of the trade (practice, no source) on the invented shelf, whose empty drawers and expired batch are known.
#include "reasoning/tray/tray.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>

#include "reasoning/tray/needs.h"
#include "reasoning/tray/tray_facts.h"
#include "reasoning/tray/tray_json.h"
#include "reasoning/tray/usual_route.h"

namespace fairlead {
namespace {

TrayQuestion Asked(std::vector<std::string> strategies) {
  TrayQuestion question;
  question.strategies = std::move(strategies);
  question.antegrade = UsualAntegrade("RCA");
  question.retrograde = UsualRetrograde("RCA", "septal");
  question.vessel = Length::Millimetres(3);
  question.today = "2026-11-25";
  return question;
}

const TrayNeed& Of(const std::vector<TrayNeed>& needs, std::string_view id) {
  const auto found = std::ranges::find(needs, id, &TrayNeed::id);
  EXPECT_NE(found, needs.end()) << id;
  return *found;
}

TEST(Tray, EveryRowOfTheListsIsUnderstood) {
  for (const NeedRow& row : NeedRows()) {
    const auto need = ParseNeed(row.need);
    ASSERT_TRUE(need.ok()) << row.id;
    EXPECT_FALSE(Search(InventedShelf(), *need).empty()) << row.id;
  }
  for (const GroupRow& row : GroupRows()) {
    for (const std::string_view id : {row.first, row.second}) {
      EXPECT_TRUE(id.empty() || std::ranges::any_of(NeedRows(), [&](const NeedRow& need) { return need.id == id; })) << id;
    }
  }
}

TEST(Tray, EmptyDrawersAreMissingBeforeTheyAreNeeded) {
  const auto tray = ChooseTray(Asked({"AW", "ADR", "RW", "RDR"}), InventedShelf());
  ASSERT_TRUE(tray.ok());
  EXPECT_EQ(Of(tray->bailout, "drain").state, NeedState::kMissing);
  EXPECT_EQ(Of(tray->bailout, "drain").remark, "PC-8: none in the drawer");
  EXPECT_EQ(Of(tray->needs, "mc").state, NeedState::kReady);
}

TEST(Tray, ALongRouteNeedsALongMicrocatheter) {
  TrayQuestion question = Asked({"RW"});
  const auto tray = ChooseTray(question, InventedShelf());
  const TrayNeed& first = Of(tray->needs, "mc-retro");
  EXPECT_GE(InventedShelf().devices[first.candidates[0]].usable->millimetres(), 1500 - 1e-9);
  question.retrograde = {{"winding", Length::Centimetres(70), {}, false}};
  EXPECT_EQ(Of(ChooseTray(question, InventedShelf())->needs, "mc-retro").state, NeedState::kMissing);
}

TEST(Tray, OneGuideASideServesTheLadder) {
  const auto antegrade = ChooseTray(Asked({"AW"}), InventedShelf());
  ASSERT_EQ(antegrade->guides.size(), 1u);
  const Device& small = InventedShelf().devices[*antegrade->guides[0].guide];
  EXPECT_EQ(antegrade->guides[0].fit, FitClass::kFits);
  const auto whole = ChooseTray(Asked({"AW", "ADR", "RW", "RDR"}), InventedShelf());
  ASSERT_EQ(whole->guides.size(), 2u);
  const Device& wide = InventedShelf().devices[*whole->guides[0].guide];
  EXPECT_GT(wide.lumen->millimetres(), small.lumen->millimetres());  // re-entry and ultrasound want more room
  EXPECT_TRUE(whole->guides[0].sheath);
  // No narrower guide of the same length takes every group.
  for (const Device& device : InventedShelf().devices) {
    if (device.kind != DeviceClass::kGuide || device.usable != wide.usable || *device.lumen >= *wide.lumen) continue;
    bool all = true;
    for (const TrayGroup& group : whole->guides[0].groups) {
      std::vector<Device> devices;
      for (const std::size_t at : group.devices) devices.push_back(InventedShelf().devices[at]);
      const FitAnswer answer = FitOrders(HostOf(device), devices).front().answer;
      all = all && answer.fit == FitClass::kFits && answer.off_label.empty();
    }
    EXPECT_FALSE(all) << device.name;
  }
}

// What is laid out is what the groups show, and no piece is laid out twice.
TEST(Tray, EveryPieceIsLaidOutOnce) {
  const auto tray = ChooseTray(Asked({"AW", "ADR", "RW", "RDR"}), InventedShelf());
  std::map<std::size_t, int> used;
  for (const TrayGuide& guide : tray->guides) {
    ++used[*guide.guide];
    ++used[*guide.sheath];
    for (const TrayGroup& group : guide.groups) {
      for (const std::string& id : group.needs) {
        const TrayNeed& need = Of(tray->needs, id);
        if (need.pieces.empty()) continue;
        EXPECT_NE(std::ranges::find(group.devices, need.pieces.front().device), group.devices.end()) << id;
      }
    }
  }
  for (const auto* list : {&tray->needs, &tray->bailout}) {
    for (const TrayNeed& need : *list) {
      int pieces = 0;
      for (const TrayPiece& piece : need.pieces) { used[piece.device] += piece.count; pieces += piece.count; }
      EXPECT_EQ(need.state == NeedState::kReady, pieces == need.count * need.kinds && need.remark.empty()) << need.id;
    }
  }
  for (const auto& [device, count] : used) EXPECT_LE(count, UsableCount(InventedShelf().devices[device], "2026-11-25"));
}

TEST(Tray, AnExtensionMatchesItsGuideAndATrapIsNoOtherBalloon) {
  const auto tray = ChooseTray(Asked({"AW", "ADR", "RDR"}), InventedShelf());
  const Device& guide = InventedShelf().devices[*tray->guides[0].guide];
  const Device& extension = InventedShelf().devices[Of(tray->needs, "extension").pieces.at(0).device];
  EXPECT_LE(*extension.need_lumen, *guide.lumen);
  for (const Device& other : InventedShelf().devices) {
    if (other.kind != DeviceClass::kGuideExtension || *other.lumen <= *extension.lumen) continue;
    EXPECT_GT(*other.od_dist + Length::Millimetres(0.1), *guide.lumen);
  }
  for (const char* id : {"cart", "small-balloon"}) {
    for (const TrayPiece& piece : Of(tray->needs, id).pieces) EXPECT_EQ(InventedShelf().devices[piece.device].label.find("trap"), std::string::npos);
  }
}

// A second one for when the first does not follow is another one, or it is said that there is none.
TEST(Tray, TheSecondMicrocatheterIsNotTheFirstAgain) {
  const auto tray = ChooseTray(Asked({"RW"}), InventedShelf());
  const TrayNeed& second = Of(tray->needs, "mc-second");
  EXPECT_EQ(second.state, NeedState::kMissing);
  EXPECT_EQ(second.remark, "nothing but MC-B 150, which is on the tray already, would do");
  Shelf more = InventedShelf();
  for (Device& device : more.devices) {
    if (device.name == "MC-C 155") device.stock = {{"L", "2029-01-01", 1, "drawer"}};
  }
  const auto both = ChooseTray(Asked({"RW"}), more);
  EXPECT_NE(Of(both->needs, "mc-second").pieces.at(0).device, Of(both->needs, "mc-retro").pieces.at(0).device);
}

TEST(Tray, TheWireThatComesOutIsMeasuredAgainstThreePlaces) {
  const auto tray = ChooseTray(Asked({"RW"}), InventedShelf());
  ASSERT_TRUE(tray->external && tray->external->wire);
  EXPECT_EQ(tray->external->needs.size(), 3u);
  EXPECT_EQ(tray->external->wire->name, "GW-EX 340");
  EXPECT_TRUE(tray->external->wire->may_be_snared);
  EXPECT_FALSE(ChooseTray(Asked({"AW"}), InventedShelf())->external);
}

TEST(Tray, AChannelThatWasMeasuredTakesThePlaceOfTheUsualOne) {
  Facts facts;
  facts[{"occluded_vessel", ""}] = GradeOdds{{{"RCA", 1.0}}};
  facts[{"collateral_channel", "c1"}] = GradeOdds{{{"septal", 1.0}}};
  facts[{"channel_length_mm", "c1"}] = Number{52, 4.0};
  facts[{"dlz_diameter_mm", ""}] = Number{2.6, std::nullopt};
  const TrayQuestion question = QuestionFromFacts(facts, {"RW"}, "");
  EXPECT_NEAR(question.vessel->millimetres(), 2.6, 1e-12);
  const auto measured = std::ranges::find(question.retrograde, false, &Stretch::typical);
  ASSERT_NE(measured, question.retrograde.end());
  EXPECT_EQ(measured->name, "septal channel c1");
  EXPECT_NEAR(measured->length.millimetres(), 52, 1e-12);
}

// 60 mm drawn in one projection: 1.15 x 60 = 69, sd sqrt((1.15 x 4)^2 + (0.05 x 69)^2) = 5.75 mm, worked by hand.
TEST(Tray, AChannelThatWasMeasuredInOneViewIsWidenedAndSaysSo) {
  Facts facts;
  facts[{"occluded_vessel", ""}] = GradeOdds{{{"RCA", 1.0}}};
  facts[{"collateral_channel", "c1"}] = GradeOdds{{{"septal", 1.0}}};
  facts[{"channel_length_mm", "c1"}] = Number{60, 4.0};
  facts[{"donor_way_mm", "c1"}] = Number{50, 2.0};
  const std::vector<FactKey> one_view{{"channel_length_mm", "c1"}};
  const TrayQuestion question = QuestionFromFacts(facts, {"RW"}, "", one_view);
  const auto channel = std::ranges::find_if(question.retrograde, [](const Stretch& each) { return each.name.starts_with("septal channel c1"); });
  ASSERT_NE(channel, question.retrograde.end());
  EXPECT_NEAR(channel->length.millimetres(), 69, 1e-9);
  EXPECT_NEAR(channel->sd.millimetres(), 5.75, 1e-9);
  EXPECT_NE(channel->name.find("one view"), std::string::npos);
  EXPECT_NEAR(question.retrograde.front().length.millimetres(), 50, 1e-9);  // that one was followed in space
}

// Sums by hand; spreads add in quadrature.
TEST(Tray, ThreeMeasuredWaysLeaveNothingUsual) {
  Facts facts;
  facts[{"occluded_vessel", ""}] = GradeOdds{{{"RCA", 1.0}}};
  facts[{"collateral_channel", "c1"}] = GradeOdds{{{"septal", 1.0}}};
  facts[{"donor_way_mm", "c1"}] = Number{61, 3.0};
  facts[{"channel_length_mm", "c1"}] = Number{74, 4.0};
  facts[{"recipient_way_mm", "c1"}] = Number{168, 12.0};
  facts[{"antegrade_way_mm", ""}] = Number{151, 6.0};
  const TrayQuestion question = QuestionFromFacts(facts, {"AW", "RW"}, "");
  ASSERT_EQ(question.retrograde.size(), 3u);
  ASSERT_EQ(question.antegrade.size(), 1u);
  double sum = 0, squares = 0;
  for (const Stretch& each : question.retrograde) {
    EXPECT_FALSE(each.typical) << each.name;
    sum += each.length.millimetres();
    squares += each.sd.millimetres() * each.sd.millimetres();
  }
  EXPECT_NEAR(sum, 303, 1e-9);
  EXPECT_NEAR(squares, 13 * 13, 1e-9);
  EXPECT_NEAR(question.antegrade[0].length.millimetres(), 151, 1e-9);
  EXPECT_FALSE(question.antegrade[0].typical);
  // Only one of them measured: the others stay usual and say so; without a vessel nothing is made up.
  facts.erase({"donor_way_mm", "c1"});
  facts.erase({"recipient_way_mm", "c1"});
  const TrayQuestion some = QuestionFromFacts(facts, {"RW"}, "");
  EXPECT_EQ(std::ranges::count(some.retrograde, false, &Stretch::typical), 1);
  EXPECT_EQ(some.retrograde.size(), UsualRetrograde("RCA", "septal").size());
  EXPECT_TRUE(QuestionFromFacts({}, {"RW"}, "").retrograde.empty());
}

TEST(Tray, ANarrowRadialArteryIsAConflict) {
  TrayQuestion question = Asked({"AW"});
  question.radial_artery = Length::Millimetres(2.2);
  const auto tray = ChooseTray(question, InventedShelf());
  EXPECT_LT(*tray->guides[0].artery_ratio, 1.0);
  EXPECT_FALSE(tray->conflicts.empty());
}

TEST(Tray, StentsFollowTheVessel) {
  const auto tray = ChooseTray(Asked({"AW"}), InventedShelf());
  for (const std::size_t at : Of(tray->bailout, "covered").candidates) {
    EXPECT_GE(InventedShelf().devices[at].nominal->millimetres(), 2.75);
    EXPECT_LE(InventedShelf().devices[at].nominal->millimetres(), 4.0);
  }
}

TEST(Tray, ThePickListHoldsEachDeviceOnce) {
  const TrayQuestion question = Asked({"AW", "RW"});
  const auto tray = ChooseTray(question, InventedShelf());
  const auto picks = PickList(*tray);
  for (std::size_t i = 0; i < picks.size(); ++i) {
    EXPECT_GE(UsableCount(InventedShelf().devices[picks[i].device], question.today), picks[i].count);
    for (std::size_t j = 0; j < i; ++j) EXPECT_NE(picks[i].device, picks[j].device);
  }
  const std::string text = PickListText(question, *tray, InventedShelf());
  EXPECT_NE(text.find("MISSING  pericardial drainage set"), std::string::npos);
  EXPECT_NE(text.find("DOUBTFUL covered stents, two sizes: 1 of 2 sizes in the drawer"), std::string::npos);
}

TEST(Tray, AnUnknownStrategyIsRefused) {
  EXPECT_EQ(Sentence(ChooseTray(Asked({"XX"}), InventedShelf()).error()), "this strategy is not known ('XX'): use AW, ADR, RW or RDR");
  EXPECT_FALSE(TrayQuestionFromJson("[]", {}).ok());
  EXPECT_FALSE(TrayQuestionFromJson(R"({"vessel_mm": -1})", {}).ok());
}

TEST(UsualRoute, EveryStretchIsMarkedAsUsual) {
  for (const char* vessel : {"RCA", "LAD", "LCX", "LM"}) {
    for (const char* channel : {"septal", "epicardial", "ipsilateral", "graft", ""}) {
      const auto route = UsualRetrograde(vessel, channel);
      EXPECT_GE(route.size(), 3u) << vessel << channel;
      for (const Stretch& each : route) EXPECT_TRUE(each.typical);
    }
  }
}

}  // namespace
}  // namespace fairlead
