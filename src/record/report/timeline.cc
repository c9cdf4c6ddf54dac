// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "record/report/drawing.h"
#include "record/report/parts.h"

namespace fairlead {
namespace {

constexpr InkColour kText{30, 30, 30}, kPale{215, 220, 218}, kTrouble{170, 40, 40}, kCurve{30, 110, 100};
constexpr InkColour kBars[] = {{127, 168, 208}, {208, 174, 110}, {140, 190, 150}, {190, 150, 190}};  // by strategy
constexpr double kLeft = 130.0, kRight = 985.0, kWidth = 1000.0, kLetters = 15.0;

class Timeline {
 public:
  Timeline(const RunState& run, Duration zone) : run_(run), zone_(zone) {}

  KeyPicture Draw() {
    picture_.title = "Timeline of the visit";
    picture_.wide = true, picture_.width = kWidth;
    const RunSession* session = PresentSession(run_);
    if (session == nullptr) {
      picture_.missing = "no visit is logged";
      return std::move(picture_);
    }
    zero_ = session->access.value_or(session->start);
    end_ = std::max(session->end.value_or(run_.last_at), zero_ + Duration::Minutes(1.0));
    double y = 26.0;
    Attempts(y);
    Curve(y, "Contrast", "mL", run_.contrast);
    Curve(y, "Air kerma", "Gy", run_.air_kerma.sums);
    std::vector<At<double>> acts;
    for (const auto& act : run_.acts) acts.push_back({act.value.seconds, act.at, act.entry});
    Curve(y, "ACT", "s", acts);
    Axis(y);
    Troubles(y);
    picture_.height = y + 42.0 + 22.0 * static_cast<double>(run_.troubles.empty() ? 0 : 1);
    return std::move(picture_);
  }

 private:
  double X(Instant at) const { return kLeft + std::clamp((at - zero_).minutes() / (end_ - zero_).minutes(), 0.0, 1.0) * (kRight - kLeft); }
  std::string Clock(Instant at) const { return ToIso(at + zone_).substr(11, 5); }
  void Say(double x, double y, std::string text, InkColour colour = kText) { picture_.words.push_back({{x, y}, std::move(text), kLetters, colour, false}); }
  void Line(double x0, double y0, double x1, double y1, InkColour colour, double width) { picture_.shapes.push_back({{{x0, y0}, {x1, y1}}, colour, width, false, false}); }
  void Box(double x0, double y0, double x1, double y1, InkColour colour) { picture_.shapes.push_back({{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}, colour, 0.0, true, false}); }

  // One row for each strategy that was used.
  void Attempts(double& y) {
    for (const Strategy strategy : {Strategy::kAntegradeWiring, Strategy::kAntegradeDissection, Strategy::kRetrogradeWiring, Strategy::kRetrogradeDissection}) {
      if (std::ranges::none_of(run_.attempts, [strategy](const RunAttempt& each) { return each.strategy == strategy; })) continue;
      Say(6.0, y + 15.0, std::string(StrategyWord(strategy)));
      for (const RunAttempt& attempt : run_.attempts) {
        if (attempt.strategy != strategy) continue;
        const Instant end = attempt.end.value_or(end_);
        const double from = X(attempt.start), to = std::max(X(end), from + 1.5);
        Box(from, y, to, y + 20.0, kBars[static_cast<std::size_t>(strategy)]);
        for (const PhaseSpan& phase : attempt.phases) Line(X(phase.start), y, X(phase.start), y + 20.0, kText, 0.6);
        const std::string says = fmt::format("{:.0f} min{}", (end - attempt.start).minutes(), attempt.ended == AttemptEnd::kCrossed ? ", crossed" : "");
        if (to - from > 8.2 * static_cast<double>(says.size())) Say(from + 4.0, y + 15.0, says);
      }
      y += 25.0;
    }
    y += 6.0;
  }

  // Steps of a running value, or its readings, against its own scale from zero.
  void Curve(double& y, const char* name, const char* unit, const std::vector<At<double>>& values) {
    constexpr double kHeight = 52.0;
    constexpr std::size_t kMostNumbers = 15;
    double most = 0.0;
    for (const auto& each : values)
      if (each.at >= zero_) most = std::max(most, each.value);
    if (most <= 0.0) return;
    Say(6.0, y + 18.0, name);
    Say(6.0, y + 36.0, fmt::format("to {:.3g} {}", most, unit));
    Line(kLeft, y + kHeight, kRight, y + kHeight, kPale, 1.0);
    PictureShape steps{{}, kCurve, 2.0, false, false};
    double before = y + kHeight;
    const bool runs = std::string_view(unit) != "s";
    for (const auto& each : values) {
      if (each.at < zero_) continue;
      const double at = y + kHeight * (1.0 - each.value / most);
      if (runs) {
        steps.points.push_back({X(each.at), before});
      } else {
        Box(X(each.at) - 3.0, at - 3.0, X(each.at) + 3.0, at + 3.0, kCurve);
        if (values.size() <= kMostNumbers) Say(std::min(X(each.at) + 6.0, kRight - 30.0), at + 16.0, fmt::format("{:.0f}", each.value));
      }
      steps.points.push_back({X(each.at), at});
      before = at;
    }
    if (runs) steps.points.push_back({X(end_), before});
    if (steps.points.size() > 1) picture_.shapes.push_back(std::move(steps));
    y += kHeight + 12.0;
  }

  void Axis(double& y) {
    Line(kLeft, y, kRight, y, kText, 1.0);
    const double minutes = (end_ - zero_).minutes();
    double step = 5.0;
    for (const double each : {10.0, 15.0, 30.0, 60.0, 120.0, 240.0})
      if (minutes / step > 12.0) step = each;
    for (double at = 0.0; at <= minutes; at += step) {
      const double x = X(zero_ + Duration::Minutes(at));
      Line(x, y, x, y + 5.0, kText, 1.0);
      Say(std::min(x - 18.0, kRight - 40.0), y + 20.0, Clock(zero_ + Duration::Minutes(at)));
    }
    Say(6.0, y + 20.0, "since");
    Say(6.0, y + 36.0, "puncture");
  }

  void Troubles(double y) {
    for (const Trouble& trouble : run_.troubles) {
      const double x = X(trouble.at);
      Line(x, 22.0, x, y, kTrouble, 1.6);
      const double width = 8.4 * static_cast<double>(trouble.kind.size());
      Say(std::max(kLeft, std::min(x + 4.0, kRight - width)), 17.0, trouble.kind, kTrouble);
    }
  }

  const RunState& run_;
  Duration zone_;
  Instant zero_, end_;
  KeyPicture picture_;
};

}  // namespace

KeyPicture TimelinePicture(const RunState& run, Duration zone) { return Timeline(run, zone).Draw(); }

}  // namespace fairlead
