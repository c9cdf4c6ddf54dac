// SPDX-License-Identifier: Apache-2.0
#include "imaging/phantom/scene.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <utility>

#include "geometry/trigonometry.h"
#include "imaging/phantom/catheter.h"
#include "imaging/phantom/heart.h"
#include "imaging/phantom/tree.h"

namespace fairlead {
namespace {

constexpr std::array<std::string_view, 5> kNames{"circumflex-marginal", "graft-anterior", "short-right", "open-left", "open-right"};

struct Work {
  Scene scene;
  Heart heart;
  SeededRandom random{0};
  Vessel& vessel(std::string_view name) { return scene.vessels[static_cast<std::size_t>(FindVessel(scene.vessels, name))]; }
  Joint joint(std::string_view name, double share) {
    return {FindVessel(scene.vessels, name), NodeAtShare(vessel(name).nodes, share)};
  }
};

// A channel between two joints through places on the heart, wound like a corkscrew.
void AddChannel(Work& work, Vessel channel, const std::vector<WallPlace>& through, double amplitude) {
  const Node from = work.scene.vessels[static_cast<std::size_t>(channel.from.vessel)].nodes[channel.from.node];
  const Node into = work.scene.vessels[static_cast<std::size_t>(channel.into.vessel)].nodes[channel.into.node];
  const double radius = channel.kind == VesselKind::kGraft ? 1.7 : 0.38;
  channel.nodes = Course(work.heart, through, radius, 0.85 * radius);
  const double wavelength = work.random.Within(7.0, 9.0);
  Wind(channel.nodes, amplitude, wavelength, work.random.Within(0.0, 360.0));
  const Vec3 first = from.at - channel.nodes.front().at, last = into.at - channel.nodes.back().at;
  for (std::size_t i = 0; i < channel.nodes.size(); ++i) {
    const double share = static_cast<double>(i) / static_cast<double>(channel.nodes.size() - 1);
    channel.nodes[i].at = channel.nodes[i].at + (1.0 - share) * first + share * last;
  }
  work.scene.vessels.push_back(std::move(channel));
}

Occlusion Block(Work& work, std::string_view name, std::size_t start, double mm) {
  Occlusion occlusion;
  occlusion.vessel = FindVessel(work.scene.vessels, name);
  occlusion.proximal = start;
  occlusion.distal = NodeAfter(work.vessel(name).nodes, start, mm);
  return occlusion;
}

void AddCalcium(Work& work, const Occlusion& occlusion, int flecks) {
  const auto& nodes = work.scene.vessels[static_cast<std::size_t>(occlusion.vessel)].nodes;
  for (int i = 0; i < flecks; ++i) {
    const double share = work.random.Share();
    const auto span = static_cast<double>(occlusion.distal - occlusion.proximal);
    const std::size_t at = std::clamp<std::size_t>(occlusion.proximal + static_cast<std::size_t>(share * span), 1, nodes.size() - 2);
    const Vec3 along = Unit(nodes[at + 1].at - nodes[at - 1].at);
    const Vec3 side = Unit(Cross(along, Vec3{work.random.Within(-1, 1), work.random.Within(-1, 1), work.random.Within(-1, 1.1)}));
    CalciumFleck fleck{nodes[at], work.random.Within(0.8, 2.4) * along};
    fleck.at.at = fleck.at.at + 1.3 * nodes[at].radius * side;
    fleck.at.radius = work.random.Within(0.2, 0.45);
    work.scene.calcium.push_back(fleck);
  }
}

// Narrows the lumen towards a tapered cap over 5 mm.
void TaperInto(std::vector<Node>& nodes, std::size_t cap, bool before) {
  double at = 0.0;
  for (std::size_t i = cap; at < 5.0;) {
    nodes[i].radius *= 0.22 + 0.78 * at / 5.0;
    const std::size_t next = before ? i - 1 : i + 1;
    if ((before && i == 0) || next >= nodes.size()) break;
    at += Norm(nodes[next].at - nodes[i].at);
    i = next;
  }
}

void CircumflexAtMarginal(Work& work) {
  const int lm = AddLeftTree(work.heart, work.random, work.scene.vessels);
  const Joint marginal = work.vessel("OM1").from;
  Occlusion occlusion = Block(work, "LCX", marginal.node, work.random.Within(21.0, 27.0));
  occlusion.side_branch = FindVessel(work.scene.vessels, "OM1");
  occlusion.distal_cap = CapShape::kTapered;
  TaperInto(work.vessel("LCX").nodes, occlusion.distal, false);
  Vessel channel;
  channel.name = "channel 1";
  channel.kind = VesselKind::kCollateral;
  channel.from = work.joint("OM1", 0.62);
  channel.into = work.joint("OM2", 0.55);
  AddChannel(work, channel, {{38, 74, 1, 1}, {44, 82, 1, 2}, {42, 92, 1, 2}, {31, 104, 1, 1}}, 1.5);
  work.scene.occlusion = occlusion;
  AddCalcium(work, occlusion, 5);
  work.scene.catheters.push_back(CatheterInto(work.scene, Injected::kLeft, lm, 7.0));
}

void AnteriorAfterBypass(Work& work) {
  const int lm = AddLeftTree(work.heart, work.random, work.scene.vessels);
  const Joint diagonal = work.vessel("D1").from;
  const std::size_t start = NodeAfter(work.vessel("LAD").nodes, diagonal.node, 3.0);
  Occlusion occlusion = Block(work, "LAD", start, work.random.Within(26.0, 34.0));
  TaperInto(work.vessel("LAD").nodes, occlusion.distal, false);
  Vessel graft;
  graft.name = "graft";
  graft.kind = VesselKind::kGraft;
  graft.into = {occlusion.vessel, NodeAfter(work.vessel("LAD").nodes, occlusion.distal, work.random.Within(14.0, 20.0))};
  graft.nodes = GraftCourse(work.heart, work.vessel("LAD").nodes[graft.into.node], work.random);
  work.scene.vessels.push_back(std::move(graft));
  work.scene.occlusion = occlusion;
  AddCalcium(work, occlusion, 9);
  AddSternalWires(work.scene, work.random);
  work.scene.catheters.push_back(CatheterInto(work.scene, Injected::kLeft, lm, 7.0));
  work.scene.catheters.push_back(CatheterInto(work.scene, Injected::kGraft, FindVessel(work.scene.vessels, "graft"), 6.0));
}

void ShortRight(Work& work) {
  const int rca = AddRightTree(work.heart, work.random, work.scene.vessels);
  const int lm = AddLeftTree(work.heart, work.random, work.scene.vessels);
  const std::size_t start = NodeAtShare(work.vessel("RCA").nodes, work.random.Within(0.40, 0.46));
  Occlusion occlusion = Block(work, "RCA", start, work.random.Within(7.0, 11.0));
  occlusion.proximal_cap = CapShape::kTapered;
  TaperInto(work.vessel("RCA").nodes, occlusion.proximal, true);
  TaperInto(work.vessel("RCA").nodes, occlusion.distal, false);
  work.scene.occlusion = occlusion;
  const std::array<std::array<std::string_view, 2>, 2> pairs{{{"S1", "IS1"}, {"S2", "IS2"}}};
  const std::array<std::vector<WallPlace>, 2> ways{{{{38, 0, 0.2, 0}, {35, -2, -0.1, 0}, {29, -4, -0.5, 0}},
                                                    {{49, 0, 0.25, 0}, {47, -2, -0.1, 0}, {44, -3, -0.5, 0}}}};
  for (std::size_t i = 0; i < 2; ++i) {
    Vessel channel;
    channel.name = i == 0 ? "channel 1" : "channel 2";
    channel.kind = VesselKind::kCollateral;
    channel.from = work.joint(pairs[i][0], 1.0);
    channel.into = work.joint(pairs[i][1], 1.0);
    AddChannel(work, channel, ways[i], 0.8);
  }
  work.scene.catheters.push_back(CatheterInto(work.scene, Injected::kRight, rca, 6.0));
  work.scene.catheters.push_back(CatheterInto(work.scene, Injected::kLeft, lm, 6.0));
}

void Open(Work& work, bool left) {
  const int trunk = left ? AddLeftTree(work.heart, work.random, work.scene.vessels) : AddRightTree(work.heart, work.random, work.scene.vessels);
  work.scene.catheters.push_back(CatheterInto(work.scene, left ? Injected::kLeft : Injected::kRight, trunk, 6.0));
}

}  // namespace

std::span<const std::string_view> SceneNames() { return kNames; }

Result<Scene> MakeScene(std::string_view name, std::uint64_t seed) {
  Work work;
  work.random = SeededRandom(seed * 2654435761u + 17);
  work.scene.name = name;
  work.scene.seed = seed;
  work.heart = VariedHeart(work.random);
  work.scene.heart_rate = work.random.Within(58.0, 76.0);
  if (name == kNames[0]) {
    CircumflexAtMarginal(work);
  } else if (name == kNames[1]) {
    AnteriorAfterBypass(work);
  } else if (name == kNames[2]) {
    ShortRight(work);
  } else if (name == kNames[3] || name == kNames[4]) {
    Open(work, name == kNames[3]);
  } else {
    std::string known;
    for (const std::string_view each : kNames) known += (known.empty() ? "" : ", ") + std::string(each);
    return Error{"there is no scene \"" + std::string(name) + "\"", "", "choose one of " + known};
  }
  return work.scene;
}

Moment MomentAt(const Scene& scene, Duration since_start, bool breathing) {
  const double beats = since_start.seconds() * scene.heart_rate / 60.0;
  const double phase = beats - std::floor(beats);
  const auto half_wave = [](double share) { return 0.5 * (1.0 - SineCosineOf(Angle::Degrees(180.0 * share)).cosine); };
  Moment moment;
  if (phase < 0.35) moment.contraction = half_wave(phase / 0.35);
  else if (phase < 0.75) moment.contraction = 1.0 - half_wave((phase - 0.35) / 0.40);
  // A breath of 4 s, 9.8 mm towards the feet; held breath drifts not at all.
  if (breathing) moment.breath = 9.8 * half_wave(2.0 * since_start.seconds() / 4.0);
  return moment;
}

Vec3 PlaceOf(const Node& node, const Moment& moment) {
  return node.at + moment.contraction * node.swing + (node.breathes * moment.breath) * Vec3{0.0, -0.25, -1.0};
}

std::vector<Vec3> OcclusionCourse(const Scene& scene) {
  std::vector<Vec3> course;
  if (!scene.occlusion) return course;
  const auto& nodes = scene.vessels[static_cast<std::size_t>(scene.occlusion->vessel)].nodes;
  for (std::size_t i = scene.occlusion->proximal; i <= scene.occlusion->distal; ++i) course.push_back(nodes[i].at);
  return course;
}

}  // namespace fairlead
