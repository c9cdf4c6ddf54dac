// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/algorithm.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "measure/normal.h"

namespace fairlead {
namespace {

struct AskRow {
  std::string_view words, fact, found_by;
};
constexpr std::array<AskRow, kAsks> kAskRows = {{
    {"proximal cap clear", "proximal_cap_ambiguous", "CT, or ultrasound from a branch at the cap"},
    {"distal vessel good", "distal_landing_zone_diseased", "injection of both sides at once, or CT"},
    {"usable collateral", "interventional_collateral", "selective injection of each channel"},
    {"20 mm or longer", "length_angio_mm", "injection of both sides at once, or CT"},
    {"course clear", "course_clear", "injection of both sides at once, or CT"},
    {"calcium severe", "calcification_angio", "fluoroscopy without contrast, or CT"},
    {"tortuous before the cap", "proximal_tortuosity", "two views of the vessel before the cap"},
    {"failed before", "previous_failed_attempts", "earlier reports"},
    {"in a stent", "in_stent", "fluoroscopy without contrast, earlier reports"},
    {"ostial", "ostial", "two views of the ostium, or CT"},
    {"side branch at the cap", "side_branch_at_cap", "two views of the cap, or CT"}}};

struct TechniqueRow {
  std::string_view id, words, family;
};
constexpr std::array<TechniqueRow, 10> kTechniqueRows = {{
    {"AW", "antegrade wiring", "antegrade wiring"},
    {"AW-parallel", "second, parallel wire", "antegrade wiring"},
    {"AW-ultrasound", "wiring guided by ultrasound", "antegrade wiring"},
    {"ENTRY-ultrasound", "entry of the cap guided by ultrasound", "the cap first"},
    {"ENTRY-beside", "passing beside the cap", "the cap first"},
    {"ADR", "antegrade dissection and re-entry", "antegrade dissection"},
    {"RW", "retrograde wiring", "retrograde"},
    {"RDR", "retrograde dissection and re-entry", "retrograde"},
    {"CT", "CT first", "the cap first"},
    {"INVEST", "prepare and come back", "prepare and come back"}}};

std::optional<double> FlagChance(const Facts& facts, std::string_view name) {
  const Belief& belief = BeliefOf(facts, {std::string(name), ""});
  if (const auto* flag = std::get_if<FlagOdds>(&belief)) return flag->yes;
  return std::nullopt;
}

std::optional<double> Not(std::optional<double> p) {
  if (p) *p = 1.0 - *p;
  return p;
}

std::optional<double> GradeChance(const Facts& facts, std::string_view name, std::initializer_list<std::string_view> grades) {
  const Belief& belief = BeliefOf(facts, {std::string(name), ""});
  const auto* grade = std::get_if<GradeOdds>(&belief);
  if (grade == nullptr) return std::nullopt;
  double sum = 0.0;
  for (const auto& [word, odds] : grade->odds) {
    if (word == "unseen") return std::nullopt;
    if (std::ranges::find(grades, word) != grades.end()) sum += odds;
  }
  return sum;
}

std::optional<double> ChanceAtLeast(const Facts& facts, std::string_view name, double cut) {
  const Belief& belief = BeliefOf(facts, {std::string(name), ""});
  const auto* number = std::get_if<Number>(&belief);
  if (number == nullptr) return std::nullopt;
  if (!number->sd || *number->sd <= 0.0) return number->value >= cut ? 1.0 : 0.0;
  return 1.0 - NormalCdf(cut, number->value, *number->sd);
}

// A distal vessel is good if the landing zone is healthy and no branch sits at the distal cap; a bifurcation that nobody
// spoke of counts as absent.
std::optional<double> DistalGood(const Facts& facts) {
  auto diseased = FlagChance(facts, "distal_landing_zone_diseased");
  if (!diseased) return std::nullopt;
  return (1.0 - *diseased) * (1.0 - FlagChance(facts, "distal_cap_at_bifurcation").value_or(0.0));
}

// A step's techniques that people and room can do.
std::vector<Technique> Feasible(const AlgorithmStep& step, const Skills& skills, std::vector<std::string>* remarks) {
  std::vector<Technique> kept;
  for (const auto& technique : step.any_of) {
    if (!technique) continue;
    const bool retrograde = *technique == Technique::kRetrogradeWiring || *technique == Technique::kRetrogradeDissection;
    const bool ultrasound = *technique == Technique::kUltrasoundEntry || *technique == Technique::kUltrasoundWiring;
    const char* lacks = retrograde && !skills.retrograde ? "retrograde skill is missing: refer, or work with a proctor"
                        : *technique == Technique::kDissection && !skills.dissection ? "dissection skill is missing: refer, or work with a proctor"
                        : ultrasound && !skills.ultrasound ? "ultrasound is not at hand"
                                                           : nullptr;
    if (*technique == Technique::kCtFirst && skills.ct_done) continue;
    if (lacks == nullptr) kept.push_back(*technique);
    else if (remarks != nullptr && std::ranges::find(*remarks, lacks) == remarks->end()) remarks->emplace_back(lacks);
  }
  return kept;
}

const AlgorithmRule* RuleOf(const Algorithm& algorithm, const Answers& answers, const Skills& skills) {
  for (const AlgorithmRule& rule : algorithm.rules) {
    if (rule.holds(answers, skills)) return &rule;
  }
  return nullptr;
}

std::vector<std::vector<Technique>> StepsOf(const AlgorithmRule& rule, const Answers& answers, const Skills& skills,
                                            std::vector<std::string>* remarks) {
  std::vector<std::vector<Technique>> steps;
  for (const AlgorithmStep& step : rule.steps) {
    if (step.only_if && !Is(answers, *step.only_if)) continue;
    auto kept = Feasible(step, skills, remarks);
    if (!kept.empty()) steps.push_back(std::move(kept));
  }
  return steps;
}

// Odds over the first technique for each way of completing the missing answers (bit i of the index: asks[missing i]).
struct Branches {
  std::vector<std::map<Technique, double>> first;  // by completion
  Answers likeliest{};
  double weight = -1.0;
};

Branches Walk(const Algorithm& algorithm, const AnswerOdds& odds, const Skills& skills, std::span<const Ask> missing) {
  Branches branches;
  branches.first.resize(std::size_t{1} << missing.size());
  const std::size_t count = algorithm.asks.size();
  for (std::size_t mask = 0; mask < std::size_t{1} << count; ++mask) {
    Answers answers{};
    double chance = 1.0;
    std::size_t completion = 0, open = 0;
    for (std::size_t i = 0; i < count; ++i) {
      const Ask ask = algorithm.asks[i];
      const bool yes = (mask >> i & 1U) != 0;
      answers[static_cast<std::size_t>(ask)] = yes;
      const auto& p = odds[static_cast<std::size_t>(ask)];
      if (p) chance *= yes ? *p : 1.0 - *p;
      else completion |= static_cast<std::size_t>(yes) << open++;
    }
    if (chance <= 0.0) continue;
    const AlgorithmRule* rule = RuleOf(algorithm, answers, skills);
    if (rule == nullptr) continue;
    if (const auto steps = StepsOf(*rule, answers, skills, nullptr); !steps.empty()) {
      branches.first[completion][steps.front().front()] += chance;
    }
    if (chance > branches.weight) branches.weight = chance, branches.likeliest = answers;
  }
  return branches;
}

// How far two odds over techniques lie apart: half the sum of differences.
double Apart(const std::map<Technique, double>& a, const std::map<Technique, double>& b) {
  double sum = 0.0;
  for (const auto& [technique, p] : a) sum += std::abs(p - (b.contains(technique) ? b.at(technique) : 0.0));
  for (const auto& [technique, p] : b) sum += a.contains(technique) ? 0.0 : p;
  return 0.5 * sum;
}

std::optional<Ask> Decides(const Branches& branches, std::span<const Ask> missing) {
  std::optional<Ask> best;
  double most = 1e-9;
  for (std::size_t i = 0; i < missing.size(); ++i) {
    double sum = 0.0;
    for (std::size_t c = 0; c < branches.first.size(); ++c) {
      if ((c >> i & 1U) == 0) sum += Apart(branches.first[c], branches.first[c | std::size_t{1} << i]);
    }
    if (sum > most) most = sum, best = missing[i];
  }
  return best;
}

std::vector<FirstTechnique> FirstOf(const Branches& branches) {
  std::map<Technique, FirstTechnique> ranges;
  for (const auto& odds : branches.first) {
    for (const auto& [technique, p] : odds) ranges.try_emplace(technique, FirstTechnique{technique, 1.0, 0.0});
  }
  std::vector<FirstTechnique> first;
  for (auto& [technique, range] : ranges) {
    for (const auto& odds : branches.first) {
      const auto found = odds.find(technique);
      const double p = found == odds.end() ? 0.0 : found->second;
      range.low = std::min(range.low, p);
      range.high = std::max(range.high, p);
    }
    first.push_back(range);
  }
  std::ranges::stable_sort(first, [](const auto& a, const auto& b) { return a.low + a.high > b.low + b.high; });
  return first;
}

}  // namespace

std::string_view WordsOf(Ask ask) { return kAskRows[static_cast<std::size_t>(ask)].words; }
std::string_view FactOf(Ask ask) { return kAskRows[static_cast<std::size_t>(ask)].fact; }
std::string_view FoundBy(Ask ask) { return kAskRows[static_cast<std::size_t>(ask)].found_by; }
std::string_view FamilyOf(Technique technique) { return kTechniqueRows[static_cast<std::size_t>(technique)].family; }
std::string_view IdOf(Technique technique) { return kTechniqueRows[static_cast<std::size_t>(technique)].id; }
std::string_view WordsOf(Technique technique) { return kTechniqueRows[static_cast<std::size_t>(technique)].words; }

AnswerOdds AnswersFrom(const Facts& facts) {
  AnswerOdds odds;
  const auto set = [&](Ask ask, std::optional<double> p) { odds[static_cast<std::size_t>(ask)] = p; };
  set(Ask::kCapClear, Not(FlagChance(facts, "proximal_cap_ambiguous")));
  set(Ask::kDistalGood, DistalGood(facts));
  set(Ask::kCollateral, FlagChance(facts, "interventional_collateral"));
  set(Ask::kLong, ChanceAtLeast(facts, "length_angio_mm", 20.0));
  set(Ask::kCourseClear, FlagChance(facts, "course_clear"));
  set(Ask::kCalciumSevere, GradeChance(facts, "calcification_angio", {"severe"}));
  set(Ask::kTortuous, GradeChance(facts, "proximal_tortuosity", {"moderate", "severe"}));
  set(Ask::kFailedBefore, ChanceAtLeast(facts, "previous_failed_attempts", 1.0));
  set(Ask::kInStent, FlagChance(facts, "in_stent"));
  set(Ask::kOstial, FlagChance(facts, "ostial"));
  set(Ask::kBranchAtCap, FlagChance(facts, "side_branch_at_cap"));
  return odds;
}

AlgorithmAdvice Advise(const Algorithm& algorithm, const AnswerOdds& odds, const Skills& skills) {
  AlgorithmAdvice advice;
  advice.algorithm = &algorithm;
  for (const Ask ask : algorithm.asks) {
    if (!odds[static_cast<std::size_t>(ask)]) advice.missing.push_back(ask);
  }
  const Branches branches = Walk(algorithm, odds, skills, advice.missing);
  advice.first = FirstOf(branches);
  advice.decides = Decides(branches, advice.missing);
  advice.rule = RuleOf(algorithm, branches.likeliest, skills);
  if (advice.rule == nullptr) return advice;
  advice.steps = StepsOf(*advice.rule, branches.likeliest, skills, &advice.remarks);
  if (!advice.rule->remark.empty()) advice.remarks.emplace_back(advice.rule->remark);
  return advice;
}

std::vector<AlgorithmAdvice> AdviseAll(const Facts& facts, const Skills& skills) {
  std::vector<AlgorithmAdvice> all;
  const AnswerOdds odds = AnswersFrom(facts);
  for (const Algorithm& each : PublishedAlgorithms()) all.push_back(Advise(each, odds, skills));
  return all;
}

std::vector<Camp> CampsOf(std::span<const AlgorithmAdvice> advice) {
  std::vector<Camp> camps;
  for (const AlgorithmAdvice& one : advice) {
    if (one.first.empty()) continue;
    const std::string_view family = FamilyOf(one.first.front().technique);
    auto camp = std::ranges::find_if(camps, [&](const Camp& c) { return c.family == family; });
    if (camp == camps.end()) camp = camps.insert(camps.end(), Camp{family, {}, false});
    camp->algorithms.push_back(one.algorithm);
    camp->open = camp->open || one.decides.has_value();
  }
  std::ranges::stable_sort(camps, [](const Camp& a, const Camp& b) { return a.algorithms.size() > b.algorithms.size(); });
  return camps;
}

}  // namespace fairlead
