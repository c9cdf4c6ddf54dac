// SPDX-License-Identifier: Apache-2.0
// heparin: the forecast of one patient's ACT from doses and samples, without a case.
#include <fmt/core.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>

#include "front/cli/commands.h"
#include "front/cli/terminal.h"
#include "front/server/json_text.h"
#include "reasoning/budget/heparin.h"

namespace fairlead {
namespace {

constexpr std::string_view kCaution =
    "A sample is worth more than a forecast. For trained operators; local protocols and the responsible physician decide.";
constexpr double kTargetHigh_s = 300.0, kTargetLow_s = 250.0;  // antegrade; practice, no source
constexpr double kSlopeHigh = 1.6, kSlopeLow = 1.13;           // s per IU/kg; see docs/methods-run.md

std::optional<double> WholeNumber(std::string_view text) {
  double number = 0.0;
  const auto [rest, code] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (code != std::errc() || rest != text.data() + text.size() || !std::isfinite(number)) return std::nullopt;
  return number;
}

struct Timed {
  double from = 0.0;
  std::optional<double> to;
  std::string_view value;
};

// "10:8000", "10-60:1000"; a minute may be negative.
Result<Timed> ReadTimed(const std::string& text, const char* where, bool span) {
  const std::string_view whole(text);
  const std::size_t colon = whole.find(':');
  const std::string_view head = whole.substr(0, colon);
  const std::size_t dash = span ? head.find('-', 1) : std::string_view::npos;
  const auto from = WholeNumber(head.substr(0, dash));
  const auto to = dash == std::string_view::npos ? std::nullopt : WholeNumber(head.substr(dash + 1));
  if (colon == std::string_view::npos || !from || (span && !to))
    return Error{"\"" + text.substr(0, 40) + "\" is not understood", where, span ? "type FROM-TO:IU an hour, 10-60:1000" : "type MINUTE:VALUE, 10:310", Fault::kUsage};
  return Timed{*from, to, whole.substr(colon + 1)};
}

Result<double> ReadAmount(std::string_view text, const char* where, double low, double high) {
  const auto number = WholeNumber(text);
  if (number && *number >= low && *number <= high) return *number;
  return Error{"\"" + std::string(text.substr(0, 40)) + "\" is no number that can be", where, fmt::format("it lies between {:.0f} and {:.0f}", low, high)};
}

Status ReadDoses(const HeparinArguments& given, double kg, HeparinCourse& course) {
  for (const std::string& text : given.doses) {
    auto dose = ReadTimed(text, "--dose", false);
    if (!dose.ok()) return dose.error();
    auto units = ReadAmount(dose->value, "--dose", 50, 60000);
    if (!units.ok()) return units.error();
    course.boluses.push_back({dose->from, *units / kg});
  }
  for (const std::string& text : given.drips) {
    auto drip = ReadTimed(text, "--drip", true);
    if (!drip.ok()) return drip.error();
    auto units = ReadAmount(drip->value, "--drip", 0, 10000);
    if (!units.ok()) return units.error();
    course.drips.push_back({drip->from, *drip->to, *units / kg / 60.0});
  }
  return Done{};
}

Status ReadSamples(const HeparinArguments& given, HeparinCourse& course) {
  for (const std::string& text : given.acts) {
    auto act = ReadTimed(text, "--act", false);
    if (!act.ok()) return act.error();
    if (act->value == "high") {
      course.samples.push_back({act->from, 500, true});
      continue;
    }
    auto seconds = ReadAmount(act->value, "--act", 60, 1000);
    if (!seconds.ok()) return seconds.error();
    course.samples.push_back({act->from, *seconds, false});
  }
  return Done{};
}

void WriteQuantiles(JsonText& json, std::string_view name, const Quantiles& q, double scale = 1.0) {
  json.Key(name).Open('{').Member("p5", q.p5 * scale).Member("p25", q.p25 * scale).Member("p50", q.p50 * scale);
  json.Member("p75", q.p75 * scale).Member("p95", q.p95 * scale).Close('}');
}

std::string HeparinJson(const HeparinForecast& forecast, double target_s, double kg) {
  JsonText json;
  json.Open('{').Member("target_s", target_s);
  WriteQuantiles(json, "act_now_s", forecast.act_now);
  WriteQuantiles(json, "act_in_30_s", forecast.act_in_30);
  WriteQuantiles(json, "measured_in_30_s", forecast.measured_in_30);
  json.Key("chance_below_target").Open('{').Member("now", forecast.below_now).Member("in_15_min", forecast.below_in_15);
  json.Member("in_30_min", forecast.below_in_30).Close('}');
  if (forecast.minutes_to_target) WriteQuantiles(json, "minutes_to_target", *forecast.minutes_to_target);
  else json.Key("minutes_to_target").Null();
  json.Member("next_sample_in_min", forecast.sample_due_min);
  WriteQuantiles(json, "to_target_iu_kg", forecast.top_up);
  WriteQuantiles(json, "to_target_iu", forecast.top_up, kg);
  json.Member("left_iu", forecast.per_kg_left * kg);
  json.Key("likeliest").Open('{').Member("log_slope", forecast.log_slope).Member("log_rate", forecast.log_rate).Close('}');
  json.Member("samples_used", forecast.used).Member("samples_not_mixed", forecast.too_early);
  json.Member("suspect_sample", forecast.suspect).Member("outside_model", forecast.outside);
  json.Member("says", "arithmetic on a model, not a dose to give");
  json.Key("sources").Open('[').Text("heparin-2012").Text("heparin-1975").Text("heparin-2015").Close(']');
  return json.Close('}').Take();
}

void PrintForecast(const HeparinForecast& forecast, double target_s) {
  const auto range = [](const Quantiles& q) { return fmt::format("{:.0f} ({:.0f} to {:.0f})", q.p50, q.p5, q.p95); };
  Print(fmt::format("ACT now {} s, in 30 min {} s; chance to be under {:.0f} s: {:.0f} % now, {:.0f} % in 15, {:.0f} % in 30 min",
                    range(forecast.act_now), range(forecast.act_in_30), target_s, 100 * forecast.below_now, 100 * forecast.below_in_15,
                    100 * forecast.below_in_30));
  if (forecast.minutes_to_target) Print(fmt::format("under it in {} min; next sample in {:.0f} min", range(*forecast.minutes_to_target), forecast.sample_due_min));
  if (forecast.suspect) Print("a sample does not fit any patient: sample, line or analyser?");
  if (forecast.outside) Print("this patient lies outside the model: go by the samples");
  Print(kCaution);
}

}  // namespace

int ShowHeparin(const Arguments& arguments) {
  const HeparinArguments& given = arguments.heparin;
  std::string_view weight(given.weight);
  if (weight.ends_with("kg")) weight.remove_suffix(2);
  auto kg = ReadAmount(weight, "--weight", 25, 350);
  if (!kg.ok()) return Fail(kg.error());
  HeparinCourse course;
  const bool high = given.analyser == "H";
  course.scale.slope = high ? kSlopeHigh : kSlopeLow;
  if (given.baseline && !(*given.baseline >= 60 && *given.baseline <= 250)) return Fail(Error{"a baseline is 60 to 250 s", "--baseline", "look at it again"});
  if (given.baseline) course.scale = {course.scale.slope, *given.baseline, 0.0};
  if (auto read = ReadDoses(given, *kg, course); !read.ok()) return Fail(read.error());
  if (auto read = ReadSamples(given, course); !read.ok()) return Fail(read.error());
  std::ranges::stable_sort(course.boluses, {}, &HeparinBolus::at_min);
  std::ranges::stable_sort(course.samples, {}, &ActSample::at_min);
  const double target_s = given.target.value_or(high ? kTargetHigh_s : kTargetLow_s);
  auto forecast = ForecastAct(course, *given.now, target_s);
  if (!forecast.ok()) return Fail(forecast.error());
  if (arguments.json) Print(HeparinJson(*forecast, target_s, *kg));
  else PrintForecast(*forecast, target_s);
  return 0;
}

}  // namespace fairlead
