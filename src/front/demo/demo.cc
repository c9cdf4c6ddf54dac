// SPDX-License-Identifier: Apache-2.0
#include "front/demo/demo.h"

#include <array>
#include <cstddef>
#include <optional>
#include <string_view>
#include <thread>
#include <utility>

#include "front/demo/texts.h"
#include "imaging/dosereport/write_report.h"
#include "imaging/phantom/truth.h"
#include "practice/audit/invented.h"

namespace fairlead {
namespace {

struct Told {
  std::string_view id, text, scene;
  std::uint64_t seed;
};

// The ids begin with the day on which each case was opened, as every case id does.
std::array<Told, 4> TheCases() {
  return {{{"01K7B3MZ40DEM0CASE00000001", DemoText(1), "circumflex-marginal", 3},
           {"01JWTQ5CT0DEM0CASE00000002", DemoText(2), "graft-anterior", 2},
           {"01K91ZP4R0DEM0CASE00000003", DemoText(3), "short-right", 1},
           {"01M2NG00X0DEM0CASE00000004", DemoText(4), "", 0}}};  // no angiograms: it is here for its run
}

Result<std::vector<IncomingEntry>> ParseLines(std::string_view text) {
  std::vector<IncomingEntry> entries;
  while (!text.empty()) {
    const std::size_t end = text.find('\n');
    const std::string_view line = text.substr(0, end);
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
    if (line.empty()) continue;
    auto entry = ParseEntry(line);
    if (!entry) return Within("line " + std::to_string(entries.size() + 1), entry.error());
    entries.push_back(std::move(*entry));
  }
  return entries;
}

std::vector<DemoRun> RunsOf(const Told& told, const Scene& scene) {
  std::vector<DemoRun> runs;
  for (RunPlan& plan : UsualRuns(scene, Grade::kTypical)) {
    runs.push_back({std::string(told.scene), told.seed, std::move(plan), static_cast<int>(runs.size()) + 1});
  }
  // Before the others, one view with the donor alone: what the catheter and the calcium look like in the first frames.
  if (scene.catheters.size() > 1) {
    DemoRun alone = runs.front();
    alone.number = static_cast<int>(runs.size()) + 1;
    alone.plan.seed += 50;
    std::erase_if(alone.plan.injections, [&scene](const Injection& i) { return i.ostium == scene.catheters.front().ostium; });
    runs.push_back(std::move(alone));
  }
  return runs;
}

using File = Result<std::vector<std::uint8_t>>;

// A file that waits to be made: an angiogram or a pullback.
struct Waiting {
  const DemoCase* of = nullptr;
  const DemoRun* run = nullptr;
  const PullbackOrder* pullback = nullptr;
};

// The first run of every case before the second of any, so that each case has a picture soon; pullbacks after those.
std::vector<Waiting> InTheirOrder(const std::vector<DemoCase>& cases) {
  std::vector<Waiting> waiting;
  for (std::size_t i = 0; i < 8; ++i) {
    for (const DemoCase& each : cases) {
      if (i < each.runs.size()) waiting.push_back({&each, &each.runs[i], nullptr});
    }
    for (const DemoCase& each : cases) {
      if (i == 0 && each.pullback) waiting.push_back({&each, nullptr, &*each.pullback});
    }
  }
  return waiting;
}

void MakeInto(std::optional<File>& made, const Waiting& one) {
  File file = one.run != nullptr ? DemoRunFile(*one.run) : DemoPullbackFile(*one.pullback);
  made = std::move(file);
}

// Drawn back from the second attempt's place, where the two wires did not meet: the catheter on the near wire in plaque,
// the far wire beyond the media, as the case's log has it. Small, so that the demonstration starts as fast as before.
PullbackOrder InTheLab() {
  PullbackOrder order;
  order.scene = "plaque-far-outside", order.seed = 168;
  order.frames = 120, order.size = 300;
  order.pixel = Length::Millimetres(0.03);
  order.frame_time = Duration::Milliseconds(1000.0 / 15.0);
  return order;
}

}  // namespace

Result<std::vector<DemoCase>> DemoPractice() {
  std::vector<DemoCase> cases;
  for (const Told& told : TheCases()) {
    auto entries = ParseLines(told.text);
    if (!entries) return Within("demonstration case " + std::string(told.id), entries.error());
    std::vector<DemoRun> runs;
    if (!told.scene.empty()) {
      const auto scene = MakeScene(told.scene, told.seed);
      if (!scene) return scene.error();
      runs = RunsOf(told, *scene);
    }
    std::optional<PullbackOrder> pullback;
    if (told.scene.empty()) pullback = InTheLab();
    cases.push_back({std::string(told.id), std::move(*entries), std::move(runs), std::move(pullback)});
  }
  return cases;
}

Result<std::vector<std::uint8_t>> DemoRunFile(const DemoRun& run) {
  const auto scene = MakeScene(run.scene, run.seed);
  if (!scene) return scene.error();
  return PhantomFile(*scene, run.plan, run.number);
}

Result<std::vector<std::uint8_t>> DemoPullbackFile(const PullbackOrder& order) {
  const auto made = InventPullback(order);
  if (!made) return made.error();
  return PullbackFile(*made);
}

Result<std::vector<IncomingEntry>> DemoLab() {
  const Instant last = ParseIso("2026-10-26T08:00:00Z").value();  // before the first of the cases with pictures
  Entry entry;
  entry.id = "01K8FRYP00DEM0YAB000000001";
  entry.at = entry.written = last;
  entry.by = "op", entry.device = "demo", entry.kind = "knowledge";
  entry.data = KnowledgeWritten{.name = std::string(kPastCases), .owner = "audit", .version = "invented",
                                .text = CaseRowsJson(InventPastCases({.last = last}))};
  // Read back as the server would, so that the demonstration keeps to the rules that everybody keeps.
  std::string data = EntryDataJson(entry.data);
  auto read = ParseEntry(EntryJson({std::move(entry), std::move(data)}));
  if (!read) return read.error();
  return std::vector<IncomingEntry>{std::move(*read)};
}

Status FillDemo(const DemoDoors& doors, const std::stop_token& stop) {
  const auto cases = DemoPractice();
  if (!cases) return cases.error();
  const auto lab = DemoLab();
  if (!lab) return lab.error();
  if (Status told = doors.tell_lab(*lab); !told) return told;
  for (const DemoCase& each : *cases) {
    if (Status opened = doors.open_case(each.id, each.entries); !opened) return opened;
  }
  const std::vector<Waiting> waiting = InTheirOrder(*cases);
  // One run is made beside the one that is being taken in.
  std::optional<File> made;
  const auto make = [&](std::size_t i) {
    return std::jthread([&made, one = waiting[i]] { MakeInto(made, one); });
  };
  std::jthread maker = make(0);
  for (std::size_t i = 0; i < waiting.size(); ++i) {
    maker.join();
    const File file = std::move(*made);
    made.reset();
    if (!file) return file.error();
    if (stop.stop_requested()) return Done{};
    if (i + 1 < waiting.size()) maker = make(i + 1);
    if (Status added = doors.add_run(waiting[i].of->id, *file); !added) return added;
  }
  // One dose report, so that there is a skin to look at: of the second case's long first session.
  constexpr std::size_t kCase = 1;
  constexpr std::uint64_t kSeed = 77;
  constexpr int kEvents = 300;  // about 4 Gy of air kerma
  return doors.add_run((*cases)[kCase].id, DoseReportFile(InventedEvents(kSeed, kEvents), "demonstration", {}));
}

}  // namespace fairlead
