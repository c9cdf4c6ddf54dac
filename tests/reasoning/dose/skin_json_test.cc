// SPDX-License-Identifier: Apache-2.0
#include "reasoning/dose/skin_json.h"

#include <gtest/gtest.h>

#include "tests/reasoning/dose/worked_events.h"

namespace fairlead {
namespace {

const std::string kWorked = R"({"body": {"half_width_mm": 165, "half_depth_mm": 110, "centre_mm": [-20, 20]},
  "table": {"top_below_isocentre_mm": 150, "transmission": 0.773, "forward_scatter": 1.1}, "medium_factor": 1.0245,
  "events": [
   {"id": "E1", "view": "AP", "air_kerma_gy": 0.8, "sid_mm": 1050, "sod_mm": 750, "reference_mm": 600, "field_mm": [150, 150], "kv": 80, "cu_mm": 0.1},
   {"id": "E2", "view": "LAO 40/CRA 25", "air_kerma_gy": 1.2, "sid_mm": 1100, "sod_mm": 750, "field_mm": 150, "kv": 80, "cu_mm": 0.1},
   {"id": "E3", "primary_deg": 390, "secondary_deg": 20, "air_kerma_mgy": 1000, "sid_mm": 1100, "sod_mm": 750, "field_mm": 150, "kv": 80, "cu_mm": 0.1}]})";

TEST(SkinJson, ReadsTheWorkedEventsAsTheyAre) {
  const auto file = ParseSkinFile(kWorked);
  ASSERT_TRUE(file.ok()) << Sentence(file.error());
  EXPECT_TRUE(file->remarks.empty());
  EXPECT_NEAR(file->settings.body.table.pad, 20, 1e-12);
  const auto made = EstimateSkin(file->events, file->settings, 1);
  EXPECT_NEAR(made.peak.gray, EstimateSkin(EventsOf(WorkedShots()), WorkedSettings(), 1).peak.gray, 1e-9);
  const std::string json = EstimateJson(made, file->events);
  EXPECT_NE(json.find(R"("by":["E2","E3"])"), std::string::npos) << json.substr(0, 300);
}

TEST(SkinJson, ReadsBackTheEventsItWrites) {
  auto events = EventsOf(SeededShots(4, 5));
  events[0].area_product = AreaProduct::GraySquareMetres(0.002);
  events[1].end_angles = GantryAngles{Angle::Degrees(10), Angle::Degrees(5)};
  events[2].kind = EventKind::kFluoroscopy;
  events[2].duration = Duration::Seconds(12);
  auto back = ParseSkinFile(EventsJson(events));
  ASSERT_TRUE(back.ok());
  ASSERT_EQ(back->events.size(), events.size());
  for (std::size_t i = 0; i < events.size(); ++i) {  // degrees come back within the last bit, everything else exactly
    EXPECT_NEAR(back->events[i].angles->primary.degrees(), events[i].angles->primary.degrees(), 1e-12);
    back->events[i].angles = events[i].angles;
    back->events[i].end_angles = events[i].end_angles;
  }
  EXPECT_EQ(EventsJson(back->events), EventsJson(events));
}

TEST(SkinJson, NamesWhatIsWrong) {
  const auto sentence = [](std::string_view json) {
    const auto file = ParseSkinFile(json);
    return file.ok() ? std::string("ok") : Sentence(file.error());
  };
  EXPECT_EQ(sentence("{"), "this is not JSON (events): see docs/methods-skin.md");
  EXPECT_EQ(sentence("{}"), "there is no list of events (events): write \"events\": [{...}]");
  EXPECT_EQ(sentence("[]"), "the list of events is empty (events): give at least one");
  EXPECT_EQ(sentence("[3]"), "this is no object (events[0]): write it as {\"name\": value, ...}");
  EXPECT_EQ(sentence(R"([{"air_kerma_gy": -1}])"), "air_kerma_gy is -1, which is not between 0 and 1000 (events[0]): see docs/methods-skin.md");
  EXPECT_EQ(sentence(R"([{"air_kerma_gy": "2"}])"), "air_kerma_gy is no number (events[0]): see docs/methods-skin.md");
  EXPECT_EQ(sentence(R"([{"view": "UP 3"}])"), "\"UP\" is no side of a view (events[0]): see docs/methods-skin.md");
  EXPECT_EQ(sentence(R"({"body": {"height_cm": 1.7, "weight_kg": 75}, "events": [{}]})"), "the height is not between 100 and 230 cm (body: height): give it in centimetres, or leave it out");
  EXPECT_NE(sentence(std::string(50, '[')).find("8 levels"), std::string::npos);
}

TEST(SkinJson, TellsOfMembersThatItDoesNotKnow) {
  const auto file = ParseSkinFile(R"([{"air_kerma_gy": 1, "air_kermaa": 2, "_remark": 3}])");
  ASSERT_TRUE(file.ok());
  ASSERT_EQ(file->remarks.size(), 1U);
  EXPECT_EQ(file->remarks[0], "events[0]: \"air_kermaa\" is not known and was left out");
}

TEST(SkinJson, GivesTheMapToThePage) {
  const auto made = EstimateSkin(EventsOf(WorkedShots()), WorkedSettings(), 1);
  const std::string json = SkinMapJson(made, EventsOf(WorkedShots()));
  EXPECT_NE(json.find("\"dose_mgy\":["), std::string::npos);
  EXPECT_NE(json.find("\"half_row\""), std::string::npos);
}

}  // namespace
}  // namespace fairlead
