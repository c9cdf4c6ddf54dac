// SPDX-License-Identifier: Apache-2.0
// Sums over small drawers, counted by hand.
#include "reasoning/kit/uses.h"

#include <gtest/gtest.h>

namespace fairlead {
namespace {

Shelf Drawers() {
  Shelf shelf;
  Device slim;
  slim.id = "mc-1", slim.name = "Slim 150", slim.gtin = "9520123456788";  // thirteen digits: padded on the left
  slim.stock = {{"LATE", "2029-01-31", 2, "A"}, {"SOON", "2027-01-31", 1, "A"}, {"NODAY", "", 1, "B"}};
  Device wire;
  wire.id = "w-1", wire.name = "Long wire";
  wire.stock = {{"W", "2028-01-31", 1, "C"}};
  shelf.devices = {slim, wire};
  return shelf;
}
constexpr const char* kSlim = "09520123456788";

int Left(const ShelfLeft& left, std::size_t device) { return CountOf(left.shelf.devices[device]); }

TEST(KitUses, ALabelTakesFromItsOwnBatchElseFromTheOneThatExpiresFirst) {
  const PackageUse own{kSlim, "LATE", "", ""}, other{kSlim, "ELSEWHERE", "", ""};
  const auto left = LessUses(Drawers(), std::vector<PackageUse>{own, other, other});
  EXPECT_EQ(left.shelf.devices[0].stock[0].count, 0);  // LATE: its own, then the next day after SOON
  EXPECT_EQ(left.shelf.devices[0].stock[1].count, 0);  // SOON
  EXPECT_EQ(left.shelf.devices[0].stock[2].count, 1);  // no day is told: last
  EXPECT_EQ(left.shelf.devices[0].used, 3);
  EXPECT_EQ(left.shelf.devices[0].short_by, 0);
}

TEST(KitUses, ANameCountsAsALabelDoes) {
  const auto left = LessUses(Drawers(), std::vector<PackageUse>{{"", "", "", "LONG WIRE"}});
  EXPECT_EQ(Left(left, 1), 0);
  EXPECT_EQ(LessUses(Drawers(), std::vector<PackageUse>{{"", "", "", "w-1"}}).shelf.devices[1].used, 1);
}

TEST(KitUses, ASerialReadTwiceIsOnePackageAndALotReadTwiceIsTwo) {
  const PackageUse numbered{kSlim, "LATE", "S1", ""}, lot{kSlim, "LATE", "", ""};
  EXPECT_EQ(LessUses(Drawers(), std::vector<PackageUse>{numbered, numbered}).shelf.devices[0].used, 1);
  EXPECT_EQ(LessUses(Drawers(), std::vector<PackageUse>{lot, lot}).shelf.devices[0].used, 2);
}

TEST(KitUses, MoreThanTheListHoldsIsToldAndNeverBelowNothing) {
  const auto left = LessUses(Drawers(), std::vector<PackageUse>(3, PackageUse{"", "", "", "w-1"}));
  EXPECT_EQ(Left(left, 1), 0);
  EXPECT_EQ(left.shelf.devices[1].used, 3);
  EXPECT_EQ(left.shelf.devices[1].short_by, 2);
}

TEST(KitUses, ALabelReadBeforeItGoesInIsTheSamePackageWithinItsCaseAlone) {
  const PackageUse read{kSlim, "LATE", "", "", "one", true}, in{"", "", "", "mc-1", "one", false}, elsewhere{"", "", "", "mc-1", "two", false};
  EXPECT_EQ(LessUses(Drawers(), std::vector<PackageUse>{read, in}).shelf.devices[0].used, 1);
  EXPECT_EQ(LessUses(Drawers(), std::vector<PackageUse>{read, in, in}).shelf.devices[0].used, 2);
  EXPECT_EQ(LessUses(Drawers(), std::vector<PackageUse>{read, elsewhere}).shelf.devices[0].used, 2);
  EXPECT_EQ(LessUses(Drawers(), std::vector<PackageUse>{in, read}).shelf.devices[0].used, 2);  // not surely the same
}

TEST(KitUses, ADeviceWithSeveralNumbersIsOneDevice) {
  Shelf shelf = Drawers();
  shelf.devices[0].gtin = "9520123456788; 09521234543213";
  const auto left = LessUses(shelf, std::vector<PackageUse>{{kSlim, "", "", ""}, {"09521234543213", "", "", ""}});
  EXPECT_EQ(left.shelf.devices[0].used, 2);
  EXPECT_TRUE(left.provisional.empty());
}

TEST(KitUses, AnUnknownNumberIsAProvisionalItem) {
  const auto left = LessUses(Drawers(), std::vector<PackageUse>{{"09521234543213", "", "", ""}, {"09521234543213", "", "", ""}, {"", "", "", "nobody's"}});
  ASSERT_EQ(left.provisional.size(), 1u);
  EXPECT_EQ(left.provisional[0].gtin, "09521234543213");
  EXPECT_EQ(left.provisional[0].used, 2);
  EXPECT_EQ(left.shelf.devices[0].used + left.shelf.devices[1].used, 0);
}

TEST(KitUses, WithoutUsesTheShelfIsTheList) {
  const auto left = LessUses(Drawers(), {});
  EXPECT_EQ(Left(left, 0), 4);
  EXPECT_TRUE(left.provisional.empty());
}

}  // namespace
}  // namespace fairlead
