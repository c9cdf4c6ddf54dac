// SPDX-License-Identifier: Apache-2.0
// What is kept beside the rows, month by month and day by day. A row touches its month and its day; the month's row is locked
// first, so that of two writers of one lab the second sees what the first made of the days as well.
#include <map>
#include <set>
#include <utility>
#include <vector>

#include "keeping/registry/store_parts.h"

namespace fairlead {
namespace {

std::string LockMonth(soci::session& sql, bool shared, const std::string& lab, long long month) {
  std::string sums;
  sql << "INSERT INTO registry_month (lab, month, sums) VALUES (:lab, :month, '') ON CONFLICT (lab, month) DO NOTHING", soci::use(lab), soci::use(month);
  sql << (shared ? "SELECT sums FROM registry_month WHERE lab = :lab AND month = :month FOR UPDATE" : "SELECT sums FROM registry_month WHERE lab = :lab AND month = :month"), soci::use(lab),
      soci::use(month), soci::into(sums);
  return sums;
}

KeptDay DayOf(soci::session& sql, const std::string& lab, long long day) {
  KeptDay kept;
  sql << "SELECT letters, ids, body FROM registry_day WHERE lab = :lab AND day = :day", soci::use(lab), soci::use(day), soci::into(kept.letters), soci::into(kept.ids), soci::into(kept.rows);
  sql << "SELECT body FROM registry_known WHERE lab = :lab AND day = :day", soci::use(lab), soci::use(day), soci::into(kept.known);
  return kept;
}

void WriteMonth(soci::session& sql, const std::string& lab, long long month, const std::string& sums) {
  sql << "INSERT INTO registry_month (lab, month, sums) VALUES (:lab, :month, :sums) ON CONFLICT (lab, month) DO UPDATE SET sums = excluded.sums", soci::use(lab), soci::use(month), soci::use(sums);
}

void WriteDay(soci::session& sql, const std::string& lab, long long day, const KeptDay& kept) {
  sql << "INSERT INTO registry_day (lab, day, letters, ids, body) VALUES (:lab, :day, :letters, :ids, :body) "
         "ON CONFLICT (lab, day) DO UPDATE SET letters = excluded.letters, ids = excluded.ids, body = excluded.body",
      soci::use(lab), soci::use(day), soci::use(kept.letters), soci::use(kept.ids), soci::use(kept.rows);
  sql << "INSERT INTO registry_known (lab, day, body) VALUES (:lab, :day, :known) ON CONFLICT (lab, day) DO UPDATE SET body = excluded.body", soci::use(lab), soci::use(day), soci::use(kept.known);
}

bool ChangeOfLab(soci::session& sql, bool shared, const Packer& packer, const std::string& lab, const std::vector<RowChange>& changes) {
  std::set<std::int64_t> months, days;
  for (const RowChange& change : changes) {
    for (const KeptRow* row : {&change.before, &change.after}) {
      if (!row->body.empty()) months.insert(packer.Month(row->began)), days.insert(packer.Day(row->began));
    }
  }
  KeptPacks packs;
  for (const std::int64_t month : months) packs.months[month] = LockMonth(sql, shared, lab, month);
  for (const std::int64_t day : days) packs.days[day] = DayOf(sql, lab, day);
  if (!packer.Change(changes, packs)) return false;
  for (const auto& [month, sums] : packs.months) WriteMonth(sql, lab, month, sums);
  for (const auto& [day, kept] : packs.days) WriteDay(sql, lab, day, kept);
  return true;
}

std::vector<std::string> LabsThere(soci::session& sql) {
  std::vector<std::string> labs;
  std::string lab;
  soci::statement select = (sql.prepare << "SELECT DISTINCT lab FROM registry_row ORDER BY lab", soci::into(lab));
  select.execute();
  while (select.fetch()) labs.push_back(lab);
  return labs;
}

// Stretch by stretch of ids: a whole registry never lies in memory.
void TakeRows(soci::session& sql, const std::string& lab, PackAll& all) {
  constexpr std::size_t kBatch = 4'000;
  std::string after;
  while (true) {
    std::vector<KeptRow> rows;
    KeptRow row;
    long long version = 0, began = 0;
    const auto most = static_cast<long long>(kBatch);
    soci::statement select = (sql.prepare << "SELECT lab, id, version, began, body FROM registry_row WHERE lab = :lab AND id > :after AND body <> '' ORDER BY lab, id LIMIT :most", soci::use(lab),
                              soci::use(after), soci::use(most), soci::into(row.lab), soci::into(row.id), soci::into(version), soci::into(began), soci::into(row.body));
    select.execute();
    while (select.fetch()) {
      row.version = version, row.began = {began};
      rows.push_back(row);
    }
    const bool last = rows.size() < kBatch;
    if (!rows.empty()) after = rows.back().id, all.Take(std::move(rows));
    if (last) return;
  }
}

}  // namespace

bool ChangePacks(soci::session& sql, bool shared, const Packer& packer, const RowChanges& changes) {
  std::map<std::string, std::vector<RowChange>> labs;
  for (const auto& each : changes) labs[each.first.first].push_back(each.second);
  for (const auto& [lab, own] : labs) {
    if (!ChangeOfLab(sql, shared, packer, lab, own)) return false;
  }
  return true;
}

KeptPacks ReadPacks(soci::session& sql, const std::string& lab, const PacksAsked& asked) {
  KeptPacks packs;
  long long number = 0;
  std::string sums;
  KeptDay day;
  if (asked.known) {
    soci::statement select = (sql.prepare << "SELECT day, body FROM registry_known WHERE lab = :lab ORDER BY day", soci::use(lab), soci::into(number), soci::into(day.known));
    select.execute();
    while (select.fetch()) packs.days[number].known = day.known;
    return packs;
  }
  if (asked.months) {
    soci::statement select = (sql.prepare << "SELECT month, sums FROM registry_month WHERE lab = :lab ORDER BY month", soci::use(lab), soci::into(number), soci::into(sums));
    select.execute();
    while (select.fetch()) packs.months[number] = sums;
  }
  if (asked.heads) {
    soci::statement select = (sql.prepare << "SELECT day, letters, ids FROM registry_day WHERE lab = :lab ORDER BY day", soci::use(lab), soci::into(number), soci::into(day.letters), soci::into(day.ids));
    select.execute();
    while (select.fetch()) packs.days[number] = {day.letters, day.ids, {}, {}};
  }
  if (asked.rows) {
    const long long from = asked.from.value_or(-1'000'000'000), until = asked.until.value_or(1'000'000'000);
    soci::statement select = (sql.prepare << "SELECT day, letters, ids, body FROM registry_day WHERE lab = :lab AND day >= :from AND day <= :until ORDER BY day", soci::use(lab), soci::use(from),
                              soci::use(until), soci::into(number), soci::into(day.letters), soci::into(day.ids), soci::into(day.rows));
    select.execute();
    while (select.fetch()) packs.days[number] = day;
  }
  for (const std::int64_t each : asked.days) packs.days[each] = DayOf(sql, lab, each);
  return packs;
}

void MakePacks(soci::session& sql, const Packer& packer) {
  for (const std::string& lab : LabsThere(sql)) {
    const auto all = packer.All();
    TakeRows(sql, lab, *all);
    all->Finish([&](std::int64_t day, const KeptDay& kept) { WriteDay(sql, lab, day, kept); }, [&](std::int64_t month, const std::string& sums) { WriteMonth(sql, lab, month, sums); },
                [&](const KeptSum& sum) { AddSum(sql, lab, sum, 1); });
  }
}

void AddSum(soci::session& sql, const std::string& lab, const KeptSum& sum, long long sign) {
  const long long year = sum.year, difficulty = sum.difficulty;
  const long long n[5] = {sign * sum.cases, sign * sum.outcomes, sign * sum.successes, sign * sum.complication_entries, sign * sum.complications};
  sql << "INSERT INTO registry_sum (lab, by_whom, year, vessel, strategy, difficulty, cases, outcomes, successes, complication_entries, complications) "
         "VALUES (:lab, :by, :year, :vessel, :strategy, :difficulty, :n0, :n1, :n2, :n3, :n4) "
         "ON CONFLICT (lab, by_whom, year, vessel, strategy, difficulty) DO UPDATE SET cases = registry_sum.cases + excluded.cases, "
         "outcomes = registry_sum.outcomes + excluded.outcomes, successes = registry_sum.successes + excluded.successes, "
         "complication_entries = registry_sum.complication_entries + excluded.complication_entries, complications = registry_sum.complications + excluded.complications",
      soci::use(lab), soci::use(sum.by), soci::use(year), soci::use(sum.vessel), soci::use(sum.strategy), soci::use(difficulty), soci::use(n[0]), soci::use(n[1]), soci::use(n[2]), soci::use(n[3]),
      soci::use(n[4]);
}

std::vector<KeptSum> ReadSumTable(soci::session& sql, const std::string& lab) {
  std::vector<KeptSum> sums;
  KeptSum sum;
  long long year = 0, difficulty = 0, n[5] = {};
  soci::statement select = (sql.prepare << "SELECT lab, by_whom, year, vessel, strategy, difficulty, cases, outcomes, successes, complication_entries, complications "
                                            "FROM registry_sum WHERE cases > 0 AND (lab = :lab OR :every = '') ORDER BY lab, by_whom, year, vessel, strategy, difficulty",
                            soci::use(lab, "lab"), soci::use(lab, "every"), soci::into(sum.lab), soci::into(sum.by), soci::into(year), soci::into(sum.vessel), soci::into(sum.strategy),
                            soci::into(difficulty), soci::into(n[0]), soci::into(n[1]), soci::into(n[2]), soci::into(n[3]), soci::into(n[4]));
  select.execute();
  while (select.fetch()) {
    sum.year = static_cast<int>(year), sum.difficulty = static_cast<int>(difficulty);
    sum.cases = n[0], sum.outcomes = n[1], sum.successes = n[2], sum.complication_entries = n[3], sum.complications = n[4];
    sums.push_back(sum);
  }
  return sums;
}

std::vector<KeptRow> ReadRowsNamed(soci::session& sql, const std::string& lab, const std::vector<std::string>& ids) {
  std::vector<KeptRow> rows;
  KeptRow row;
  long long version = 0, began = 0;
  std::string id;
  soci::statement select = (sql.prepare << "SELECT lab, id, version, began, body FROM registry_row WHERE lab = :lab AND id = :id AND body <> ''", soci::use(lab), soci::use(id), soci::into(row.lab),
                            soci::into(row.id), soci::into(version), soci::into(began), soci::into(row.body));
  for (const std::string& each : ids) {
    id = each;
    if (!select.execute(true)) continue;
    row.version = version, row.began = {began};
    rows.push_back(row);
  }
  return rows;
}

}  // namespace fairlead
