// SPDX-License-Identifier: Apache-2.0
// Any bytes as a dose report or a run's header: never a crash; what is read is finite and in its range.
#include <cmath>
#include <cstdint>
#include <cstdlib>

#include "imaging/dosereport/gather.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  using namespace fairlead;
  auto report = ReadDoseReport({bytes, size});
  if (!report) return report.error().what.empty() ? 1 : 0;
  for (const IrradiationEvent& event : report->events) {
    if (event.id.empty() || event.id.size() > 200) std::abort();
    if (event.kerma && !(event.kerma->gray() >= 0.0 && event.kerma->gray() <= 1e6)) std::abort();
    if (event.angles && !(std::abs(event.angles->secondary.degrees()) <= 90.0001 && std::abs(event.angles->primary.degrees()) <= 180.0001)) std::abort();
  }
  const GatheredDose gathered = Gather({*report, *report});
  return std::isfinite(gathered.summed_kerma + gathered.stated_kerma) ? 0 : 1;
}
