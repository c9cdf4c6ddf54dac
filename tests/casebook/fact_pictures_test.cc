// SPDX-License-Identifier: Apache-2.0
// Which pictures stand behind a fact; expected values follow from docs/wire.md's members by hand.
#include "casebook/fact_pictures.h"

#include <gtest/gtest.h>

namespace fairlead {
namespace {

const std::string kA(64, 'a'), kB(64, 'b');

TEST(FactPictures, OfOneFrameAreItAlone) {
  FactOrigin origin;
  EXPECT_TRUE(ImagesBehind(origin).empty());
  EXPECT_TRUE(PicturesBehind(origin).empty());
  origin.image = kA, origin.frame = 4, origin.points = {{1, 2}, {3, 4}};
  EXPECT_EQ(ImagesBehind(origin), std::vector<std::string>{kA});
  ASSERT_EQ(PlacesIn(origin, kA, 4).size(), 1u);
  EXPECT_EQ(PlacesIn(origin, kA, 4)[0].points.size(), 2u);
  EXPECT_TRUE(PlacesIn(origin, kA, 5).empty());
  EXPECT_TRUE(PlacesIn(origin, kB, 4).empty());
}

TEST(FactPictures, OfSeveralAreEachWithItsOwnPlaces) {
  FactOrigin origin;
  origin.image = kA, origin.frame = 4, origin.points = {{1, 2}};
  origin.views = {{kA, 4, "", "", {}, {{"near cap", {{1, 2}}}}}, {kB, 9, "", "still", {}, {{"near cap", {{5, 6}}}, {"far cap", {}}, {"vessel", {{7, 8}, {9, 10}}}}}};
  EXPECT_EQ(ImagesBehind(origin), (std::vector<std::string>{kA, kB}));
  ASSERT_EQ(PlacesIn(origin, kA, 4).size(), 1u) << "the first picture's points are not there twice";
  const auto places = PlacesIn(origin, kB, 9);
  ASSERT_EQ(places.size(), 2u) << "a kind without a point is none";
  EXPECT_EQ(places[1].name, "vessel");
  EXPECT_EQ(places[1].points[1].y, 10.0);
}

}  // namespace
}  // namespace fairlead
