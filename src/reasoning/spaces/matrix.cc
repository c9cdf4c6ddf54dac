// SPDX-License-Identifier: Apache-2.0
#include "reasoning/spaces/matrix.h"

#include <fmt/format.h>

#include <cmath>

namespace fairlead {
namespace {

constexpr Length kEnoughOverlap = Length::Millimetres(10.0);  // practice
constexpr int kMostCycles = 2, kMostPlaces = 3;               // practice
constexpr Duration kLongEnough = Duration::Minutes(30.0);     // chosen
constexpr Length kThinEnough = Length::Millimetres(0.1);      // the resolution of the picture along a beam

// All of it practice, no source, unless a comment says otherwise. Ultrasound's part in crossing: "ivus-cto-2023".
struct CaseText {
  WireCase which;
  std::string_view title, meaning, avoid;
  std::vector<std::string> manoeuvres;
};

const CaseText& TextOf(WireCase which) {
  static const CaseText kTexts[] = {
      {WireCase::kBothInPlaque, "both wires in plaque",
       "Both wires lie inside the media: no wall stands between them, at most plaque.",
       "a large balloon, which tears the far wire's path outside the plaque",
       {"far wire advanced along the near wire, stepping down in stiffness",
        "small balloon on the near wire, then the far wire aimed into its track",
        "near wire into the far wire's microcatheter, or the reverse"}},
      {WireCase::kBothOutside, "both wires outside plaque",
       "Both wires lie outside the media, usually in one space.",
       "a long extra dissection; contrast injected from the near end",
       {"balloon on the near wire, the far wire advanced while it deflates",
        "guide extension brought up to the balloon",
        "another place a few millimetres away; a knuckle of the far wire if it will not steer"}},
      {WireCase::kNearInFarOut, "near wire in plaque, far wire outside",
       "The media lies between the two wires: near wire inside, far wire outside.",
       "repeating small balloons; a balloon above the vessel's smallest diameter",
       {"the plaque enlarged from inside until the media tears, at the vessel's smallest diameter rounded down",
        "cutting or scoring balloon, a quarter to half a millimetre smaller",
        "near wire turned outside from its near end, by a scratched entry or a knuckle: then both are outside",
        "entry again higher up, in the less diseased segment"}},
      {WireCase::kNearOutFarIn, "near wire outside, far wire in plaque",
       "The media lies between the two wires: near wire outside, far wire inside.",
       "a penetrating wire without overlap shown in two views; a balloon above the vessel's smallest diameter",
       {"stiff, steerable far wire aimed at the inflated balloon on the near wire",
        "larger balloon on the near wire to press and tear the plaque's side",
        "far wire turned outside by a knuckle: then both are outside",
        "near wire back into the lumen, by device or wire, at the far wire's level with the far wire as marker",
        "balloon on the far wire, septal or graft route only"}},
      {WireCase::kNoSharedSection, "the wires share no cross-section",
       "The wires do not lie beside each other anywhere that was imaged.",
       "a balloon at a place that was not seen",
       {"both wires moved past each other, deeper", "another place, higher up in the healthier segment", "imaging again"}},
      {WireCase::kUnknown, "a space is unknown",
       "At least one wire's space is not known well enough (odds below 0.8), so nothing is derived from it.",
       "a balloon at a place that is not understood",
       {"imaging again, at another place if need be", "the reader's own mark of the space, if it can be seen"}},
  };
  for (const CaseText& text : kTexts) {
    if (text.which == which) return text;
  }
  return kTexts[5];
}

// What is known of each wire, in the title: the rule counts the true lumen and plaque alike, the reader does not.
std::string_view ShortSpace(const SpaceOdds& odds) {
  if (SideOf(odds) == Side::kOutside) return "outside";
  if (odds.lumen >= kSureEnough - 1e-9) return "in the true lumen";
  return odds.plaque >= kSureEnough - 1e-9 ? "in plaque" : "inside the media";
}

std::string TitleOf(WireCase which, const JoiningQuestion& question) {
  if (which == WireCase::kUnknown || which == WireCase::kNoSharedSection || which == WireCase::kBothOutside) return std::string(CaseTitle(which));
  const std::string_view near_wire = ShortSpace(question.near_wire), far_wire = ShortSpace(question.far_wire);
  return near_wire == far_wire ? fmt::format("both wires {}", near_wire) : fmt::format("near wire {}, far wire {}", near_wire, far_wire);
}

// The manoeuvres are written for a wire in plaque; where one lies in the true lumen, or may, that is said.
void AddLumen(const JoiningQuestion& question, WireCase which, std::vector<std::string>& cautions) {
  if (which == WireCase::kUnknown || which == WireCase::kNoSharedSection) return;
  const auto lumen = [](const SpaceOdds& odds) { return odds.lumen >= kSureEnough - 1e-9; };
  const auto either = [&](const SpaceOdds& odds) { return SideOf(odds) == Side::kInside && !lumen(odds) && odds.plaque < kSureEnough - 1e-9; };
  if (lumen(question.near_wire) && lumen(question.far_wire)) {
    cautions.emplace_back("Both wires lie in the true lumen: no tissue has to be opened between them there. The rule counts the true lumen with plaque.");
  } else if (lumen(question.near_wire) || lumen(question.far_wire)) {
    cautions.emplace_back("One wire lies in the true lumen, which the rule counts with plaque, inside the media: a balloon there can close it.");
  } else if (either(question.near_wire) || either(question.far_wire)) {
    cautions.emplace_back("A wire lies inside the media, but the true lumen is not told from plaque; the rule counts both alike.");
  }
}

WireCase CaseOf(const JoiningQuestion& question) {
  if (question.overlap && *question.overlap == Length()) return WireCase::kNoSharedSection;
  if (question.signs_disagree) return WireCase::kUnknown;
  const Side near_side = SideOf(question.near_wire);
  const Side far_side = SideOf(question.far_wire);
  if (near_side == Side::kUnknown || far_side == Side::kUnknown) return WireCase::kUnknown;
  if (near_side == Side::kInside) return far_side == Side::kInside ? WireCase::kBothInPlaque : WireCase::kNearInFarOut;
  return far_side == Side::kInside ? WireCase::kNearOutFarIn : WireCase::kBothOutside;
}

Status CheckQuestion(const JoiningQuestion& question) {
  for (const SpaceOdds* odds : {&question.near_wire, &question.far_wire}) {
    if (auto good = CheckOdds(*odds); !good.ok()) return good;
  }
  if (question.vessel) {
    if (auto good = CheckVessel(*question.vessel); !good.ok()) return good;
  }
  const auto bad_length = [](const std::optional<Length>& length) {
    return length && !(*length >= Length() && length->millimetres() <= 500.0);
  };
  if (bad_length(question.overlap) || bad_length(question.thin_part) || (question.tissue && bad_length(question.tissue->value))) {
    return Error{"a length is not within 0 to 500 mm", "overlap or tissue", "type it in millimetres"};
  }
  for (const int count : {question.balloon_cycles, question.places}) {
    if (count < 0 || count > 100) return Error{"a count is not within 0 to 100", "cycles or places", "count what was tried"};
  }
  if (question.minutes && !(question.minutes->minutes() >= 0.0 && question.minutes->minutes() <= 1440.0)) {
    return Error{"the time is not within 0 to 1440 minutes", "minutes", "type the minutes spent on joining"};
  }
  return Done{};
}

void AddLimits(const JoiningQuestion& question, std::vector<std::string>& cautions) {
  if (question.balloon_cycles >= kMostCycles) {
    cautions.push_back("Two balloon cycles at one place without entry: the trade images again and moves the place, or changes the case.");
  }
  if (question.places >= kMostPlaces || (question.minutes && *question.minutes >= kLongEnough)) {
    cautions.push_back("Three places or 30 minutes without joining: the trade changes to another family of techniques, or prepares and comes back.");
  }
}

void AddGeometry(const JoiningQuestion& question, std::vector<std::string>& cautions) {
  if (question.overlap && *question.overlap > Length() && *question.overlap < kEnoughOverlap) {
    cautions.push_back(fmt::format("The wires overlap along {:.1f} mm; the trade wants 10 mm or more.", question.overlap->millimetres()));
  }
  if (!question.tissue) return;
  const Length sd = question.tissue->sd.value_or(kThinEnough);
  if (question.tissue->value <= 2.0 * sd) {
    cautions.push_back("The tissue between the wires is no thicker than what ultrasound can tell from nothing.");
  }
  if (question.thin_part) {
    cautions.push_back(fmt::format("The tissue is thin along {:.0f} mm: a longer balloon also stretches wall beyond it.", question.thin_part->millimetres()));
  }
}

std::vector<std::string> LookFirst() {
  return {"wires side by side, 1 to 2 mm apart or less, in two views at least 60 degrees apart",
          "overlap along 10 mm or more",
          "a straight place with little calcium, no branch of 2 mm or more, not the left main and not an ostium",
          "guide or guide extension of the near side within about 10 to 20 mm",
          "the ultrasound catheter on the near wire, the far wire kept in its microcatheter"};
}

// Lengths as reasoning/kit works them out (ExternalNeeds); a microcatheter of 150 cm and a guide of 100 cm are its own check.
std::vector<std::string> BeforeOut() {
  return {"wire long enough while balloons are used: far microcatheter + near guide + 9 cm of valve + 40 cm outside it (140 for gear over the wire) + 10 cm "
          "behind the far hub; 10 cm less while the microcatheter stays parked in the guide, up to 25 cm more once it is drawn back clear of the lesion. "
          "Microcatheter 150, guide 100: 299, 309 and 334 cm, so that 300 cm is not enough for all of it",
          "a wire of 180 to 200 cm cannot be brought out: instead the near microcatheter over its tip, or the wires meeting in the guide",
          "microcatheter over the wire through collateral and lesion",
          "clotting time at target",
          "donor guide not deep, its pressure not damped, no unexplained fall in pressure",
          "snare through the near guide (6 French or more), on the soft part 1 to 3 cm behind the tip, never on a tip that may come off",
          "a guide extension or balloon ready in the near guide",
          "a second person watching the donor guide's tip throughout: it draws in at every pull",
          "while the wire is outside: near gear and far microcatheter never tip to tip, 1 to 2 cm apart or more"};
}

}  // namespace

std::string_view CaseTitle(WireCase which) { return TextOf(which).title; }

Result<JoiningAnswer> HowToJoin(const JoiningQuestion& question) {
  if (auto good = CheckQuestion(question); !good.ok()) return good.error();
  JoiningAnswer answer;
  answer.which = CaseOf(question);
  const CaseText& text = TextOf(answer.which);
  answer.near_space = SpaceText(question.near_wire);
  answer.far_space = SpaceText(question.far_wire);
  answer.title = TitleOf(answer.which, question);
  answer.meaning = text.meaning;
  answer.manoeuvres = text.manoeuvres;
  answer.avoid = text.avoid;
  if (question.signs_disagree) {
    answer.cautions.emplace_back("The signs contradict each other: catheter, media line and ring cannot all be as stated. Image again.");
  }
  if (question.vessel) answer.balloon = SizesFor(answer.which, *question.vessel);
  else answer.cautions.emplace_back("The vessel's size from media to media was not given: no balloon size is derived.");
  AddLumen(question, answer.which, answer.cautions);
  AddGeometry(question, answer.cautions);
  AddLimits(question, answer.cautions);
  answer.look_first = LookFirst();
  answer.before_out = BeforeOut();
  answer.sources = {kSizeSource, kVariantSource, "ivus-cto-2023"_source};
  return answer;
}

}  // namespace fairlead
