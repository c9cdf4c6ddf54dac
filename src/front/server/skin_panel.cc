// SPDX-License-Identifier: Apache-2.0
// The skin of a case as the page draws it: docs/wire.md, Skin.
#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <utility>
#include <vector>

#include "front/server/case_dose.h"
#include "front/server/json_text.h"
#include "reasoning/dose/followup.h"

namespace fairlead {
namespace {

constexpr std::size_t kMostViews = 12, kMostLines = 80, kMostBeams = 300;
constexpr double kToDetector = 1050.0;  // mm; only how far the beam is drawn
constexpr double kViewStep = 5.0;  // degrees: events within it are one view on the list

double Rounded(double value, double scale) { return std::round(value * scale) / scale; }

void WriteGiven(JsonText& json, const CaseDose& dose) {
  json.Key("given").Open('[');
  for (const GivenDose& each : dose.given) {
    const GatheredDose g = Gather({each.report});
    json.Open('{').Member("entry", each.entry).Member("label", each.label).Member("earlier", each.earlier).Member("day", each.day).Member("events", each.report.events.size());
    json.Member("air_kerma_gy", Rounded(std::max(g.stated_kerma, g.summed_kerma), 1e6)).Member("kerma_area_gycm2", Rounded(1e4 * std::max(g.stated_area_product, g.summed_area_product), 1e4));
    json.Member("fluoroscopy_min", Rounded(g.fluoroscopy_minutes, 100)).Close('}');
  }
  json.Close(']');
}

void WriteTotals(JsonText& json, const CaseDose& dose) {
  json.Key("totals");
  if (!dose.exposure.gathered || dose.exposure.gathered->events.empty()) {
    json.Null();
    return;
  }
  const GatheredDose& g = *dose.exposure.gathered;
  const auto differ = [](double stated, double summed) { return stated > 0.0 && std::abs(stated - summed) > 0.02 * std::max(stated, summed); };
  const auto stated = [&](const char* name, double value) { value > 0.0 ? json.Member(name, Rounded(value, 1e6)) : json.Key(name).Null(); };
  json.Open('{');
  stated("stated_air_kerma_gy", g.stated_kerma);
  json.Member("summed_air_kerma_gy", Rounded(g.summed_kerma, 1e6));
  stated("stated_kerma_area_gycm2", 1e4 * g.stated_area_product);
  json.Member("summed_kerma_area_gycm2", Rounded(1e4 * g.summed_area_product, 1e4));
  json.Member("fluoroscopy_min", Rounded(g.fluoroscopy_minutes, 100));
  json.Member("agree", !differ(g.stated_kerma, g.summed_kerma) && !differ(g.stated_area_product, g.summed_area_product)).Close('}');
}

void WritePeak(JsonText& json, const SkinEstimate& skin) {
  json.Key("peak");
  if (skin.peak.gray <= 0.0) {
    json.Null();
    return;
  }
  json.Open('{').Member("gy", Rounded(skin.peak.gray, 1e3)).Member("low_gy", Rounded(skin.low, 1e3)).Member("high_gy", Rounded(skin.high, 1e3));
  json.Member("from_totals", skin.from_totals);
  if (!skin.from_totals) {
    const SkinPart& part = skin.map.skin.parts[skin.peak.part];
    double turn = RoundOf(part.body, skin.peak.place.at).radians() / (2.0 * std::numbers::pi);
    json.Member("where", PlaceText(skin)).Member("part", skin.peak.part).Member("round", Rounded(turn - std::floor(turn), 1e4));
    json.Member("z_mm", Rounded(skin.peak.place.at.z, 10));
  }
  json.Close('}');
}

// Views by what they gave to the peak, then by air kerma.
struct ViewShare {
  double primary = 0.0, secondary = 0.0;
  std::size_t events = 0;
  double kerma = 0.0, here = 0.0;
};

void WriteViews(JsonText& json, const CaseDose& dose) {
  const auto& events = dose.exposure.file.events;
  std::vector<double> here(events.size());
  if (!dose.skin.from_totals) {
    for (const Share& share : dose.skin.peak.by) here[share.event] += share.gray;
  }
  std::map<std::pair<int, int>, ViewShare> found;
  for (std::size_t i = 0; i < events.size(); ++i) {
    if (!events[i].angles) continue;
    double primary = kViewStep * std::round(events[i].angles->primary.degrees() / kViewStep);
    if (primary <= -180.0) primary += 360.0;  // one view, written two ways
    const double secondary = kViewStep * std::round(events[i].angles->secondary.degrees() / kViewStep);
    ViewShare& view = found[{static_cast<int>(primary), static_cast<int>(secondary)}];
    view.primary = primary;
    view.secondary = secondary;
    ++view.events;
    view.kerma += events[i].kerma.value_or(Kerma()).gray();
    view.here += here[i];
  }
  std::vector<ViewShare> views;
  views.reserve(found.size());
  for (const auto& [where, view] : found) views.push_back(view);
  std::ranges::stable_sort(views, [](const ViewShare& a, const ViewShare& b) { return std::pair(a.here, a.kerma) > std::pair(b.here, b.kerma); });
  json.Key("views").Open('[');
  for (std::size_t i = 0; i < std::min(views.size(), kMostViews); ++i) {
    const ViewShare& v = views[i];
    json.Open('{').Member("view", GantryText({Angle::Degrees(v.primary), Angle::Degrees(v.secondary)})).Member("primary_deg", v.primary).Member("secondary_deg", v.secondary);
    json.Member("events", v.events).Member("air_kerma_gy", Rounded(v.kerma, 1e4)).Member("at_peak_gy", Rounded(v.here, 1e4)).Close('}');
  }
  json.Close(']').Member("views_in_all", views.size());
}

void WriteTexts(JsonText& json, const char* name, const std::vector<std::string>& texts) {
  json.Key(name).Open('[');
  for (std::size_t i = 0; i < std::min(texts.size(), kMostLines); ++i) json.Text(texts[i]);
  json.Close(']');
}

// Each gap once, with how many events have it.
void WriteMissing(JsonText& json, const SkinEstimate& skin) {
  std::vector<std::pair<std::string, int>> missing;
  for (const EventFault& fault : skin.beams.faults) {
    const auto found = std::ranges::find(missing, fault.text, &std::pair<std::string, int>::first);
    if (found != missing.end()) ++found->second;
    else if (missing.size() < kMostLines) missing.emplace_back(fault.text, 1);
  }
  json.Key("missing").Open('[');
  for (const auto& [text, times] : missing) json.Open('{').Member("what", text).Member("events", times).Close('}');
  json.Close(']');
}

void WriteFollowUp(JsonText& json, const CaseDose& dose) {
  const SkinEstimate& skin = dose.skin;
  const double minutes = dose.exposure.gathered ? dose.exposure.gathered->fluoroscopy_minutes : 0.0, product = 1e4 * skin.beams.area_product;
  DoseTotals totals{skin.beams.kerma, std::nullopt, std::nullopt, skin.high};
  if (product > 0.0) totals.area_product = product;
  if (minutes > 0.0) totals.minutes = minutes;
  const SkinBand &band = BandOf(skin.peak.gray), &worst = BandOf(skin.high);
  json.Key("bands").Open('{').Member("name", band.name).Member("at_high", worst.name).Member("prompt", worst.prompt).Member("early", worst.early);
  json.Member("midterm", worst.midterm).Member("longterm", worst.longterm).Close('}');
  json.Key("reached").Open('[');
  for (const ReachedLevel& level : LevelsReached(totals)) json.Open('{').Member("what", level.what).Member("asks", level.asks).Member("source", level.source.id).Close('}');
  json.Close(']').Key("effective");
  if (product > 0.0) {
    const EffectiveDose effective = EffectiveDoseOf(dose.exposure.file.events, product);
    json.Open('{').Member("msv", Rounded(effective.millisievert, 100)).Member("low_msv", Rounded(effective.low, 100));
    json.Member("high_msv", Rounded(effective.high, 100)).Member("by_filter", effective.by_filter).Close('}');
  } else {
    json.Null();
  }
  json.Member("patient", PatientAdvice(skin.peak.gray, skin.high, true));
}

// The highest of two by two places, so that a hot spot never falls between cells.
void WritePart(JsonText& json, const SkinPart& part, const std::vector<double>& dose, const char* name) {
  const int across = (part.round + 1) / 2, down = (part.along + 1) / 2;
  json.Open('{').Member("name", name).Member("round", across).Member("along", down).Member("z0_mm", Rounded(part.z0, 10)).Member("step_z_mm", Rounded(2.0 * part.step_z, 100));
  double around = 0.0;
  for (std::size_t i = 0; i < part.x.size(); ++i) {
    const std::size_t next = (i + 1) % part.x.size();
    around += std::hypot(part.x[next] - part.x[i], part.y[next] - part.y[i]);
  }
  json.Member("around_mm", Rounded(around, 10));
  const auto columns = [&](const char* axis, const std::vector<double>& at) {
    json.Key(axis).Open('[');
    for (int column = 0; column < across; ++column) json.Number(Rounded(at[static_cast<std::size_t>(2 * column)], 10));
    json.Close(']');
  };
  columns("x_mm", part.x);
  columns("y_mm", part.y);
  json.Key("dose_cgy").Open('[');
  for (int row = 0; row < down; ++row) {
    for (int column = 0; column < across; ++column) {
      double most = 0.0;
      for (int r = 2 * row; r < std::min(2 * row + 2, part.along); ++r) {
        for (int c = 2 * column; c < std::min(2 * column + 2, part.round); ++c) most = std::max(most, dose[static_cast<std::size_t>(r) * static_cast<std::size_t>(part.round) + static_cast<std::size_t>(c)]);
      }
      json.Whole(std::lround(100.0 * most));
    }
  }
  json.Close(']').Close('}');
}

void WriteMap(JsonText& json, const SkinEstimate& skin) {
  constexpr const char* kNames[] = {"trunk", "right arm", "left arm"};
  json.Key("map").Open('[');
  if (skin.peak.gray > 0.0 && !skin.from_totals) {
    for (std::size_t k = 0; k < skin.map.skin.parts.size(); ++k) WritePart(json, skin.map.skin.parts[k], skin.map.dose[k], kNames[std::min<std::size_t>(k, 2)]);
  }
  json.Close(']');
}

// Where the beam of each event comes from and how wide it is, for the body in space: of a rotation its first place. The
// events that took most kerma, in the order of the events.
void WriteBeams(JsonText& json, const CaseDose& dose) {
  const auto& events = dose.exposure.file.events;
  std::vector<double> here(events.size());
  for (const Share& share : dose.skin.peak.by) here[share.event] += share.gray;
  std::vector<const Beam*> first;
  for (const Beam& beam : dose.skin.beams.beams) {
    if (first.empty() || first.back()->event != beam.event) first.push_back(&beam);
  }
  const std::size_t all = first.size();
  std::ranges::stable_sort(first, [&](const Beam* a, const Beam* b) { return events[a->event].kerma.value_or(Kerma()) > events[b->event].kerma.value_or(Kerma()); });
  first.resize(std::min(all, kMostBeams));
  std::ranges::sort(first, {}, [](const Beam* beam) { return beam->event; });
  const auto place = [&](Vec3 at) { json.Open('[').Number(Rounded(at.x, 10)).Number(Rounded(at.y, 10)).Number(Rounded(at.z, 10)).Close(']'); };
  json.Key("beams").Open('[');
  for (const Beam* beam : first) {
    const IrradiationEvent& event = events[beam->event];
    json.Open('{').Member("number", beam->event + 1).Member("view", GantryText(beam->angles)).Member("kind", EventKindName(event.kind));
    json.Member("air_kerma_gy", Rounded(event.kerma.value_or(Kerma()).gray(), 1e4)).Member("at_peak_gy", Rounded(here[beam->event], 1e4)).Key("source_mm");
    place(beam->source);
    json.Key("corners_mm").Open('[');  // in the plane of the detector
    for (const auto& [c, r] : {std::pair(-1.0, -1.0), std::pair(1.0, -1.0), std::pair(1.0, 1.0), std::pair(-1.0, 1.0)}) {
      place(beam->source + kToDetector * (beam->along + (c * beam->half_column) * beam->column + (r * beam->half_row) * beam->row));
    }
    json.Close(']').Close('}');
  }
  json.Close(']').Member("beams_in_all", all);
}

}  // namespace

std::string SkinPanelJson(const CaseDose& dose) {
  const SkinEstimate& skin = dose.skin;
  JsonText json;
  json.Open('{').Member("seq", dose.seq).Member("from", dose.from).Member("events", dose.exposure.file.events.size());
  json.Member("air_kerma_gy", Rounded(skin.beams.kerma, 1e6)).Member("kerma_area_gycm2", Rounded(1e4 * skin.beams.area_product, 1e4));
  WriteGiven(json, dose);
  WriteTotals(json, dose);
  WritePeak(json, skin);
  WriteViews(json, dose);
  WriteTexts(json, "why", skin.why);
  WriteTexts(json, "remarks", dose.exposure.remarks);
  WriteMissing(json, skin);
  WriteFollowUp(json, dose);
  const EllipticCylinder& trunk = skin.settings.body.torso.trunk;
  json.Key("body").Open('{').Member("half_width_mm", Rounded(trunk.half_width, 10)).Member("half_depth_mm", Rounded(trunk.half_depth, 10));
  json.Member("size_known", skin.settings.body.size_known).Member("table_known", skin.settings.body.table_known).Close('}');
  WriteMap(json, skin);
  WriteBeams(json, dose);
  json.Key("sources").Open('[').Text(kBeamFactorsSource.id).Text(("skin-map-review-2020"_source).id).Text(("skin-effects-2011"_source).id).Close(']');
  json.Member("caution", "An estimate for trained operators; bands are not sharp. The local medical physicist, protocol and the responsible physician decide.").Close('}');
  return json.Take();
}

}  // namespace fairlead
