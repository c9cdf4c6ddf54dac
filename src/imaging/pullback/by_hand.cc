// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/by_hand.h"

#include <cmath>
#include <numbers>

#include "imaging/pullback/section.h"

namespace fairlead {
namespace {

constexpr double kClickSdPx = 1.0;  // practice, as on angiograms: how well a point is set
constexpr std::size_t kMostPoints = 200;

struct Place {
  double x = 0.0, y = 0.0;  // mm
};

double AlongOf(const std::vector<Place>& at) {
  double sum = 0.0;
  for (std::size_t i = 1; i < at.size(); ++i) sum += std::hypot(at[i].x - at[i - 1].x, at[i].y - at[i - 1].y);
  return sum;
}

double AreaOf(const std::vector<Place>& at) {
  double twice = 0.0;
  for (std::size_t i = 0; i < at.size(); ++i) {
    const Place& a = at[i];
    const Place& b = at[(i + 1) % at.size()];
    twice += a.x * b.y - b.x * a.y;
  }
  return 0.5 * std::abs(twice);
}

double AngleOf(const std::vector<Place>& at) {
  const double ax = at[0].x - at[1].x, ay = at[0].y - at[1].y, bx = at[2].x - at[1].x, by = at[2].y - at[1].y;
  return std::abs(std::atan2(ax * by - ay * bx, ax * bx + ay * by)) * 180.0 / std::numbers::pi;
}

double ValueOf(HandKind kind, const std::vector<Place>& at) {
  switch (kind) {
    case HandKind::kDistance: return AlongOf(at);
    case HandKind::kArea: return AreaOf(at);
    case HandKind::kAngle: break;
  }
  return AngleOf(at);
}

// Each coordinate of each point errs alone: central differences of a hundredth of a click.
double ClickSd(HandKind kind, std::vector<Place> at, double column, double row) {
  double square = 0.0;
  for (Place& place : at) {
    for (auto [coordinate, size] : {std::pair{&Place::x, column}, std::pair{&Place::y, row}}) {
      const double here = place.*coordinate, step = 0.01 * size;
      place.*coordinate = here + step;
      const double more = ValueOf(kind, at);
      place.*coordinate = here - step;
      const double less = ValueOf(kind, at);
      place.*coordinate = here;
      const double slope = (more - less) / (2.0 * step);
      square += slope * slope * size * size * kClickSdPx * kClickSdPx;
    }
  }
  return std::sqrt(square);
}

Status Check(HandKind kind, const std::vector<ImagePoint>& points, Length column, Length row) {
  const bool sizes = column > Length{} && row > Length{} && column <= Length::Millimetres(1.0) && row <= Length::Millimetres(1.0);
  if (!sizes) return Error{"how large a pixel is is not known", "pullback", "give its size; nothing is assumed"};
  const std::size_t least = kind == HandKind::kDistance ? 2 : 3, most = kind == HandKind::kAngle ? 3 : kMostPoints;
  if (points.size() < least || points.size() > most) {
    return Error{"this many points do not make a" + std::string(kind == HandKind::kDistance ? " " : "n ") + std::string(HandKindName(kind)), "points",
                 kind == HandKind::kAngle ? "set three, the second where the angle is" : "set " + std::to_string(least) + " or more"};
  }
  for (const ImagePoint& point : points) {
    if (!std::isfinite(point.column) || !std::isfinite(point.row) || std::abs(point.column) > 1e5 || std::abs(point.row) > 1e5) {
      return Error{"a point lies outside the picture", "points", "click inside the picture"};
    }
  }
  return Done{};
}

}  // namespace

std::string_view HandKindName(HandKind kind) {
  switch (kind) {
    case HandKind::kDistance: return "distance";
    case HandKind::kArea: return "area";
    case HandKind::kAngle: break;
  }
  return "angle";
}

std::string_view HandUnit(HandKind kind) {
  switch (kind) {
    case HandKind::kDistance: return "mm";
    case HandKind::kArea: return "mm2";
    case HandKind::kAngle: break;
  }
  return "deg";
}

Result<ByHand> MeasureByHand(HandKind kind, const std::vector<ImagePoint>& points, Length column, Length row) {
  if (Status good = Check(kind, points, column, row); !good) return good.error();
  const double across = column.millimetres(), down = row.millimetres();
  std::vector<Place> at;
  for (const ImagePoint& point : points) at.push_back({point.column * across, point.row * down});
  if (kind == HandKind::kAngle && (AlongOf({at[0], at[1]}) <= 0.0 || AlongOf({at[1], at[2]}) <= 0.0)) {
    return Error{"two of the three points are one", "points", "set them apart"};
  }
  ByHand made;
  made.kind = kind;
  made.value = ValueOf(kind, at);
  made.click_sd = ClickSd(kind, at, across, down);
  made.size_sd = kind == HandKind::kAngle ? 0.0 : (kind == HandKind::kArea ? 2.0 : 1.0) * kSizeSd * made.value;
  made.sd = std::hypot(made.click_sd, made.size_sd);
  return made;
}

}  // namespace fairlead
