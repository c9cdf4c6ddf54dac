// SPDX-License-Identifier: Apache-2.0
#include "imaging/phantom/flow.h"

#include <algorithm>
#include <functional>
#include <queue>
#include <utility>

namespace fairlead {
namespace {

// mm/s; chosen within what is seen: arteries fill in under a second, collaterals take one to two.
double SpeedIn(VesselKind kind) {
  switch (kind) {
    case VesselKind::kArtery: return 190.0;
    case VesselKind::kGraft: return 170.0;
    case VesselKind::kCollateral: return 70.0;
  }
  return 190.0;
}
constexpr double kKeptThroughCollateral = 0.62;  // of the medium, at its start; chosen
constexpr double kKeptUpstream = 0.80;           // against the artery's own direction; chosen

struct Place {
  int vessel;
  std::size_t node;
};

struct Step {
  double seconds, share;
  Place to;
  friend bool operator>(const Step& a, const Step& b) {
    if (a.seconds != b.seconds) return a.seconds > b.seconds;
    if (a.to.vessel != b.to.vessel) return a.to.vessel > b.to.vessel;
    return a.to.node > b.to.node;
  }
};

class Spread {
 public:
  explicit Spread(const Scene& scene) : scene_(scene) {
    for (const Vessel& vessel : scene.vessels) arrivals_.emplace_back(vessel.nodes.size());
  }

  std::vector<std::vector<Arrival>> From(int vessel) {
    queue_.push({0.0, 1.0, {vessel, 0}});
    while (!queue_.empty()) {
      const Step step = queue_.top();
      queue_.pop();
      Arrival& here = arrivals_[static_cast<std::size_t>(step.to.vessel)][step.to.node];
      if (here.seconds >= 0.0) continue;
      here = {step.seconds, step.share};
      Leave(step);
    }
    return std::move(arrivals_);
  }

 private:
  const Vessel& VesselAt(int index) const { return scene_.vessels[static_cast<std::size_t>(index)]; }

  bool Open(int vessel, std::size_t from, std::size_t to) const {
    if (!scene_.occlusion || scene_.occlusion->vessel != vessel) return true;
    const std::size_t low = std::min(from, to);
    return low < scene_.occlusion->proximal || low >= scene_.occlusion->distal;
  }

  void Along(const Step& step, std::size_t to, double kept) {
    const Vessel& vessel = VesselAt(step.to.vessel);
    if (!Open(step.to.vessel, step.to.node, to)) return;
    const double mm = Norm(vessel.nodes[to].at - vessel.nodes[step.to.node].at);
    queue_.push({step.seconds + mm / SpeedIn(vessel.kind), step.share * kept, {step.to.vessel, to}});
  }

  void Leave(const Step& step) {
    const auto [vessel, node] = step.to;
    const Vessel& here = VesselAt(vessel);
    if (node + 1 < here.nodes.size()) Along(step, node + 1, 1.0);
    if (node > 0) Along(step, node - 1, 1.0);
    for (std::size_t i = 0; i < scene_.vessels.size(); ++i) {
      const Vessel& other = scene_.vessels[i];
      const int index = static_cast<int>(i);
      const double kept = other.kind == VesselKind::kCollateral ? kKeptThroughCollateral : 1.0;
      if (other.from.vessel == vessel && other.from.node == node) queue_.push({step.seconds, step.share * kept, {index, 0}});
      // A channel carries from donor to recipient only; a graft too.
    }
    if (node == 0 && here.kind == VesselKind::kArtery && here.from.vessel >= 0) {
      queue_.push({step.seconds + 0.05, step.share * kKeptUpstream, {here.from.vessel, here.from.node}});
    }
    if (node + 1 == here.nodes.size() && here.into.vessel >= 0) {
      queue_.push({step.seconds + 0.05, step.share, {here.into.vessel, here.into.node}});
    }
  }

  const Scene& scene_;
  std::vector<std::vector<Arrival>> arrivals_;
  std::priority_queue<Step, std::vector<Step>, std::greater<>> queue_;
};

double Eased(double share) {
  const double s = std::clamp(share, 0.0, 1.0);
  return s * s * (3.0 - 2.0 * s);
}

}  // namespace

std::vector<std::vector<Arrival>> ArrivalsFrom(const Scene& scene, Injected ostium) {
  for (const GuideCatheter& catheter : scene.catheters) {
    if (catheter.ostium == ostium) return Spread(scene).From(catheter.vessel);
  }
  return std::vector<std::vector<Arrival>>(scene.vessels.size());
}

double FillingAt(const Arrival& arrival, double time, double length) {
  if (arrival.seconds < 0.0) return 0.0;
  const double since = time - arrival.seconds;
  return arrival.share * Eased(since / 0.25) * (1.0 - Eased((since - length) / 0.9));
}

}  // namespace fairlead
