// SPDX-License-Identifier: Apache-2.0
// The whole bundle against scipy.optimize.least_squares (SciPy 1.10.1): the same clicks, the same things known
// beforehand, no shared code. bundle_scipy.tsv was written by bundle_with_scipy.py beside it.
#include <gtest/gtest.h>

#include <fstream>
#include <map>
#include <sstream>

#include "imaging/pair/bundle.h"
#include "imaging/pair/spread.h"
#include "tests/imaging/pair/invented.h"

namespace fairlead {
namespace {

struct Row {
  std::size_t first = 0, second = 0;
  std::vector<double> values;
};

std::multimap<std::string, Row> Recorded() {
  std::ifstream file(FAIRLEAD_TESTS_DIR "/imaging/pair/bundle_scipy.tsv");
  std::multimap<std::string, Row> rows;
  for (std::string line; std::getline(file, line);) {
    std::istringstream words(line);
    std::string what;
    Row row;
    words >> what >> row.first;
    if (what == "click" || what == "distance") words >> row.second;
    for (double value = 0.0; words >> value;) row.values.push_back(value);
    rows.insert({what, row});
  }
  return rows;
}

struct Solved {
  std::multimap<std::string, Row> recorded;
  Bundle bundle;
  Normals normals;
  CourseSpread spread;
};

Solved SolveRecorded() {
  Solved out;
  out.recorded = Recorded();
  std::vector<View> views;
  const auto [first, last] = out.recorded.equal_range("view");
  for (auto row = first; row != last; ++row) {
    const auto& v = row->second.values;
    View view = TheView(v[0], v[1]);
    view.source_to_detector = Length::Millimetres(v[2]), view.source_to_isocentre = Length::Millimetres(v[3]);
    view.row_spacing = view.column_spacing = Length::Millimetres(v[4]);
    views.push_back(view);
  }
  out.bundle = BundleOf(TwoFrames(views.at(0), views.at(1)).frames, 1.0);
  out.bundle.marks.resize(8);
  const auto [begin, end] = out.recorded.equal_range("click");
  for (auto row = begin; row != end; ++row) {
    const Row& r = row->second;
    out.bundle.marks[r.first].clicks.push_back({r.second, {r.values[0], r.values[1]}});
  }
  EXPECT_TRUE(Solve(out.bundle));
  out.normals = NormalsOf(out.bundle);
  out.spread = SpreadOf(out.normals);
  return out;
}

// The last digits that a stop at 1e-8 of the cost leaves: a thousandth of the smallest standard deviation.
constexpr double kPlace = 2e-3;

TEST(AgainstSciPy, PointsShiftAndAnglesAgree) {
  const Solved solved = SolveRecorded();
  const auto [first, last] = solved.recorded.equal_range("point");
  ASSERT_EQ(std::distance(first, last), 8);
  for (auto row = first; row != last; ++row) {
    const auto& v = row->second.values;
    EXPECT_LT(Norm(solved.bundle.marks[row->second.first].at - Vec3{v[0], v[1], v[2]}), kPlace) << row->second.first;
  }
  const auto& shift = solved.recorded.find("shift")->second.values;
  for (std::size_t k = 0; k < 3; ++k) EXPECT_NEAR(solved.bundle.shift[1][k], shift[k], kPlace) << k;
  const auto& angles = solved.recorded.find("angles")->second.values;
  for (std::size_t k = 0; k < 3; ++k) {
    EXPECT_NEAR(Angle::Radians(solved.bundle.gantry[1][k]).degrees(), angles[k], 1e-3) << k;
  }
}

// The engine widens the clicks' share by how badly they fit: here they are made to fit exactly as well as stated.
TEST(AgainstSciPy, StandardDeviationsAgree) {
  Solved solved = SolveRecorded();
  constexpr double kTrust = 6.0;  // residuals' worth of trust in the stated sd, as in spread.cc
  const double widened = SpreadOf(solved.normals).widened;
  ASSERT_GT(widened, 0.7);
  solved.normals.squares = (kTrust + solved.normals.squares) / (widened * widened) - kTrust;
  const CourseSpread spread = SpreadOf(solved.normals);
  ASSERT_TRUE(spread.good);
  ASSERT_NEAR(spread.widened, 1.0, 1e-9);
  const auto [first, last] = solved.recorded.equal_range("distance");
  ASSERT_EQ(std::distance(first, last), 3);
  for (auto row = first; row != last; ++row) {
    const Row& r = row->second;
    const Vec3 unit = Unit(solved.bundle.marks[r.first].at - solved.bundle.marks[r.second].at);
    const std::array<Slope, 2> slopes{{{solved.normals.mark_at[r.first], {unit.x, unit.y, unit.z}},
                                       {solved.normals.mark_at[r.second], {-unit.x, -unit.y, -unit.z}}}};
    EXPECT_NEAR(Norm(solved.bundle.marks[r.first].at - solved.bundle.marks[r.second].at), r.values[0], kPlace);
    // Derivatives there are numerical, here exact: their difference is far below a thousandth.
    EXPECT_NEAR(SpreadOfOne(spread, slopes).sd, r.values[1], 1e-3 * r.values[1]) << r.first << " to " << r.second;
  }
}

}  // namespace
}  // namespace fairlead
