// SPDX-License-Identifier: Apache-2.0
// Eight real runs of a static phantom (tests/data/xa-phantom/README.md): six points of its centrelines where a separate
// program expects them in each picture, and the table's real place in each run. What is known of the phantom: 115.971
// mm from point 0 to point 405, 42.701 mm from point 115 to point 282.
#include <gtest/gtest.h>

#include <fstream>
#include <map>
#include <nlohmann/json.hpp>

#include "imaging/pair/pair.h"
#include "tests/imaging/pair/invented.h"

namespace fairlead {
namespace {

struct PhantomRun8 {
  View view;
  Vec3 table;
  std::map<std::string, ImagePoint> seen;
};

std::vector<PhantomRun8> Runs() {
  const auto json = nlohmann::json::parse(std::ifstream(FAIRLEAD_TESTS_DIR "/data/xa-phantom/geometry.json"));
  std::vector<PhantomRun8> runs;
  for (const auto& v : json["views"]) {
    PhantomRun8 run;
    run.view = TheView(v["primary_deg"], v["secondary_deg"]);
    run.view.source_to_detector = Length::Millimetres(v["SID_mm"]),
    run.view.source_to_isocentre = Length::Millimetres(v["SOD_mm"]);
    run.view.row_spacing = run.view.column_spacing = Length::Millimetres(json["model"]["spacing_mm_at_detector"]);
    const auto& table = v["table_offset_mm_xyz"];
    run.table = {table[0], table[1], table[2]};
    for (const auto& [name, at] : v["expected_xy_px"].items()) run.seen[name] = {at[0], at[1]};
    runs.push_back(run);
  }
  return runs;
}

enum class Table { kGiven, kUnknown };

Seen TwoOf(const PhantomRun8& a, const PhantomRun8& b, Table table) {
  Seen seen = TwoFrames(a.view, b.view, table == Table::kGiven ? TablePlace::kGiven : TablePlace::kUnknown);
  seen.click_sd_px = 0.2;  // the expected pixels are good to a hundredth; the rest is the model
  if (table == Table::kGiven) {
    seen.frames[1].view.patient_shift = b.table - a.table;
    seen.frames[1].shift_sd = Length::Millimetres(0.5);
  }
  for (const auto& [name, at] : a.seen) {
    if (name != "50") seen.marks.push_back({"point " + name, {{0, at}, {1, b.seen.at(name)}}});  // 50 is 39 again
  }
  return seen;
}

double Between(const PairFound& found, const std::string& a, const std::string& b) {
  const auto at = [&](const std::string& name) {
    return std::find_if(found.marks.begin(), found.marks.end(), [&](const MarkInSpace& m) { return m.name == name; })
        ->at;
  };
  return Norm(at("point " + a) - at("point " + b));
}

TEST(PhantomRuns, WithTheTableKnownEachPairGivesThePhantomsDistances) {
  const auto runs = Runs();
  ASSERT_EQ(runs.size(), 8u);
  int pairs = 0;
  for (std::size_t i = 0; i < runs.size(); ++i) {
    for (std::size_t j = i + 1; j < runs.size(); ++j) {
      if (AngleBetweenBeams(runs[i].view, runs[j].view) < Angle::Degrees(30.0)) continue;
      const auto found = MeasurePair(TwoOf(runs[i], runs[j], Table::kGiven));
      ASSERT_TRUE(found.ok()) << i + 1 << " " << j + 1 << " " << Sentence(found.error());
      EXPECT_NEAR(Between(*found, "0", "405"), 115.971, 0.03) << i + 1 << " " << j + 1;
      EXPECT_NEAR(Between(*found, "115", "282"), 42.701, 0.03) << i + 1 << " " << j + 1;
      EXPECT_LT(found->fitted_rms_px, 0.05);
      ++pairs;
    }
  }
  EXPECT_EQ(pairs, 21);  // of 28, those at least 30 degrees apart
}

// Only the part of the table's move across the line between the two sources can be seen; the rest is a scale.
TEST(PhantomRuns, AnUnknownTableIsFoundAcrossTheLineBetweenTheSources) {
  const auto runs = Runs();
  for (const auto& [i, j] : {std::pair<std::size_t, std::size_t>{0, 7}, {6, 7}, {0, 6}, {4, 7}, {1, 5}}) {
    const auto found = MeasurePair(TwoOf(runs[i], runs[j], Table::kUnknown));
    ASSERT_TRUE(found.ok()) << i + 1 << " " << j + 1 << " " << Sentence(found.error());
    const Vec3 along = Unit(SourceOf(runs[i].view) - SourceOf(runs[j].view));
    const Vec3 error = found->poses[1].shift - (runs[j].table - runs[i].table);
    const Vec3 across = error - Dot(error, along) * along;
    EXPECT_LT(Norm(across), 6.0) << i + 1 << " " << j + 1;  // against 31 to 52 mm that it moved
    // The scale is off by no more than an sd of 25 mm along that line lets it: 2.5 of those.
    const double line = Norm(SourceOf(runs[i].view) - SourceOf(runs[j].view));
    EXPECT_NEAR(Between(*found, "0", "405") / 115.971, 1.0, 2.5 * 25.0 / line) << i + 1 << " " << j + 1;
    EXPECT_FALSE(found->warnings.empty());
  }
}

}  // namespace
}  // namespace fairlead
