// SPDX-License-Identifier: Apache-2.0
#include "reasoning/views/tree.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace fairlead {
namespace {

constexpr double kOwnCourse = 5.0;       // mm along the vessel that no view parts from the target; practice, no source
constexpr double kStep = 1.0;            // mm between neighbours
constexpr double kTargetStep = 0.5;
constexpr std::size_t kMostTarget = 80;

struct Walked {
  std::vector<Ball> balls;
  std::vector<double> along;  // mm from the course's start
};

// The course's own points, and more between points that are farther apart than the step.
Walked Walk(const std::vector<Vec3>& course, const std::vector<double>& radius, double step) {
  Walked walked;
  double along = 0.0;
  for (std::size_t i = 0; i < course.size(); ++i) {
    if (i > 0) {
      const double gap = Norm(course[i] - course[i - 1]);
      const int pieces = std::max(1, static_cast<int>(std::ceil(gap / step)));
      for (int k = 1; k < pieces; ++k) {
        const double t = static_cast<double>(k) / pieces;
        walked.balls.push_back({course[i - 1] + t * (course[i] - course[i - 1]), radius[i - 1] + t * (radius[i] - radius[i - 1])});
        walked.along.push_back(along + t * gap);
      }
      along += gap;
    }
    walked.balls.push_back({course[i], radius[i]});
    walked.along.push_back(along);
  }
  return walked;
}

std::vector<Ball> Evenly(const std::vector<Vec3>& course, const std::vector<double>& radius, std::size_t count) {
  const double length = LengthOf(course);
  std::vector<Ball> balls;
  std::size_t piece = 1;
  double before = 0.0;
  for (std::size_t k = 0; k < count; ++k) {
    const double want = length * static_cast<double>(k) / static_cast<double>(count - 1);
    while (piece + 1 < course.size() && before + Norm(course[piece] - course[piece - 1]) < want) {
      before += Norm(course[piece] - course[piece - 1]);
      ++piece;
    }
    const double gap = Norm(course[piece] - course[piece - 1]);
    const double t = gap > 0.0 ? std::clamp((want - before) / gap, 0.0, 1.0) : 0.0;
    balls.push_back({course[piece - 1] + t * (course[piece] - course[piece - 1]), radius[piece - 1] + t * (radius[piece] - radius[piece - 1])});
  }
  return balls;
}

bool Touches(const Ball& ball, const std::vector<Ball>& target) {
  return std::ranges::any_of(target, [&](const Ball& t) { return Norm(ball.at - t.at) <= ball.radius + t.radius; });
}

// Of one vessel the balls that lie farther than kOwnCourse along it from any that touches the target.
void AddNeighbours(const Walked& walked, const std::vector<Ball>& target, std::vector<Ball>& neighbours) {
  constexpr double kFar = std::numeric_limits<double>::infinity();
  const std::size_t n = walked.balls.size();
  std::vector<double> away(n, kFar);
  for (std::size_t i = 0; i < n; ++i) {
    if (Touches(walked.balls[i], target)) away[i] = 0.0;
  }
  for (std::size_t i = 1; i < n; ++i) away[i] = std::min(away[i], away[i - 1] + walked.along[i] - walked.along[i - 1]);
  for (std::size_t i = n; i-- > 1;) away[i - 1] = std::min(away[i - 1], away[i] + walked.along[i] - walked.along[i - 1]);
  for (std::size_t i = 0; i < n; ++i) {
    if (away[i] > kOwnCourse) neighbours.push_back(walked.balls[i]);
  }
}

}  // namespace

double LengthOf(const std::vector<Vec3>& course) {
  double length = 0.0;
  for (std::size_t i = 1; i < course.size(); ++i) length += Norm(course[i] - course[i - 1]);
  return length;
}

TreeBalls BallsOf(const VesselTree& tree) {
  TreeBalls balls;
  if (tree.target.size() < 2) return balls;
  const auto wanted = static_cast<std::size_t>(std::lround(LengthOf(tree.target) / kTargetStep)) + 1;
  balls.target = Evenly(tree.target, tree.target_radius, std::clamp<std::size_t>(wanted, 2, kMostTarget));
  for (const Tube& tube : tree.vessels) {
    const std::size_t before = balls.neighbours.size();
    AddNeighbours(Walk(tube.course, tube.radius, kStep), balls.target, balls.neighbours);
    if (balls.neighbours.size() > before) balls.considered.push_back(tube.name);
  }
  return balls;
}

}  // namespace fairlead
