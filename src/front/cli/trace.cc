// SPDX-License-Identifier: Apache-2.0
// xa trace.
#include <fcntl.h>
#include <fmt/core.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <charconv>
#include <cmath>
#include <cstring>
#include <string_view>

#include "front/cli/commands.h"
#include "front/cli/terminal.h"
#include "front/server/dark_frame.h"
#include "front/server/trace_json.h"
#include "imaging/child/decode.h"

namespace fairlead {
namespace {

Error Wrong(std::string what, std::string where, std::string to_do) {
  return {std::move(what), std::move(where), std::move(to_do), Fault::kUsage};
}

// Two numbers with `between` between them.
Result<std::pair<double, double>> ParsePair(const std::string& text, char between, const char* option, const char* shape) {
  double first = 0.0, second = 0.0;
  const char* end = text.data() + text.size();
  const auto head = std::from_chars(text.data(), end, first);
  if (head.ec == std::errc{} && head.ptr != end && *head.ptr == between) {
    const auto tail = std::from_chars(head.ptr + 1, end, second);
    if (tail.ec == std::errc{} && tail.ptr == end && std::isfinite(first) && std::isfinite(second)) return std::pair{first, second};
  }
  return Wrong("this is not two numbers", std::string(option) + " " + text.substr(0, 40), std::string("write it as ") + shape);
}

Result<std::vector<PixelPoint>> ParsePlaces(const std::vector<std::string>& texts, const char* option) {
  std::vector<PixelPoint> places;
  for (const std::string& text : texts) {
    const auto pair = ParsePair(text, ',', option, "x,y in pixels, 0,0 being the middle of the first one");
    if (!pair.ok()) return pair.error();
    places.push_back({pair->first, pair->second});
  }
  return places;
}

Result<std::vector<HealthyStretch>> ParseStretches(const std::vector<std::string>& texts) {
  std::vector<HealthyStretch> stretches;
  for (const std::string& text : texts) {
    const auto pair = ParsePair(text, ':', "--healthy", "FROM:TO in millimetres from the first point");
    if (!pair.ok()) return pair.error();
    if (!(pair->second > pair->first)) return Wrong("a healthy stretch has no length", "--healthy " + text.substr(0, 40), "write it as FROM:TO");
    stretches.push_back({Length::Millimetres(pair->first), Length::Millimetres(pair->second)});
  }
  return stretches;
}

// A run decoded here, and one of its frames.
struct Opened {
  Run run;
  int frame = 0;
  std::vector<std::uint8_t> bytes;
};

Result<Opened> OpenFrame(const std::string& path, int frame) {
  const Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
  if (!file.ok()) return Error{std::string("the file cannot be opened: ") + std::strerror(errno), path, "check its name and rights"};
  const auto interrupt = TakeInterrupts();
  auto decoded = DecodeInChild(file.get(), Descriptor(), {}, interrupt->token(), {});
  if (!decoded.ok()) return Within(path, decoded.error());
  Opened opened{std::move(decoded->run), frame, {}};
  const auto& filling = opened.run.filling;
  if (frame < 0 && !filling.empty()) opened.frame = static_cast<int>(std::max_element(filling.begin(), filling.end()) - filling.begin());
  if (Status good = CheckMeasurable(opened.run, opened.frame); !good) return Within(path, good.error());
  opened.bytes.resize(FrameBytes(opened.run));
  const auto from = static_cast<off_t>(opened.bytes.size()) * opened.frame;
  if (::pread(decoded->frames.get(), opened.bytes.data(), opened.bytes.size(), from) != static_cast<ssize_t>(opened.bytes.size())) {
    return Error{"the decoded frame cannot be read back", path, "try again", Fault::kOutside};
  }
  return opened;
}

// The scale: a catheter's two clicks, a number, or the file's geometry; none is no error.
Result<std::optional<PixelSize>> ScaleAsked(const TraceArguments& given, const Opened& opened, const GreyFrame& grey) {
  if (!given.catheter.empty()) {
    const auto clicks = ParsePlaces(given.catheter, "--catheter");
    if (!clicks.ok()) return clicks.error();
    if (clicks->size() != 2) return Wrong("a catheter takes two points along its shaft", "--catheter", "give it twice");
    auto pixel = PixelSizeAlong(grey, (*clicks)[0], (*clicks)[1], Length::French(given.french));
    if (!pixel.ok()) return pixel.error();
    return std::optional(std::move(*pixel));
  }
  if (given.pixel_mm > 0.0) {
    PixelSize pixel;
    pixel.per_pixel = Length::Millimetres(given.pixel_mm), pixel.sd = Length::Millimetres(given.pixel_sd_mm);
    pixel.parts = {{"size of a pixel", pixel.sd}};
    pixel.method = "size of a pixel as typed";
    return std::optional(std::move(pixel));
  }
  auto pixel = PixelSizeByGeometry(opened.run);
  return pixel.ok() ? std::optional(std::move(*pixel)) : std::nullopt;
}

std::string Shown(const char* unit, double value, double sd) { return fmt::format("{:.2f} ± {:.2f} {}", value, sd, unit); }

void PrintTrace(const VesselTrace& trace, int frame) {
  std::vector<std::vector<std::string>> rows = {{"frame", std::to_string(frame)}, {"method", kTraceMethod}};
  if (trace.pixel) {
    rows.push_back({"size of a pixel", fmt::format("{:.4f} ± {:.4f} mm ({})", trace.pixel->per_pixel.millimetres(), trace.pixel->sd.millimetres(), trace.pixel->method)});
  } else {
    rows.push_back({"size of a pixel", "not known: lengths are in pixels; give --catheter twice, or --pixel"});
  }
  if (trace.length) rows.push_back({"length in the picture", Shown("mm", trace.length->reading.value.millimetres(), trace.length->reading.sd->millimetres())});
  else rows.push_back({"length in the picture", Shown("pixels", trace.length_px, trace.length_sd_px)});
  if (trace.mean) rows.push_back({"mean diameter", Shown("mm", trace.mean->value.millimetres(), trace.mean->sd->millimetres())});
  if (trace.narrowing) {
    const Narrowing& n = *trace.narrowing;
    const double scale = trace.pixel->sd / trace.pixel->per_pixel;
    const auto diameter = [scale](Length value, Length sd) { return Shown("mm", value.millimetres(), std::hypot(sd.millimetres(), scale * value.millimetres())); };
    rows.push_back({"least diameter", diameter(n.least, n.least_sd) + fmt::format(", {:.1f} mm from the first point", n.at.millimetres())});
    rows.push_back({"reference there", diameter(n.reference, n.reference_sd)});
    rows.push_back({"diameter stenosis", fmt::format("{:.0f} ± {:.0f} %", n.stenosis_pct, n.stenosis_sd_pct)});
  }
  Print(Table(rows));
  if (trace.ask) {
    const char* why = trace.ask->two_routes ? "two routes cost nearly alike" : trace.ask->doubted_px > 0.0 ? "the edges are in doubt" : "the course turns sharply";
    Print(fmt::format("asks: give one more point on the vessel about {:.0f},{:.0f}, in its place among the others: {} there", trace.ask->at.x, trace.ask->at.y, why));
  }
  for (const std::string& warning : trace.warnings) Print("warning: " + warning);
}

Result<VesselTrace> TraceAsked(const TraceArguments& given, const Opened& opened) {
  const DarkFrame dark(opened.run, opened.bytes);
  TraceRequest request;
  auto through = ParsePlaces(given.through, "--through");
  if (!through.ok()) return through.error();
  auto healthy = ParseStretches(given.healthy);
  if (!healthy.ok()) return healthy.error();
  auto pixel = ScaleAsked(given, opened, dark.grey());
  if (!pixel.ok()) return pixel.error();
  request.through = std::move(*through), request.healthy = std::move(*healthy), request.pixel = std::move(*pixel);
  request.snap = !given.as_clicked;
  const Picture picture = AbsorptionOf(dark.grey(), InsideOf(opened.run));
  return TraceVessel(picture, VesselnessOf(picture), request);
}

}  // namespace

int TraceRun(const Arguments& arguments) {
  const std::string path = arguments.files.front().string();
  const auto opened = OpenFrame(path, arguments.trace.frame);
  if (!opened.ok()) return Fail(opened.error());
  auto trace = TraceAsked(arguments.trace, *opened);
  if (!trace.ok()) return Fail(trace.error().fault == Fault::kUsage ? trace.error() : Within(path, trace.error()));
  // Geometry that the file states wrongly decides the scale, unless the reader gave it.
  for (const RunRemark& remark : opened->run.remarks) {
    const bool scale_given = !arguments.trace.catheter.empty() || arguments.trace.pixel_mm > 0.0;
    if (remark.level == RemarkLevel::kWarning && !scale_given) trace->warnings.push_back(remark.text);
  }
  if (arguments.json) Print(TraceJson(*trace, opened->run.hash, opened->frame));
  else PrintTrace(*trace, opened->frame);
  return 0;
}

}  // namespace fairlead
