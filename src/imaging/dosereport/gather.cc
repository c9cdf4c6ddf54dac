// SPDX-License-Identifier: Apache-2.0
#include "imaging/dosereport/gather.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace fairlead {
namespace {

// An event without an identifier of its own is known by what it says.
std::string KeyOf(const IrradiationEvent& event) {
  const bool named = event.id.find('.') != std::string::npos;
  if (named) return event.id;
  return fmt::format("{}|{}|{}|{:.9g}", event.started.empty() ? event.id : event.started, PlaneName(event.plane), EventKindName(event.kind), event.kerma.value_or(Kerma()).gray());
}

bool HasReportOf(const std::vector<DoseReport>& reports, const std::string& study) {
  return std::ranges::any_of(reports, [&](const DoseReport& r) { return r.from == DoseSource::kReport && r.study == study; });
}

// Versions of one report name the same study and plane: the latest counts, and of two with no date the larger.
void TakeTotals(const std::vector<DoseReport>& reports, GatheredDose& out) {
  struct Latest {
    const DoseReport* report = nullptr;
    const PlaneTotals* totals = nullptr;
  };
  std::map<std::pair<std::string, std::string>, Latest> latest;
  for (const DoseReport& report : reports) {
    for (const PlaneTotals& totals : report.totals) {
      Latest& held = latest[{report.study, totals.all_planes ? "all" : std::string(PlaneName(totals.plane))}];
      const bool later = held.report == nullptr || report.written > held.report->written ||
                         (report.written == held.report->written && totals.kerma.value_or(Kerma()).gray() > held.totals->kerma.value_or(Kerma()).gray());
      if (later) held = {&report, &totals};
    }
  }
  for (const auto& [key, held] : latest) {
    const bool covered = key.second != "all" && latest.contains({key.first, "all"});
    if (!covered) out.totals.push_back(*held.totals);
  }
}

void Sum(GatheredDose& out) {
  double seconds = 0.0, stated_seconds = 0.0;
  for (const IrradiationEvent& event : out.events) {
    out.summed_kerma += event.kerma.value_or(Kerma()).gray();
    out.summed_area_product += event.area_product.value_or(AreaProduct()).gray_square_metres();
    if (event.kind == EventKind::kFluoroscopy) seconds += event.duration.value_or(Duration()).seconds();
  }
  for (const PlaneTotals& totals : out.totals) {
    out.stated_kerma += totals.kerma.value_or(Kerma()).gray();
    out.stated_area_product += totals.area_product.value_or(AreaProduct()).gray_square_metres();
    stated_seconds += totals.fluoroscopy.value_or(Duration()).seconds();
  }
  out.fluoroscopy_minutes = std::max(seconds, stated_seconds) / 60.0;
}

constexpr double kAgrees = 0.02;  // of the larger

// Events with an area product and no kerma took what the totals have over; among them it goes by their area products, so
// that the sum is the total and nothing counts twice. False where there are none, or where no field could be that size.
bool ShareAmongSilent(GatheredDose& out, double missing_gy) {
  const auto silent = [](const IrradiationEvent& event) {
    return event.kerma.value_or(Kerma()).gray() <= 0.0 && event.area_product.value_or(AreaProduct()).gray_square_metres() > 0.0;
  };
  double products = 0.0;
  std::size_t count = 0;
  for (const IrradiationEvent& event : out.events) {
    if (!silent(event)) continue;
    products += event.area_product->gray_square_metres();
    ++count;
  }
  constexpr double kLeastField = 0.02 * 0.02, kMostField = 0.35 * 0.35;  // m2 at the reference point
  if (count == 0 || products < kLeastField * missing_gy || products > kMostField * missing_gy) return false;
  for (IrradiationEvent& event : out.events) {
    if (silent(event)) event.kerma = Kerma::Gray(missing_gy * event.area_product->gray_square_metres() / products);
  }
  out.remarks.push_back(fmt::format("{} events state no air kerma: what the total has over is shared among them by their area products", count));
  return true;
}

void Compare(GatheredDose& out) {
  const auto differ = [](double stated, double summed) { return stated > 0.0 && std::abs(stated - summed) > kAgrees * std::max(stated, summed); };
  if (differ(out.stated_area_product, out.summed_area_product) && out.summed_area_product > 0.0) {
    out.remarks.push_back(fmt::format("the events' area products sum to {:.4g} Gy cm2, the stated total is {:.4g} Gy cm2", 1e4 * out.summed_area_product, 1e4 * out.stated_area_product));
  }
  if (!differ(out.stated_kerma, out.summed_kerma)) return;
  if (out.summed_kerma > 0.0) out.remarks.push_back(fmt::format("the events' air kerma sums to {:.4g} Gy, the stated total is {:.4g} Gy: alarms use the larger", out.summed_kerma, out.stated_kerma));
  // A total that no sum of events can fall short of by so much has another unit than it says.
  if (out.stated_kerma > 50.0 * out.summed_kerma && out.summed_kerma > 0.0) {
    out.remarks.emplace_back("the stated total is so far from the sum that its unit must be wrong: the sum is used");
    return;
  }
  if (out.stated_kerma <= out.summed_kerma || ShareAmongSilent(out, out.stated_kerma - out.summed_kerma)) return;
  IrradiationEvent rest;
  rest.id = out.events.empty() ? "totals" : "not itemised";
  rest.kerma = Kerma::Gray(out.stated_kerma - out.summed_kerma);
  if (out.stated_area_product > out.summed_area_product) rest.area_product = AreaProduct::GraySquareMetres(out.stated_area_product - out.summed_area_product);
  out.events.push_back(std::move(rest));
}

void TakeEvents(const std::vector<DoseReport>& reports, DoseSource from, std::set<std::string, std::less<>>& seen, GatheredDose& out) {
  std::size_t again = 0, left_out = 0;
  for (const DoseReport& report : reports) {
    if (report.from != from) continue;
    if (from == DoseSource::kRunHeader && HasReportOf(reports, report.study)) {
      ++left_out;
      continue;
    }
    for (const IrradiationEvent& event : report.events) {
      if (seen.insert(KeyOf(event)).second) out.events.push_back(event);
      else ++again;
    }
  }
  if (again > 0) out.remarks.push_back(fmt::format("{} events stand in more than one file and count once", again));
  if (left_out > 0) out.remarks.push_back(fmt::format("{} runs are left out: the dose report of their study is there", left_out));
}

}  // namespace

GatheredDose Gather(const std::vector<DoseReport>& reports) {
  GatheredDose out;
  std::set<std::string, std::less<>> seen;
  TakeEvents(reports, DoseSource::kReport, seen, out);
  TakeEvents(reports, DoseSource::kRunHeader, seen, out);
  std::ranges::stable_sort(out.events, std::less<>{}, &IrradiationEvent::started);
  TakeTotals(reports, out);
  for (const DoseReport& report : reports) {
    if (report.calibration) out.calibration = report.calibration;
    if (report.height_cm) out.height_cm = report.height_cm;
    if (report.weight_kg) out.weight_kg = report.weight_kg;
    for (const std::string& remark : report.remarks) {
      if (std::ranges::find(out.remarks, remark) == out.remarks.end()) out.remarks.push_back(remark);
    }
  }
  Sum(out);
  Compare(out);
  return out;
}

}  // namespace fairlead
