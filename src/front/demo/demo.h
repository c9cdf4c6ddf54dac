// SPDX-License-Identifier: Apache-2.0
// The invented practice that `fairlead demo` shows: four cases with their entries, and the runs that belong to them,
// made by the phantom when they are asked for. demo/README.md tells the stories.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <stop_token>
#include <string>
#include <vector>

#include "casebook/entry_json.h"
#include "imaging/phantom/render.h"
#include "imaging/phantom/scene.h"
#include "imaging/pullback/invented.h"
#include "measure/result.h"

namespace fairlead {

struct DemoRun {
  std::string scene;
  std::uint64_t seed = 0;
  RunPlan plan;
  int number = 1;  // of the run in its case
};

struct DemoCase {
  std::string id;                       // ULID, always the same
  std::vector<IncomingEntry> entries;   // the first opens the case
  std::vector<DemoRun> runs;
  std::optional<PullbackOrder> pullback;  // of ultrasound, drawn in the lab
};

// Reads the texts built into the program; milliseconds. An error means that the texts and the dictionary of facts have
// drifted apart.
Result<std::vector<DemoCase>> DemoPractice();

// What the invented lab knows: about 180 past cases, whose failures become more frequent from the 121st on.
Result<std::vector<IncomingEntry>> DemoLab();

// The run as a DICOM file: the same bytes every time. About half a second.
Result<std::vector<std::uint8_t>> DemoRunFile(const DemoRun& run);

// The pullback as a DICOM file, likewise.
Result<std::vector<std::uint8_t>> DemoPullbackFile(const PullbackOrder& order);

// How the caller takes what comes. Neither is called from two threads at once.
struct DemoDoors {
  std::function<Status(const std::string& case_id, std::span<const IncomingEntry> first)> open_case;
  std::function<Status(const std::string& case_id, std::span<const std::uint8_t> file)> add_run;
  std::function<Status(std::span<const IncomingEntry> entries)> tell_lab;
};

// Tells the lab, opens the cases, then brings their runs one after another; while one is taken in the next is made.
// The doors must accept what they have had before: the same entry, case or file again is no error.
Status FillDemo(const DemoDoors& doors, const std::stop_token& stop);

}  // namespace fairlead
