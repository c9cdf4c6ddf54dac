// SPDX-License-Identifier: Apache-2.0
// egfr, contrast, heparin: small calculators, each with its source.
#include <fmt/core.h>

#include <charconv>
#include <cmath>

#include "front/cli/commands.h"
#include "front/cli/terminal.h"
#include "front/server/json_text.h"
#include "reasoning/budget/heparin.h"
#include "reasoning/budget/kidney.h"

namespace fairlead {
namespace {

constexpr std::string_view kCaution = "For trained operators; local protocols and the responsible physician decide.";
constexpr std::string_view kEquation = "CKD-EPI 2021 creatinine";
constexpr double kNoRatioBelow = 15.0;  // eGFR; as in dialysis a ratio says nothing. Practice, no source

// "80kg", "80 kg", "80".
Result<std::optional<double>> NumberWith(const std::string& text, std::string_view unit, const char* where) {
  if (text.empty()) return std::optional<double>();
  double number = 0.0;
  const char* end = text.data() + text.size();
  auto [rest, code] = std::from_chars(text.data(), end, number);
  while (rest != end && *rest == ' ') ++rest;
  std::string typed(rest, end);
  for (char& c : typed) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c;
  if (code == std::errc() && std::isfinite(number) && (typed.empty() || typed == unit)) return std::optional(number);
  return Error{"\"" + text.substr(0, 40) + "\" is no number in " + std::string(unit), where, "type it as 80" + std::string(unit), Fault::kUsage};
}

Result<Kidney> ReadKidney(const KidneyArguments& given) {
  if (given.creatinine.empty() || !given.age || given.sex.empty())
    return Error{"creatinine, age and sex are needed", "", "add --creatinine 1.10mg/dL --age 67 --sex female", Fault::kUsage};
  Kidney kidney;
  auto creatinine = ReadCreatinine(given.creatinine);
  if (!creatinine.ok()) return creatinine.error();
  kidney.creatinine_mg_dl = *creatinine;
  kidney.age_years = *given.age;
  if (given.sex != "female" && given.sex != "male" && given.sex != "F" && given.sex != "M")
    return Error{"\"" + given.sex.substr(0, 40) + "\" is not what the equation knows", "--sex", "type female or male"};
  kidney.sex = given.sex == "female" || given.sex == "F" ? Sex::kFemale : Sex::kMale;
  auto weight = NumberWith(given.weight, "kg", "--weight");
  if (!weight.ok()) return weight.error();
  auto height = NumberWith(given.height, "cm", "--height");
  if (!height.ok()) return height.error();
  kidney.weight_kg = *weight;
  kidney.height_cm = *height;
  if (auto fine = CheckKidney(kidney); !fine.ok()) return fine.error();
  return kidney;
}

void WriteSource(JsonText& json, std::string_view id) {
  const Source* source = FindSource(id);
  json.Open('{').Member("id", id).Member("citation", source == nullptr ? "" : source->citation);
  json.Member("doi", source == nullptr ? "" : source->doi).Close('}');
}

void WriteVolumes(JsonText& json, std::string_view name, double function) {
  json.Key(name).Open('[');
  for (const double ratio : kContrastRatios)
    json.Open('{').Member("ratio", ratio).Member("contrast_ml", ratio * function).Close('}');
  json.Close(']');
}

struct Shares {
  double egfr = 0.0;
  std::optional<double> clearance, contrast_ml, iodine_mg_ml;
  std::optional<WeightRule> by_weight;
  bool no_ratio = false;
};

void WriteRatios(JsonText& json, const Shares& shares) {
  const auto ratio = [&](std::string_view name, std::optional<double> function) {
    if (!function) return;
    json.Member(name, *shares.contrast_ml / *function);
  };
  json.Member("contrast_ml", *shares.contrast_ml);
  ratio("contrast_to_egfr", shares.egfr);
  ratio("contrast_to_clearance", shares.clearance);
  json.Member("band", ContrastBandOf(*shares.contrast_ml / shares.egfr));
  if (shares.iodine_mg_ml) {
    const double grams = *shares.contrast_ml * *shares.iodine_mg_ml / 1000.0;
    json.Member("iodine_g", grams).Member("iodine_g_to_egfr", grams / shares.egfr);
  }
  if (shares.by_weight) json.Member("contrast_to_weight_rule", *shares.contrast_ml / shares.by_weight->ml);
}

std::string ContrastJson(const Shares& shares) {
  JsonText json;
  json.Open('{').Member("egfr", shares.egfr).Key("clearance_ml_min");
  shares.clearance ? json.Number(*shares.clearance) : json.Null();
  json.Member("no_ratio", shares.no_ratio);
  if (!shares.no_ratio) {
    WriteVolumes(json, "volumes_egfr", shares.egfr);
    if (shares.clearance) WriteVolumes(json, "volumes_clearance", *shares.clearance);
    if (shares.contrast_ml) WriteRatios(json, shares);
  }
  json.Key("weight_rule_ml");
  shares.by_weight ? json.Number(shares.by_weight->ml) : json.Null();
  json.Key("weight_rule_uncapped_ml");
  shares.by_weight ? json.Number(shares.by_weight->raw_ml) : json.Null();
  json.Key("findings").Open('[');
  for (const RatioFinding& finding : RatioFindings()) {
    json.Open('{').Member("ratio", finding.ratio).Member("of", finding.denominator).Member("found", finding.found).Key("source");
    WriteSource(json, finding.source.id);
    json.Close('}');
  }
  json.Close(']').Member("says", "a gradient, no threshold: cut-offs of 1.8 to 6.2 were published; nothing here means safe");
  json.Key("sources").Open('[');
  for (const char* id : {"ckd-epi-2021", "clearance-1976", "contrast-weight-1989"}) WriteSource(json, id);
  return json.Close(']').Close('}').Take();
}

void PrintContrast(const Shares& shares) {
  std::vector<std::vector<std::string>> rows = {{"", "mL/min", "x 2", "x 3", "x 3.7", "now"}};
  const auto row = [&](const char* name, double function) {
    std::vector<std::string> cells = {name, fmt::format("{:.0f}", function)};
    for (const double ratio : kContrastRatios) cells.push_back(fmt::format("{:.0f} mL", VolumeAtRatio(ratio, function)));
    cells.push_back(shares.contrast_ml ? fmt::format("{:.2f} x", *shares.contrast_ml / function) : "");
    rows.push_back(std::move(cells));
  };
  if (shares.no_ratio) {
    Print("kidney function below 15 or dialysis: a ratio says nothing here");
  } else {
    row("eGFR (per 1.73 m2)", shares.egfr);
    if (shares.clearance) row("clearance", *shares.clearance);
    Print(Table(rows));
  }
  if (shares.by_weight) Print(fmt::format("weight rule: {:.0f} mL", shares.by_weight->ml));
  Print("a gradient, no threshold: published cut-offs run from 1.8 to 6.2; nothing here means safe");
  Print(kCaution);
}

}  // namespace

int ShowEgfr(const Arguments& arguments) {
  auto kidney = ReadKidney(arguments.kidney);
  if (!kidney.ok()) return Fail(kidney.error());
  const double egfr = Egfr(*kidney);
  const EgfrBand band = EgfrSpread(*kidney);
  if (!arguments.json) {
    Print(fmt::format("eGFR {:.0f} mL/min/1.73 m2 ({}), about {:.0f} to {:.0f} by the spread of creatinine", egfr, kEquation, band.low, band.high));
    Print(fmt::format("{}; {}", FindSource("ckd-epi-2021")->citation, kCaution));
    return 0;
  }
  JsonText json;
  json.Open('{').Member("egfr", egfr).Member("low", band.low).Member("high", band.high);
  json.Member("equation", kEquation).Member("creatinine_mg_dl", kidney->creatinine_mg_dl).Key("clearance_ml_min");
  const auto clearance = Clearance(*kidney);
  clearance ? json.Number(*clearance) : json.Null();
  json.Key("source");
  WriteSource(json, "ckd-epi-2021");
  Print(json.Close('}').Take());
  return 0;
}

int ShowContrast(const Arguments& arguments) {
  const KidneyArguments& given = arguments.kidney;
  Shares shares;
  if (given.egfr) {
    if (!(*given.egfr >= 1 && *given.egfr <= 200)) return Fail(Error{"eGFR is outside 1 to 200", "--egfr", "look at it again"});
    shares.egfr = *given.egfr;
  } else {
    auto kidney = ReadKidney(given);
    if (!kidney.ok()) return Fail(kidney.error());
    shares.egfr = Egfr(*kidney);
    shares.clearance = Clearance(*kidney);
    shares.by_weight = ContrastByWeight(*kidney);
  }
  auto contrast = NumberWith(given.contrast, "ml", "--contrast");
  if (!contrast.ok()) return Fail(contrast.error());
  if (*contrast && !(**contrast >= 0 && **contrast <= 1500)) return Fail(Error{"contrast is outside 0 to 1500 mL", "--contrast", "look at it again"});
  if (given.iodine && !(*given.iodine >= 140 && *given.iodine <= 400)) return Fail(Error{"iodine is outside 140 to 400 mg/mL", "--iodine", "look at the bottle"});
  shares.contrast_ml = *contrast;
  shares.iodine_mg_ml = given.iodine;
  shares.no_ratio = given.dialysis || shares.egfr < kNoRatioBelow;
  if (arguments.json) Print(ContrastJson(shares));
  else PrintContrast(shares);
  return 0;
}

}  // namespace fairlead
