// SPDX-License-Identifier: Apache-2.0
// The standard deviation of a diameter follows what the picture shows: noise, blur, other shadows.
#include "imaging/trace/doubt.h"

#include <gtest/gtest.h>

#include <cmath>

#include "imaging/trace/trace.h"
#include "tests/imaging/trace/drawn.h"

namespace fairlead {
namespace {

struct Spread {
  double stated = 0.0, true_rms = 0.0;
};

// Stated sd and true error over tubes of one size with other noise each time; the truth is the drawing's.
Spread SpreadAtNoise(double noise, int seeds) {
  double squares = 0.0, stated = 0.0, n = 0.0;
  for (int seed = 1; seed <= seeds; ++seed) {
    const Tube tube{.radius = 4.5, .angle_deg = 11.0 + 7.0 * seed, .darkness = 8.0, .noise = noise, .seed = static_cast<std::uint64_t>(seed)};
    const Picture picture = Drawn(tube);
    TraceRequest request;
    request.through = {AxisAt(tube, -55.0), AxisAt(tube, 55.0)};
    const auto trace = TraceVessel(picture, VesselnessOf(picture), request);
    if (!trace.ok()) continue;
    for (const TracedPoint& p : trace->points) {
      if (p.kind != SectionKind::kMeasured) continue;
      squares += std::pow(p.diameter_px - 9.0, 2.0), stated += p.sd_px * p.sd_px, n += 1.0;
    }
  }
  return {std::sqrt(stated / n), std::sqrt(squares / n)};
}

// Noise of 6, 11 and 22 % of the vessel's depth, as in typical to poor pictures. Below that a floor is stated: no vessel is
// as round as a drawn one.
TEST(DiameterSd, OfALoneVesselFollowsTheNoiseThatThePictureShows) {
  double before = 0.0;
  for (const double noise : {4.0, 8.0, 16.0}) {
    const Spread spread = SpreadAtNoise(noise, 4);
    EXPECT_GT(spread.stated / spread.true_rms, 0.7) << noise;
    EXPECT_LT(spread.stated / spread.true_rms, 1.9) << noise;
    EXPECT_GT(spread.stated, 1.3 * before) << noise;
    before = spread.stated;
  }
}

// The same tube twice, the second moved across: what lies within two diameters crowds, what lies beyond does not.
TEST(Crowded, IsAVesselWithAnotherWithinTwoDiametersAndNotOneAlone) {
  const Tube tube{.radius = 3.5, .angle_deg = 0.0, .darkness = 8.0, .noise = 1.0};
  const auto most = [&tube](int rows_between) {
    Picture picture = Drawn(tube);
    const Picture once = picture;
    const auto width = static_cast<std::size_t>(picture.columns);
    for (std::size_t i = 0; rows_between > 0 && i + static_cast<std::size_t>(rows_between) * width < once.values.size(); ++i) {
      picture.values[i + static_cast<std::size_t>(rows_between) * width] += once.values[i];
    }
    TraceRequest request;
    request.through = {AxisAt(tube, -50.0), AxisAt(tube, 50.0)};
    const Vesselness vesselness = VesselnessOf(picture);
    const auto trace = TraceVessel(picture, vesselness, request);
    EXPECT_TRUE(trace.ok());
    Edges edges;
    Course centre;
    for (const TracedPoint& p : trace->points) {
      centre.push_back(p.centre);
      CrossSection section{.on_course = p.centre, .normal = {0.0, 1.0}, .radius = 0.5 * p.diameter_px, .left = -0.5 * p.diameter_px, .right = 0.5 * p.diameter_px};
      section.signs.noise = 0.02;
      edges.sections.push_back(section);
    }
    double crowded = 0.0;
    for (const PlaceSigns& s : SignsOf(edges, centre, vesselness)) crowded += Crowded(s);
    return crowded / static_cast<double>(centre.size());
  };
  EXPECT_LT(most(0), 0.02);
  EXPECT_GT(most(12), 0.95);  // 1.7 diameters
  EXPECT_LT(most(40), 0.02);  // 5.7 diameters
}

TEST(DiameterSd, NeverFallsWhenASignIsAdded) {
  const PlaceSigns plain{.wide = 8.0, .fit = 0.2, .rough = 0.2, .crest = 1.0, .noise = 0.05};
  const double sd = DiameterSd(plain);
  EXPECT_GT(sd, 0.0);
  const auto with = [&plain](auto change) {
    PlaceSigns signs = plain;
    change(signs);
    return DiameterSd(signs);
  };
  EXPECT_GT(with([](PlaceSigns& s) { s.fit = 0.4; }), sd);
  EXPECT_GT(with([](PlaceSigns& s) { s.rough = 0.4; }), sd);
  EXPECT_GT(with([](PlaceSigns& s) { s.beside = -0.3; }), sd);
  EXPECT_GT(with([](PlaceSigns& s) { s.aside = 0.1; }), sd);
  EXPECT_GT(with([](PlaceSigns& s) { s.misfit = 3.0; }), sd);
  EXPECT_GT(with([](PlaceSigns& s) { s.darker = -0.2; }), sd);
  EXPECT_GT(with([](PlaceSigns& s) { s.darker = 0.2, s.excess = 3.0; }), with([](PlaceSigns& s) { s.darker = 0.2; }));
  // Alone, the signs of other shadows say nothing: a narrowing is darker or lighter by itself.
  const auto alone = [](double darker) { return DiameterSd({.wide = 8.0, .fit = 0.2, .rough = 0.2, .darker = darker, .crest = 0.0, .noise = 0.05}); };
  EXPECT_EQ(alone(0.0), alone(0.3));
}

TEST(DiameterSd, OfNothingOrOfRubbishIsFinite) {
  EXPECT_TRUE(std::isfinite(DiameterSd({})));
  EXPECT_GT(DiameterSd({}), 0.0);
  EXPECT_TRUE(std::isfinite(DiameterSd({.wide = 40.0, .fit = 1e3, .rough = 2.0, .beside = 9.0, .aside = 1.0, .misfit = 1e12, .darker = -30.0, .excess = 40.0, .crest = 1e9, .noise = 1e9})));
  EXPECT_GT(DiameterSd({.by_hand = true}), 0.0);
}

}  // namespace
}  // namespace fairlead
