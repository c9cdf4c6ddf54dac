// SPDX-License-Identifier: Apache-2.0
#include <cmath>
#include <optional>

#include "casebook/derive.h"

namespace fairlead {
namespace {

struct Looking {
  const Facts& facts;
  std::vector<Remark> remarks;

  bool Flag(const char* name, bool value, const std::string& of = "") const {
    const auto* flag = std::get_if<FlagOdds>(&BeliefOf(facts, {name, of}));
    return flag != nullptr && flag->yes == (value ? 1.0 : 0.0);
  }
  std::string Grade(const char* name) const {  // empty unless certain
    const auto* grade = std::get_if<GradeOdds>(&BeliefOf(facts, {name, ""}));
    return grade != nullptr && grade->odds.size() == 1 ? grade->odds[0].first : "";
  }
  std::optional<double> Value(const char* name) const {
    const auto* number = std::get_if<Number>(&BeliefOf(facts, {name, ""}));
    return number == nullptr ? std::nullopt : std::optional(number->value);
  }
  bool IsUnknown(const char* name) const { return std::holds_alternative<Unknown>(BeliefOf(facts, {name, ""})); }
  void Say(std::string text, std::vector<std::string> because) {
    remarks.push_back({std::move(text), std::move(because)});
  }
};

void AboutGrafts(Looking& look) {
  if (!look.Flag("prior_cabg", false)) return;
  if (look.Flag("graft_to_occluded_vessel", true)) {
    look.Say("A graft on this vessel is stated, and no earlier bypass operation: one of the two is wrong.",
             {"prior_cabg", "graft_to_occluded_vessel"});
  }
  if (look.IsUnknown("graft_to_occluded_vessel")) {
    look.Say(
        "Without an earlier bypass operation there is no graft on this vessel: state it, and RECHARGE is complete.",
        {"prior_cabg", "graft_to_occluded_vessel"});
  }
  if (look.Grade("occluded_vessel") == "graft") {
    look.Say("A graft is occluded, and no earlier bypass operation is stated.", {"prior_cabg", "occluded_vessel"});
  }
}

void AboutCalcium(Looking& look) {
  const auto share = look.Value("calcium_ct_share");
  if (look.Flag("calcium_ct_full_lumen", true) && share && *share < 1.0) {
    look.Say("Calcium fills the whole lumen, so its share of that cross-section is 1; the smaller share is not used.",
             {"calcium_ct_full_lumen", "calcium_ct_share"});
  }
}

void AboutLength(Looking& look) {
  constexpr double kAsk = 15.0;  // mm; practice
  const auto angio = look.Value("length_angio_mm"), ct = look.Value("length_ct_mm");
  if (angio && ct && std::abs(*angio - *ct) > kAsk) {
    look.Say("The lengths on angiogram and CT differ by more than 15 mm: look again at both.",
             {"length_angio_mm", "length_ct_mm"});
  }
}

void AboutPlace(Looking& look) {
  const auto segment = look.Grade("cto_segment"), vessel = look.Grade("occluded_vessel");
  if (!segment.empty() && !vessel.empty() && vessel != "graft" && VesselOfSegment(segment) != vessel) {
    look.Say("Segment " + segment + " lies in the " + std::string(VesselOfSegment(segment)) + ", and " + vessel +
                 " is stated as the occluded vessel.",
             {"cto_segment", "occluded_vessel"});
  }
  const auto distance = look.Value("ostial_distance_mm");
  if (distance && look.Flag("ostial", true) && *distance > 3.0) {
    look.Say("The occlusion is called ostial and starts more than 3 mm from the origin.",
             {"ostial", "ostial_distance_mm"});
  }
  if (distance && look.Flag("ostial", false) && *distance <= 3.0) {
    look.Say("The occlusion starts within 3 mm of the origin and is not called ostial.",
             {"ostial", "ostial_distance_mm"});
  }
}

void AboutAttempts(Looking& look) {
  const auto attempts = look.Value("previous_failed_attempts");
  if (attempts && *attempts >= 1.0 && look.IsUnknown("last_attempt_months_ago")) {
    look.Say("An earlier attempt failed; its date is not known.",
             {"previous_failed_attempts", "last_attempt_months_ago"});
  }
  if (attempts && *attempts == 0.0 && look.Flag("investment_last_attempt", true)) {
    look.Say("An investment procedure counts as an earlier failed attempt, and none is stated.",
             {"previous_failed_attempts", "investment_last_attempt"});
  }
}

void AboutAge(Looking& look) {
  const auto flow = look.Grade("timi_antegrade");
  const auto certainty = look.Grade("cto_certainty");
  if (certainty == "not_a_cto") {
    look.Say(flow == "0"
                 ? "Dated to less than three months: not yet a chronic occlusion, for which the scores were made."
                 : "Antegrade flow passes: not a total occlusion, for which the scores were made.",
             {"cto_certainty", "timi_antegrade"});
  }
  if (flow == "0" && certainty.empty()) {
    look.Say(
        "How sure the three months are is open between possible and undetermined: say whether collaterals are "
        "mature and whether there is thrombus.",
        {"timi_antegrade", "mature_collaterals", "thrombus_at_cap"});
  }
  const auto duration = look.Value("occlusion_duration_months");
  if (duration && *duration < 3.0) {
    look.Say("The occlusion is less than three months old: not yet chronic.", {"occlusion_duration_months"});
  }
}

void AboutChannels(Looking& look) {
  for (const auto& [key, belief] : look.facts) {
    if (key.name == "collateral_channel" && look.Flag("corkscrew", true, key.of)) {
      const auto* kind = std::get_if<GradeOdds>(&belief);
      if (kind != nullptr && kind->odds.size() == 1 && kind->odds[0].first == "septal") {
        look.Say("Corkscrew is no item for a septal channel in the channel score of 2020; it is not counted.",
                 {"corkscrew", "collateral_channel"});
      }
    }
    if (key.name == "interventional" && look.Flag("interventional", true, key.of) &&
        look.Flag("interventional_collateral", false)) {
      look.Say("A channel is judged usable, and no usable collateral is stated.",
               {"interventional", "interventional_collateral"});
    }
  }
}

}  // namespace

std::vector<Remark> Contradictions(const Facts& facts) {
  Looking look{facts, {}};
  AboutGrafts(look);
  AboutCalcium(look);
  AboutLength(look);
  AboutPlace(look);
  AboutAttempts(look);
  AboutAge(look);
  AboutChannels(look);
  return look.remarks;
}

}  // namespace fairlead
