// SPDX-License-Identifier: Apache-2.0
#include "record/exchange/fhir_time.h"

#include <chrono>
#include <string>

namespace fairlead {
namespace {
using std::chrono::year_month_day;

std::optional<int> Digits(std::string_view text, std::size_t at, std::size_t count) {
  if (text.size() < at + count) return std::nullopt;
  int value = 0;
  for (std::size_t i = at; i < at + count; ++i) {
    if (text[i] < '0' || text[i] > '9') return std::nullopt;
    value = value * 10 + (text[i] - '0');
  }
  return value;
}

struct Partial {
  int year = 0;
  std::optional<unsigned> month, day;
};

std::optional<Partial> PartialOf(std::string_view text) {
  if (text.size() != 4 && text.size() != 7 && text.size() != 10) return std::nullopt;
  const auto year = Digits(text, 0, 4);
  if (!year) return std::nullopt;
  Partial partial{*year, std::nullopt, std::nullopt};
  if (text.size() > 4) {
    const auto month = Digits(text, 5, 2);
    if (!month || text[4] != '-' || *month < 1 || *month > 12) return std::nullopt;
    partial.month = static_cast<unsigned>(*month);
  }
  if (text.size() > 7) {
    const auto day = Digits(text, 8, 2);
    if (!day || text[7] != '-' || *day < 1 || *day > 31) return std::nullopt;
    partial.day = static_cast<unsigned>(*day);
    if (!year_month_day(std::chrono::year(partial.year), std::chrono::month(*partial.month), std::chrono::day(*partial.day)).ok()) return std::nullopt;
  }
  return partial;
}

int YearsBetween(const year_month_day& from, const year_month_day& to) {
  const int years = static_cast<int>(to.year()) - static_cast<int>(from.year());
  const bool had_birthday = std::pair(to.month(), to.day()) >= std::pair(from.month(), from.day());
  return had_birthday ? years : years - 1;
}

}  // namespace

FhirTime ReadFhirTime(std::string_view text) {
  if (text.size() == 10 && PartialOf(text)) {
    const auto noon = ParseIso(std::string(text) + "T12:00:00Z");
    return noon.ok() ? FhirTime{*noon, true, true, false} : FhirTime{{}, false, false, true};
  }
  const auto moment = ParseIso(text);
  return moment.ok() ? FhirTime{*moment, true, false, false} : FhirTime{{}, false, false, true};
}

std::optional<std::pair<int, int>> AgesOn(std::string_view born, Instant on) {
  using namespace std::chrono;
  const auto partial = PartialOf(born);
  if (!partial) return std::nullopt;
  const year_month_day day{floor<days>(sys_time<milliseconds>(milliseconds(on.ms)))};
  const year year_of(partial->year);
  const year_month_day first(year_of, month(partial->month.value_or(1)), std::chrono::day(partial->day.value_or(1)));
  const year_month_day last = partial->day ? first : year_month_day(year_month_day_last(year_of, month_day_last(month(partial->month.value_or(12)))));
  if (sys_days(first) > sys_days(day)) return std::nullopt;
  return std::pair{std::max(0, YearsBetween(last, day)), YearsBetween(first, day)};
}

}  // namespace fairlead
