// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>
#include <numbers>

#include "reasoning/views/advice.h"

namespace fairlead {

std::optional<Spared> SpareSkin(const ViewQuestion& question, const TreeBalls& balls, const ViewMaps& maps, const GantryAngles& view, double spared) {
  if (!question.skin) return std::nullopt;
  struct Candidate {
    std::size_t cell;
    double turn;
  };
  std::vector<Candidate> candidates;
  const Vec3 beam = BeamOf(view);
  for (std::size_t i = 0; i < question.grid.cells(); ++i) {
    if (maps.reach[i] == Reach::kOut || static_cast<double>(maps.foreshortening[i]) > question.weights.most_foreshortening) continue;
    const Vec3 other = BeamOf(question.grid.AnglesAt(i));
    candidates.push_back({i, std::atan2(Norm(Cross(beam, other)), Dot(beam, other)) * 180.0 / std::numbers::pi});
  }
  std::ranges::stable_sort(candidates, std::less<>{}, &Candidate::turn);
  for (const Candidate& candidate : candidates) {
    const GantryAngles angles = question.grid.AnglesAt(candidate.cell);
    if (DoseInField(*question.skin, angles).highest >= spared) continue;
    Spared found{LookAt(question, balls, view), LookAt(question, balls, angles), candidate.turn, 0.0, 0.0};
    const auto before = EntryOfView(question.skin->body, view), after = EntryOfView(question.skin->body, angles);
    if (before && after) found.moved = Norm(after->place.at - before->place.at);
    found.lost = found.to.along_beam - found.from.along_beam;
    return found;
  }
  return std::nullopt;
}

}  // namespace fairlead
