// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/section_fit.h"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <utility>

namespace fairlead {
namespace {

// Made once and never changed.
const BlurredChord& Chord() {
  static const BlurredChord chord;
  return chord;
}

struct Used {
  int first = 0, count = 0;
};

// Samples whose weight counts. The window follows the start, not the fit, so that the fit has one target.
Used WindowOf(const Line& line, double middle, double half) {
  const int last = static_cast<int>(line.values.size()) - 1;
  const int from = std::clamp(static_cast<int>(std::ceil((middle - half + line.reach) / line.step)), 0, last);
  const int to = std::clamp(static_cast<int>(std::floor((middle + half + line.reach) / line.step)), 0, last);
  return {from, std::max(0, to - from + 1)};
}

double PlaceOf(const Line& line, int index) { return index * line.step - line.reach; }

constexpr double kLeastRadius = 0.3;   // pixels
constexpr double kFar = 4.7;           // sd
constexpr std::array<double, 3> kOtherRadii = {2.0, 4.0, 8.0};
constexpr double kOtherStep = 1.0;     // pixels
constexpr double kOtherCaution = 4.0;
constexpr double kLeastUnlike = 1e-9;  // share of a shadow that ground and vessel cannot show: less is rounding
constexpr double kLeastSd = 0.01;      // of the vessel's depth
constexpr std::array<double, 7> kBentRadii = {0.75, 0.8, 0.84, 0.88, 0.92, 0.96, 1.0};  // of the radius by the straight model, which reads wide
constexpr int kRounds = 12;

constexpr int kMost = 11;              // parameters: five, and three for each other shadow

using Params = Eigen::Matrix<double, Eigen::Dynamic, 1, 0, kMost, 1>;
using Square = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, kMost, kMost>;
using Slopes = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, Eigen::Dynamic, kMost>;

// Background, slope, then middle, radius and darkness of each lumen, ours first.
constexpr int kGround = 2;
struct Model {
  const Line& line;
  Used used;
  double blur, origin;  // places are counted from `origin`, so that background and slope stay apart

  struct LumenOf {
    double blur;
    ChordOfRadius chord;
    double operator()(double t) const { return blur * chord(t / blur); }
  };
  LumenOf Lumen(double radius) const { return {blur, Chord().Of(radius / blur)}; }

  // Residuals and, if asked, their derivatives by the parameters.
  Eigen::VectorXd LeftOver(const Params& p, Slopes* slope) const {
    constexpr double kSmall = 0.02;  // pixels, for differences; wide against the table's steps
    Eigen::VectorXd rest(used.count);
    for (int i = 0; i < used.count; ++i) {
      const double place = PlaceOf(line, used.first + i);
      rest[i] = static_cast<double>(line.values[static_cast<std::size_t>(used.first + i)]) - p[0] - p[1] * (place - origin);
      if (slope != nullptr) (*slope)(i, 0) = 1.0, (*slope)(i, 1) = place - origin;
    }
    for (Eigen::Index k = kGround; k < p.size(); k += 3) {
      const LumenOf lumen = Lumen(p[k + 1]), wider = Lumen(p[k + 1] + kSmall), narrower = Lumen(p[k + 1] - kSmall);
      for (int i = 0; i < used.count; ++i) {
        const double t = PlaceOf(line, used.first + i) - p[k], chord = lumen(t);
        rest[i] -= p[k + 2] * chord;
        if (slope == nullptr) continue;
        (*slope)(i, k) = p[k + 2] * (lumen(t - kSmall) - lumen(t + kSmall)) / (2 * kSmall);
        (*slope)(i, k + 1) = p[k + 2] * (wider(t) - narrower(t)) / (2 * kSmall);
        (*slope)(i, k + 2) = chord;
      }
    }
    return rest;
  }
};

Eigen::VectorXd ValuesOf(const Model& model) {
  Eigen::VectorXd values(model.used.count);
  for (int i = 0; i < model.used.count; ++i) values[i] = static_cast<double>(model.line.values[static_cast<std::size_t>(model.used.first + i)]);
  return values;
}

// One, the distance from the origin, and what each of so many lumens of darkness 1 would show, filled in by PutLumen.
Eigen::MatrixXd ColumnsFor(const Model& model, Eigen::Index lumens) {
  Eigen::MatrixXd columns(model.used.count, kGround + lumens);
  for (int i = 0; i < model.used.count; ++i) columns(i, 0) = 1.0, columns(i, 1) = PlaceOf(model.line, model.used.first + i) - model.origin;
  return columns;
}

void PutLumen(const Model& model, const OtherShadow& lumen, Eigen::Index which, Eigen::MatrixXd& columns) {
  const Model::LumenOf of = model.Lumen(lumen.radius);
  for (int i = 0; i < model.used.count; ++i) columns(i, kGround + which) = of(PlaceOf(model.line, model.used.first + i) - lumen.middle);
}

// Background, slope and the darknesses by least squares.
Eigen::VectorXd SolveGreys(const Eigen::MatrixXd& columns, const Eigen::VectorXd& values) {
  Eigen::MatrixXd normal = columns.transpose() * columns;
  normal.diagonal().array() += 1e-9;
  return normal.ldlt().solve(columns.transpose() * values);
}

// The same as parameters, middles and radii held.
Params SolveGreys(const Model& model, std::span<const OtherShadow> lumens) {
  const auto n = static_cast<Eigen::Index>(lumens.size());
  Eigen::MatrixXd columns = ColumnsFor(model, n);
  for (Eigen::Index k = 0; k < n; ++k) PutLumen(model, lumens[static_cast<std::size_t>(k)], k, columns);
  const Eigen::VectorXd greys = SolveGreys(columns, ValuesOf(model));
  Params p(kGround + 3 * n);
  p.head(kGround) = greys.head(kGround);
  for (Eigen::Index k = 0; k < n; ++k) {
    p[kGround + 3 * k] = lumens[static_cast<std::size_t>(k)].middle, p[kGround + 3 * k + 1] = lumens[static_cast<std::size_t>(k)].radius;
    p[kGround + 3 * k + 2] = greys[kGround + k];
  }
  return p;
}

// Robust sd of the residuals: 1.4826 times their median size.
double RobustSd(const Eigen::VectorXd& rest) {
  std::vector<double> sizes;
  for (Eigen::Index i = 0; i < rest.size(); ++i) sizes.push_back(std::abs(rest[i]));
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  return 1.4826 * *middle;
}

Eigen::VectorXd TukeyWeights(const Eigen::VectorXd& rest, double sd) {
  Eigen::VectorXd weights(rest.size());
  for (Eigen::Index i = 0; i < rest.size(); ++i) {
    const double u = sd > 0.0 ? rest[i] / (kFar * sd) : 0.0;
    weights[i] = std::abs(u) < 1.0 ? (1.0 - u * u) * (1.0 - u * u) : 0.0;
  }
  return weights;
}

SectionFit Told(const Params& p, const Eigen::VectorXd& rest, const Eigen::VectorXd& weights) {
  SectionFit fit;
  fit.background = p[0], fit.slope = p[1], fit.middle = p[2], fit.radius = p[3], fit.darkness = p[4];
  for (Eigen::Index k = kGround + 3; k < p.size(); k += 3) fit.others.push_back({p[k], p[k + 1]});
  const double sum = weights.sum();
  fit.squares = rest.size() > 0 ? rest.squaredNorm() / static_cast<double>(rest.size()) : 0.0;
  fit.misfit = sum > 0.0 ? (weights.array() * rest.array().square()).sum() / sum : 0.0;
  fit.trusted = rest.size() > 0 ? static_cast<double>((weights.array() > 0.25).count()) / static_cast<double>(rest.size()) : 0.0;
  return fit;
}

// One damped Gauss-Newton descent, weights renewed each round.
struct Descent {
  Params p;
  Eigen::VectorXd rest, weights;
  Slopes slope;

  Descent(const Model& model, Params start) : p(std::move(start)), slope(model.used.count, p.size()) {
    rest = model.LeftOver(p, &slope);
    double damping = 1e-3;
    for (int round = 0; round < kRounds && damping <= 1e6; ++round) {
      // Without noise all is residual of the model; nothing of it may be put aside.
      weights = TukeyWeights(rest, std::max({1e-6, RobustSd(rest), kLeastSd * std::abs(p[4]) * 2.0 * p[3]}));
      const double moved = Step(model, damping);
      if (moved >= 0.0 && moved < 2e-3) break;
    }
  }

 private:
  // How far middles and radii moved; below 0 if the step was no better and was not taken.
  double Step(const Model& model, double& damping) {
    const Square normal = slope.transpose() * weights.asDiagonal() * slope;
    const Params pull = slope.transpose() * weights.asDiagonal() * rest;
    Square damped = normal;
    damped.diagonal() += damping * normal.diagonal() + Params::Constant(p.size(), 1e-12);
    Params step = damped.ldlt().solve(pull);
    double widest = 0.0;
    for (Eigen::Index k = kGround; k < p.size(); k += 3) widest = std::max({widest, std::abs(step[k]), std::abs(step[k + 1])});
    if (!step.allFinite()) return 0.0;
    if (widest > 0.6) step *= 0.6 / widest;
    Params next = p + step;
    for (Eigen::Index k = kGround; k < p.size(); k += 3) next[k + 1] = std::max(kLeastRadius, next[k + 1]);
    Slopes next_slope(model.used.count, p.size());
    const Eigen::VectorXd next_rest = model.LeftOver(next, &next_slope);
    const double before = (weights.array() * rest.array().square()).sum(), after = (weights.array() * next_rest.array().square()).sum();
    if (after > before) {
      damping *= 8.0;
      return -1.0;
    }
    damping = std::max(1e-6, damping * 0.2);
    p = next, rest = next_rest, slope = next_slope;
    return widest;
  }
};

// With what each sample does to middle and radius of the first lumen.
SectionFit ToldWhole(const Descent& found) {
  SectionFit fit = Told(found.p, found.rest, found.weights);
  Square normal = found.slope.transpose() * found.weights.asDiagonal() * found.slope;
  normal.diagonal().array() += 1e-9;
  // Of the inverse only the columns of middle and radius are wanted.
  const Eigen::Matrix<double, Eigen::Dynamic, 2, 0, kMost, 2> inverse = normal.ldlt().solve(Square::Identity(normal.rows(), normal.cols()).middleCols(kGround, 2));
  fit.influence = found.weights.asDiagonal() * (found.slope * inverse);
  fit.left_over.assign(found.rest.data(), found.rest.data() + found.rest.size());
  for (std::size_t i = 0; i < fit.left_over.size(); ++i) fit.left_over[i] *= std::sqrt(found.weights[static_cast<Eigen::Index>(i)]);
  return fit;
}

}  // namespace

SectionFit SectionFitter::Held(const Line& line, double middle, double radius, double beyond) const {
  const Model model{line, WindowOf(line, middle, radius + beyond), blur_, middle};
  if (model.used.count < 6) return {};
  const OtherShadow own{middle, radius};
  const Params p = SolveGreys(model, {&own, 1});
  return Told(p, model.LeftOver(p, nullptr), Eigen::VectorXd::Ones(model.used.count));
}

SectionFit SectionFitter::Refined(const Line& line, double middle, double radius, double beyond, std::span<const OtherShadow> others) const {
  const Model model{line, WindowOf(line, middle, radius + beyond), blur_, middle};
  if (model.used.count < 8 + 3 * static_cast<int>(others.size())) return {};
  std::vector<OtherShadow> lumens{{middle, radius}};
  lumens.insert(lumens.end(), others.begin(), others.end());
  return ToldWhole(Descent(model, SolveGreys(model, lumens)));
}

std::vector<SectionFit> SectionFitter::Together(const Line& line, const OtherShadow& about, double beyond, std::span<const OtherShadow> lumens) const {
  const Model model{line, WindowOf(line, about.middle, about.radius + beyond), blur_, about.middle};
  if (model.used.count < 8 + 3 * static_cast<int>(lumens.size())) return {};
  Descent found(model, SolveGreys(model, lumens));
  std::vector<SectionFit> roles;
  for (Eigen::Index k = kGround; k < found.p.size(); k += 3) {
    if (!(found.p[k + 2] > 0.0)) return {};
    for (Eigen::Index i = 0; i < 3 && k > kGround; ++i) std::swap(found.p[kGround + i], found.p[k + i]), found.slope.col(kGround + i).swap(found.slope.col(k + i));
    roles.push_back(ToldWhole(found));
  }
  return roles;
}

double SectionFitter::LeftIfBent(const Line& line, const OtherShadow& about, double beyond, const SectionFit& fit) const {
  const Model model{line, WindowOf(line, about.middle, about.radius + beyond), blur_, about.middle};
  const Eigen::VectorXd values = ValuesOf(model);
  double least = fit.squares;
  for (const double share : kBentRadii) {
    // Darkness as a cubic of the chord, which is 1 at its thickest.
    Eigen::MatrixXd columns(model.used.count, kGround + 3);
    columns.leftCols(kGround + 1) = ColumnsFor(model, 1);
    PutLumen(model, {fit.middle, share * fit.radius}, 0, columns);
    const double thickest = columns.col(kGround).maxCoeff();
    if (!(thickest > 0.0)) continue;
    columns.col(kGround) /= thickest;
    columns.col(kGround + 1) = columns.col(kGround).array().square();
    columns.col(kGround + 2) = columns.col(kGround).array().cube();
    const Eigen::VectorXd greys = SolveGreys(columns, values);
    const auto slope = [&](double chord) { return greys[kGround] + 2.0 * greys[kGround + 1] * chord + 3.0 * greys[kGround + 2] * chord * chord; };
    // A thicker chord is never lighter, and adds less than a thin one.
    if (slope(0.0) < slope(1.0) || std::min({slope(0.0), slope(0.25), slope(0.5), slope(0.75), slope(1.0)}) < 0.0) continue;
    least = std::min(least, (values - columns * greys).squaredNorm() / static_cast<double>(model.used.count));
  }
  return least;
}

std::optional<OtherShadow> SectionFitter::OtherBeside(const Line& line, const SectionFit& fit, double beyond) const {
  const Model model{line, WindowOf(line, fit.middle, fit.radius + beyond), blur_, fit.middle};
  const int count = model.used.count, every = std::max(1, static_cast<int>(std::lround(kOtherStep / line.step)));
  if (count < 16) return std::nullopt;
  // Greys are least squares, so only what ground and vessel cannot show of another shadow can explain what they leave over.
  Eigen::MatrixXd own = ColumnsFor(model, 1);
  PutLumen(model, {fit.middle, fit.radius}, 0, own);
  const Eigen::MatrixXd basis = own.householderQr().householderQ() * Eigen::MatrixXd::Identity(count, own.cols());
  Eigen::VectorXd rest = ValuesOf(model);
  rest -= basis * (basis.transpose() * rest).eval();
  const double alone = rest.squaredNorm();
  double least = alone;
  std::optional<OtherShadow> best;
  Eigen::VectorXd shade(2 * count - 1);  // by the distance from the other's middle
  for (const double radius : kOtherRadii) {
    const Model::LumenOf lumen = model.Lumen(radius);
    for (int i = 0; i < count; ++i) shade[count - 1 + i] = shade[count - 1 - i] = lumen(i * line.step);
    for (int at = 0; at < count; at += every) {
      const double middle = PlaceOf(line, model.used.first + at);
      if (std::abs(middle - fit.middle) < 0.5 * fit.radius) continue;  // that is ours
      const auto other = shade.segment(count - 1 - at, count);
      const double whole = other.squaredNorm(), unlike = whole - (basis.transpose() * other).squaredNorm(), alike = other.dot(rest);
      if (!(alike > 0.0) || !(unlike > kLeastUnlike * whole)) continue;
      const double left = alone - alike * alike / unlike;
      if (left < least) least = left, best = OtherShadow{middle, radius};
    }
  }
  // About a third of the samples are independent; three parameters more must earn their keep (Bayesian information).
  const double looks = model.used.count / 3.0;
  return looks * std::log(alone / std::max(least, 1e-12)) > 3.0 * std::log(looks) + kOtherCaution ? best : std::nullopt;
}

}  // namespace fairlead
