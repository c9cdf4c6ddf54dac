// SPDX-License-Identifier: Apache-2.0
#include "front/server/trace_json.h"

#include <cmath>
#include <cstddef>

namespace fairlead {
namespace {

double Hundredth(double v) { return std::round(v * 100.0) / 100.0; }
double Thousandth(double v) { return std::round(v * 1000.0) / 1000.0; }

void WritePlaces(JsonText& json, std::string_view name, const VesselTrace& trace, PixelPoint TracedPoint::*place) {
  json.Key(name).Open('[');
  for (const TracedPoint& p : trace.points) json.Open('[').Number(Hundredth((p.*place).x)).Number(Hundredth((p.*place).y)).Close(']');
  json.Close(']');
}

// One number a point, in pixels times `per`.
void WriteNumbers(JsonText& json, std::string_view name, const VesselTrace& trace, double TracedPoint::*number, double per) {
  json.Key(name).Open('[');
  for (const TracedPoint& p : trace.points) json.Number(Thousandth(p.*number * per));
  json.Close(']');
}

void WriteParts(JsonText& json, const std::vector<UncertaintyPart<Length>>& parts) {
  json.Key("parts").Open('[');
  for (const auto& part : parts) json.Open('{').Member("name", part.name).Member("sd", part.sd.millimetres()).Close('}');
  json.Close(']');
}

// {"value", "sd", "parts", "method"}, or null.
void WriteMeasured(JsonText& json, std::string_view name, const Reading<Length>* reading) {
  json.Key(name);
  if (reading == nullptr) {
    json.Null();
    return;
  }
  json.Open('{').Member("value", reading->value.millimetres()).Key("sd");
  reading->sd ? json.Number(reading->sd->millimetres()) : json.Null();
  WriteParts(json, reading->parts);
  json.Member("method", reading->origin.method).Close('}');
}

// With the scale's share of each diameter's sd; the share of stenosis does not depend on the scale.
void WriteNarrowing(JsonText& json, const VesselTrace& trace) {
  json.Key("narrowing");
  if (!trace.narrowing) {
    json.Null();
    return;
  }
  const Narrowing& n = *trace.narrowing;
  const double scale = trace.pixel->sd / trace.pixel->per_pixel;
  const auto diameter = [&](std::string_view name, Length value, Length sd) {
    json.Key(name);
    WriteReading(json, value.millimetres(), std::hypot(sd.millimetres(), value.millimetres() * scale));
  };
  json.Open('{');
  diameter("least_mm", n.least, n.least_sd);
  json.Member("at_mm", n.at.millimetres());
  diameter("reference_mm", n.reference, n.reference_sd);
  json.Key("stenosis_pct");
  WriteReading(json, n.stenosis_pct, n.stenosis_sd_pct);
  json.Member("begins_mm", n.begins.millimetres()).Member("ends_mm", n.ends.millimetres());
  json.Key("reference_line").Open('{').Member("start_mm", n.line.start.millimetres()).Member("taper", n.line.taper);
  json.Member("chosen", n.line.rounds == 0).Close('}');
  json.Close('}');
}

void WritePixelSize(JsonText& json, const std::optional<PixelSize>& pixel) {
  json.Key("pixel_size");
  if (!pixel) {
    json.Null();
    return;
  }
  json.Open('{').Member("mm_per_px", pixel->per_pixel.millimetres()).Member("sd_mm_per_px", pixel->sd.millimetres());
  json.Member("method", pixel->method).Close('}');
}

// Where one more click would make the trace surer, or null.
void WriteAsk(JsonText& json, const VesselTrace& trace) {
  json.Key("ask");
  if (!trace.ask) {
    json.Null();
    return;
  }
  const NextClick& ask = *trace.ask;
  json.Open('{').Member("words", AskSentence(ask, trace.pixel ? std::optional(trace.pixel->per_pixel.millimetres()) : std::nullopt));
  json.Key("at").Open('[').Number(Hundredth(ask.at.x)).Number(Hundredth(ask.at.y)).Close(']');
  json.Key("second").Open('[');
  for (const PixelPoint& p : ask.second) json.Open('[').Number(p.x).Number(p.y).Close(']');
  json.Close(']').Close('}');
}

void WritePoints(JsonText& json, const VesselTrace& trace) {
  WritePlaces(json, "centreline", trace, &TracedPoint::centre);
  WritePlaces(json, "left", trace, &TracedPoint::left);
  WritePlaces(json, "right", trace, &TracedPoint::right);
  WriteNumbers(json, "along_px", trace, &TracedPoint::along_px, 1.0);
  WriteNumbers(json, "diameter_px", trace, &TracedPoint::diameter_px, 1.0);
  WriteNumbers(json, "diameter_sd_px", trace, &TracedPoint::sd_px, 1.0);
  if (trace.pixel) {
    const double mm = trace.pixel->per_pixel.millimetres();
    WriteNumbers(json, "along_mm", trace, &TracedPoint::along_px, mm);
    WriteNumbers(json, "diameter_mm", trace, &TracedPoint::diameter_px, mm);
    json.Key("diameter_sd_mm").Open('[');
    for (std::size_t i = 0; i < trace.points.size(); ++i) json.Number(Thousandth(DiameterAt(trace, i).sd->millimetres()));
    json.Close(']');
  }
  json.Key("kind").Open('[');
  for (const TracedPoint& p : trace.points) json.Text(SectionKindName(p.kind));
  json.Close(']');
}

}  // namespace

std::string_view SectionKindName(SectionKind kind) {
  switch (kind) {
    case SectionKind::kMeasured: return "measured";
    case SectionKind::kByHand: return "by hand";
    case SectionKind::kInterpolated: return "interpolated";
    case SectionKind::kNotSeen: break;
  }
  return "not seen";
}

void WriteReading(JsonText& json, double value, double sd) { json.Open('{').Member("value", value).Member("sd", sd).Close('}'); }

std::string TraceJson(const VesselTrace& trace, const std::string& image, int frame) {
  JsonText json;
  json.Open('{').Member("method", kTraceMethod);
  if (!image.empty()) json.Member("image", image);
  json.Member("frame", frame);
  json.Key("through").Open('[');
  for (const PixelPoint& p : trace.through) json.Open('[').Number(p.x).Number(p.y).Close(']');
  json.Close(']');
  WritePixelSize(json, trace.pixel);
  json.Key("length_px");
  WriteReading(json, trace.length_px, trace.length_sd_px);
  WriteMeasured(json, "length_mm", trace.length ? &trace.length->reading : nullptr);
  WriteMeasured(json, "mean_diameter_mm", trace.mean ? &*trace.mean : nullptr);
  WriteNarrowing(json, trace);
  json.Key("blur_px").Open('{').Member("value", trace.blur_px).Member("assumed", trace.blur_assumed).Close('}');
  json.Member("not_seen_px", trace.not_seen_px).Member("interpolated_px", trace.interpolated_px);
  WritePoints(json, trace);
  WriteAsk(json, trace);
  json.Key("warnings").Open('[');
  for (const std::string& warning : trace.warnings) json.Text(warning);
  return json.Close(']').Close('}').Take();
}

}  // namespace fairlead
