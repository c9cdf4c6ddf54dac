// SPDX-License-Identifier: Apache-2.0
#include "reasoning/exposure/exposure.h"

#include <fmt/core.h>

#include <algorithm>
#include <charconv>
#include <utility>

namespace fairlead {
namespace {

constexpr int kFully = 60, kMarked = 183;  // days; from memory

// Where the table stood is known against the procedure's first event alone.
void CountTableFromFirst(std::vector<IrradiationEvent>& events) {
  const auto first = std::ranges::find_if(events, [](const IrradiationEvent& e) { return e.table.has_value(); });
  if (first == events.end()) return;
  const Vec3 zero = *first->table;
  for (IrradiationEvent& event : events) {
    if (event.table) event.table = *event.table - zero;
    if (event.table_end) event.table_end = *event.table_end - zero;
  }
}

void TakeSettings(const GatheredDose& gathered, BeamSettings& settings) {
  if (gathered.calibration && *gathered.calibration >= 0.2 && *gathered.calibration <= 5.0) {
    settings.calibration = *gathered.calibration;
    settings.calibrated = true;
  }
  if (!gathered.height_cm || !gathered.weight_kg) return;
  const auto torso = TorsoOf({*gathered.height_cm, *gathered.weight_kg}, Arms::kUp);
  if (!torso) return;
  settings.body.torso = *torso;
  settings.body.size_known = true;
  LayOnTable(settings.body, std::nullopt);
}

}  // namespace

SkinExposure ExposureOf(const std::vector<DoseReport>& reports) {
  SkinExposure exposure;
  exposure.gathered = Gather(reports);
  exposure.file.events = exposure.gathered->events;
  CountTableFromFirst(exposure.file.events);
  exposure.remarks = exposure.gathered->remarks;
  TakeSettings(*exposure.gathered, exposure.file.settings);
  return exposure;
}

std::optional<Day> DayIn(std::string_view iso) {
  if (iso.size() < 10 || iso[4] != '-' || iso[7] != '-') return std::nullopt;
  int year = 0;
  unsigned month = 0, day = 0;
  const auto whole = [&](std::size_t from, std::size_t count, auto& into) {
    const auto [end, fault] = std::from_chars(iso.data() + from, iso.data() + from + count, into);
    return fault == std::errc{} && end == iso.data() + from + count;
  };
  if (!whole(0, 4, year) || !whole(5, 2, month) || !whole(8, 2, day)) return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::year(year), std::chrono::month(month), std::chrono::day(day)};
  return date.ok() ? std::optional(Day(date)) : std::nullopt;
}

std::optional<Day> DayOf(const std::vector<IrradiationEvent>& events) {
  for (const IrradiationEvent& event : events) {
    if (const auto day = DayIn(event.started)) return day;
  }
  return std::nullopt;
}

void AddEarlier(SkinExposure earlier, std::string_view name, std::optional<Day> today, SkinExposure& into) {
  const auto then = DayOf(earlier.file.events);
  const long days = today && then ? (*today - *then).count() : -1;
  if (days < 0) into.remarks.push_back(fmt::format("{}: its day against this procedure is not known; added fully", name));
  if (days > kMarked) {
    const SkinEstimate old = EstimateSkin(earlier.file.events, into.file.settings);
    into.remarks.push_back(fmt::format("{}: {} days before; not added; skin irradiated before up to {:.2g} Gy (at most {:.2g} Gy)", name, days, old.peak.gray, old.high));
    return;
  }
  if (days > kFully) into.remarks.push_back(fmt::format("{}: {} days before; added, and repair since then is not counted", name, days));
  else if (days >= 0) into.remarks.push_back(fmt::format("{}: {} days before; added fully", name, days));
  for (IrradiationEvent& event : earlier.file.events) {
    event.id = fmt::format("{} {}", name, event.id);
    into.file.events.push_back(std::move(event));
  }
}

}  // namespace fairlead
