// SPDX-License-Identifier: Apache-2.0
// A device named in a line of the log fills in what its label says. Labels here are invented.
#include "front/server/log_kit.h"

#include <gtest/gtest.h>

#include "casebook/log/log_line.h"

namespace fairlead {
namespace {

Shelf LabsShelf() {
  Device wire;
  wire.id = "GW-X", wire.name = "long soft", wire.kind = DeviceClass::kGuidewire;
  wire.usable = Length::Millimetres(3300), wire.tip_load_gf = 0.8;
  Device dual;
  dual.id = "DL-X", dual.name = "two ways", dual.kind = DeviceClass::kDualLumen, dual.usable = Length::Millimetres(1400);
  Device guide;
  guide.id = "GC-X", guide.name = "big one", guide.kind = DeviceClass::kGuide;
  guide.usable = Length::Millimetres(900), guide.od_prox = Length::Millimetres(2.67);  // 8 French, 1/3 mm each
  return {{wire, dual, guide}, false};
}

RunEvent Read(const std::string& line) {
  auto read = ParseLogLine(line, {*ParseIso("2026-11-30T10:00:00Z"), Duration::Minutes(0), 1.0, 1.0});
  EXPECT_TRUE(read.ok()) << Sentence(read.error());
  return std::get<RunEvent>(read->data);
}

TEST(KitInALine, FillsInWhatTheLineLeavesOut) {
  RunEvent wire = Read("wire a in kit:gw-x");
  const auto asks = FillFromShelf(wire, LabsShelf());
  ASSERT_TRUE(asks.ok());
  EXPECT_TRUE(asks->empty());
  EXPECT_EQ(NumberOf(wire, RunField::kWireLength), 330.0);
  EXPECT_EQ(NumberOf(wire, RunField::kTipLoad), 0.8);
  RunEvent dual = Read("mc a in kit:dl-x");
  ASSERT_TRUE(FillFromShelf(dual, LabsShelf()).ok());
  EXPECT_EQ(WordOf(dual, RunField::kKind), "dual");
  RunEvent guide = Read("guide a in kit:gc-x");
  ASSERT_TRUE(FillFromShelf(guide, LabsShelf()).ok());
  EXPECT_EQ(NumberOf(guide, RunField::kFrench), 8.0);
  EXPECT_EQ(NumberOf(guide, RunField::kWireLength), 90.0);
}

TEST(KitInALine, AsksWhereTheLineAndTheShelfDiffer) {
  RunEvent wire = Read("wire a in 190cm kit:gw-x");
  const auto asks = FillFromShelf(wire, LabsShelf());
  ASSERT_TRUE(asks.ok());
  ASSERT_EQ(asks->size(), 1u);
  EXPECT_EQ(asks->front().what, "the shelf has \"gw-x\" with 330 cm, the line says 190 cm");
  EXPECT_EQ(NumberOf(wire, RunField::kWireLength), 190.0) << "what was typed stands";
}

TEST(KitInALine, RefusesADeviceOfAnotherClassAndKeepsAnUnknownName) {
  RunEvent wrong = Read("wire a in kit:dl-x");
  const auto refused = FillFromShelf(wrong, LabsShelf());
  ASSERT_FALSE(refused.ok());
  EXPECT_EQ(refused.error().what, "\"dl-x\" is a dual-lumen microcatheter on the shelf");
  RunEvent unknown = Read("wire a in kit:grandfather");
  const RunEvent before = unknown;
  ASSERT_TRUE(FillFromShelf(unknown, LabsShelf()).ok());
  EXPECT_EQ(unknown, before);
}

// Property: whatever the line says already is never changed.
TEST(KitInALine, NeverChangesWhatWasTyped) {
  for (const char* line : {"wire a in polymer 3g 190cm kit:gw-x", "guide a in 6F 100cm kit:gc-x", "mc a in single 150cm kit:dl-x"}) {
    RunEvent event = Read(line);
    const RunEvent before = event;
    ASSERT_TRUE(FillFromShelf(event, LabsShelf()).ok());
    for (const RunValue& value : before.values) {
      const RunValue* after = ValueOf(event, value.field);
      ASSERT_NE(after, nullptr);
      EXPECT_EQ(*after, value) << line;
    }
  }
}

}  // namespace
}  // namespace fairlead
