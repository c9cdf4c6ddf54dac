// SPDX-License-Identifier: Apache-2.0
#include "front/server/registry_kept.h"

#include <algorithm>
#include <charconv>
#include <iterator>
#include <set>

#include "front/server/row_packer.h"
#include "practice/audit/row.h"
#include "practice/audit/row_scan.h"

namespace fairlead {
namespace {

std::string BodyOf(const CaseRow& row) { return CaseRowsJson({row}); }

int YearOf(Instant at) {
  int year = 0;
  const std::string iso = ToIso(at);
  std::from_chars(iso.data(), iso.data() + 4, year);
  return year;
}

}  // namespace

KeptRow KeptRowOf(const LabVisit& visit) { return {kOwnLab, visit.row.id, visit.seq, visit.row.began, BodyOf(visit.row)}; }

std::optional<CaseRow> CaseRowOf(const KeptRow& row) {
  if (auto quick = ScanCaseRow(row.body)) {
    quick->began = row.began;
    return quick;
  }
  auto rows = ParseCaseRows(row.body);
  if (!rows.ok() || rows->size() != 1) return std::nullopt;
  rows->front().began = row.began;  // as the table addresses it
  return std::move(rows->front());
}

std::vector<KeptSum> SumsOfKept(const KeptRow& row) {
  const auto read = CaseRowOf(row);
  if (!read) return {};
  return {SumOfRow(*read)};
}

KeptSum SumOfRow(const CaseRow& row) {
  KeptSum sum;
  sum.by = row.by;
  sum.year = YearOf(row.began);
  sum.vessel = row.vessel;
  sum.strategy = row.tries.empty() ? std::string() : row.tries.front().strategy;
  sum.difficulty = row.j_cto ? std::clamp(*row.j_cto, 0, 3) : -1;
  sum.cases = 1;
  sum.outcomes = row.success ? 1 : 0, sum.successes = row.success.value_or(false) ? 1 : 0;
  sum.complication_entries = row.complication ? 1 : 0, sum.complications = row.complication.value_or(false) ? 1 : 0;
  return sum;
}

KeptRow LeavingRow(const KeptRow& row) {
  KeptRow leaving = row;
  constexpr std::int64_t kDayMs = 86'400'000;
  leaving.began.ms -= (leaving.began.ms % kDayMs + kDayMs) % kDayMs;
  if (auto read = CaseRowOf(row)) {
    read->by.clear(), read->kit.clear(), read->facts.erase("sex");
    for (Try& made : read->tries) made.reason.clear(), made.ladder.clear(), made.stalled_min.reset();
    read->began = leaving.began;
    leaving.body = BodyOf(*read);
  }
  return leaving;
}

Result<std::unique_ptr<RegistryStore>> OpenOwnRegistry(const std::filesystem::path& data) {
  return OpenRegistryStore((data / "registry.sqlite").string(), {.sums = SumsOfKept, .packer = &RowPacker(), .outbox = true});
}

Status CheckSharedAddress(const std::string& address) {
  if (address.starts_with("postgresql://") || address.starts_with("postgres://")) return Done{};
  return Error{"this is no address of a shared registry", PlainAddress(address), "write postgresql://USER@HOST/NAME"};
}

Result<std::unique_ptr<RegistryStore>> OpenSharedRegistry(const std::string& address) {
  if (auto right = CheckSharedAddress(address); !right.ok()) return right.error();
  std::string patient = address;  // a host that takes no packets would otherwise be waited for for minutes
  const auto say = [&](const char* name, const char* value) {
    if (address.find(name) == std::string::npos) patient += (patient.find('?') == std::string::npos ? "?" : "&") + std::string(name) + value;
  };
  say("connect_timeout", "=5"), say("tcp_user_timeout", "=15000");
  return OpenRegistryStore(patient, {.sums = SumsOfKept, .packer = &RowPacker()});
}

namespace {

std::filesystem::path PastFile(const std::filesystem::path& data) { return data / "past.sqlite"; }

}  // namespace

Result<std::unique_ptr<RegistryStore>> OpenPast(const std::filesystem::path& data) { return OpenRegistryStore(PastFile(data).string(), {.sums = SumsOfKept, .packer = &RowPacker()}); }

Result<RegistryCopy> BackUpKeptRows(const std::filesystem::path& data, const std::string& file) {
  auto own = OpenOwnRegistry(data);
  if (!own.ok()) return own.error();
  auto rows = (*own)->Rows("");
  if (!rows.ok()) return rows.error();
  std::error_code ignored;
  if (std::filesystem::exists(PastFile(data), ignored)) {
    auto past = OpenPast(data);
    if (!past.ok()) return past.error();
    auto more = (*past)->Rows("");
    if (!more.ok()) return more.error();
    rows->insert(rows->end(), std::make_move_iterator(more->begin()), std::make_move_iterator(more->end()));
  }
  return BackUpRows(*rows, file);
}

Result<RegistryCopy> RestoreKeptRows(const std::filesystem::path& data, const std::string& file) {
  auto read = ReadRegistryCopy(file);
  if (!read.ok()) return read.error();
  std::vector<KeptRow> own_rows, past_rows;
  for (KeptRow& row : read->rows) (row.lab == kPastLab ? past_rows : own_rows).push_back(std::move(row));
  auto own = OpenOwnRegistry(data);
  if (!own.ok()) return own.error();
  if (auto put = (*own)->Put(own_rows); !put.ok()) return put.error();
  if (past_rows.empty()) return read->copy;
  auto past = OpenPast(data);
  if (!past.ok()) return past.error();
  if (auto put = (*past)->Put(past_rows); !put.ok()) return put.error();
  return read->copy;
}

Result<std::size_t> ImportPast(const std::filesystem::path& data, const std::vector<CaseRow>& rows, Instant at) {
  std::error_code fault;
  std::filesystem::create_directories(data, fault);
  auto store = OpenPast(data);
  if (!store.ok()) return store.error();
  std::vector<KeptRow> kept;
  kept.reserve(rows.size());
  for (const CaseRow& row : rows) kept.push_back({kPastLab, row.id, at.ms, row.began, BodyOf(row)});
  return (*store)->Put(kept);
}

Result<std::vector<CaseRow>> ImportedPast(const std::filesystem::path& data) {
  std::error_code ignored;
  if (!std::filesystem::exists(PastFile(data), ignored)) return std::vector<CaseRow>{};
  auto store = OpenPast(data);
  if (!store.ok()) return store.error();
  auto kept = (*store)->Rows(kPastLab);
  if (!kept.ok()) return kept.error();
  std::vector<CaseRow> rows;
  rows.reserve(kept->size());
  for (const KeptRow& each : *kept) {
    if (auto row = CaseRowOf(each)) rows.push_back(std::move(*row));
  }
  return rows;
}

bool HasPast(const std::filesystem::path& data) {
  std::error_code ignored;
  return !data.empty() && std::filesystem::exists(PastFile(data), ignored);
}

std::string PastStamp(const std::filesystem::path& data) {
  std::string stamp;
  for (const char* end : {"", "-wal"}) {
    std::error_code none;
    const std::filesystem::path file = PastFile(data).string() + end;
    const auto size = std::filesystem::file_size(file, none);
    const auto written = std::filesystem::last_write_time(file, none);
    stamp += none ? "none " : std::to_string(size) + " " + std::to_string(written.time_since_epoch().count()) + " ";
  }
  return stamp;
}

Result<std::size_t> KeepRegistry(RegistryStore& own, const Registry& registry) {
  auto there = own.Rows(kOwnLab);
  if (!there.ok()) return there.error();
  std::vector<KeptRow> rows;
  std::set<std::string_view> ids;
  for (const LabVisit& visit : registry.visits) rows.push_back(KeptRowOf(visit)), ids.insert(visit.row.id);
  std::vector<KeptRow> gone;
  for (const KeptRow& row : *there) {
    if (!ids.contains(row.id)) gone.push_back({kOwnLab, row.id, row.version + 1, row.began, {}});
  }
  rows.insert(rows.end(), gone.begin(), gone.end());
  return own.Put(rows);
}

}  // namespace fairlead
