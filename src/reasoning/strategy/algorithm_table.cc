// SPDX-License-Identifier: Apache-2.0
// The rules of each algorithm, in the order in which they are tried. Where the article's own chart could not be read,
// the branch is from later summaries or from memory, and `checked` says so.
#include "reasoning/strategy/algorithm.h"

namespace fairlead {
namespace {

using enum Ask;
using enum Technique;
using Steps = std::array<AlgorithmStep, 6>;

constexpr AlgorithmStep One(Technique technique, std::optional<Ask> only_if = std::nullopt) {
  return {{technique, std::nullopt, std::nullopt}, only_if};
}
constexpr AlgorithmStep Either(Technique a, Technique b, std::optional<Ask> only_if = std::nullopt) {
  return {{a, b, std::nullopt}, only_if};
}

// --- Hybrid, J Am Coll Cardiol Intv 2012;5:367-379: branches as later summaries print them.
constexpr auto kHybridAsks = std::to_array<Ask>({kCapClear, kDistalGood, kCollateral, kLong});
constexpr auto kHybrid = std::to_array<AlgorithmRule>({
    {"hybrid-1", "cap clear, distal vessel good, under 20 mm",
     [](const Answers& a, const Skills&) { return Is(a, kCapClear) && Is(a, kDistalGood) && !Is(a, kLong); },
     Steps{One(kWiring), One(kDissection), One(kRetrogradeWiring, kCollateral), One(kRetrogradeDissection, kCollateral)}, ""},
    {"hybrid-2", "cap clear, distal vessel good, 20 mm or longer",
     [](const Answers& a, const Skills&) { return Is(a, kCapClear) && Is(a, kDistalGood); },
     Steps{One(kDissection), Either(kRetrogradeDissection, kRetrogradeWiring, kCollateral), One(kWiring)}, ""},
    {"hybrid-3", "cap ambiguous or distal vessel poor, usable collateral, under 20 mm",
     [](const Answers& a, const Skills&) { return Is(a, kCollateral) && !Is(a, kLong); },
     Steps{One(kRetrogradeWiring), One(kRetrogradeDissection), One(kDissection)}, ""},
    {"hybrid-4", "cap ambiguous or distal vessel poor, usable collateral, 20 mm or longer",
     [](const Answers& a, const Skills&) { return Is(a, kCollateral); }, Steps{One(kRetrogradeDissection), One(kDissection)}, ""},
    {"hybrid-5", "cap ambiguous, no usable collateral", [](const Answers& a, const Skills&) { return !Is(a, kCapClear); },
     Steps{Either(kUltrasoundEntry, kBesideTheCap), One(kDissection)}, ""},
    {"hybrid-6", "cap clear, distal vessel poor, no usable collateral", [](const Answers&, const Skills&) { return true; },
     Steps{Either(kWiring, kDissection)}, "re-entry high; weak indication to start"},
});

// --- Asia-Pacific, JACC Cardiovasc Interv 2017;10:2135-2143. "Two or more" of the five is assumed.
constexpr auto kAsiaAsks = std::to_array<Ask>({kCapClear, kDistalGood, kCollateral, kLong, kCourseClear, kCalciumSevere, kTortuous,
                                               kFailedBefore, kInStent, kBranchAtCap});
constexpr bool HardCourse(const Answers& a) {
  return !Is(a, kCourseClear) + Is(a, kCalciumSevere) + Is(a, kTortuous) + Is(a, kLong) + Is(a, kFailedBefore) >= 2;
}
constexpr auto kAsia = std::to_array<AlgorithmRule>({
    {"asia-1", "cap ambiguous, a branch at the cap takes ultrasound",
     [](const Answers& a, const Skills& s) { return !Is(a, kCapClear) && Is(a, kBranchAtCap) && s.ultrasound; },
     Steps{One(kUltrasoundEntry), One(kWiring), Either(kParallelWire, kDissection), One(kUltrasoundWiring), One(kRetrogradeWiring, kCollateral)},
     "retrograde if the cap is not resolved"},
    {"asia-2", "cap ambiguous and not resolved, usable collateral",
     [](const Answers& a, const Skills&) { return !Is(a, kCapClear) && Is(a, kCollateral); },
     Steps{One(kRetrogradeWiring), One(kRetrogradeDissection)}, ""},
    {"asia-3", "cap ambiguous and not resolved, no usable collateral", [](const Answers& a, const Skills&) { return !Is(a, kCapClear); },
     Steps{One(kBesideTheCap), One(kDissection)}, ""},
    {"asia-4", "distal vessel poor, usable collateral",
     [](const Answers& a, const Skills&) { return !Is(a, kDistalGood) && Is(a, kCollateral); },
     Steps{One(kRetrogradeWiring), One(kRetrogradeDissection)}, ""},
    {"asia-5", "in a stent", [](const Answers& a, const Skills&) { return Is(a, kInStent); },
     Steps{One(kDissection), One(kWiring), One(kRetrogradeWiring, kCollateral)}, "a blunt dissection catheter first"},
    {"asia-6", "two or more of: course unclear, severe calcium, tortuous, long, failed before",
     [](const Answers& a, const Skills&) { return Is(a, kDistalGood) && HardCourse(a); },
     Steps{One(kDissection), One(kWiring), One(kRetrogradeWiring, kCollateral)}, "\"two or more\" is assumed"},
    {"asia-7", "cap clear, distal vessel good", [](const Answers& a, const Skills&) { return Is(a, kDistalGood); },
     Steps{One(kWiring), Either(kParallelWire, kDissection), One(kUltrasoundWiring), One(kRetrogradeWiring, kCollateral)}, ""},
    {"asia-8", "cap clear, distal vessel poor, no usable collateral", [](const Answers&, const Skills&) { return true; },
     Steps{One(kWiring), One(kDissection)}, "the chart has no branch for this"},
});

// --- European consensus, EuroIntervention 2012;8:139-145 and 2019;15:198-208: content from memory.
constexpr auto kEuropeAsks = std::to_array<Ask>({kCapClear, kDistalGood, kCollateral, kFailedBefore, kOstial});
constexpr auto kEurope = std::to_array<AlgorithmRule>({
    {"europe-1", "ostial, cap ambiguous or failed before, usable collateral",
     [](const Answers& a, const Skills&) { return Is(a, kCollateral) && (Is(a, kOstial) || !Is(a, kCapClear) || Is(a, kFailedBefore)); },
     Steps{Either(kRetrogradeWiring, kRetrogradeDissection), One(kWiring)}, "retrograde first is accepted, not asked for"},
    {"europe-2", "cap ambiguous, no usable collateral", [](const Answers& a, const Skills&) { return !Is(a, kCapClear); },
     Steps{One(kUltrasoundEntry), One(kDissection)}, ""},
    {"europe-3", "otherwise", [](const Answers&, const Skills&) { return true; },
     Steps{One(kWiring), One(kParallelWire), One(kDissection, kDistalGood), One(kRetrogradeWiring, kCollateral)}, ""},
});

// --- Japanese expert algorithm, J Am Coll Cardiol 2019;74:2392-2404: branches from memory.
constexpr auto kJapanAsks = std::to_array<Ask>({kCapClear, kCollateral, kLong, kFailedBefore});
constexpr bool Harder(const Answers& a) { return Is(a, kFailedBefore) || Is(a, kLong) || !Is(a, kCapClear); }
constexpr auto kJapan = std::to_array<AlgorithmRule>({
    {"japan-1", "failed before, 20 mm or longer, or cap ambiguous; usable collateral",
     [](const Answers& a, const Skills&) { return Harder(a) && Is(a, kCollateral); },
     Steps{One(kRetrogradeWiring), One(kRetrogradeDissection)}, ""},
    {"japan-2", "failed before, 20 mm or longer, or cap ambiguous; no usable collateral",
     [](const Answers& a, const Skills&) { return Harder(a); }, Steps{One(kWiring), One(kParallelWire), One(kUltrasoundWiring)}, ""},
    {"japan-3", "none of these", [](const Answers&, const Skills&) { return true; },
     Steps{One(kWiring), Either(kParallelWire, kUltrasoundWiring), One(kRetrogradeWiring, kCollateral)}, ""},
});

// --- Global consensus, J Am Coll Cardiol 2021;78:840-853: steps from the abstract, branches from memory.
constexpr auto kGlobalAsks = std::to_array<Ask>({kCapClear, kDistalGood, kCollateral, kLong, kCourseClear, kInStent});
constexpr auto kGlobal = std::to_array<AlgorithmRule>({
    {"global-1", "cap ambiguous, usable collateral", [](const Answers& a, const Skills&) { return !Is(a, kCapClear) && Is(a, kCollateral); },
     Steps{One(kCtFirst), {{kUltrasoundEntry, kRetrogradeWiring, kBesideTheCap}, std::nullopt}, One(kDissection), One(kInvestment)}, ""},
    {"global-2", "cap ambiguous, no usable collateral", [](const Answers& a, const Skills&) { return !Is(a, kCapClear); },
     Steps{One(kCtFirst), Either(kUltrasoundEntry, kBesideTheCap), One(kDissection), One(kInvestment)}, ""},
    {"global-3", "distal vessel poor, usable collateral", [](const Answers& a, const Skills&) { return !Is(a, kDistalGood) && Is(a, kCollateral); },
     Steps{One(kRetrogradeWiring), One(kRetrogradeDissection), One(kInvestment)}, ""},
    {"global-4", "long with an unclear course, or in a stent; landing zone safe",
     [](const Answers& a, const Skills&) { return Is(a, kDistalGood) && ((Is(a, kLong) && !Is(a, kCourseClear)) || Is(a, kInStent)); },
     Steps{One(kDissection), One(kWiring), Either(kRetrogradeWiring, kRetrogradeDissection, kCollateral), One(kInvestment)}, ""},
    {"global-5", "otherwise", [](const Answers&, const Skills&) { return true; },
     Steps{One(kWiring), {{kParallelWire, kDissection, kUltrasoundWiring}, std::nullopt},
           Either(kRetrogradeWiring, kRetrogradeDissection, kCollateral), One(kInvestment)}, ""},
});

const auto kAlgorithms = std::to_array<Algorithm>({
    {"hybrid-2012", "Hybrid 2012", "hybrid-2012"_source, Checked::kSeen, "early, without a fixed clock", kHybridAsks, kHybrid},
    {"asia-pacific-2017", "Asia-Pacific 2017", "asia-pacific-2017"_source, Checked::kMemory, "none", kAsiaAsks, kAsia},
    {"europe-2019", "European consensus 2019", "european-consensus-2019"_source, Checked::kMemory, "on no progress, without a fixed clock", kEuropeAsks, kEurope},
    {"japan-2019", "Japan 2019", "japan-2019"_source, Checked::kMemory, "about 20 min for a single wire", kJapanAsks, kJapan},
    {"global-2021", "Global consensus 2021", "global-2021"_source, Checked::kMemory, "on no progress, without a fixed clock", kGlobalAsks, kGlobal},
});

// Read in abstracts and summaries, or from memory: as `checked` above.
constexpr auto kDisputes = std::to_array<Dispute>({
    {"20 mm or longer", {"dissection first", "not by itself", "leans to retrograde or dissection", "leans to retrograde", "one of several"}},
    {"a second, parallel wire", {"not in the chart", "beside device re-entry", "yes", "before dissection", "one of several"}},
    {"ultrasound at the cap or for wiring", {"beside the chart only", "in the chart", "an option", "central", "in the chart"}},
    {"antegrade dissection", {"early", "where several difficulties meet", "mostly as bail-out", "rarely", "an option; first if long and unclear"}},
    {"retrograde first", {"cap ambiguous or distal vessel poor", "the same", "ostial, ambiguous or failed before", "failed before, long or ambiguous", "cap ambiguous or distal vessel poor"}},
    {"a clock for changing", {"none: early", "none", "none", "about 20 min for a single wire", "none"}},
    {"figures for stopping", {"none in the chart", "3 h, contrast 3.7 x eGFR, 5 Gy, unless well advanced", "none seen", "none seen", "named without figures"}},
});

}  // namespace

std::span<const Dispute> Disputes() { return kDisputes; }

std::span<const Algorithm> PublishedAlgorithms() { return kAlgorithms; }

}  // namespace fairlead
