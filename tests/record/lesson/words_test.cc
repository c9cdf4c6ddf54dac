// SPDX-License-Identifier: Apache-2.0
// Which words of a free text may be names. The names are invented; that "baker", "wood" and "king" are words and names both is common
// knowledge; the texts are our own.
#include "record/lesson/words.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <random>

#include "record/lesson/clean.h"

namespace fairlead {
namespace {

std::string Cleaned(std::string_view text, std::vector<std::string> keep = {}) {
  LessonSettings settings;
  settings.keep = std::move(keep);
  return Unrecognised(text, settings);
}

TEST(PossibleName, OrdinaryWordsOfALabStayAsTheyAre) {
  for (const char* text : {
           "lesson: The wire buckled at the proximal cap; we changed to a stiffer tip (12 g) and re-entered at the mid RCA.",
           "speaker: Ask the room: what would you do now? Don't show the retrograde injection yet.",
           "report: 2nd septal collateral, CC 2, reverse CART with a 2.5 x 15 mm balloon at 10 atm. TIMI 3 flow, residual stenosis < 10 %.",
           "LAO 30° CAU 20°, 7F guide, 285s ACT, 5000 IU heparin, 0.9 Gy ± 10 %, 40–60 mL contrast.",
           "IVUS: true lumen; the patient's pressure fell to 80/50 mmHg. Pericardiocentesis drained 350 mL.",
           "- Haemodynamics stable.\n- No effusion on echo.\n1. Stop early. 2. Come back in 8 weeks."})
    EXPECT_EQ(Cleaned(text), text);
}

// What stays and is a name as well is told to whoever makes the page; a trade word, a word kept or masked already is not.
TEST(PossibleName, AnOrdinaryWordThatIsANameIsToldWhereItStays) {
  EXPECT_EQ(NamesThatMayStay("baker crossed, then king held the tip; baker's wire was stiff and the wood was wet", {}), (std::vector<std::string>{"baker", "baker's", "king", "wood"}));
  LessonSettings told;
  told.mask = {"Baker"}, told.keep = {"king"};
  EXPECT_EQ(NamesThatMayStay("baker crossed, then king held the tip", told), std::vector<std::string>{});
  EXPECT_EQ(NamesThatMayStay("the wire crossed the proximal cap; then we stopped", {}), std::vector<std::string>{});
  EXPECT_EQ(NamesThatMayStay("Baker crossed", {}), std::vector<std::string>{}) << "with a capital it is taken out";
}

TEST(PossibleName, ANameNobodyGaveIsTakenOutHoweverItIsWritten) {
  for (const char* name : {"Quillfeather", "quillfeather", "QUILLFEATHER", "O'Vantongeren", "Żółkiewska-Ngan", "mu\xCC\x88llerova", "Мирославец", "Oxbowsson", "Q.", "ZQX", "Sønderstrøm"}) {
    const std::string text = std::string("the wire of ") + name + " crossed, and " + name + " said so";
    const std::string clean = Cleaned(text);
    SCOPED_TRACE(clean);
    EXPECT_EQ(clean.find(std::string(name).substr(0, std::string_view(name) == "Q." ? 1 : 4)), std::string::npos);
    EXPECT_NE(clean.find("crossed, and"), std::string::npos);
  }
  // Words that are names too: with a capital inside a sentence, or where one begins.
  EXPECT_EQ(Cleaned("then Baker crossed. King agreed."), "then (name?) crossed. (name?) agreed.");
  // The limit, said in the guide: an ordinary word in small letters.
  EXPECT_EQ(Cleaned("then baker crossed"), "then baker crossed");
}

TEST(PossibleName, IsTakenOutOfWordsThatAreJoinedAndOfNumbersWithLetters) {
  EXPECT_EQ(Cleaned("septal/Oxbowsson, Oxbowsson's wire, non-Oxbowsson"), "(name?), (name?) wire, (name?)");
  EXPECT_EQ(Cleaned("lot SN-4711-22 and AB12345"), "lot (name?) and (name?)");
  EXPECT_EQ(Cleaned("Oxbows\nson"), "(name?)\nson");
  EXPECT_EQ(Cleaned("seen at http://oxbowton.example/ward").find("oxbow"), std::string::npos);
}

TEST(PossibleName, StaysWhereSomebodyKeepsItAndAStandInStays) {
  EXPECT_EQ(Cleaned("the Gulliver sign and a gulliver loop of Oxbowsson", {"gulliver"}), "the Gulliver sign and a gulliver loop of (name?)");
  EXPECT_EQ(Cleaned("person-3f29ab crossed"), "person-3f29ab crossed");
  EXPECT_EQ(Cleaned("person-Quillf crossed"), "(name?) crossed");
}

TEST(PossibleName, IsListedForWhoeverMakesThePage) {
  LessonSettings settings;
  settings.mask = {"Oxbowsson"};
  settings.keep = {"Gulliver"};
  EXPECT_EQ(NamesTakenOut("Oxbowsson and Gulliver met Quillfeather, quillfeather.", settings), (std::vector<std::string>{"Quillfeather", "quillfeather"}));
}

// Property: no made-up word of eight letters passes unless a dictionary has it, and cleaning what is clean changes nothing.
TEST(PossibleName, RandomWordsDoNotPass) {
  std::ifstream file("/usr/share/dict/british-english-small");
  if (!file) GTEST_SKIP() << "the dictionary is not on this machine";
  std::vector<std::string> words{std::istream_iterator<std::string>(file), {}};
  std::ranges::sort(words);
  std::mt19937 draw(7);
  int passed = 0;
  for (int trial = 0; trial < 2000; ++trial) {
    std::string word;
    for (int i = 0; i < 8; ++i) word += static_cast<char>('a' + draw() % 26);
    const std::string clean = Cleaned("so " + word + " it is");
    EXPECT_EQ(Cleaned(clean), clean);
    if (clean.find(word) != std::string::npos && !std::ranges::binary_search(words, word)) ++passed;
  }
  EXPECT_EQ(passed, 0);
}

TEST(PossibleName, AnyBytesAreTaken) {
  std::mt19937 draw(11);
  for (int trial = 0; trial < 3000; ++trial) {
    std::string text;
    for (std::size_t i = 0, size = draw() % 24; i < size; ++i) text += static_cast<char>(draw() % 256);
    EXPECT_LE(Cleaned(text).size(), text.size() * 8 + 8);
  }
}

}  // namespace
}  // namespace fairlead
