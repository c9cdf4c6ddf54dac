// SPDX-License-Identifier: Apache-2.0
#include "reasoning/views/advice.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "geometry/foreshortening.h"

namespace fairlead {
namespace {

constexpr double kApart = 20.0, kAway = 35.0;  // degrees; practice, no source
constexpr double kOffSpot = 0.5;               // of the peak; practice, no source
constexpr std::size_t kMostBest = 4;
constexpr float kNever = std::numeric_limits<float>::infinity();

double Between(const GantryAngles& a, const GantryAngles& b) {
  const Vec3 u = BeamOf(a), v = BeamOf(b);
  return std::atan2(Norm(Cross(u, v)), Dot(u, v)) * 180.0 / std::numbers::pi;
}

View UsualView(const GantryAngles& angles) {
  View view;
  view.primary = angles.primary;
  view.secondary = angles.secondary;
  view.source_to_isocentre = kUsualIsocentre;
  return view;
}

Vec3 MeanDirection(const std::vector<Vec3>& course) {
  Vec3 sum;
  for (std::size_t i = 1; i < course.size(); ++i) sum = sum + (course[i] - course[i - 1]);
  return Unit(sum);
}

CostParts CostOf(const ViewQuestion& question, double foreshortening, double overlap, double rate, double least_rate, double gray, const GantryAngles& angles) {
  const ViewWeights& w = question.weights;
  return {w.foreshortening * foreshortening, w.overlap * overlap, w.rate * std::log(rate / least_rate), w.skin * SkinPenalty(gray),
          w.operator_side * (TubeOnOperatorsSide(question.gantry, angles) ? 1.0 : 0.0)};
}

// The lowest dose rate that any view has: of the frontal view within a few per cent.
double LeastRate(const Body& body) {
  double least = 1.0;
  for (int primary = -30; primary <= 30; primary += 2) least = std::min(least, DoseRateAgainstFrontal(body, {Angle::Degrees(primary), Angle()}));
  return least;
}

ViewMaps MapsOf(const ViewQuestion& question, const TreeBalls& balls, int threads) {
  ViewMaps maps;
  const ViewGrid& grid = question.grid;
  maps.foreshortening = ForeshorteningMap(grid, question.tree.target, threads);
  maps.overlap = OverlapMap(grid, balls, threads);
  const double least = LeastRate(question.body);
  for (std::size_t i = 0; i < grid.cells(); ++i) {
    const GantryAngles angles = grid.AnglesAt(i);
    const double rate = DoseRateAgainstFrontal(question.body, angles);
    maps.rate.push_back(static_cast<float>(rate));
    maps.reach.push_back(ReachOf(question.gantry, angles));
    double gray = 0.0;
    if (question.skin) {
      const auto entry = EntryOfView(question.skin->body, angles);
      gray = entry ? ExposedAt(question.skin->map, *entry) : 0.0;
      maps.skin_gray.push_back(static_cast<float>(gray));
    }
    const bool burnt = question.skin && gray * question.skin->upper > question.weights.most_skin;
    const CostParts cost = CostOf(question, static_cast<double>(maps.foreshortening[i]), static_cast<double>(maps.overlap[i]), rate, least, gray, angles);
    maps.cost.push_back(maps.reach[i] == Reach::kOut || burnt ? kNever : static_cast<float>(cost.sum()));
  }
  return maps;
}

// The cheapest cell that `fits`; nothing if none does.
template <typename Fits>
std::optional<std::size_t> Cheapest(const std::vector<float>& cost, Fits fits) {
  std::optional<std::size_t> found;
  for (std::size_t i = 0; i < cost.size(); ++i) {
    if (cost[i] < kNever && fits(i) && (!found || cost[i] < cost[*found])) found = i;
  }
  return found;
}

bool Shows(const ViewQuestion& question, const ViewMaps& maps, std::size_t cell) {
  return static_cast<double>(maps.foreshortening[cell]) <= question.weights.most_foreshortening;
}

void FindBest(const ViewQuestion& question, ViewAdvice& advice) {
  while (advice.best.size() < kMostBest) {
    const auto cell = Cheapest(advice.maps.cost, [&](std::size_t i) {
      const GantryAngles here = question.grid.AnglesAt(i);
      return Shows(question, advice.maps, i) && std::ranges::all_of(advice.best, [&](const WorkingView& v) { return Between(v.angles, here) >= kApart; });
    });
    if (!cell) break;
    advice.best.push_back(LookAt(question, advice.balls, question.grid.AnglesAt(*cell)));
  }
  if (!advice.best.empty()) return;
  advice.notes.push_back(fmt::format("no reachable view shows the segment with less than {:.0f} % foreshortening", 100.0 * question.weights.most_foreshortening));
  if (const auto cell = Cheapest(advice.maps.cost, [](std::size_t) { return true; })) advice.best.push_back(LookAt(question, advice.balls, question.grid.AnglesAt(*cell)));
}

// The angle between two beams as seen along the vessel: what tells of its cross-section and depth.
double AboutVessel(Vec3 along, Vec3 a, Vec3 b) {
  const Vec3 u = Unit(a - Dot(a, along) * along), v = Unit(b - Dot(b, along) * along);
  return std::atan2(Norm(Cross(u, v)), Dot(u, v));
}

void FindSecond(const ViewQuestion& question, ViewAdvice& advice) {
  if (advice.best.empty()) return;
  const Vec3 first = BeamOf(advice.best.front().angles), along = MeanDirection(question.tree.target);
  Vec3 partner = Unit(Cross(along, first));
  if (partner.y > 0.0) partner = -partner;  // the detector in front of the patient
  advice.ideal_second = AnglesOf(partner);
  std::optional<std::size_t> most;
  double most_worth = 0.0;
  for (std::size_t i = 0; i < question.grid.cells(); ++i) {
    if (advice.maps.cost[i] == kNever) continue;
    const double seen = (1.0 - static_cast<double>(advice.maps.foreshortening[i])) * (1.0 - static_cast<double>(advice.maps.overlap[i]));
    const double worth = seen * std::sin(AboutVessel(along, first, BeamOf(question.grid.AnglesAt(i)))) - 0.1 * static_cast<double>(advice.maps.cost[i]);
    if (worth > most_worth) most = i, most_worth = worth;
  }
  if (!most) return;
  advice.second = LookAt(question, advice.balls, question.grid.AnglesAt(*most));
  advice.second_about = AboutVessel(along, first, BeamOf(advice.second->angles)) * 180.0 / std::numbers::pi;
  advice.second_between = Between(advice.best.front().angles, advice.second->angles);
}

void FindCollateral(const ViewQuestion& question, ViewAdvice& advice, int threads) {
  if (question.tree.collateral.size() < 2) return;
  VesselTree as_target = question.tree;
  as_target.target = question.tree.collateral;
  as_target.target_radius.assign(as_target.target.size(), 0.4);  // mm; chosen, channels are thin
  const TreeBalls balls = BallsOf(as_target);
  const auto shortened = ForeshorteningMap(question.grid, as_target.target, threads), covered = OverlapMap(question.grid, balls, threads);
  std::vector<float> cost = advice.maps.cost;
  for (std::size_t i = 0; i < cost.size(); ++i) cost[i] += shortened[i] + covered[i] - advice.maps.foreshortening[i] - advice.maps.overlap[i];
  const auto cell = Cheapest(cost, [](std::size_t) { return true; });
  if (!cell) return;
  advice.collateral = LookAt(question, advice.balls, question.grid.AnglesAt(*cell));
  advice.collateral_foreshortening = Foreshortening(UsualView(advice.collateral->angles), as_target.target);
  advice.collateral_overlap = OverlapByDefinition(advice.collateral->angles, balls);
}

void FindBarrel(const ViewQuestion& question, ViewAdvice& advice) {
  Vec3 along = MeanDirection(question.tree.target);
  if (along.y > 0.0) along = -along;
  advice.axis = AnglesOf(along);
  std::size_t worst = 0;
  for (std::size_t i = 0; i < advice.maps.reach.size(); ++i) {
    const bool better = advice.maps.foreshortening[i] > advice.maps.foreshortening[worst] || advice.maps.reach[worst] == Reach::kOut;
    if (advice.maps.reach[i] != Reach::kOut && better) worst = i;
  }
  advice.barrel = LookAt(question, advice.balls, question.grid.AnglesAt(worst));
}

void FindAway(const ViewQuestion& question, ViewAdvice& advice) {
  if (!question.skin || !question.skin->burdened) return;
  std::vector<std::size_t> cells;
  for (std::size_t i = 0; i < advice.maps.cost.size(); ++i) {
    if (advice.maps.cost[i] < kNever && Shows(question, advice.maps, i) && Between(question.grid.AnglesAt(i), *question.skin->burdened) >= kAway) cells.push_back(i);
  }
  std::ranges::stable_sort(cells, {}, [&](std::size_t i) { return advice.maps.cost[i]; });
  // A field's edge may reach the spot where its middle does not.
  const auto off = std::ranges::find_if(cells, [&](std::size_t i) { return DoseInField(*question.skin, question.grid.AnglesAt(i)).highest < kOffSpot * question.skin->peak; });
  if (off != cells.end()) advice.away = LookAt(question, advice.balls, question.grid.AnglesAt(*off));
  else advice.notes.push_back(fmt::format("no reachable view under the limit lies {:.0f} degrees away from the most burdened beam and off the hot spot", kAway));
}

}  // namespace

WorkingView LookAt(const ViewQuestion& question, const TreeBalls& balls, const GantryAngles& angles) {
  WorkingView view;
  view.angles = angles;
  view.foreshortening = Foreshortening(UsualView(angles), question.tree.target);
  double seen = 0.0;
  const double length = LengthOf(question.tree.target);
  for (std::size_t i = 1; i < question.tree.target.size(); ++i) {
    const Vec3 a = question.tree.target[i - 1], b = question.tree.target[i];
    seen += Norm(b - a) * (1.0 - ForeshorteningAlongBeam(UsualView(angles), a, b));
  }
  view.along_beam = length > 0.0 ? 1.0 - seen / length : 0.0;
  view.overlap = OverlapByDefinition(angles, balls);
  view.rate = DoseRateAgainstFrontal(question.body, angles);
  if (question.skin) view.skin_gray = DoseInField(*question.skin, angles).highest;
  view.tube_at_operator = TubeOnOperatorsSide(question.gantry, angles);
  view.reach = ReachOf(question.gantry, angles);
  view.cost = CostOf(question, view.along_beam, view.overlap, view.rate, LeastRate(question.body), view.skin_gray, angles);
  view.why = WhyNot(question.gantry, angles);
  return view;
}

ViewAdvice Advise(const ViewQuestion& question, int threads) {
  ViewAdvice advice;
  advice.balls = BallsOf(question.tree);
  advice.maps = MapsOf(question, advice.balls, threads);
  FindBest(question, advice);
  FindSecond(question, advice);
  FindCollateral(question, advice, threads);
  FindBarrel(question, advice);
  FindAway(question, advice);
  if (question.held) advice.held = LookAt(question, advice.balls, *question.held);
  if (!question.tree.measured) advice.notes.emplace_back("these vessels are not measured in this patient: a model, or drawn by hand");
  if (advice.balls.neighbours.empty()) advice.notes.emplace_back("no other vessel is known: overlap is not known either");
  return advice;
}

}  // namespace fairlead
