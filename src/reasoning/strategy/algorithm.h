// SPDX-License-Identifier: Apache-2.0
// The published crossing algorithms as tables: a few questions about the anatomy, and techniques in order. On uncertain
// facts each gives odds over its first technique; where a fact is missing, the range over what it may turn out to be.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "casebook/fact.h"
#include "measure/source.h"

namespace fairlead {

// What the algorithms ask of the anatomy; each answered yes or no.
enum class Ask : std::size_t {
  kCapClear, kDistalGood, kCollateral, kLong, kCourseClear, kCalciumSevere, kTortuous, kFailedBefore, kInStent, kOstial, kBranchAtCap
};
inline constexpr std::size_t kAsks = 11;
std::string_view WordsOf(Ask ask);   // "proximal cap clear"
std::string_view FactOf(Ask ask);    // the fact that answers it: "proximal_cap_ambiguous"
std::string_view FoundBy(Ask ask);   // what would tell: "CT, or ultrasound from a branch at the cap"
using Answers = std::array<bool, kAsks>;
constexpr bool Is(const Answers& answers, Ask ask) { return answers[static_cast<std::size_t>(ask)]; }

enum class Technique : std::size_t {
  kWiring, kParallelWire, kUltrasoundWiring, kUltrasoundEntry, kBesideTheCap, kDissection, kRetrogradeWiring,
  kRetrogradeDissection, kCtFirst, kInvestment
};
std::string_view IdOf(Technique technique);     // "AW", "RDR"
std::string_view WordsOf(Technique technique);  // "antegrade wiring"
std::string_view FamilyOf(Technique technique); // "retrograde" for both ways from behind

// What the room and its people can do.
struct Skills {
  bool dissection = true, retrograde = true, ultrasound = true, ct_done = true;
};

// One step: techniques that stand side by side there, and the answer that it depends on.
struct AlgorithmStep {
  std::array<std::optional<Technique>, 3> any_of;
  std::optional<Ask> only_if;
};
struct AlgorithmRule {
  std::string_view id;    // "hybrid-2"
  std::string_view when;  // in words
  bool (*holds)(const Answers& answers, const Skills& skills);
  std::array<AlgorithmStep, 6> steps;
  std::string_view remark;
};
struct Algorithm {
  std::string_view id;       // "asia-pacific-2017"
  std::string_view name;     // "Asia-Pacific 2017"
  SourceId source;
  Checked checked;           // of its branches
  std::string_view clock;    // what it says of when to change
  std::span<const Ask> asks;
  std::span<const AlgorithmRule> rules;  // the first that holds counts
};
std::span<const Algorithm> PublishedAlgorithms();

// Chance of yes; nullopt: nobody looked.
using AnswerOdds = std::array<std::optional<double>, kAsks>;
AnswerOdds AnswersFrom(const Facts& facts);

struct FirstTechnique {
  Technique technique;
  double low = 0.0, high = 0.0;  // chance, over what the missing facts may turn out to be
};
struct AlgorithmAdvice {
  const Algorithm* algorithm = nullptr;
  std::vector<FirstTechnique> first;               // likeliest first
  const AlgorithmRule* rule = nullptr;             // of the likeliest branch
  std::vector<std::vector<Technique>> steps;       // of the likeliest branch, without what the skills rule out
  std::vector<std::string> remarks;
  std::vector<Ask> missing;                        // asked and unknown
  std::optional<Ask> decides;                      // the missing answer that changes the first technique most
};
AlgorithmAdvice Advise(const Algorithm& algorithm, const AnswerOdds& odds, const Skills& skills);
std::vector<AlgorithmAdvice> AdviseAll(const Facts& facts, const Skills& skills);

// The algorithms by the family of their likeliest first technique: more than one group means that they disagree.
struct Camp {
  std::string_view family;
  std::vector<const Algorithm*> algorithms;
  bool open = false;  // some of them may still go elsewhere, once missing facts are known
};
std::vector<Camp> CampsOf(std::span<const AlgorithmAdvice> advice);

// Where the algorithms differ on any lesion: one stance for each, in the order of PublishedAlgorithms.
struct Dispute {
  std::string_view topic;
  std::array<std::string_view, 5> stances;
};
std::span<const Dispute> Disputes();

}  // namespace fairlead
