// SPDX-License-Identifier: Apache-2.0
#include "imaging/dicom/run_json.h"

#include <fmt/format.h>

#include <cmath>
#include <cstdint>
#include <string_view>

namespace fairlead {
namespace {

// Bytes of the well-formed UTF-8 sequence at the start of `text`; 0 if it is none (Unicode 15, table 3-7).
std::size_t SequenceLength(std::string_view text) {
  const auto byte = [&](std::size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U; };
  const auto follows = [&](std::size_t i) { return (byte(i) & 0xC0U) == 0x80U; };
  const unsigned a = byte(0), b = byte(1);
  if (a < 0x80) return 1;
  if (a >= 0xC2 && a <= 0xDF) return follows(1) ? 2 : 0;
  if (a >= 0xE0 && a <= 0xEF) {
    const bool overlong = a == 0xE0 && b < 0xA0, surrogate = a == 0xED && b > 0x9F;
    return follows(1) && follows(2) && !overlong && !surrogate ? 3 : 0;
  }
  if (a < 0xF0 || a > 0xF4) return 0;
  const bool outside = (a == 0xF0 && b < 0x90) || (a == 0xF4 && b > 0x8F);
  return follows(1) && follows(2) && follows(3) && !outside ? 4 : 0;
}

std::string Quoted(std::string_view text) {
  std::string quoted = "\"";
  while (!text.empty()) {
    const std::size_t length = SequenceLength(text);
    const char c = text.front();
    if (length == 0) quoted += "\xEF\xBF\xBD";
    else if (c == '"' || c == '\\') quoted += {'\\', c};
    else if (static_cast<unsigned char>(c) < 0x20 || c == '<') quoted += fmt::format("\\u{:04x}", static_cast<unsigned>(c));
    else quoted += text.substr(0, length);
    text.remove_prefix(length == 0 ? 1 : length);
  }
  return quoted + "\"";
}

// Shortest text that reads back as the same number; JSON has no other numbers than finite ones.
std::string Number(double value) { return std::isfinite(value) ? fmt::format("{}", value) : "null"; }

// A number of finite meaning: at most `digits` after the point.
std::string Rounded(double value, int digits) {
  const double scale = std::pow(10.0, digits);
  return Number(std::round(value * scale) / scale + 0.0);
}

template <typename List, typename Each>
std::string Listed(const List& list, Each each) {
  std::string text = "[";
  for (const auto& entry : list) {
    if (text.size() > 1) text += ',';
    text += each(entry);
  }
  return text + "]";
}

std::string ViewJson(const std::optional<ViewAngles>& view) {
  if (!view) return "null";
  return fmt::format(R"({{"primary_deg":{},"secondary_deg":{},"text":{}}})", Rounded(view->primary.degrees(), 3),
                     Rounded(view->secondary.degrees(), 3), Quoted(ViewText(*view)));
}

std::string LengthJson(const std::optional<Length>& length) { return length ? Rounded(length->millimetres(), 3) : "null"; }

std::string SpacingJson(const std::optional<PixelSpacing>& spacing) {
  if (!spacing) return "null";
  return fmt::format("[{},{}]", Rounded(spacing->row.millimetres(), 6), Rounded(spacing->column.millimetres(), 6));
}

std::string ShutterJson(const std::optional<Shutter>& s) {
  if (!s) return "null";
  return fmt::format(R"({{"left":{},"right":{},"top":{},"bottom":{}}})", s->left, s->right, s->top, s->bottom);
}

std::string PixelSizeJson(const std::optional<GeometricPixelSize>& size) {
  if (!size) return "null";
  return fmt::format(R"({{"mm_per_px":{},"sd_mm_per_px":{},"method":{}}})", Rounded(size->per_pixel.millimetres(), 6),
                     Rounded(size->sd.millimetres(), 6), Quoted(size->method));
}

std::string RemarkJson(const RunRemark& remark) {
  return fmt::format(R"({{"level":"{}","text":{}}})", remark.level == RemarkLevel::kWarning ? "warning" : "note", Quoted(remark.text));
}

}  // namespace

std::string RunJson(const Run& run) {
  std::string json = fmt::format(
      R"({{"hash":{},"modality":{},"kind":{},"transfer_syntax":{{"uid":{},"name":{}}},"rows":{},"columns":{},"frames":{},"samples":{},"bits":{},"bits_stored":{},"inverse":{})",
      Quoted(run.hash), Quoted(run.modality), Quoted(KindText(run.kind)), Quoted(run.transfer_syntax_uid), Quoted(run.transfer_syntax_name),
      run.rows, run.columns, run.frames, run.samples, run.bits, run.bits_stored, run.inverse);
  json += fmt::format(R"(,"frame_ms":{},"timing":{},"rate_hz":{})", Listed(run.frame_ms, [](double ms) { return Rounded(ms, 4); }),
                      Quoted(run.timing), Rounded(run.rate_hz, 4));
  json += fmt::format(R"(,"view":{},"sid_mm":{},"sod_mm":{},"detector_spacing_mm":{},"spacing_from":{})", ViewJson(run.view),
                      LengthJson(run.source_to_detector), LengthJson(run.source_to_isocentre), SpacingJson(run.detector_spacing),
                      Quoted(run.spacing_from));
  json += fmt::format(R"(,"window":{{"center":{},"width":{}}},"shutter":{},"pixel_size":{})", Number(run.window.center), Number(run.window.width),
                      ShutterJson(run.shutter), PixelSizeJson(run.pixel_size));
  if (run.ultrasound) {
    json += fmt::format(R"(,"ultrasound":{{"spacing_mm":[{},{}],"region":{},"from":{},"pullback_mm_s":{}}})", Rounded(run.ultrasound->spacing.row.millimetres(), 6),
                        Rounded(run.ultrasound->spacing.column.millimetres(), 6), ShutterJson(run.ultrasound->region), Quoted(run.ultrasound->from),
                        run.pullback_mm_s > 0.0 ? Rounded(run.pullback_mm_s, 4) : "null");
  }
  json += fmt::format(R"(,"filling":{},"remarks":{}}})", Listed(run.filling, [](double f) { return Rounded(f, 4); }), Listed(run.remarks, RemarkJson));
  return json;
}

}  // namespace fairlead
