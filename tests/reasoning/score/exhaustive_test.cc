// SPDX-License-Identifier: Apache-2.0
// Every score on every combination of a small domain of each of its facts (each grade, a value on each side of and on
// each cut-off, unseen, and missing), against plain sums written out from the articles. The plain side fills in every
// missing fact by brute force. 63,186 cases in all. Sources of the points: worked_cases.json.
#include <gtest/gtest.h>

#include <functional>
#include <set>

#include "reasoning/score/score.h"

namespace fairlead {
namespace {

// One answer to a fact: a word, or a number. A word "?" is a missing fact.
struct Answer {
  std::string word;
  double number = 0.0;
  bool yes() const { return word == "yes"; }
};
Answer Word(const char* word) {
  return {word, 0.0};
}
Answer Of(double number) {
  return {"", number};
}

struct Domain {
  std::string fact;
  std::vector<Answer> answers;   // what is stated
  std::vector<Answer> possible;  // what a missing or unseen fact may turn out to be
  bool unseen_scored = false;
};

Domain Flag(const char* fact) {
  return {fact, {Word("no"), Word("yes"), Word("?")}, {Word("no"), Word("yes")}};
}
Domain Grades(const char* fact, std::vector<Answer> grades, bool unseen_scored = false, bool unseen = true) {
  Domain domain{fact, grades, grades, unseen_scored};
  domain.answers.push_back(Word("?"));
  if (unseen) domain.answers.push_back(Word("unseen"));
  return domain;
}
Domain Numbers(const char* fact, std::vector<Answer> values) {
  Domain domain{fact, values, values};
  domain.answers.push_back(Word("?"));
  return domain;
}
Domain Stump(const char* fact, bool unseen_scored = false) {
  return Grades(fact, {Word("tapered"), Word("blunt"), Word("none")}, unseen_scored);
}
Domain Severity(const char* fact, bool unseen_scored = false) {
  return Grades(fact, {Word("none"), Word("mild"), Word("moderate"), Word("severe")}, unseen_scored);
}
Domain Vessel() {
  return Grades("occluded_vessel", {Word("LAD"), Word("LCX"), Word("RCA"), Word("LM")}, false, false);
}
Domain Strategy() {
  return Grades("strategy_category", {Word("antegrade"), Word("dissection"), Word("retrograde")}, false, false);
}
Domain Rentrop() {
  return Grades("rentrop", {Word("0"), Word("1"), Word("2"), Word("3")}, false, false);
}
Domain Retry() {
  return Numbers("previous_failed_attempts", {Of(0), Of(1)});
}
Domain Duration() {
  return Numbers("occlusion_duration_months", {Of(11), Of(12), Word("not determinable")});
}

using Given = std::vector<Answer>;  // in the order of the domains
struct Plain {
  const char* score;
  std::vector<Domain> domains;
  std::function<double(const Given&)> total;
};

bool Blunt(const Answer& a) {
  return a.word == "blunt" || a.word == "none";
}
bool AnyCalcium(const Answer& a) {
  return a.word != "none";
}
bool Moderate(const Answer& a) {
  return a.word == "moderate" || a.word == "severe";
}
bool Severe(const Answer& a) {
  return a.word == "severe";
}
bool Long(const Answer& a) {
  return a.word == "not determinable" || a.number >= 12;
}
int Category(const Answer& a) {
  return a.word == "retrograde" ? 2 : a.word == "dissection" ? 1 : 0;
}

std::vector<Plain> DifficultyScores() {
  return {
      {"j-cto",
       {Stump("stump_angio"), Severity("calcification_angio"), Numbers("bend_angio_deg", {Of(44), Of(45), Of(46)}),
        Numbers("length_angio_mm", {Of(19.9), Of(20.1)}), Retry()},
       [](const Given& g) {
         return Blunt(g[0]) + AnyCalcium(g[1]) + (g[2].number > 45) + (g[3].number > 20) + (g[4].number >= 1);
       }},
      {"w-cto",
       {Stump("stump_angio"), Numbers("length_angio_mm", {Of(19), Of(20), Of(21)}), Severity("calcification_angio"),
        Flag("tortuosity_weighted_score"), Rentrop()},
       [](const Given& g) {
         return 2 * Blunt(g[0]) + 1.5 * (g[1].number > 20) + AnyCalcium(g[2]) + g[3].yes() +
                (g[4].word == "0" || g[4].word == "1");
       }},
      {"progress-cto",
       {Flag("proximal_cap_ambiguous"), Severity("proximal_tortuosity"), Vessel(), Flag("interventional_collateral")},
       [](const Given& g) { return g[0].yes() + Moderate(g[1]) + (g[2].word == "LCX") + !g[3].yes(); }},
      {"castle",
       {Flag("prior_cabg"), Numbers("age_years", {Of(69), Of(70)}), Stump("stump_angio", true),
        Severity("proximal_tortuosity", true), Numbers("length_angio_mm", {Of(19.9), Of(20)}),
        Severity("calcification_angio")},
       [](const Given& g) {
         return g[0].yes() + (g[1].number >= 70) + (Blunt(g[2]) || g[2].word == "unseen") +
                (Severe(g[3]) || g[3].word == "unseen") + (g[4].number >= 20) + Severe(g[5]);
       }},
      {"cl",
       {Flag("prior_cabg"), Flag("prior_mi"), Severity("calcification_angio"),
        Numbers("length_angio_mm", {Of(19.9), Of(20)}), Vessel(), Stump("stump_angio")},
       [](const Given& g) {
         return 1.5 * g[0].yes() + g[1].yes() + 2 * Severe(g[2]) + 1.5 * (g[3].number >= 20) + (g[4].word != "LAD") +
                Blunt(g[5]);
       }},
      {"ora",
       {Flag("ostial"), Rentrop(), Numbers("age_years", {Of(74), Of(75)})},
       [](const Given& g) { return g[0].yes() + 2 * (g[1].word == "0" || g[1].word == "1") + (g[2].number >= 75); }},
      {"recharge",
       {Stump("stump_angio"), Severity("calcification_angio"), Numbers("bend_angio_deg", {Of(44.9), Of(45)}),
        Numbers("length_angio_mm", {Of(19.9), Of(20)}), Flag("distal_landing_zone_diseased"),
        Flag("graft_to_occluded_vessel")},
       [](const Given& g) {
         return Blunt(g[0]) + AnyCalcium(g[1]) + (g[2].number >= 45) + (g[3].number >= 20) + g[4].yes() + g[5].yes();
       }},
      {"b-cto",
       {Numbers("age_years", {Of(59), Of(60), Of(74), Of(75)}), Numbers("length_angio_mm", {Of(19.9), Of(20)}),
        Grades("sex", {Word("female"), Word("male")}, false, false), Vessel(), Stump("stump_angio"),
        Numbers("bend_angio_deg", {Of(45), Of(45.1)})},
       [](const Given& g) {
         const int age = g[0].number >= 75 ? 2 : g[0].number >= 60 ? 1 : 0;
         return age + (g[1].number >= 20) + 2 * (g[2].word == "female") + 2 * (g[3].word == "RCA") + 2 * Blunt(g[4]) +
                2 * (g[5].number > 45);
       }}};
}

std::vector<Plain> CtAndChannelScores() {
  return {
      {"jr-cto",
       {Severity("calcification_angio"), Flag("collateral_tortuous"),
        Grades("collateral_cc_grade", {Word("0"), Word("1"), Word("2")}, false, false),
        Grades("collateral_channel",
               {Word("septal"), Word("epicardial"), Word("atrial"), Word("ipsilateral"), Word("graft")}, false, false)},
       [](const Given& g) { return Moderate(g[0]) + g[1].yes() + (g[2].word != "2") + (g[3].word != "septal"); }},
      {"j-cto-ct",
       {Stump("stump_ct"), Numbers("bend_ct_deg", {Of(45), Of(46)}), Numbers("length_ct_mm", {Of(19.9), Of(20)}),
        Numbers("calcium_ct_share", {Of(0.5), Of(0.51)}), Retry()},
       [](const Given& g) {
         return Blunt(g[0]) + (g[1].number > 45) + (g[2].number >= 20) + (g[3].number > 0.5) + (g[4].number >= 1);
       }},
      {"ct-rector",
       {Numbers("occlusion_count_ct", {Of(1), Of(2)}), Stump("stump_ct"),
        Numbers("calcium_ct_share", {Of(0.49), Of(0.5)}), Numbers("bend_ct_deg", {Of(44), Of(45)}), Duration(),
        Retry()},
       [](const Given& g) {
         return (g[0].number >= 2) + Blunt(g[1]) + (g[2].number >= 0.5) + (g[3].number >= 45) + Long(g[4]) +
                (g[5].number >= 1);
       }},
      {"kcct",
       {Stump("stump_ct"), Flag("side_branch_at_cap"), Numbers("bend_ct_deg", {Of(45), Of(46)}),
        Numbers("length_ct_mm", {Of(14.9), Of(15)}), Numbers("calcium_ct_share", {Of(0.49), Of(0.5)}),
        Flag("calcium_ct_full_lumen"), Retry(), Duration()},
       [](const Given& g) {  // a filled lumen has a share of 1
         return Blunt(g[0]) + g[1].yes() + (g[2].number > 45) + (g[3].number >= 15) +
                (g[5].yes() || g[4].number >= 0.5) + g[5].yes() + (g[6].number >= 1) + Long(g[7]);
       }}};
}

std::vector<Plain> HarmScores() {
  const Domain sex = Grades("sex", {Word("female"), Word("male")}, false, false);
  const Domain age65 = Numbers("age_years", {Of(64), Of(65), Of(66)});
  return {
      {"complications-2016",
       {age65, Numbers("length_angio_mm", {Of(22.9), Of(23)}), Strategy()},
       [](const Given& g) { return 3 * (g[0].number > 65) + 2 * (g[1].number >= 23) + (g[2].word == "retrograde"); }},
      {"mace-2022",
       {age65, sex, Severity("calcification_angio"), Stump("stump_angio"), Strategy()},
       [](const Given& g) {
         return (g[0].number >= 65) + 2 * (g[1].word == "female") + Moderate(g[2]) + Blunt(g[3]) + Category(g[4]);
       }},
      {"death-2022",
       {age65, Numbers("lvef_pct", {Of(45), Of(46)}), Severity("calcification_angio"), Strategy()},
       [](const Given& g) {
         return (g[0].number >= 65) + (g[1].number <= 45) + Moderate(g[2]) + (Category(g[3]) > 0);
       }},
      {"pericardiocentesis-2022",
       {age65, sex, Severity("calcification_angio"), Strategy()},
       [](const Given& g) { return (g[0].number >= 65) + (g[1].word == "female") + Moderate(g[2]) + Category(g[3]); }},
      {"mi-2022",
       {Flag("prior_cabg"), Flag("atrial_fibrillation"), Stump("stump_angio")},
       [](const Given& g) { return g[0].yes() + g[1].yes() + Blunt(g[2]); }},
      {"perforation-2023",
       {age65, Severity("calcification_angio"), Stump("stump_angio"), Strategy()},
       [](const Given& g) { return (g[0].number >= 65) + Moderate(g[1]) + Blunt(g[2]) + Category(g[3]); }},
      {"open-clean",
       {Flag("prior_cabg"), Numbers("length_angio_mm", {Of(19.9), Of(20), Of(59.9), Of(60)}),
        Numbers("lvef_pct", {Of(49), Of(50)}), Numbers("age_years", {Of(49), Of(50), Of(69), Of(70)}),
        Severity("calcification_angio")},
       [](const Given& g) {
         const int length = g[1].number >= 60 ? 2 : g[1].number >= 20 ? 1 : 0;
         const int age = g[3].number >= 70 ? 2 : g[3].number >= 50 ? 1 : 0;
         return g[0].yes() + length + (g[2].number < 50) + age + Severe(g[4]);
       }}};
}

std::vector<Plain> KidneyScores() {
  Domain contrast = Numbers("contrast_ml", {Of(99), Of(100), Of(250)});
  contrast.possible.clear();
  for (int hundreds = 0; hundreds <= 15; ++hundreds) contrast.possible.push_back(Of(100.0 * hundreds));
  return {{"ca-aki-2004",
           {Flag("hypotension"), Flag("balloon_pump"), Flag("heart_failure"), Numbers("age_years", {Of(75), Of(76)}),
            Flag("anaemia"),
            Grades("diabetes", {Word("none"), Word("non_insulin"), Word("insulin"), Word("unspecified")}, false, false),
            contrast, Numbers("egfr", {Of(19), Of(20), Of(40), Of(60)})},
           [](const Given& g) {
             const double egfr = g[7].number;
             return 5 * g[0].yes() + 5 * g[1].yes() + 5 * g[2].yes() + 4 * (g[3].number > 75) + 3 * g[4].yes() +
                    3 * (g[5].word != "none") + static_cast<int>(g[6].number / 100.0) +
                    (egfr < 20   ? 6
                     : egfr < 40 ? 4
                     : egfr < 60 ? 2
                                 : 0);
           }}};
}

Belief BeliefIn(const Domain& domain, const Answer& answer) {
  if (answer.word == "?") return Unknown{};
  if (answer.word == "unseen") return Unseen{};
  if (answer.word == "not determinable") return NotDeterminable{};
  if (answer.word.empty()) return Number{answer.number, std::nullopt};
  if (FindFact(domain.fact)->type == FactType::kFlag) return FlagOdds{answer.yes() ? 1.0 : 0.0};
  return GradeOdds{{{answer.word, 1.0}}};
}

// Totals over every way of filling in what is missing.
void PlainTotals(const Plain& plain, Given& given, std::size_t at, std::set<double>& totals) {
  if (at == plain.domains.size()) {
    totals.insert(plain.total(given));
    return;
  }
  const auto& domain = plain.domains[at];
  const Answer stated = given[at];
  const bool open = stated.word == "?" || (stated.word == "unseen" && !domain.unseen_scored);
  if (!open) return PlainTotals(plain, given, at + 1, totals);
  for (const auto& possible : domain.possible) {
    given[at] = possible;
    PlainTotals(plain, given, at + 1, totals);
  }
  given[at] = stated;
}

// Visits every combination; returns how many there are.
int CheckEveryCombination(const Plain& plain) {
  const auto& score = *FindScore(plain.score);
  std::vector<std::size_t> choice(plain.domains.size(), 0);
  int cases = 0;
  while (true) {
    Facts facts;
    Given given;
    for (std::size_t i = 0; i < choice.size(); ++i) {
      given.push_back(plain.domains[i].answers[choice[i]]);
      facts[{plain.domains[i].fact, ""}] = BeliefIn(plain.domains[i], given.back());
    }
    std::set<double> totals;
    PlainTotals(plain, given, 0, totals);
    const auto result = Evaluate(score, facts);
    ++cases;
    const bool same = result.reachable == std::vector<double>(totals.begin(), totals.end()) &&
                      result.low == *totals.begin() && result.high == *totals.rbegin() &&
                      (!result.totals || (result.totals->size() == 1 && totals.size() == 1));
    if (!same) {
      std::string shown;
      for (const auto& answer : given)
        shown += " " + (answer.word.empty() ? std::to_string(answer.number) : answer.word);
      ADD_FAILURE() << plain.score << shown;
      return cases;
    }
    std::size_t i = 0;
    while (i < choice.size() && ++choice[i] == plain.domains[i].answers.size()) choice[i++] = 0;
    if (i == choice.size()) return cases;
  }
}

int CheckAll(const std::vector<Plain>& plains) {
  int cases = 0;
  for (const auto& plain : plains) {
    cases += CheckEveryCombination(plain);
    if (::testing::Test::HasFailure()) break;
  }
  return cases;
}

TEST(EveryCombination, OfTheDifficultyScoresAgreesWithPlainSums) {
  EXPECT_EQ(CheckAll(DifficultyScores()), 17910);
}
TEST(EveryCombination, OfTheCtAndChannelScoresAgreesWithPlainSums) {
  EXPECT_EQ(CheckAll(CtAndChannelScores()), 17037);
}
TEST(EveryCombination, OfTheHarmScoresAgreesWithPlainSums) {
  EXPECT_EQ(CheckAll(HarmScores()), 3939);
}
TEST(EveryCombination, OfTheKidneyScoreAgreesWithPlainSums) {
  EXPECT_EQ(CheckAll(KidneyScores()), 24300);
}

}  // namespace
}  // namespace fairlead
