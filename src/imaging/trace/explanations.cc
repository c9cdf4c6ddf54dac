// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/explanations.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <utility>

namespace fairlead {
namespace {

// All chosen on phantoms of seeds from 11001 (docs/methods-trace.md).
constexpr std::size_t kEvery = 3;         // lines: so often two lumens are sought anew; those between take them from a neighbour
constexpr double kWorthPassing = 0.3;     // gain from which a neighbour is asked
constexpr double kSame = 0.3;             // pixels in which two explanations are one
constexpr double kMostMove = 4.0;         // pixels that ours may lie outside what the chain holds for the lumen
constexpr double kLeastRadius = 0.6;      // pixels, of a lumen to begin with
constexpr double kNotRound = 0.03;        // of the vessel's depth
// How wide each of two lumens upon each other may be to begin with, of what they look like as one.
constexpr std::array<std::pair<double, double>, 4> kShares = {{{0.5, 0.5}, {0.75, 0.75}, {0.7, 0.35}, {0.35, 0.7}}};

struct Section {
  Line line;
  SectionStart start;
  std::vector<Explanation> all;
  std::vector<SectionFit> pair;           // the two lumens that leave least over, each once as ours
  double alone = 0.0;                     // what one lumen leaves over at least
  bool cut_off = false;
};

double LeftOver(const std::vector<SectionFit>& pair) { return pair.empty() ? std::numeric_limits<double>::infinity() : pair.front().squares; }

double DepthSquared(const Section& section) {
  const SectionFit& alone = section.all.front().fit;
  return std::max(1e-12, std::pow(2.0 * alone.radius * alone.darkness, 2));
}

// `not_round`: the square of what the model of one lumen is off by, of the depth. That speaks neither for one lumen nor for two.
double GainOf(const Section& section, double left, double not_round) {
  const double off = not_round * DepthSquared(section);
  return std::log((section.alone + off) / (left + off));
}

// No lumen is as round as the model, and a display that sharpens edges makes every vessel look like two: what two lumens explain of the
// quarter of all sections where they explain least is no second vessel.
double NotRound(std::span<const Section> sections) {
  std::vector<double> explained;
  for (std::size_t l = 0; l < sections.size(); l += kEvery) {
    explained.push_back(sections[l].pair.empty() ? 0.0 : std::max(0.0, sections[l].alone - sections[l].pair.front().squares) / DepthSquared(sections[l]));
  }
  const auto quarter = explained.begin() + static_cast<std::ptrdiff_t>(explained.size() / 4);
  std::nth_element(explained.begin(), quarter, explained.end());
  return std::max(kNotRound * kNotRound, *quarter);
}

// A third of what lies inside the lumen (chosen).
bool CutOff(const Section& section, double darkest) {
  constexpr double kShare = 0.33, kAlmost = 1e-3;
  const int middle = static_cast<int>(std::lround((section.start.middle + section.line.reach) / section.line.step)), half = std::max(1, static_cast<int>(section.start.radius / section.line.step));
  int inside = 0, cut = 0;
  for (int i = std::max(0, middle - half); i <= std::min(middle + half, static_cast<int>(section.line.values.size()) - 1); ++i) {
    ++inside, cut += static_cast<double>(section.line.values[static_cast<std::size_t>(i)]) >= darkest - kAlmost * std::abs(darkest) ? 1 : 0;
  }
  return static_cast<double>(cut) > kShare * static_cast<double>(inside);
}

class Explainer {
 public:
  Explainer(const SectionFitter& fitter, double darkest) : fitter_(fitter), beyond_(BackgroundBeyond(fitter.blur())), darkest_(darkest) {}

  Section Alone(const Line& line, const SectionStart& start) const {
    Section section{line, start, {}, {}, 0.0, false};
    section.cut_off = CutOff(section, darkest_);
    section.all.push_back({fitter_.Refined(line, start.middle, start.radius, beyond_), 1, 0.0});
    section.alone = fitter_.LeftIfBent(line, {start.middle, start.radius}, beyond_, section.all.front().fit);
    return section;
  }

  // A second lumen beside ours, and ours as two upon each other.
  void SeekTwo(Section& section) const {
    if (section.cut_off) return;
    const SectionFit alone = section.all.front().fit;
    if (const auto other = fitter_.OtherBeside(section.line, alone, beyond_)) Add(section, Fitted(section, {{{alone.middle, alone.radius}, *other}}));
    std::vector<SectionFit> best;
    for (const auto& [left, right] : kShares) {
      const double a = left * alone.radius, b = right * alone.radius;
      if (std::min(a, b) < kLeastRadius) continue;
      auto pair = Fitted(section, {{{alone.middle - (alone.radius - a), a}, {alone.middle + (alone.radius - b), b}}});
      if (LeftOver(pair) < LeftOver(best)) best = std::move(pair);
    }
    Add(section, std::move(best));
  }

  // What a neighbour is made of, where that is worth while and not known here already.
  void FromNeighbour(const Section& neighbour, Section& section) const {
    if (section.cut_off || neighbour.pair.empty() || GainOf(neighbour, LeftOver(neighbour.pair), kNotRound * kNotRound) < kWorthPassing) return;
    const SectionFit &one = neighbour.pair[0], &other = neighbour.pair[1];
    auto pair = Fitted(section, {{{one.middle, one.radius}, {other.middle, other.radius}}});
    if (pair.empty()) return;
    const auto same = [&](const Explanation& e) { return e.lumens == 2 && std::hypot(e.fit.middle - pair[0].middle, e.fit.radius - pair[0].radius) < kSame; };
    if (std::none_of(section.all.begin(), section.all.end(), same)) Add(section, std::move(pair));
  }

 private:
  std::vector<SectionFit> Fitted(const Section& section, const std::array<OtherShadow, 2>& lumens) const {
    return fitter_.Together(section.line, {section.start.middle, section.start.radius}, beyond_, lumens);
  }
  static void Add(Section& section, std::vector<SectionFit> pair) {
    for (const SectionFit& fit : pair) {
      if (std::abs(fit.middle - section.start.middle) <= kMostMove + section.start.radius) section.all.push_back({fit, 2, 0.0});
    }
    if (LeftOver(pair) < LeftOver(section.pair)) section.pair = std::move(pair);
  }

  const SectionFitter& fitter_;
  double beyond_, darkest_;
};

}  // namespace

std::vector<std::vector<Explanation>> ExplanationsOf(const Straightened& straight, const SectionFitter& fitter, std::span<const SectionStart> chain, double darkest) {
  const Explainer explainer(fitter, darkest);
  std::vector<Section> sections;
  for (std::size_t l = 0; l < chain.size(); ++l) {
    sections.push_back(explainer.Alone(straight.At(static_cast<int>(l)), chain[l]));
    if (l % kEvery == 0) explainer.SeekTwo(sections.back());
  }
  for (std::size_t l = 1; l < sections.size(); ++l) explainer.FromNeighbour(sections[l - 1], sections[l]);
  for (std::size_t l = sections.size(); l-- > 1;) explainer.FromNeighbour(sections[l], sections[l - 1]);
  const double not_round = NotRound(sections);
  std::vector<std::vector<Explanation>> all;
  for (Section& section : sections) {
    for (Explanation& e : section.all) e.gain = e.lumens > 1 ? GainOf(section, e.fit.squares, not_round) : 0.0;
    all.push_back(std::move(section.all));
  }
  return all;
}

}  // namespace fairlead
