// SPDX-License-Identifier: Apache-2.0
// Eight real runs of a static phantom: one pose of its centrelines, fitted once, must reach the expected pixels in all.
// Data: Sci Rep 2018;8:1711, doi 10.1038/s41598-018-19440-9, static phantom, "provided with no restrictions"; see
// tests/data/xa-phantom/README.md. The expected pixels come from an independent program.
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "geometry/curve.h"
#include "geometry/triangulate.h"
#include "geometry/view.h"

namespace fairlead {
namespace {

const std::string kFolder = std::string(FAIRLEAD_TESTS_DIR) + "/data/xa-phantom/";

Vec3 ToVec(const nlohmann::json& list) { return {list[0], list[1], list[2]}; }

std::vector<Vec3> Points() {
  std::ifstream file(kFolder + "centrelines.vtk");
  std::string word;
  while (file >> word && word != "POINTS") {}
  std::size_t count = 0;
  file >> count >> word;
  std::vector<Vec3> points(count);
  for (Vec3& p : points) file >> p.x >> p.y >> p.z;
  return points;
}

Vec3 Rotate(Vec3 axis_angle, Vec3 p) {
  const double angle = Norm(axis_angle);
  const Vec3 k = axis_angle / angle;
  return std::cos(angle) * p + std::sin(angle) * Cross(k, p) + (1 - std::cos(angle)) * Dot(k, p) * k;
}

struct Loaded {
  std::vector<Vec3> points;  // in the patient's axes, table at rest
  std::vector<View> views;
  std::vector<std::map<std::size_t, ImagePoint>> expected;
};

Loaded Load() {
  const auto json = nlohmann::json::parse(std::ifstream(kFolder + "geometry.json"));
  const auto& model = json["model"];
  Loaded all;
  for (const Vec3& p : Points()) {
    all.points.push_back(Rotate(ToVec(model["rotation_vector_rad"]), p - ToVec(model["centroid_of_points_0_to_462"])) +
                         ToVec(model["translation_mm"]));
  }
  for (const auto& v : json["views"]) {
    View view;
    view.primary = Angle::Degrees(v["primary_deg"]);
    view.secondary = Angle::Degrees(v["secondary_deg"]);
    view.source_to_detector = Length::Millimetres(v["SID_mm"]);
    view.source_to_isocentre = Length::Millimetres(v["SOD_mm"]);
    view.row_spacing = view.column_spacing = Length::Millimetres(model["spacing_mm_at_detector"]);
    view.rows = view.columns = 512;
    view.patient_shift = ToVec(v["table_offset_mm_xyz"]);
    all.views.push_back(view);
    auto& places = all.expected.emplace_back();
    for (const auto& [index, xy] : v["expected_xy_px"].items()) places[std::stoul(index)] = {xy[0], xy[1]};
  }
  return all;
}

TEST(RealPhantom, PointsReachTheirPixelsInAllEightRuns) {
  const Loaded all = Load();
  ASSERT_EQ(all.views.size(), 8u);
  int checked = 0;
  for (std::size_t run = 0; run < all.views.size(); ++run) {
    ASSERT_TRUE(CheckView(all.views[run]).ok());
    for (const auto& [index, want] : all.expected[run]) {
      EXPECT_LT(Distance(*Project(all.views[run], all.points.at(index)), want), 0.01) << run << " " << index;
      ++checked;
    }
  }
  EXPECT_EQ(checked, 48);
}

double DistanceFromPixels(const Loaded& all, std::array<std::size_t, 2> runs, std::array<std::size_t, 2> points, bool offsets) {
  std::array<Vec3, 2> found;
  for (std::size_t i = 0; i < 2; ++i) {
    std::vector<SeenAt> pictures;
    for (const std::size_t run : runs) {
      View view = all.views[run];
      if (!offsets) view.patient_shift = {};
      pictures.push_back({view, all.expected[run].at(points[i])});
    }
    found[i] = Triangulate(pictures)->point;
  }
  return Norm(found[0] - found[1]);
}

TEST(RealPhantom, DistancesComeBackFromTwoRuns) {
  const Loaded all = Load();
  const double far = Norm(all.points[0] - all.points[405]), near = Norm(all.points[115] - all.points[282]);
  EXPECT_NEAR(far, 115.971, 0.0006);
  EXPECT_NEAR(near, 42.701, 0.0006);
  for (const std::size_t second : {1u, 3u, 7u}) {
    // pixels printed to 0.01: 0.003 mm each, a few times that across two rays
    EXPECT_NEAR(DistanceFromPixels(all, {0, second}, {0, 405}, true), far, 0.012) << second;
    EXPECT_NEAR(DistanceFromPixels(all, {0, second}, {115, 282}, true), near, 0.012) << second;
  }
}

TEST(RealPhantom, AnUnnoticedTableMoveShortensTheLength) {
  const Loaded all = Load();
  EXPECT_NEAR(DistanceFromPixels(all, {0, 7}, {0, 405}, false), 110.051, 0.15);  // reference without weights
}

TEST(RealPhantom, SignsOfTheAnglesMatter) {
  const Loaded all = Load();
  for (std::size_t run = 0; run < 3; ++run) {  // runs whose angles are far from zero
    View flipped = all.views[run];
    (run == 2 ? flipped.secondary : flipped.primary) = -(run == 2 ? flipped.secondary : flipped.primary);
    EXPECT_GT(Distance(*Project(flipped, all.points[405]), all.expected[run].at(405)), 5.0) << run;
  }
}

}  // namespace
}  // namespace fairlead
