// SPDX-License-Identifier: Apache-2.0
#include "front/server/tray_ladder.h"

#include <algorithm>
#include <utility>

#include "casebook/derive.h"
#include "casebook/run/run_state.h"
#include "front/server/json_text.h"
#include "front/server/run_ladder.h"
#include "front/server/run_parts.h"
#include "reasoning/strategy/outlook_text.h"
#include "reasoning/strategy/panel.h"

namespace fairlead {
namespace {

// The bands are not shown here.
constexpr LadderWish kOrderOnly{.draws = 2, .algorithms = false};

TrayWay WayOf(const LadderAnswer& answer, std::size_t strategy) {
  const LadderStrategy& row = answer.ladder.strategies[strategy];
  TrayWay way;
  way.id = row.id;
  way.words = row.words;
  const auto blank = row.id.find(' ');
  if (blank != std::string::npos) way.channel = row.id.substr(blank + 1);
  const std::string codes = row.id.substr(0, blank);
  const auto slash = codes.find('/');
  way.strategies.push_back(codes.substr(0, slash));
  if (slash != std::string::npos) way.strategies.push_back(codes.substr(slash + 1));
  way.under_way = answer.ladder.current == strategy;
  return way;
}

bool AsksFor(const TrayNeed& need, const TrayWay& way) {
  return std::ranges::any_of(need.strategies, [&](const std::string& each) { return std::ranges::find(way.strategies, each) != way.strategies.end(); });
}

}  // namespace

Result<std::vector<TrayWay>> WaysInOrder(const State& state, const Knowledge& lab, Instant now) {
  const auto limits = LimitsOf(lab);
  if (!limits.ok()) return limits.error();
  auto priors = PriorsOf(lab);
  if (!priors.ok()) return priors.error();
  const RunState run = RunOf(state, now);
  Facts facts = WithDerived(StandingFacts(state));
  Session session = LadderSessionOf(run, PatientOf(state, facts, run), *limits, *priors, now);
  const auto answer = AnswerLadder({std::move(facts), std::move(*priors), std::move(session)}, kOrderOnly);
  if (!answer.ok()) return answer.error();
  std::vector<TrayWay> ways;
  for (const RungView& rung : answer->outlook.rungs) {
    TrayWay way = WayOf(*answer, rung.strategy);
    way.in_plan = true;
    way.p_cross = rung.p_cross;
    way.chance = InTens(rung.p_cross);
    ways.push_back(std::move(way));
  }
  for (std::size_t k = 0; k < answer->ladder.strategies.size(); ++k) {
    const bool there = std::ranges::any_of(answer->outlook.rungs, [&](const RungView& rung) { return rung.strategy == k; });
    if (!there) ways.push_back(WayOf(*answer, k));
  }
  std::ranges::stable_sort(ways, [](const TrayWay& a, const TrayWay& b) { return a.under_way && !b.under_way; });
  return ways;
}

std::vector<std::string> StrategiesOf(const std::vector<TrayWay>& ways) {
  std::vector<std::string> codes;
  for (const TrayWay& way : ways) {
    if (!way.in_plan && !way.under_way) continue;
    for (const std::string& each : way.strategies)
      if (std::ranges::find(codes, each) == codes.end()) codes.push_back(each);
  }
  return codes.empty() ? std::vector<std::string>{"AW", "ADR", "RDR", "RW"} : codes;
}

std::string ChannelOf(const std::vector<TrayWay>& ways) {
  const auto named = std::ranges::find_if(ways, [](const TrayWay& way) { return way.in_plan && !way.channel.empty(); });
  return named == ways.end() ? std::string() : named->channel;
}

std::string WaysMember(const std::vector<TrayWay>& ways, const TrayQuestion& question, const TrayAnswer& answer) {
  JsonText json;
  json.Open('{').Key("ways").Open('[');
  for (const TrayWay& way : ways) {
    json.Open('{').Member("id", way.id).Member("words", way.words).Member("chance", way.chance).Member("p_cross", way.p_cross);
    json.Member("in_plan", way.in_plan).Member("under_way", way.under_way).Key("strategies").Open('[');
    for (const std::string& each : way.strategies) json.Text(each);
    json.Close(']');
    const bool asked = std::ranges::all_of(way.strategies, [&](const std::string& each) { return std::ranges::find(question.strategies, each) != question.strategies.end(); });
    json.Member("asked", asked).Key("missing").Open('[');
    for (const TrayNeed& need : answer.needs) {
      if (need.state == NeedState::kReady || !AsksFor(need, way)) continue;
      json.Open('{').Member("what", need.what).Member("state", WordOf(need.state)).Member("remark", need.remark).Close('}');
    }
    json.Close(']').Close('}');
  }
  const std::string text = json.Close(']').Close('}').Take();
  return text.substr(1, text.size() - 2);
}

}  // namespace fairlead
