// SPDX-License-Identifier: Apache-2.0
#include "casebook/derive.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>

#include "measure/normal.h"

namespace fairlead {
namespace {

bool Known(const Belief& belief) {
  return !std::holds_alternative<Unknown>(belief);
}

std::optional<double> YesOdds(const Facts& facts, const FactKey& key) {
  const auto* flag = std::get_if<FlagOdds>(&BeliefOf(facts, key));
  return flag == nullptr ? std::nullopt : std::optional(flag->yes);
}
bool IsYes(const Facts& facts, const FactKey& key) {
  return YesOdds(facts, key) == 1.0;
}
bool IsNo(const Facts& facts, const FactKey& key) {
  return YesOdds(facts, key) == 0.0;
}

// Collects rules that fired; a fact that is already known is left alone.
struct Deriving {
  const Facts& facts;
  std::vector<DerivedFact> derived;

  void Add(std::string_view name, Belief belief, std::string rule, std::vector<FactKey> because) {
    const FactKey key{std::string(name), ""};
    if (!Known(BeliefOf(facts, key))) derived.push_back({key, std::move(belief), std::move(rule), std::move(because)});
  }
  // Stated, or derived by an earlier rule.
  const Belief& Now(std::string_view name) const {
    const auto found = std::ranges::find(derived, name, [](const DerivedFact& fact) { return fact.key.name; });
    return found != derived.end() ? found->belief : BeliefOf(facts, {std::string(name), ""});
  }
};

// The grade odds of a fact from another's: each grade's share goes to `target(grade)`; ordered as in the dictionary.
template <typename Target>
GradeOdds Mapped(const GradeOdds& from, std::string_view to_fact, Target target) {
  std::map<std::string_view, double> share;
  for (const auto& [grade, odds] : from.odds) share[target(grade)] += odds;
  GradeOdds to;
  for (const auto grade : FindFact(to_fact)->grades) {
    if (share.contains(grade)) to.odds.emplace_back(std::string(grade), share[grade]);
  }
  return to;
}

void VesselFromSegment(Deriving& out) {
  const auto* segment = std::get_if<GradeOdds>(&BeliefOf(out.facts, {"cto_segment", ""}));
  if (segment == nullptr) return;
  const bool ramus = std::ranges::any_of(segment->odds, [](const auto& odds) { return odds.first == "12"; });
  out.Add("occluded_vessel", Mapped(*segment, "occluded_vessel", VesselOfSegment),
          std::string("the vessel follows from the segment") +
              (ramus ? "; segment 12, the intermediate branch, counts as LCX (practice)" : ""),
          {{"cto_segment", ""}});
}

void NativeFromVessel(Deriving& out) {
  const auto* vessel = std::get_if<GradeOdds>(&out.Now("occluded_vessel"));
  if (vessel == nullptr) return;
  const auto kind = [](const std::string& word) -> std::string_view { return word == "graft" ? "graft" : "native"; };
  out.Add("native_or_graft", Mapped(*vessel, "native_or_graft", kind), "every vessel but a graft is native",
          {{"occluded_vessel", ""}});
}

// Exact odds of the grade when the bends carry a spread: the bends fall independently into <= 70, 70-90, 90-120, > 120
// degrees, and only how many lie above 70 and above 90 (two are enough) and whether one lies above 120 matters.
GradeOdds TortuosityOdds(const Numbers& bends) {
  struct State {
    int above70 = 0, above90 = 0, above120 = 0;
    auto operator<=>(const State&) const = default;
  };
  std::map<State, double> now{{State{}, 1.0}};
  for (const auto& bend : bends.values) {
    const double sd = bend.sd.value_or(0.0);
    const double to70 = NormalCdf(70, bend.value, sd), to90 = NormalCdf(90, bend.value, sd),
                 to120 = NormalCdf(120, bend.value, sd);
    std::map<State, double> next;
    for (const auto& [state, odds] : now) {
      next[state] += odds * to70;
      next[{std::min(2, state.above70 + 1), state.above90, state.above120}] += odds * (to90 - to70);
      next[{std::min(2, state.above70 + 1), std::min(2, state.above90 + 1), state.above120}] += odds * (to120 - to90);
      next[{std::min(2, state.above70 + 1), std::min(2, state.above90 + 1), 1}] += odds * (1.0 - to120);
    }
    now = std::move(next);
  }
  std::map<std::string, double> share;
  for (const auto& [state, odds] : now) {
    const bool severe = state.above120 == 1 || state.above90 == 2;
    const bool moderate = state.above90 == 1 || state.above70 == 2;
    share[severe ? "severe" : moderate ? "moderate" : bends.values.empty() ? "none" : "mild"] += odds;
  }
  constexpr double kNothing = 1e-12;  // below it a share is a tail of the normal law, not an opinion
  GradeOdds grade;
  for (const auto* word : {"none", "mild", "moderate", "severe"}) {
    if (share[word] > kNothing) grade.odds.emplace_back(word, share[word]);
  }
  return grade;
}

void TortuosityFromBends(Deriving& out) {
  const auto& bends = BeliefOf(out.facts, {"proximal_bends_deg", ""});
  const auto* list = std::get_if<Numbers>(&bends);
  if (list != nullptr) {
    out.Add("proximal_tortuosity", TortuosityOdds(*list),
            "moderate: two bends above 70 or one above 90 degrees; severe: two above 90 or one above 120 (from memory)",
            {{"proximal_bends_deg", ""}});
  } else if (std::holds_alternative<Unseen>(bends) || IsNo(out.facts, {"tortuosity_seen", ""})) {
    const bool by_bends = std::holds_alternative<Unseen>(bends);
    out.Add("proximal_tortuosity", Unseen{}, "the course before the cap could not be seen",
            {{by_bends ? "proximal_bends_deg" : "tortuosity_seen", ""}});
  }
}

void UsableCollateral(Deriving& out) {
  double none_usable = 1.0;
  std::vector<FactKey> because;
  for (const auto& [key, belief] : out.facts) {
    if (key.name != "interventional") continue;
    const auto yes = YesOdds(out.facts, key);
    if (!yes) return;  // a channel nobody judged
    none_usable *= 1.0 - *yes;
    because.push_back(key);
  }
  if (because.empty()) return;
  if (none_usable == 0.0) {
    out.Add("interventional_collateral", FlagOdds{1.0}, "one of the channels is judged usable", because);
  } else if (IsYes(out.facts, {"all_donors_injected", ""})) {
    because.push_back({"all_donors_injected", ""});
    out.Add("interventional_collateral", FlagOdds{1.0 - none_usable},
            "every donor was injected, and no other channel was found", because);
  }
}

void StrategyFromAttempts(Deriving& out) {
  const auto tried = [&out](const char* name) { return YesOdds(out.facts, {name, ""}); };
  const auto wiring = tried("attempted_rw"), dissection = tried("attempted_rdr"), adr = tried("attempted_adr");
  const auto certain = [](const std::optional<double>& odds, double value) { return odds == value; };
  const std::vector<FactKey> all{{"attempted_adr", ""}, {"attempted_rw", ""}, {"attempted_rdr", ""}};
  if (certain(wiring, 1.0) || certain(dissection, 1.0)) {
    out.Add("strategy_category", GradeOdds{{{"retrograde", 1.0}}}, "a retrograde strategy was tried",
            {{certain(wiring, 1.0) ? "attempted_rw" : "attempted_rdr", ""}});
  } else if (certain(wiring, 0.0) && certain(dissection, 0.0) && certain(adr, 1.0)) {
    out.Add("strategy_category", GradeOdds{{{"dissection", 1.0}}}, "dissection was tried, nothing retrograde", all);
  } else if (certain(wiring, 0.0) && certain(dissection, 0.0) && certain(adr, 0.0) &&
             certain(tried("attempted_aw"), 1.0)) {
    out.Add("strategy_category", GradeOdds{{{"antegrade", 1.0}}}, "only antegrade wiring was tried",
            {{"attempted_aw", ""}, {"attempted_adr", ""}, {"attempted_rw", ""}, {"attempted_rdr", ""}});
  }
}

void AnaemiaFromHaematocrit(Deriving& out) {
  const auto* haematocrit = std::get_if<Number>(&BeliefOf(out.facts, {"haematocrit", ""}));
  const auto* sex = std::get_if<GradeOdds>(&BeliefOf(out.facts, {"sex", ""}));
  if (haematocrit == nullptr || sex == nullptr) return;
  double anaemic = 0.0;
  for (const auto& [word, odds] : sex->odds) {
    const double limit = word == "male" ? 39.0 : 36.0;  // J Am Coll Cardiol 2004;44:1393-1399, from memory
    const double sd = haematocrit->sd.value_or(0.0);
    anaemic += odds * (sd > 0.0 ? NormalCdf(limit, haematocrit->value, sd) : haematocrit->value < limit ? 1.0 : 0.0);
  }
  out.Add("anaemia", FlagOdds{anaemic}, "haematocrit below 39 % in men, below 36 % in women (from memory)",
          {{"haematocrit", ""}, {"sex", ""}});
}

std::optional<double> Months(const Facts& facts, const char* name) {
  const auto* number = std::get_if<Number>(&BeliefOf(facts, {name, ""}));
  return number == nullptr ? std::nullopt : std::optional(number->value);
}

void CertaintyOfAge(Deriving& out) {
  constexpr double kChronic = 3.0;  // completed calendar months; Circulation 2021;143:479-500
  const auto* flow = std::get_if<GradeOdds>(&BeliefOf(out.facts, {"timi_antegrade", ""}));
  if (flow == nullptr || flow->odds.size() != 1) return;
  const auto say = [&out](const char* word, const char* rule, std::vector<FactKey> because) {
    because.insert(because.begin(), {"timi_antegrade", ""});
    out.Add("cto_certainty", GradeOdds{{{word, 1.0}}}, rule, std::move(because));
  };
  if (flow->odds[0].first != "0") return say("not_a_cto", "antegrade flow passes: a functional occlusion", {});
  const auto image = Months(out.facts, "same_occlusion_seen_months_ago");
  const auto event = Months(out.facts, "dated_event_months_ago");
  if (image && *image >= kChronic) {
    return say("definite", "the same occlusion was seen three or more calendar months ago",
               {{"same_occlusion_seen_months_ago", ""}});
  }
  if (event && *event >= kChronic) {
    return say("probable", "an event in this territory three or more calendar months ago",
               {{"dated_event_months_ago", ""}});
  }
  if (event) return say("not_a_cto", "dated to less than three months", {{"dated_event_months_ago", ""}});
  const FactKey mature{"mature_collaterals", ""}, thrombus{"thrombus_at_cap", ""}, staining{"staining_at_cap", ""};
  if (IsYes(out.facts, thrombus) || IsYes(out.facts, staining) || IsNo(out.facts, mature)) {
    return say("undetermined", "no dated event, and thrombus, staining or young collaterals",
               {mature, thrombus, staining});
  }
  if (IsYes(out.facts, mature) && IsNo(out.facts, thrombus)) {
    say("possible", "no dated event, mature collaterals, no thrombus", {mature, thrombus});
  }
}

}  // namespace

std::string_view VesselOfSegment(std::string_view segment) {
  int number = 0;
  for (const char c : segment) {
    if (c >= '0' && c <= '9') number = number * 10 + (c - '0');
    if (number > 16) return "";
  }
  if (number == 0) return "";
  if (number <= 4 || number == 16) return "RCA";
  if (number == 5) return "LM";
  return number <= 10 ? "LAD" : "LCX";
}

std::string_view RegistryTortuosity(const std::vector<double>& bends_deg) {
  const auto above = [&bends_deg](double limit) {
    return std::ranges::count_if(bends_deg, [limit](double bend) { return bend > limit; });
  };
  if (above(120) >= 1 || above(90) >= 2) return "severe";
  if (above(90) >= 1 || above(70) >= 2) return "moderate";
  return bends_deg.empty() ? "none" : "mild";
}

bool SyntaxTortuositySevere(const std::vector<double>& bends_deg) {
  const auto steep = std::ranges::count_if(bends_deg, [](double bend) { return bend >= 90; });
  const auto middle = std::ranges::count_if(bends_deg, [](double bend) { return bend >= 45 && bend <= 90; });
  return steep >= 1 || middle >= 3;
}

int CompletedMonths(std::chrono::year_month_day from, std::chrono::year_month_day to) {
  const auto months = (static_cast<int>(to.year()) - static_cast<int>(from.year())) * 12 +
                      static_cast<int>(static_cast<unsigned>(to.month())) -
                      static_cast<int>(static_cast<unsigned>(from.month()));
  // A month is complete on the same day, or on the last day of a month that has no such day.
  const auto month_end = std::chrono::year_month_day_last(to.year(), std::chrono::month_day_last(to.month()));
  return to.day() < from.day() && to.day() != month_end.day() ? months - 1 : months;
}

std::vector<DerivedFact> Derive(const Facts& stated) {
  Deriving out{stated, {}};
  VesselFromSegment(out);
  NativeFromVessel(out);
  TortuosityFromBends(out);
  UsableCollateral(out);
  StrategyFromAttempts(out);
  AnaemiaFromHaematocrit(out);
  CertaintyOfAge(out);
  return out.derived;
}

Facts WithDerived(const Facts& stated) {
  Facts all = stated;
  for (auto& fact : Derive(stated)) all.insert_or_assign(fact.key, std::move(fact.belief));
  return all;
}

}  // namespace fairlead
