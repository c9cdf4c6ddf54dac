// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/import.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <string_view>

namespace fairlead {
namespace {

Import Taken(std::string_view csv) {
  auto import = ImportShelf(csv);
  EXPECT_TRUE(import.ok()) << (import.ok() ? "" : Sentence(import.error()));
  return import.ok() ? std::move(*import) : Import{};
}

TEST(ShelfImport, CommasSemicolonsAndTabsGiveTheSameDevice) {
  for (const char* csv : {"name,class,od_prox_mm,lumen_in\nG7,guide,2.37,0.081\n", "name;class;od_prox_mm;lumen_in\nG7;guide;2,37;0,081\n",
                          "name\tclass\tod_prox_mm\tlumen_in\r\nG7\tguide\t2.37\t0.081\r\n", "\xEF\xBB\xBFname,class,od_prox_mm,lumen_in\nG7,guide,2.37,0.081",
                          "sep=;\nname;class;od_prox_mm;lumen_in\nG7;guide;2.37;0.081\n"}) {
    SCOPED_TRACE(csv);
    const Import import = Taken(csv);
    ASSERT_EQ(import.shelf.devices.size(), 1u);
    EXPECT_EQ(import.shelf.devices[0].name, "G7");
    EXPECT_NEAR(import.shelf.devices[0].lumen->millimetres(), 2.0574, 1e-12);
    EXPECT_NEAR(import.shelf.devices[0].od_prox->millimetres(), 2.37, 1e-12);
    EXPECT_EQ(import.refused, 0u);
  }
}

TEST(ShelfImport, UnitsInACellBeatThoseOfTheHeading) {
  const Import import = Taken("Name,Type,Outer diameter (mm),Inner diameter,Länge cm\n\"MC, slim\",microcatheter,2.6 Fr,\"0.017\"\"\",150\nMC2,Micro Catheter,0.87,.41mm,1500 mm\n");
  ASSERT_EQ(import.shelf.devices.size(), 2u);
  EXPECT_EQ(import.shelf.devices[0].name, "MC, slim");
  EXPECT_NEAR(import.shelf.devices[0].od_prox->millimetres(), 2.6 / 3, 1e-12);
  EXPECT_NEAR(import.shelf.devices[0].lumen->millimetres(), 0.017 * 25.4, 1e-12);
  EXPECT_NEAR(import.shelf.devices[1].usable->millimetres(), 1500, 1e-9);
}

TEST(ShelfImport, OtherEncodingsAreRead) {
  EXPECT_EQ(Taken("name;class;L\xE4nge\nA;guide;100\n").encoding, "Windows-1252");
  EXPECT_NEAR(Taken("name;class;L\xE4nge\nA;guide;100\n").shelf.devices[0].usable->millimetres(), 1000, 1e-9);
  std::string wide = "\xFF\xFE";
  for (const char c : std::string("name\tclass\nA\tguide\n")) { wide += c; wide += '\0'; }
  EXPECT_EQ(Taken(wide).shelf.devices.size(), 1u);
}

TEST(ShelfImport, EachFaultNamesItsLineAndTheOthersGoIn) {
  const Import import = Taken("name,class,od_prox_mm,count,expires\nA,guide,2.06,1,2027-12-31\nB,spoon,2.06,,\nC,guide,wide,,\n,guide,2.06,,\n"
                              "E,guide,2.06,-1,\nF,guide,2.06,1,12/31/27\nA,guide,2.37,,\nG,guide,2.06,,,,7\nH,guide,2.06,1,2027-06\n");
  EXPECT_EQ(import.lines, 9u);
  EXPECT_EQ(import.taken, 2u);
  EXPECT_EQ(import.refused, 7u);
  ASSERT_EQ(import.problems.size(), 7u);
  EXPECT_EQ(import.problems[0].line, 3u);
  EXPECT_EQ(import.problems[0].what, "there is no class 'spoon'");
  EXPECT_EQ(import.problems[1].line, 4u);
  EXPECT_EQ(import.problems[1].column, "od_prox_mm");
  EXPECT_EQ(import.problems[5].what, "'A' stands in line 2 with other sizes");
  EXPECT_EQ(import.shelf.devices[1].stock[0].expires, "2027-06-30");
}

TEST(ShelfImport, AnotherBatchJoinsItsDevice) {
  const Import import = Taken("name,class,lot,count,expires\nA,guide,L1,2,2027-01-31\nA,guide,L2,3,2026-01-31\n");
  ASSERT_EQ(import.shelf.devices.size(), 1u);
  EXPECT_EQ(CountOf(import.shelf.devices[0]), 5);
  EXPECT_EQ(UsableCount(import.shelf.devices[0], "2026-11-25"), 2);
}

TEST(ShelfImport, ColumnsThatAreMissingOrStrangeAreTold) {
  const Import import = Taken("name,class,colour\nA,guide,red\n");
  EXPECT_EQ(import.columns[2].field, "");
  EXPECT_NE(std::find(import.missing.begin(), import.missing.end(), "lumen"), import.missing.end());
  EXPECT_EQ(Sentence(ImportShelf("class,lumen\nguide,1\n").error()),
            "no column gives the devices' names (headings 'class, lumen'): head a column with 'name' and say what each line is: guide, microcatheter, balloon, ...");
  EXPECT_FALSE(ImportShelf("").ok());
  EXPECT_FALSE(ImportShelf("name,class\n\"A,guide\n").value().problems.empty());
}

TEST(ShelfImport, OtherLanguagesAreRead) {
  const Import german = Taken("Bezeichnung;Klasse;Außendurchmesser (mm);Innendurchmesser (Zoll);Nutzlänge (cm);Bestand;Verfallsdatum\nFK 7;Führungskatheter;2,37;0,081 in;100;3;31.12.2027\n");
  ASSERT_EQ(german.shelf.devices.size(), 1u);
  EXPECT_EQ(german.shelf.devices[0].kind, DeviceClass::kGuide);
  EXPECT_NEAR(german.shelf.devices[0].lumen->millimetres(), 2.0574, 1e-9);
  EXPECT_NEAR(german.shelf.devices[0].od_prox->millimetres(), 2.37, 1e-9);
  EXPECT_EQ(german.shelf.devices[0].stock[0].expires, "2027-12-31");
  const Import french = Taken("DÉSIGNATION;Catégorie;Diamètre externe (Fr);Longueur utile cm;Quantité;Date de péremption\nMC;Microcathéter;1,8/2,6;150;2;06/2027\n");
  ASSERT_EQ(french.shelf.devices.size(), 1u);
  EXPECT_NEAR(french.shelf.devices[0].od_dist->millimetres(), 0.6, 1e-12);
  EXPECT_NEAR(french.shelf.devices[0].od_prox->millimetres(), 2.6 / 3, 1e-12);
  EXPECT_EQ(french.shelf.devices[0].stock[0].expires, "2027-06-30");
}

TEST(ShelfImport, TheOtherLinesTellWhichWayRoundADayIs) {
  EXPECT_EQ(Taken("name,class,count,expires\nA,guide,1,06/07/2027\nB,guide,1,31/12/2027\n").shelf.devices[0].stock[0].expires, "2027-07-06");
  EXPECT_EQ(Taken("name,class,count,expires\nA,guide,1,06/07/2027\nB,guide,1,12/31/2027\n").shelf.devices[0].stock[0].expires, "2027-06-07");
  EXPECT_EQ(Taken("name,class,count,expires\nA,guide,1,06/07/2027\n").refused, 1u);
  EXPECT_EQ(ReadDay("20271231"), "2027-12-31");
  EXPECT_EQ(ReadDay("2027/2/28"), "2027-02-28");
  for (const char* no : {"2027-02-29", "31/04/2027", "1/2/27", "2027-13-01", "2027", "//", "31.12", "0/0/2027", "2027-12-31-1"}) EXPECT_EQ(ReadDay(no), "") << no;
}

TEST(ShelfImport, TwoShaftsInOneCellAreDistalAndProximal) {
  EXPECT_EQ(Taken("name,class,od\nM,microcatheter,2.6/1.8 Fr\n").problems[0].what, "'2.6/1.8 Fr': the distal shaft would be thicker than the proximal one");
  EXPECT_NEAR(Taken("name,class,od\nW,guidewire,0.014 in\n").shelf.devices[0].wire->millimetres(), 0.3556, 1e-12);
}

TEST(ShelfImport, OdditiesAreTakenAndShown) {
  const Import import = Taken("name,class,od_prox,od_dist,lumen,wire\nM,microcatheter,0.87,0.97,0.40,0.018 in\nW,guidewire,,,,0.035 mm\n");
  EXPECT_EQ(import.taken, 1u);
  EXPECT_EQ(import.looked_at, 2u);
}

// A published list of instruments prints "0.035 mm" and means inches; such a wire would lie free beside everything.
TEST(ShelfImport, AWireThatCanOnlyBeMeantInInchesIsRefused) {
  const Import import = Taken("name,class,wire\nW,guidewire,0.035 mm\nV,guidewire,0.035 in\n");
  EXPECT_EQ(import.taken, 1u);
  EXPECT_EQ(import.refused, 1u);
  EXPECT_NE(import.problems[0].what.find("0.035 mm"), std::string::npos) << import.problems[0].what;
  EXPECT_NE(import.problems[0].to_do.find("inches"), std::string::npos) << import.problems[0].to_do;
}

// Another size of its packing, or a new number of its maker: the device stays one, and its packages are counted once.
TEST(ShelfImport, ASecondNumberJoinsItsDeviceAndOneNumberOfTwoDevicesIsTold) {
  const Import import = Taken("name,class,gtin,count\nA,guide,09521234543213,2\nA,guide,9506000134352,3\nB,guide,09506000134352,1\n");
  ASSERT_EQ(import.shelf.devices.size(), 2u);
  EXPECT_TRUE(HasNumber(import.shelf.devices[0], "09521234543213"));
  EXPECT_TRUE(HasNumber(import.shelf.devices[0], "09506000134352"));
  EXPECT_FALSE(HasNumber(import.shelf.devices[0], "0950600013435"));
  EXPECT_EQ(CountOf(import.shelf.devices[0]), 5);
  ASSERT_EQ(import.problems.size(), 1u);
  EXPECT_EQ(import.problems[0].line, 4u);
  EXPECT_NE(import.problems[0].what.find("'A'"), std::string::npos) << import.problems[0].what;
}

TEST(ShelfImport, AHeadingIsReadByItsWordsWhereNoneIsTheWhole) {
  const Import import = Taken("désignation;catégorie;Ø ext. distal (F);Ø ext. proximal (F);Ø int. (pouces)\nM;microcathéter;1,8;2,6;0,016\n");
  ASSERT_EQ(import.shelf.devices.size(), 1u);
  EXPECT_NEAR(import.shelf.devices[0].od_dist->millimetres(), 0.6, 1e-12);
  EXPECT_NEAR(import.shelf.devices[0].od_prox->millimetres(), 2.6 / 3, 1e-12);
  EXPECT_NEAR(import.shelf.devices[0].lumen->millimetres(), 0.4064, 1e-12);
  EXPECT_EQ(Taken("name,class,extension line\nA,guide,x\n").columns[2].field, "");
}

TEST(ShelfImport, FiftyThousandLinesAreRead) {
  std::string csv = "name,class,od_prox_mm,od_dist_mm,lumen_mm,usable_cm,count,lot,expires\n";
  for (int i = 0; i < 50000; ++i) csv += "D" + std::to_string(i) + ",microcatheter,0.93,0.87,0.41,135,1,L" + std::to_string(i) + ",2027-12-31\n";
  const Import import = Taken(csv);
  EXPECT_EQ(import.shelf.devices.size(), 50000u);
  EXPECT_EQ(import.taken, 50000u);
}

// The same devices written in every way that labs write them; sizes come from the generator, not from the reader.
TEST(ShelfImport, TheSameListIsReadHoweverItIsWritten) {
  struct Way { char between, point; bool mark, quoted; std::string_view end; };
  for (const Way& way : {Way{',', '.', false, false, "\n"}, Way{',', '.', true, true, "\r\n"}, Way{';', ',', true, false, "\r\n"}, Way{';', '.', false, true, "\n"},
                         Way{'\t', ',', false, false, "\n"}, Way{';', ',', false, true, "\r"}}) {
    SCOPED_TRACE(std::string(1, way.between) + way.point + (way.mark ? " with a mark" : ""));
    const auto cell = [&](std::string text) { return way.quoted ? "\"" + text + "\"" : text; };
    const auto number = [&](int thousandths, std::string_view unit) {
      std::string digits = std::to_string(1000 + thousandths);  // 0.9 -> "1900": the first digit is cut off again
      return "0" + std::string(1, way.point) + digits.substr(1) + std::string(unit);
    };
    std::string csv = way.mark ? "\xEF\xBB\xBF" : "";
    const std::string b(1, way.between);
    csv += "D\u00e9signation" + b + "Cat\u00e9gorie" + b + "Diam\u00e8tre externe (mm)" + b + "Diam\u00e8tre interne" + b + "Longueur utile (cm)" + std::string(way.end);
    for (int i = 0; i < 40; ++i) {
      csv += cell("MC " + std::to_string(i)) + b + cell("Microcath\u00e9ter") + b + cell(number(600 + i, "")) + b + cell(number(15 + i % 5, " in")) + b + cell(std::to_string(130 + i)) + std::string(way.end);
    }
    const Import import = Taken(csv);
    ASSERT_EQ(import.shelf.devices.size(), 40u) << (import.problems.empty() ? "" : import.problems[0].what);
    EXPECT_EQ(import.refused, 0u);
    for (int i = 0; i < 40; ++i) {
      const Device& device = import.shelf.devices[static_cast<std::size_t>(i)];
      EXPECT_EQ(device.kind, DeviceClass::kMicrocatheter);
      EXPECT_NEAR(device.od_prox->millimetres(), 0.600 + 0.001 * i, 1e-9);
      EXPECT_NEAR(device.lumen->millimetres(), (0.015 + 0.001 * (i % 5)) * 25.4, 1e-9);  // 25.4 mm in an inch, exactly
      EXPECT_NEAR(device.usable->millimetres(), 10.0 * (130 + i), 1e-9);
    }
  }
}

// French sizes as labels print them: 1 F, Fr, Ch is 1/3 mm exactly.
TEST(ShelfImport, FrenchAndInchSignsAreReadInAnyCell) {
  const Import import = Taken("name,class,od_prox,lumen,usable\nA,guide,6F,0.071\",100cm\nB,guide,7 Fr,\"0,081 in\",90 cm\nC,guide,8Ch,2.29mm,1000mm\nD,guide,6.5 French,0.075 inch,100\n");
  ASSERT_EQ(import.shelf.devices.size(), 4u) << (import.problems.empty() ? "" : import.problems[0].what);
  const double french[] = {6, 7, 8, 6.5}, lumens[] = {0.071 * 25.4, 0.081 * 25.4, 2.29, 0.075 * 25.4}, lengths[] = {1000, 900, 1000, 1000};
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_NEAR(import.shelf.devices[i].od_prox->millimetres(), french[i] / 3, 1e-9) << i;
    EXPECT_NEAR(import.shelf.devices[i].lumen->millimetres(), lumens[i], 1e-9) << i;
    EXPECT_NEAR(import.shelf.devices[i].usable->millimetres(), lengths[i], 1e-9) << i;
  }
}

// A long list with faults strewn in: each is counted, the others are taken, and what a class needs and no column gives is told.
TEST(ShelfImport, FiftyThousandLinesWithFaultsAndWithoutAColumn) {
  std::string csv = "\xEF\xBB\xBFName;Type;Outer (mm);Count;Expires\r\n";
  std::size_t faults = 0;
  for (int i = 0; i < 50000; ++i) {
    const bool bad = i % 977 == 0;
    faults += bad ? 1 : 0;
    csv += "D" + std::to_string(i) + (bad ? ";spoon;" : ";microcatheter;") + "0,87;2;12/2028\r\n";
  }
  const Import import = Taken(csv);
  EXPECT_EQ(import.lines, 50000u);
  EXPECT_EQ(import.refused, faults);
  EXPECT_EQ(import.taken, 50000u - faults);
  EXPECT_EQ(import.problems.size(), std::min(faults, kMostProblems));
  EXPECT_NE(std::find(import.missing.begin(), import.missing.end(), "lumen"), import.missing.end());
  EXPECT_EQ(import.shelf.devices.back().stock.at(0).expires, "2028-12-31");
}

}  // namespace
}  // namespace fairlead
