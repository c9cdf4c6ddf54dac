// SPDX-License-Identifier: Apache-2.0
// The fold against a plain slow model on random journals typed in any order. The model asks each question of the whole
// list afresh (what was the last "=" and which "+" follow it?) and keeps no state.
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "casebook/fold.h"
#include "casebook/run/run_state.h"
#include "tests/casebook/invented_entries.h"

namespace fairlead {
namespace {

struct Line {
  std::int64_t minute = 0;
  std::int64_t seq = 0;
  RunEvent event;
};

RunEvent RandomEvent(TaggedGenerator& random) {
  static constexpr const char* kStrategies[] = {"AW", "ADR", "RW", "RDR"};
  const auto tag = [&](const char* letter) { return letter + std::to_string(1 + random.Below(4)); };
  const RunSide side = random.Below(2) == 0 ? RunSide::kAntegrade : RunSide::kRetrograde;
  const auto number = [&](std::size_t below) { return static_cast<double>(1 + random.Below(below)); };
  const RunSide any_side = random.Below(3) == 0 ? RunSide::kNone : side;
  switch (random.Below(17)) {
    case 12: return {Verb::kDamped, any_side, {{RunField::kState, 0, random.Below(2) == 0 ? "damped" : "cleared"}}, ""};
    case 13: return {Verb::kGuide, side, {{RunField::kMove, 0, random.Below(3) == 0 ? "out" : "in"}}, ""};
    case 14: return {Verb::kSpace, side, {{RunField::kTag, 0, tag("w")}, {RunField::kSpace, 0, random.Below(2) == 0 ? "intraplaque" : "extraplaque"}}, ""};
    case 15: return {Verb::kHep, RunSide::kNone, {{RunField::kUnits, 500 * number(16), ""}}, ""};
    case 16: return {Verb::kPerforation, RunSide::kNone, {{RunField::kState, 0, random.Below(2) == 0 ? "leaking" : "sealed"}}, ""};
    case 0: return {Verb::kStart, RunSide::kNone, {{RunField::kStrategy, 0, kStrategies[random.Below(4)]}}, ""};
    case 1: return {Verb::kSwitch, RunSide::kNone, {{RunField::kStrategy, 0, kStrategies[random.Below(4)]}}, ""};
    case 2: return {Verb::kStopped, RunSide::kNone, {}, ""};
    case 3: return {Verb::kDistal, RunSide::kNone, {{RunField::kState, 0, "proven"}, {RunField::kBy, 0, "views"}}, ""};
    case 4: return {Verb::kWire, side, {{RunField::kMove, 0, "in"}, {RunField::kTag, 0, tag("w")}}, ""};
    case 5: return {Verb::kWire, side, {{RunField::kMove, 0, "out"}, {RunField::kTag, 0, tag("w")}}, ""};
    case 6: return {Verb::kMc, side, {{RunField::kMove, 0, random.Below(3) == 0 ? "out" : "in"}, {RunField::kTag, 0, tag("m")}}, ""};
    case 7: return {Verb::kContrast, RunSide::kNone, {{RunField::kAdd, number(60), ""}}, ""};
    case 8: return {Verb::kContrast, RunSide::kNone, {{RunField::kTotal, number(400), ""}}, ""};
    case 9: {
      RunEvent ak{Verb::kAk, RunSide::kNone, {{RunField::kKerma, number(40) / 8, ""}}, ""};
      if (random.Below(4) == 0) ak.values.push_back({RunField::kExam, 0, "new"});
      return ak;
    }
    case 10: return {Verb::kStuck, RunSide::kNone, {{RunField::kKind, 0, "wire"}}, ""};
    default: return random.Below(8) == 0 ? RunEvent{Verb::kEnd, RunSide::kNone, {}, ""} : RunEvent{Verb::kAct, RunSide::kNone, {{RunField::kAct, 100 + number(300), ""}}, ""};
  }
}

// --- The slow model. `lines` stand in order of time; only those of the last visit are asked.
std::vector<Line> LastVisit(const std::vector<Line>& lines) {
  std::size_t from = 0;
  bool over = false;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const bool opens = lines[i].event.verb == Verb::kStart || (lines[i].event.verb == Verb::kGuide && WordOf(lines[i].event, RunField::kMove) == "in");
    if (over && opens) {
      from = i;
      over = false;
    } else if (lines[i].event.verb == Verb::kEnd) {
      over = true;
    }
  }
  return {lines.begin() + static_cast<std::ptrdiff_t>(from), lines.end()};
}

std::string ActiveBySlowModel(const std::vector<Line>& visit) {
  for (auto line = visit.rbegin(); line != visit.rend(); ++line) {
    const Verb verb = line->event.verb;
    if (verb == Verb::kStart || verb == Verb::kSwitch) return std::string(WordOf(line->event, RunField::kStrategy));
    if (verb == Verb::kStopped || verb == Verb::kDistal || verb == Verb::kEnd) return "";
  }
  return "";
}

std::set<std::string> InBodyBySlowModel(const std::vector<Line>& visit) {
  std::set<std::string> tags, in;
  for (const Line& line : visit)
    if (line.event.verb == Verb::kWire || line.event.verb == Verb::kMc) tags.insert(std::string(WordOf(line.event, RunField::kTag)));
  for (const std::string& tag : tags) {
    bool is_in = false;
    for (const Line& line : visit) {
      if (line.event.verb == Verb::kEnd) is_in = false;
      if (line.event.verb != Verb::kSpace && WordOf(line.event, RunField::kTag) == tag) is_in = WordOf(line.event, RunField::kMove) == "in";
    }
    if (is_in) in.insert(tag);
  }
  return in;
}

// Where the wires that are in lie: what was said last of each since it came in.
std::map<std::string, std::string> PlacesBySlowModel(const std::vector<Line>& visit) {
  std::map<std::string, std::string> places;
  for (const std::string& tag : InBodyBySlowModel(visit)) {
    if (tag.front() != 'w') continue;
    std::vector<const Line*> stay;  // from the last going out
    for (const Line& line : visit) {
      if (line.event.verb == Verb::kEnd) stay.clear();
      if (WordOf(line.event, RunField::kTag) != tag) continue;
      if (WordOf(line.event, RunField::kMove) == "out") stay.clear();
      else stay.push_back(&line);
    }
    const auto came = std::ranges::find_if(stay, [](const Line* line) { return line->event.verb == Verb::kWire; });
    std::string last;
    for (auto line = came; line != stay.end(); ++line)
      if ((*line)->event.verb == Verb::kSpace) last = WordOf((*line)->event, RunField::kSpace);
    if (!last.empty()) places[tag] = last;
  }
  return places;
}

// Damped, and since then neither cleared (of it, or of all; of the unnamed by any) nor pulled.
bool DampedBySlowModel(const std::vector<Line>& visit, RunSide guide) {
  bool damped = false;
  int in = 0;
  for (const Line& line : visit) {
    const bool mine = line.event.side == guide;
    if (line.event.verb == Verb::kEnd) in = 0;
    if (line.event.verb == Verb::kGuide && mine) {
      const bool out = WordOf(line.event, RunField::kMove) == "out";
      if (out && in > 0) damped = false;
      in = out ? std::max(0, in - 1) : in + 1;
    }
    if (line.event.verb != Verb::kDamped) continue;
    if (WordOf(line.event, RunField::kState) == "damped") damped = damped || mine;
    else if (mine || line.event.side == RunSide::kNone || guide == RunSide::kNone) damped = false;
  }
  return damped;
}

std::optional<double> HeparinBySlowModel(const std::vector<Line>& visit) {
  std::optional<double> sum;
  for (const Line& line : visit)
    if (line.event.verb == Verb::kHep) sum = sum.value_or(0.0) + *NumberOf(line.event, RunField::kUnits);
  return sum;
}

bool HoleOpenBySlowModel(const std::vector<Line>& visit) {
  const auto last = std::find_if(visit.rbegin(), visit.rend(), [](const Line& line) { return line.event.verb == Verb::kPerforation; });
  return last != visit.rend() && WordOf(last->event, RunField::kState) != "sealed";
}

std::optional<double> ContrastBySlowModel(const std::vector<Line>& visit) {
  std::optional<double> sum;
  for (auto line = visit.rbegin(); line != visit.rend(); ++line) {
    if (line->event.verb != Verb::kContrast) continue;
    const auto total = NumberOf(line->event, RunField::kTotal);
    sum = sum.value_or(0.0) + total.value_or(NumberOf(line->event, RunField::kAdd).value_or(0.0));
    if (total) break;
  }
  return sum;
}

std::optional<double> KermaBySlowModel(const std::vector<Line>& visit) {
  std::vector<std::vector<double>> exams(1);
  for (const Line& line : visit) {
    if (line.event.verb != Verb::kAk) continue;
    if (!WordOf(line.event, RunField::kExam).empty()) exams.emplace_back();
    exams.back().push_back(*NumberOf(line.event, RunField::kKerma));
  }
  std::optional<double> sum;
  for (const auto& exam : exams)
    if (!exam.empty()) sum = sum.value_or(0.0) + exam.back();
  return sum;
}

std::vector<std::string> TroubleBySlowModel(const std::vector<Line>& visit) {
  std::vector<std::string> techniques;
  for (std::size_t i = 0; i < visit.size(); ++i)
    if (visit[i].event.verb == Verb::kStuck) techniques.push_back(ActiveBySlowModel({visit.begin(), visit.begin() + static_cast<std::ptrdiff_t>(i)}));
  return techniques;
}

TEST(RunState, AgreesWithASlowModelOnRandomJournals) {
  TaggedGenerator random("RunState.AgreesWithASlowModelOnRandomJournals");
  for (int trial = 0; trial < 400; ++trial) {
    SCOPED_TRACE(trial);
    std::vector<Line> lines;
    std::vector<Entry> entries;
    const std::size_t count = 5 + random.Below(80);
    for (std::size_t i = 0; i < count; ++i) {
      const Line line{static_cast<std::int64_t>(random.Below(90)), static_cast<std::int64_t>(i) + 1, RandomEvent(random)};
      lines.push_back(line);
      entries.push_back(Stored(line.seq, line.event, line.minute));
    }
    std::ranges::sort(lines, [](const Line& a, const Line& b) { return std::pair(a.minute, a.seq) < std::pair(b.minute, b.seq); });
    const State state = Fold(std::move(entries));
    for (const std::int64_t until : {20, 45, 90}) {
      std::vector<Line> by_then;
      for (const Line& line : lines)
        if (line.minute <= until) by_then.push_back(line);
      const auto visit = LastVisit(by_then);
      const RunState run = RunOf(state, Instant{kInventedMorning.ms + until * 60000});
      const RunAttempt* active = ActiveAttempt(run);
      EXPECT_EQ(active == nullptr ? "" : std::string(StrategyWord(active->strategy)), ActiveBySlowModel(visit));
      std::set<std::string> in;
      for (const RunDevice* device : InBody(run))
        if (device->tag.starts_with('w') || device->tag.starts_with('m')) in.insert(device->tag);
      EXPECT_EQ(in, InBodyBySlowModel(visit));
      EXPECT_EQ(run.contrast.empty() ? std::nullopt : std::optional(run.contrast.back().value), ContrastBySlowModel(visit));
      const auto kerma = KermaBySlowModel(visit);
      ASSERT_EQ(run.air_kerma.sums.empty(), !kerma);
      if (kerma) {
        EXPECT_NEAR(run.air_kerma.sums.back().value, *kerma, 1e-12);
      }
      std::map<std::string, std::string> places;
      for (const RunDevice* wire : InBody(run, DeviceKind::kWire))
        if (wire->place) places[wire->tag] = wire->place->space;
      EXPECT_EQ(places, PlacesBySlowModel(visit));
      for (const RunSide side : {RunSide::kNone, RunSide::kAntegrade, RunSide::kRetrograde}) EXPECT_EQ(run.damped.contains(side), DampedBySlowModel(visit, side));
      EXPECT_EQ(HeparinUnits(run), HeparinBySlowModel(visit));
      EXPECT_EQ(OpenTrouble(run, "perforation") != nullptr, HoleOpenBySlowModel(visit));
      std::vector<std::string> techniques;
      for (const Trouble& trouble : run.troubles)
        if (trouble.kind == "stuck") techniques.emplace_back(trouble.active ? StrategyWord(*trouble.active) : "");
      EXPECT_EQ(techniques, TroubleBySlowModel(visit));
      EXPECT_LE(std::ranges::count_if(run.attempts, [](const RunAttempt& attempt) { return !attempt.end; }), 1);
    }
  }
}

}  // namespace
}  // namespace fairlead
