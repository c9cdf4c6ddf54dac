// SPDX-License-Identifier: Apache-2.0
#include "reasoning/dose/followup.h"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace fairlead {
namespace {

constexpr double kNoEnd = std::numeric_limits<double>::infinity();
// "skin-effects-2011"_source. Prompt below 2 weeks, early 2 to 8 weeks, mid-term 6 to 52 weeks, long-term above 40 weeks.
constexpr std::array<SkinBand, 5> kBands{{
    {"A1", 0, 2, "none", "none", "none", "none"},
    {"A2", 2, 5, "transient redness", "hair loss", "hair returns", "none"},
    {"B", 5, 10, "transient redness", "redness, hair loss", "recovery; at the upper end lasting redness, partial permanent hair loss",
     "recovery; at the upper end thin or hard skin"},
    {"C", 10, 15, "transient redness", "redness, hair loss, dry or moist peeling that heals", "lasting redness, permanent hair loss",
     "visible small vessels, thin or hard skin, weak skin"},
    {"D", 15, kNoEnd, "transient redness; at very high dose swelling and ulcer", "redness, moist peeling",
     "thin skin, secondary ulcer, dead tissue; surgery likely", "visible small vessels, thin or hard skin, late breakdown, lasting wound; surgery likely"},
}};

std::string Say(const char* format, double a, double b) { return fmt::format(fmt::runtime(format), a, b); }

constexpr std::string_view kSubstantial = "record the reason, tell the patient, plan a look at the skin";
constexpr std::string_view kPhysicist = "a physicist works out the skin dose; a look at the skin at 2 to 4 weeks";

double PerGyCm2(double copper_mm) {
  // "effective-dose-filter-2017"_source
  constexpr std::array<std::array<double, 2>, 4> kRows{{{0.0, 0.16}, {0.1, 0.27}, {0.4, 0.34}, {0.9, 0.40}}};
  std::size_t i = 0;
  while (i + 2 < kRows.size() && copper_mm >= kRows[i + 1][0]) ++i;
  const double t = std::clamp((copper_mm - kRows[i][0]) / (kRows[i + 1][0] - kRows[i][0]), 0.0, 1.0);
  return kRows[i][1] + t * (kRows[i + 1][1] - kRows[i][1]);
}

}  // namespace

std::span<const SkinBand> SkinBands() { return kBands; }

const SkinBand& BandOf(double gray) {
  if (gray > kBands.back().from) return kBands.back();
  std::size_t band = 0;
  while (band + 2 < kBands.size() && gray >= kBands[band + 1].from) ++band;
  return kBands[band];
}

std::vector<ReachedLevel> LevelsReached(const DoseTotals& totals) {
  std::vector<ReachedLevel> reached;
  const auto check = [&](const std::optional<double>& value, double level, const char* format, std::string_view asks, SourceId source) {
    if (value && *value >= level) reached.push_back({Say(format, *value, level), asks, source});
  };
  const SourceId substantial = "ncrp-168"_source;
  check(totals.kerma, 5.0, "air kerma {:.1f} Gy, level {:.0f} Gy", kSubstantial, substantial);
  check(totals.area_product, 500.0, "area product {:.0f} Gy cm2, level {:.0f} Gy cm2", kSubstantial, substantial);
  check(totals.minutes, 60.0, "fluoroscopy {:.0f} min, level {:.0f} min", kSubstantial, substantial);
  check(totals.peak_high, 3.0, "peak skin dose may be {:.1f} Gy, level {:.0f} Gy", kSubstantial, substantial);
  check(totals.kerma, 10.0, "air kerma {:.1f} Gy, level {:.0f} Gy", kPhysicist, "practice"_source);
  check(totals.peak_high, 15.0, "peak skin dose may be {:.0f} Gy, level {:.0f} Gy", "the local rule for events of high dose: within 24 h", "practice"_source);
  return reached;
}

std::vector<double> KermaStepsPassed(double before, double now) {
  // "dose-followup-2009"_source
  constexpr double kFirst = 3.0, kStep = 1.0, kMost = 100.0;
  std::vector<double> steps;
  for (double step = kFirst; step <= std::min(now, kMost); step += kStep) {
    if (step > before) steps.push_back(step);
  }
  return steps;
}

EffectiveDose EffectiveDoseOf(std::span<const IrradiationEvent> events, double area_product_gycm2) {
  double with_filter = 0.0, filtered = 0.0;
  for (const IrradiationEvent& event : events) {
    if (!event.copper || !event.area_product) continue;
    const double product = event.area_product->gray_square_centimetres();
    filtered += product;
    with_filter += product * PerGyCm2(event.copper->millimetres());
  }
  if (filtered > 0.0 && std::abs(filtered - area_product_gycm2) <= 0.02 * area_product_gycm2) {
    constexpr double kSpread = 0.05 / 0.25;  // of the published factors
    return {with_filter, with_filter * (1 - kSpread), with_filter * (1 + kSpread), true};
  }
  // "effective-dose-pci-2017"_source, and 0.21 without copper from "effective-dose-filter-2017"_source
  return {0.30 * area_product_gycm2, 0.21 * area_product_gycm2, 0.33 * area_product_gycm2, false};
}

std::string PatientAdvice(double peak, double high, bool estimated) {
  constexpr double kNothing = 2.0, kLook = 5.0;
  const std::string rough = estimated ? " This is a rough estimate, because parts of the machine's report were missing." : "";
  if (high < kNothing) return "The X-rays used in your procedure are not expected to mark your skin." + rough;
  std::string text = "During your procedure one area of skin, usually on the back, received more X-rays than usual: about " +
                     Say("{:.1f} Gy, perhaps up to {:.1f} Gy.", peak, high) + rough + " The area may become red or lose hair";
  text += high < kLook ? " for a while." : ", and at higher doses a sore can appear weeks later.";
  return text + " Ask somebody to look at your back two to four weeks from now, do not scratch or rub a mark, and call the department "
                "that treated you if you see one. Tell any doctor who looks at it about these X-rays. Your team and its medical physicist "
                "decide what else is needed.";
}

}  // namespace fairlead
