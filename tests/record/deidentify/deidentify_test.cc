// SPDX-License-Identifier: Apache-2.0
// Keyed digests against RFC 4231; the stand-in of a UID against `printf 1.2.3.4.5 | openssl dgst -sha256 -hmac test-key` turned into
// a decimal by Python; days counted on a calendar; attributes that must go after DICOM PS3.15 Table E.1-1.
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <set>

#include "casebook/entry_json.h"
#include "record/deidentify/burned.h"
#include "record/deidentify/image.h"
#include "record/deidentify/journal.h"
#include "record/deidentify/kept.h"
#include "tests/record/report/told_case.h"

namespace fairlead {
namespace {

const DeidProject kProject{"test-key", "case"};

TEST(Deidentify, TheKeyedDigestIsThatOfTheStandard) {
  const auto digest = KeyedDigest("Jefe", "what do ya want for nothing?");  // RFC 4231, test case 2
  const std::array<std::uint8_t, 8> wanted{0x5b, 0xdc, 0xc1, 0x46, 0xbf, 0x60, 0x75, 0x4e};
  EXPECT_TRUE(std::equal(wanted.begin(), wanted.end(), digest.begin()));
}

TEST(Deidentify, AUidHasOneStandInForEachKey) {
  EXPECT_EQ(KeyedUid(kProject, "1.2.3.4.5"), "2.25.261596688746763436279137385625426040651");
  EXPECT_EQ(KeyedUid({"test-key", "another"}, "1.2.3.4.5"), KeyedUid(kProject, "1.2.3.4.5")) << "images and doses still join";
  EXPECT_NE(KeyedUid({"other-key", "case"}, "1.2.3.4.5"), KeyedUid(kProject, "1.2.3.4.5"));
  for (int i = 0; i < 200; ++i) EXPECT_LE(KeyedUid(kProject, "1.2." + std::to_string(i)).size(), 64u) << "PS3.5 9.1";
}

TEST(Deidentify, DaysMoveAndTimesOfDayStay) {
  EXPECT_EQ(ShiftedDicomDate(-37, "20250102"), "20241126");
  EXPECT_EQ(ShiftedDicomDate(-37, "20240301"), "20240124");  // over the 29th of February
  EXPECT_EQ(ShiftedDicomDate(-1, "20260101064012.5+0200"), "20251231064012.5+0200");
  for (const char* none : {"", "202601", "20261301", "2026-01-01", "20260101 Quillfeather"}) EXPECT_EQ(ShiftedDicomDate(-37, none), "") << none;
  std::set<int> seen;
  for (int i = 0; i < 3000; ++i) {
    const int days = ShiftOf_days({"key", "patient " + std::to_string(i)});
    EXPECT_TRUE(days >= -365 && days <= -1);
    seen.insert(days);
  }
  EXPECT_GT(seen.size(), 350u);
}

// A run with identifiers in every kind of place: names, words, private groups, nested ones, curves, overlays, what a station put
// into an image type, a SOP class that is none.
const std::vector<std::string> kPlanted = {"Quillfeather", "QUILLFEATHER", "88123477", "19510307", "Oxbow General", "1.2.840.99999", "20260917", "SN-4711-22"};

DataSet Planted() {
  DataSet nested;
  nested.Text(0x00080050, "SH", "88123477");
  nested.Text(0x00100010, "PN", "Quillfeather^Z");
  nested.Text(0x00081155, "UI", "1.2.840.99999.5");
  nested.Text(0x00081150, "UI", "1.2.840.10008.5.1.4.1.1.12.1");
  nested.Text(0x00091010, "LO", "Quillfeather nested private");
  DataSet set;
  set.Text(0x00080008, "CS", "ORIGINAL\\PRIMARY\\SINGLE PLANE\\QUILLFEATHER");
  set.Text(0x00080016, "UI", "1.2.840.10008.5.1.4.1.1.12.1");
  set.Text(0x00080018, "UI", "1.2.840.99999.1");
  for (const Tag date : {0x00080020u, 0x00080021u, 0x00080022u, 0x00080023u}) set.Text(date, "DA", "20260917");
  set.Text(0x00080030, "TM", "064000");
  set.Text(0x00080050, "SH", "88123477");
  set.Text(0x00080060, "CS", "XA");
  for (const Tag word : {0x00080070u, 0x00080080u, 0x00081030u, 0x0008103Eu, 0x00081090u, 0x00181030u}) set.Text(word, "LO", "Oxbow General, Quillfeather");
  for (const Tag name : {0x00080090u, 0x00081050u, 0x00081070u, 0x00100010u}) set.Text(name, "PN", "Quillfeather^Zanzibar");
  set.Text(0x00081010, "SH", "Oxbow General");
  set.OneItem(0x00081140, nested);
  set.OneItem(0x00082112, nested);
  set.Text(0x00082111, "ST", "said Quillfeather");
  set.Text(0x00091001, "LO", "Quillfeather, born 19510307");
  set.Text(0x00100020, "LO", "88123477");
  set.Text(0x00100030, "DA", "19510307");
  set.Text(0x00100040, "CS", "F");
  set.Text(0x00101010, "AS", "093Y");
  set.Text(0x00101030, "DS", "71.5");
  set.Text(0x00102160, "SH", "Quillfeather");
  set.Text(0x00104000, "LT", "Quillfeather was here");
  set.Text(0x00180015, "CS", "HEART");
  set.Text(0x00180060, "DS", "Quillfeather");
  set.Text(0x00181000, "LO", "SN-4711-22");
  set.Text(0x00181063, "DS", "66.7");
  set.Text(0x00181110, "DS", "1100");
  set.Text(0x00181155, "CS", "GR");
  set.Text(0x00181500, "CS", "STATIC");
  set.Text(0x00181510, "DS", "-30.5");
  set.Text(0x00181511, "DS", "0");
  set.Text(0x0020000D, "UI", "1.2.840.99999.2");
  set.Text(0x0020000E, "UI", "1.2.840.99999.3");
  set.Text(0x00200010, "SH", "88123477");
  set.Text(0x00200013, "IS", "4");
  set.Text(0x00204000, "LT", "Quillfeather");
  set.Raw(0x00280009, "AT", {0x18, 0, 0x63, 0x10});
  set.Text(0x00281040, "CS", "LIN");
  set.Text(0x00324000, "LT", "Quillfeather");
  set.OneItem(0x00400275, nested);
  set.Raw(0x50003000, "OW", {'Q', 'u', 'i', 'l', 'l', 'f', 'e', 'a', 't', 'h', 'e', 'r'});
  set.Text(0x60000022, "LO", "Quillfeather");
  return set;
}

Run SmallRun() {
  Run run;
  run.kind = RunKind::kAngiogram, run.rows = 64, run.columns = 96, run.frames = 3, run.bits = 8, run.bits_stored = 8;
  return run;
}
FileBytes Noise(const Run& run) {
  FileBytes frames(FrameBytes(run) * static_cast<std::size_t>(run.frames));
  std::uint32_t state = 7;
  for (std::uint8_t& value : frames) state = state * 1664525u + 1013904223u, value = static_cast<std::uint8_t>(100 + (state >> 27));
  return frames;
}
FileBytes FileOf(const DataSet& set) {
  FileBytes file = FilePreamble("1.2.840.10008.5.1.4.1.1.12.1", "1.2.840.10008.1.2.1", "1.2.840.99999.1");
  DataSet whole = set;
  whole.Raw(0x7FE00010, "OB", FileBytes(96 * 64 * 3));
  const FileBytes body = whole.Written();
  file.insert(file.end(), body.begin(), body.end());
  return file;
}
std::string Wide(const std::string& text) {
  std::string wide;
  for (const char c : text) wide += c, wide += '\0';
  return wide;
}

TEST(Deidentify, NoPlantedIdentifierIsInAnyByteOfThePicture) {
  const auto run = SmallRun();
  const FileBytes file = FileOf(Planted());
  const std::string before(file.begin(), file.end());
  for (const std::string& planted : kPlanted) ASSERT_NE(before.find(planted), std::string::npos) << planted;
  const auto made = DeidentifyImage(file, run, Noise(run), {}, kProject);
  ASSERT_TRUE(made.ok()) << Sentence(made.error());
  const std::string after(made->file.begin(), made->file.end());
  for (const std::string& planted : kPlanted) {
    EXPECT_EQ(after.find(planted), std::string::npos) << planted;
    EXPECT_EQ(after.find(Wide(planted)), std::string::npos) << planted;
  }
  // What geometry and dose need is still there.
  const auto read = ParseDicom(made->file);
  ASSERT_TRUE(read.ok());
  EXPECT_EQ(NumberOf(read->dataset, 0x00181510), -30.5);
  EXPECT_EQ(NumberOf(read->dataset, 0x00181110), 1100.0);
  EXPECT_EQ(TextOf(read->dataset, 0x00080008), "ORIGINAL\\PRIMARY\\SINGLE PLANE");
  EXPECT_EQ(TextOf(read->dataset, 0x00101010), "090Y");
  EXPECT_EQ(TextOf(read->dataset, 0x00120062), "YES");
  EXPECT_EQ(TextOf(read->dataset, 0x00280301), "NO");
  EXPECT_EQ(TextOf(read->dataset, 0x00280303), "MODIFIED");
  EXPECT_EQ(TextOf(read->dataset, 0x00080020), ShiftedDicomDate(ShiftOf_days(kProject), "20260917"));
  EXPECT_EQ(TextOf(read->dataset, 0x00080018), KeyedUid(kProject, "1.2.840.99999.1"));
  const Item* referenced = FirstItem(read->dataset, 0x00081140);
  ASSERT_NE(referenced, nullptr);
  EXPECT_EQ(TextOf(*referenced, 0x00081155), KeyedUid(kProject, "1.2.840.99999.5")) << "references still join";
  EXPECT_EQ(referenced->elements.size(), 2u);
  for (const char* line : {"(0010,0010) PN", "(0018,1000) LO", "(0010,0010) PN in (0008,1140)", "(0008,2112) SQ", "(5000,3000) OW", "private elements"})
    EXPECT_TRUE(std::ranges::any_of(made->removed, [&](const std::string& each) { return each.starts_with(line); })) << line;
}

// Every attribute that the Basic Profile removes, empties or replaces (PS3.15 Table E.1-1; those of its rows that a run carries) and
// that no chosen option keeps is none that the table of ours lets through.
TEST(Deidentify, WhatTheProfileRemovesIsNotAmongWhatMayLeave) {
  for (const Tag tag : {0x00080050u, 0x00080080u, 0x00080081u, 0x00080090u, 0x00081010u, 0x00081030u, 0x0008103Eu, 0x00081040u, 0x00081048u, 0x00081050u, 0x00081060u, 0x00081070u, 0x00081090u, 0x00082111u, 0x00100010u,
                        0x00100020u, 0x00100030u, 0x00100032u, 0x00101000u, 0x00101001u, 0x00101040u, 0x00102160u, 0x00102180u, 0x001021B0u, 0x00104000u, 0x00180010u, 0x00181000u, 0x00181002u, 0x00181030u, 0x00080201u,
                        0x00200010u, 0x00204000u, 0x00321032u, 0x00321060u, 0x00400241u, 0x00400253u, 0x00400254u, 0x00400275u, 0x00400555u, 0x0040A730u, 0x00420011u, 0x04000561u, 0x50003000u, 0x60003000u, 0x00880200u})
    EXPECT_EQ(FindKept(tag), nullptr) << std::hex << tag;
  for (const KeptAttribute& kept : KeptAttributes()) {
    EXPECT_EQ((kept.tag >> 16) % 2, 0u) << "no private group";
    EXPECT_FALSE(kept.vr == "PN" || kept.vr == "LO" || kept.vr == "SH" || kept.vr == "LT" || kept.vr == "ST" || kept.vr == "UT" || kept.vr == "UC") << "no free words";
  }
}

TEST(Deidentify, MasksArePaintedInEveryFrameAndNoOtherPixelChanges) {
  for (const int bits : {8, 16}) {
    auto run = SmallRun();
    run.bits = bits, run.bits_stored = bits == 8 ? 8 : 12;
    const FileBytes frames = Noise(run);
    const auto made = DeidentifyImage(FileOf(Planted()), run, frames, {{10, 5, 20, 8}, {90, 60, 500, 500}}, kProject);
    ASSERT_TRUE(made.ok());
    const std::size_t pixel = static_cast<std::size_t>(bits / 8);
    const FileBytes pixels(made->file.end() - static_cast<std::ptrdiff_t>(frames.size()), made->file.end());
    for (int f = 0; f < run.frames; ++f)
      for (int y = 0; y < run.rows; ++y)
        for (int x = 0; x < run.columns; ++x) {
          const bool inside = (x >= 10 && x < 30 && y >= 5 && y < 13) || (x >= 90 && y >= 60);
          const std::size_t at = (static_cast<std::size_t>((f * run.rows + y) * run.columns + x)) * pixel;
          for (std::size_t b = 0; b < pixel; ++b) ASSERT_EQ(pixels[at + b], inside ? 0 : frames[at + b]) << x << " " << y;
        }
  }
}

TEST(Deidentify, AnIndependentCheckerFindsNoErrorInIt) {
  if (std::system("command -v dciodvfy > /dev/null") != 0) GTEST_SKIP() << "dicom3tools is not installed";
  const auto run = SmallRun();
  const auto made = DeidentifyImage(FileOf(Planted()), run, Noise(run), {}, kProject);
  ASSERT_TRUE(made.ok());
  std::string name = (std::filesystem::temp_directory_path() / "fairlead-deid-XXXXXX").string();
  const std::filesystem::path folder = mkdtemp(name.data());
  std::ofstream(folder / "a.dcm", std::ios::binary).write(reinterpret_cast<const char*>(made->file.data()), static_cast<std::streamsize>(made->file.size()));
  EXPECT_NE(std::system(("dciodvfy " + (folder / "a.dcm").string() + " 2>&1 | grep '^Error' | tee " + (folder / "out").string() + " | grep -q Error").c_str()), 0) << std::ifstream(folder / "out").rdbuf();
  std::filesystem::remove_all(folder);
}

TEST(Deidentify, BrokenFilesAreRefused) {
  const auto run = SmallRun();
  const FileBytes file = FileOf(Planted()), frames = Noise(run);
  EXPECT_FALSE(DeidentifyImage(Bytes(file).first(200), run, frames, {}, kProject).ok());
  EXPECT_FALSE(DeidentifyImage(file, run, Bytes(frames).first(50), {}, kProject).ok());
  DataSet strange = Planted();
  strange.Text(0x00080016, "UI", "1.2.840.99999.88123477");
  EXPECT_FALSE(DeidentifyImage(FileOf(strange), run, frames, {}, kProject).ok());
}

// Strokes two pixels wide and two apart, as letters have, in every frame: one after the other along the line they stand on.
void Strokes(const Run& run, FileBytes& frames, const MaskBox& line) {
  const bool level = line.width > line.height;
  for (int f = 0; f < run.frames; ++f)
    for (int y = line.top; y < line.top + line.height; ++y)
      for (int x = line.left; x < line.left + line.width; ++x)
        if ((level ? x : y) % 4 < 2) frames[static_cast<std::size_t>((f * run.rows + y) * run.columns + x)] = 255;
}

void FoundWhole(const std::vector<MaskBox>& boxes, const MaskBox& line) {
  ASSERT_EQ(boxes.size(), 1u);
  EXPECT_LE(boxes[0].left, line.left);
  EXPECT_LE(boxes[0].top, line.top);
  EXPECT_GE(boxes[0].left + boxes[0].width, line.left + line.width);
  EXPECT_GE(boxes[0].top + boxes[0].height, line.top + line.height);
}

TEST(Deidentify, LettersInAPictureAreFoundLyingOrStandingAndNoiseIsNot) {
  auto run = SmallRun();
  run.rows = run.columns = 256, run.frames = 4;
  const FileBytes noise = Noise(run);
  EXPECT_TRUE(SuspectText(run, noise).empty());
  for (const MaskBox& line : {MaskBox{.left = 40, .top = 200, .width = 64, .height = 12}, MaskBox{.left = 200, .top = 40, .width = 12, .height = 104}}) {
    FileBytes frames = noise;
    Strokes(run, frames, line);
    FoundWhole(SuspectText(run, frames), line);
  }
}

// --- The journal.
const char* const kNames[] = {"Quillfeather", "Vantongeren", "Oxbow", "Zanzibar", "88123477", "1951", "tablet-7", "0151-555", "SN-4711"};

std::vector<Entry> PlantedJournal() {
  auto entries = ToldEntries();
  std::get<CaseOpened>(entries.front().data) = {"Zanzibar Quillfeather RCA", "Room Oxbow", true};
  for (Entry& entry : entries) {
    entry.by = "Dr Vantongeren", entry.device = "tablet-7 Oxbow", entry.recorded = entry.written;
    if (auto* event = std::get_if<RunEvent>(&entry.data)) event->remark = "Quillfeather, born 1951-03-07, MRN 88123477";
    if (auto* fact = std::get_if<FactStated>(&entry.data)) fact->note = "per Quillfeather", fact->origin.method = "typed by Vantongeren", fact->origin.parts = {{"Quillfeather", 0.5}};
  }
  const auto add = [&](EntryData data) {
    entries.push_back(NextEntry(entries, std::move(data), static_cast<int>(entries.size())));
    entries.back().recorded = entries.back().written;
  };
  add(NoteWritten{"Quillfeather called on 0151-555-0199"});
  add(NoteWritten{"lesson: VANTONGEREN told Quillfeather on 7/3/1951 that 88123477 was right"});
  add(ImageAdded{.hash = std::string(64, 'a'), .label = "Quillfeather.dcm", .frames = 3, .rows = 64, .columns = 96, .modality = "XA"});
  add(PixelSizeSet{.image = std::string(64, 'a'), .mm_per_px = 0.2, .sd_mm_per_px = 0.01, .method = "Quillfeather's catheter", .frame = 1, .points = {}});
  add(Shown{"signed", "Report of Quillfeather"});
  add(Shown{"switch", "S-12 stop: contrast accepted: Quillfeather said so\ncontrast 42 of 150 mL\n"});
  return entries;
}

TEST(Deidentify, BothPicturesOfAMeasurementStayByTheirStandInsOrNeitherDoes) {
  auto entries = ToldEntries();
  FactStated fact;
  fact.key = {"bend_angio_deg", ""}, fact.belief = Number{50, 4}, fact.mark = Mark::kMeasured;
  fact.origin.image = std::string(64, 'a'), fact.origin.frame = 3, fact.origin.method = "pair 3";
  fact.origin.views = {{std::string(64, 'a'), 3, "by Quillfeather", "", {}, {{"near cap", {{1, 1}}}}}, {std::string(64, 'c'), 5, "", "still", {}, {{"Quillfeather", {{2, 2}}}, {"point 12", {{3, 3}}}}}};
  entries.push_back(NextEntry(entries, fact, static_cast<int>(entries.size())));
  entries.back().recorded = entries.back().written;
  const DeidProject project{"key", entries.front().case_id};
  const std::string both = DeidentifyJournal(entries, {{std::string(64, 'a'), std::string(64, 'b')}, {std::string(64, 'c'), std::string(64, 'd')}}, {}, project).entries.back().data;
  for (const char* part : {"\"near cap\"", "\"mark 1\"", "\"point 12\"", "\"still\""}) EXPECT_NE(both.find(part), std::string::npos) << part << both;
  EXPECT_NE(both.find(std::string(64, 'd')), std::string::npos);
  EXPECT_EQ(both.find(std::string(64, 'c')), std::string::npos);
  EXPECT_EQ(both.find("Quillfeather"), std::string::npos);
  const std::string one = DeidentifyJournal(entries, {{std::string(64, 'a'), std::string(64, 'b')}}, {}, project).entries.back().data;
  EXPECT_EQ(one.find("views"), std::string::npos) << one;
}

TEST(Deidentify, NoPlantedIdentifierIsInAnyByteOfTheJournal) {
  const auto entries = PlantedJournal();
  for (const bool teaching : {false, true}) {
    const DeidJournal journal = DeidentifyJournal(entries, {{std::string(64, 'a'), std::string(64, 'b')}}, {teaching, {"Quillfeather", "Vantongeren"}}, {"key", entries.front().case_id});
    ASSERT_EQ(journal.entries.size(), entries.size());
    std::string all = journal.case_id;
    for (const DeidEntry& each : journal.entries) all += each.header.id + each.header.by + each.header.device + each.header.amends + each.header.case_id + each.data + ToIso(each.header.at) + "\n";
    std::string small = all;
    std::ranges::transform(small, small.begin(), [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    for (const std::string planted : kNames) {
      std::string wanted = planted;
      std::ranges::transform(wanted, wanted.begin(), [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
      EXPECT_EQ(small.find(wanted), std::string::npos) << planted << " (teaching " << teaching << ")";
    }
    for (const Entry& entry : entries) EXPECT_EQ(all.find(entry.id), std::string::npos);
    EXPECT_EQ(all.find("2026-09-17"), std::string::npos) << "the day of the visit";
    EXPECT_EQ(all.find(std::string(64, 'a')), std::string::npos);
    EXPECT_NE(all.find(std::string(64, 'b')), std::string::npos);
    EXPECT_EQ(all.find("lesson:") != std::string::npos, teaching);
    EXPECT_GT(journal.removed.at("remark of a run entry"), 10u);
  }
}

TEST(Deidentify, IntervalsAndNumbersStay) {
  const auto entries = PlantedJournal();
  const DeidJournal journal = DeidentifyJournal(entries, {}, {}, {"key", "x"});
  std::size_t runs = 0;
  for (std::size_t i = 0; i < entries.size(); ++i) {
    EXPECT_EQ((journal.entries[i].header.at - journal.entries[0].header.at).minutes(), (entries[i].at - entries[0].at).minutes());
    EXPECT_EQ((entries[i].at.ms - journal.entries[i].header.at.ms) % (24LL * 3600 * 1000), 0) << "times of day stay";
    if (const auto* event = std::get_if<RunEvent>(&entries[i].data)) {
      const auto back = ParseEntryData("run", journal.entries[i].header.v, journal.entries[i].data);
      ASSERT_TRUE(back.ok());
      if (const auto* same = std::get_if<RunEvent>(&*back)) {
        ++runs;
        EXPECT_EQ(same->verb, event->verb);
        for (const RunValue& value : event->values) {
          if (value.text.empty()) {
            EXPECT_EQ(NumberOf(*same, value.field), value.number);
          }
        }
      }
    }
  }
  EXPECT_GT(runs, 20u);
}

TEST(Deidentify, OnlyPicturesThatSomebodyLookedAtHaveAMask) {
  auto entries = ToldEntries();
  const std::string a(64, 'a'), b = std::string(12, 'b') + std::string(52, '0'), c(64, 'c');
  const auto add = [&](const std::string& text) { entries.push_back(NextEntry(entries, NoteWritten{text}, static_cast<int>(entries.size()))); };
  add("mask: " + a + " 0,0,200,40; 10,480,90,20");
  add("mask: " + b.substr(0, 12) + " none");
  add("mask: " + c.substr(0, 6) + " none");
  add("mask: " + c + " 1,2,3");
  add("mask: " + c + " -1,2,3,4");
  const auto masks = MasksOf(entries, {a, b, c});
  ASSERT_EQ(masks.size(), 2u);
  ASSERT_EQ(masks.at(a).size(), 2u);
  EXPECT_EQ(masks.at(a)[1].width, 90);
  EXPECT_TRUE(masks.at(b).empty());
}

}  // namespace
}  // namespace fairlead
