// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/shelf.h"
#include "reasoning/kit/kit_json.h"

#include <gtest/gtest.h>

#include <set>

namespace fairlead {
namespace {

TEST(InventedShelf, IsWholeMarkedAndWithoutContradictions) {
  const Shelf& shelf = InventedShelf();
  EXPECT_TRUE(shelf.invented);
  EXPECT_EQ(shelf.devices.size(), 73u);
  std::set<std::string> ids, names;
  for (const Device& device : shelf.devices) {
    EXPECT_TRUE(device.invented);
    EXPECT_TRUE(ids.insert(device.id).second);
    EXPECT_TRUE(names.insert(device.name).second);
    for (const std::string& oddity : Contradictions(device)) ADD_FAILURE() << device.name << ": " << oddity;
  }
}

TEST(Shelf, IsSearchedByWhatIsNeeded) {
  const Shelf& shelf = InventedShelf();
  const auto need = ParseNeed("microcatheter lumen>=0.40mm usable>=150cm");
  ASSERT_TRUE(need.ok());
  std::vector<std::string> names;
  for (const std::size_t at : Search(shelf, *need)) names.push_back(shelf.devices[at].name);
  EXPECT_EQ(names, (std::vector<std::string>{"MC-B 150", "MC-C 155"}));  // the second is not in stock
  EXPECT_EQ(Search(shelf, *ParseNeed("guidewire load>=9 load<=12")).size(), 3u);
  EXPECT_EQ(Search(shelf, *ParseNeed("collateral")).size(), 2u);
  EXPECT_EQ(Search(shelf, *ParseNeed("balloon nominal>=2.5mm !trap !cutting")).size(), 4u);
  // As people write it.
  for (const char* text : {"microcatheter, inner lumen ≥ 0.40 mm, ≥ 150 cm", "microcatheter inner >= 0,40mm and length>=150 cm",
                           "Microcatheter with lumen >=0.40 mm; usable >= 150cm"}) {
    const auto read = ParseNeed(text);
    ASSERT_TRUE(read.ok()) << text;
    EXPECT_EQ(Search(shelf, *read).size(), 2u) << text;
  }
  EXPECT_FALSE(ParseNeed("lumen>=wide").ok());
  EXPECT_FALSE(ParseNeed(">= 4 furlongs").ok());
  EXPECT_FALSE(ParseNeed("colour=red").ok());
}

TEST(Shelf, ComesBackFromItsPartsUnchanged) {
  const Shelf& shelf = InventedShelf();
  const auto parts = ShelfParts(shelf, 6000, "list 1");
  ASSERT_GT(parts.size(), 3u);
  EXPECT_EQ(ShelfPartCount(parts[0]), parts.size());
  const auto back = ShelfFromParts({parts.begin(), parts.end()});
  ASSERT_TRUE(back.ok());
  EXPECT_EQ(ShelfJson(*back), ShelfJson(shelf));
  for (const std::string& part : parts) EXPECT_LE(part.size(), 6000u);
  auto mixed = parts;
  mixed[1] = ShelfParts(shelf, 6000, "list 2")[1];
  EXPECT_FALSE(ShelfFromParts({mixed.begin(), mixed.end()}).ok());
}

TEST(Shelf, AnExpiredBatchDoesNotCount) {
  const Device* oct = FindDevice(InventedShelf(), "oc-a");
  ASSERT_NE(oct, nullptr);
  EXPECT_EQ(UsableCount(*oct, "2026-11-25"), 0);
  EXPECT_EQ(UsableCount(*oct, "2026-03-31"), CountOf(*oct));
}

}  // namespace
}  // namespace fairlead
