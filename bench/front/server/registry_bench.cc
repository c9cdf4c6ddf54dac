// SPDX-License-Identifier: Apache-2.0
// The registry's own table at 10^4, 10^5 and 10^6 invented cases with ten attempts each: making all that is kept beside the rows
// anew, the audit from nothing (the file opened as a command opens it), from the sums held, of a slice, and after one more case.
//   FAIRLEAD_BENCH_FOLDER   where the files stay (by default they are made in a temporary folder and removed)
//   FAIRLEAD_BENCH_ADDRESS  postgresql://...: the same in a shared database, rows of the lab "bench-N"
#include <benchmark/benchmark.h>
#include <sys/resource.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "front/server/past_book.h"
#include "front/server/registry_kept.h"
#include "practice/audit/invented.h"

namespace fairlead {
namespace {

double PeakMebibytes() {
  rusage used{};
  getrusage(RUSAGE_SELF, &used);
  return static_cast<double>(used.ru_maxrss) / 1024;
}

std::string Named(const char* name) {
  const char* value = std::getenv(name);
  return value == nullptr ? "" : value;
}

struct Place {
  std::filesystem::path data;      // of past.sqlite
  std::string lab = kPastLab, address;
  bool remove = false;
  ~Place() {
    std::error_code ignored;
    if (remove) std::filesystem::remove_all(data, ignored);
  }
  std::unique_ptr<RegistryStore> Open() const {
    auto store = address.empty() ? OpenPast(data) : OpenSharedRegistry(address);
    if (!store.ok()) std::fputs(Sentence(store.error()).c_str(), stderr), std::abort();
    return std::move(*store);
  }
};

// A case every five minutes, as all labs of a country together might have.
CaseRow Numbered(CaseRow row, std::size_t i, std::size_t cases) {
  row.began = Instant{ParseIso("2026-11-20T09:00:00Z").value().ms - static_cast<std::int64_t>(cases - i) * 300'000};
  return row;
}

// Rows alone are written first, without sums: what is kept beside them is what is measured.
const Place& Filled(std::size_t cases) {
  static std::map<std::size_t, std::unique_ptr<Place>> places;
  auto& place = places[cases];
  if (place != nullptr) return *place;
  place = std::make_unique<Place>();
  place->address = Named("FAIRLEAD_BENCH_ADDRESS");
  const std::string folder = Named("FAIRLEAD_BENCH_FOLDER");
  place->remove = folder.empty();
  place->data = (folder.empty() ? std::filesystem::temp_directory_path() / ("fairlead-bench-" + std::to_string(::getpid())) : std::filesystem::path(folder)) / std::to_string(cases);
  if (!place->address.empty()) place->lab = "bench-" + std::to_string(cases);
  const bool there = place->address.empty() && std::filesystem::exists(place->data / "past.sqlite");
  std::filesystem::create_directories(place->data);
  if (there) return *place;
  auto opened = OpenRegistryStore(place->address.empty() ? (place->data / "past.sqlite").string() : place->address, {});
  if (!opened.ok()) std::fputs(Sentence(opened.error()).c_str(), stderr), std::abort();
  auto rows = std::move(*opened);
  std::vector<KeptRow> batch;
  std::size_t i = 0;
  InventEach({.seed = 5, .cases = cases, .drift_from = cases - cases / 10, .odds_factor = 1.5, .more_tries = 9, .last = {}}, [&](CaseRow&& made) {
    const CaseRow row = Numbered(std::move(made), i++, cases);
    batch.push_back({place->lab, row.id, 1, row.began, CaseRowsJson({row})});
    if (batch.size() == 5'000) rows->Put(batch).value(), batch.clear();
  });
  rows->Put(batch).value();
  rows.reset();
  if (!place->Open()->RebuildSums().ok()) std::abort();
  return *place;
}

void Rebuild(benchmark::State& state) {
  const Place& place = Filled(static_cast<std::size_t>(state.range(0)));
  for (auto _ : state) {
    if (!place.Open()->RebuildSums().ok()) return state.SkipWithError("not rebuilt");
  }
  state.counters["peak_MiB"] = PeakMebibytes();
}

void FromNothing(benchmark::State& state) {
  const Place& place = Filled(static_cast<std::size_t>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(AuditOfStore(*place.Open(), place.lab, {})->cases);
  state.counters["peak_MiB"] = PeakMebibytes();
}

void FromSumsHeld(benchmark::State& state) {
  const Place& place = Filled(static_cast<std::size_t>(state.range(0)));
  const auto book = ReadBook(*place.Open(), place.lab);
  if (!book.ok()) return state.SkipWithError("not read");
  for (auto _ : state) benchmark::DoNotOptimize(AuditOf(*book).cases);
}

void OneOperatorsCases(benchmark::State& state) {
  const Place& place = Filled(static_cast<std::size_t>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(AuditOfStore(*place.Open(), place.lab, {.by = "AB"})->cases);
  state.counters["peak_MiB"] = PeakMebibytes();
}

// One more row in the table, with all that is kept beside it.
void WriteOneMore(benchmark::State& state) {
  const auto cases = static_cast<std::size_t>(state.range(0));
  const Place& place = Filled(cases);
  auto store = place.Open();
  std::size_t more = 0;
  for (auto _ : state) {
    CaseRow row = Numbered(InventPastCases({.seed = 9, .cases = 1, .more_tries = 9, .last = {}}).front(), cases - 1, cases);
    row.id = "one-more-" + std::to_string(more++ % 20);
    store->Put({{place.lab, row.id, static_cast<std::int64_t>(2 + more), row.began, CaseRowsJson({row})}}).value();
  }
}

// One more row put on what is held, and the whole audit of it, as the page asks after a case was closed.
void AuditAfterOneMore(benchmark::State& state) {
  const auto cases = static_cast<std::size_t>(state.range(0));
  const Place& place = Filled(cases);
  auto store = place.Open();
  auto read = ReadBook(*store, place.lab);
  if (!read.ok()) return state.SkipWithError("not read");
  AuditBook book = std::move(*read);
  std::size_t more = 0;
  for (auto _ : state) {
    RowsOutIn change;
    change.in.push_back(Numbered(InventPastCases({.seed = 10, .cases = 1, .more_tries = 9, .last = {}}).front(), cases - 1, cases));
    change.in.front().id = "held-more-" + std::to_string(more++);
    if (!ChangeBookOf(*store, place.lab, change, book).ok()) return state.SkipWithError("not changed");
    benchmark::DoNotOptimize(AuditOf(book).cases);
  }
}

#define FAIRLEAD_SIZES RangeMultiplier(10)->Range(10'000, 1'000'000)->Unit(benchmark::kMillisecond)->MeasureProcessCPUTime()
BENCHMARK(FromNothing)->FAIRLEAD_SIZES;
BENCHMARK(FromSumsHeld)->FAIRLEAD_SIZES;
BENCHMARK(WriteOneMore)->FAIRLEAD_SIZES;
BENCHMARK(AuditAfterOneMore)->FAIRLEAD_SIZES;
BENCHMARK(OneOperatorsCases)->FAIRLEAD_SIZES;
BENCHMARK(Rebuild)->FAIRLEAD_SIZES;

}  // namespace
}  // namespace fairlead
