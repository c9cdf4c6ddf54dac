// SPDX-License-Identifier: Apache-2.0
// The description of a run as a hostile child might write it: what is accepted must be written back as the same bytes.
#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <span>

#include "imaging/child/report.h"
#include "imaging/child/run_bytes.h"

using namespace fairlead;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::span bytes(data, size);
  if (const Result<Run> run = RunFromBytes(bytes); run && !std::ranges::equal(RunBytes(*run), bytes)) std::abort();
  (void)FooterFromBytes(bytes);
  ReportReader report;
  report.Add(bytes);
  if (report.frames_done() > report.frames()) std::abort();
  return 0;
}
