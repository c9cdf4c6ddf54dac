// SPDX-License-Identifier: Apache-2.0
// Courses whose length and bend follow from a formula, seen in two views; and what is refused.
#include "imaging/pair/pair.h"

#include <gtest/gtest.h>

#include "geometry/triangulate.h"
#include "tests/imaging/pair/invented.h"

namespace fairlead {
namespace {

const View kRao = TheView(-30, -20), kLao = TheView(45, 25);

// Two views of one path; `marks` beside it where a test needs them.
Seen WithPath(const Curve& curve, PathKind kind, int clicks, double noise = 0.0, Random* random = nullptr) {
  Seen seen = TwoFrames(kRao, kLao);
  Taken taken = AsStated(seen);
  taken.noise_px = noise, taken.random = random;
  seen.paths.push_back({"vessel", kind, LinesOf(taken, curve, 0.0, 1.0, clicks)});
  return seen;
}

const std::vector<Vec3> kBranches{{20, -15, 10},  {-12, 30, -25}, {35, 5, 40},
                                  {-40, -20, 15}, {0, 0, 50},     {25, 35, -10}};

void AddBranches(const Taken& taken, Seen& seen, std::size_t count = 6) {
  for (std::size_t i = 0; i < count; ++i)
    seen.marks.push_back(MarkAt(taken, "branch " + std::to_string(i + 1), kBranches[i]));
}

TEST(PairedViews, AnArcHasTheLengthOfItsFormula) {
  const auto found = MeasurePair(WithPath(ArcOf(30.0, 90.0), PathKind::kVessel, 12));
  ASSERT_TRUE(found.ok()) << Sentence(found.error());
  const double want = 30.0 * std::numbers::pi / 2.0;
  EXPECT_NEAR(found->courses[0].numbers.length.value.millimetres(), want, 0.01 * want);
  EXPECT_NEAR(found->courses[0].numbers.chord.value.millimetres(), 30.0 * std::numbers::sqrt2, 0.1);
  // 5 mm arms along a circle turn by 5/30 of a radian.
  EXPECT_NEAR(found->courses[0].numbers.bend.value.degrees(), 5.0 / 30.0 * 180.0 / std::numbers::pi, 3.0);
}

TEST(PairedViews, AHelixHasTheLengthOfItsFormula) {
  const double radius = 1.2, pitch = 9.0, turns = 4.0;
  const auto found = MeasurePair(WithPath(HelixOf(radius, pitch, turns), PathKind::kCollateral, 41));
  ASSERT_TRUE(found.ok()) << Sentence(found.error());
  const double want = turns * std::hypot(2.0 * std::numbers::pi * radius, pitch);
  EXPECT_NEAR(found->courses[0].numbers.length.value.millimetres(), want, 0.03 * want);
}

// Two straight limbs of 20 mm that meet in an arc of 3 mm radius. A turn of 20 degrees and more, between arms of 5 mm.
Curve LimbsOf(double turn_deg) {
  const double turn = turn_deg * std::numbers::pi / 180.0, limb = 20.0, arc = 3.0 * turn, whole = 2.0 * limb + arc;
  const Vec3 u = Unit({0.6, -0.5, -0.6}), v = Unit(Cross(u, Vec3{0.3, 1, 0.2})), start{-10, -30, 20};
  return [=](double t) {
    const double s = t * whole, bent = std::clamp(s - limb, 0.0, arc) / 3.0;
    const Vec3 end = std::cos(turn) * u + std::sin(turn) * v;
    return start + std::min(s, limb) * u + 3.0 * std::sin(bent) * u + 3.0 * (1.0 - std::cos(bent)) * v +
           std::max(0.0, s - limb - arc) * end;
  };
}

TEST(PairedViews, ABendBetweenLimbsComesBack) {
  for (const double turn : {20.0, 45.0, 70.0, 90.0}) {
    const Curve limbs = LimbsOf(turn);
    std::vector<Vec3> points;
    for (int i = 0; i <= 800; ++i) points.push_back(limbs(i / 800.0));
    const double want =
        LargestBend(points).turn.degrees();  // the arms are 5 mm, so the arc of 3 mm radius shows a little less
    const auto found = MeasurePair(WithPath(limbs, PathKind::kVessel, 24));
    ASSERT_TRUE(found.ok()) << Sentence(found.error());
    const CourseNumbers& n = found->courses[0].numbers;
    EXPECT_NEAR(n.bend.value.degrees(), want, 6.0)
        << turn;  // the smoothing of a span of 2.5 mm rounds the arc a little
    EXPECT_NEAR(n.length.value.millimetres(), 40.0 + 3.0 * turn * std::numbers::pi / 180.0, 0.6) << turn;
    if (turn > 60.0) {
      EXPECT_GT(n.over_45, 0.9) << turn;
    }
    if (turn < 30.0) {
      EXPECT_LT(n.over_45, 0.05) << turn;
    }
  }
}

// The heart of which these places are known: caps of an occlusion 16.1027 mm apart in a straight line, in the two views
// that were worked with them (RAO 20 CAU 17, LAO 45 CRA 25). Computed independently in double precision.
TEST(DualInjection, ExactClicksOnBothCapsGiveTheChord) {
  Seen seen = TwoFrames(TheView(-20, -17), TheView(45, 25));
  const Taken taken = AsStated(seen);
  SeenOcclusion o;
  o.near_cap = MarkAt(taken, "near cap", {8.637263, -37.748330, 3.391630});
  o.far_cap = MarkAt(taken, "far cap", {19.711896, -37.955412, -8.296256});
  seen.occlusion = o;
  AddBranches(taken, seen, 3);
  const auto found = MeasurePair(seen);
  ASSERT_TRUE(found.ok()) << Sentence(found.error());
  EXPECT_NEAR(found->occlusion->course->numbers.chord.value.millimetres(), 16.1027, 1e-3);
  EXPECT_EQ(found->occlusion->method, CapsMethod::kTwoViews);
  EXPECT_GT(found->occlusion->length.value, found->occlusion->course->numbers.chord.value);
}

// A shift of the whole heart between the views moves both caps alike: SD 0.08 mm of a 27 mm chord at 90 degrees for
// 3 mm an axis (4000 trials, computed); here with a table that stood still.
TEST(DualInjection, AShiftOfTheHeartBetweenTheViewsHardlyMatters) {
  Random random("AShiftOfTheHeart");
  const Vec3 near{8.6, -37.7, 3.4}, far{24.0, -33.0, -18.0};
  double worst = 0.0;
  for (int trial = 0; trial < 30; ++trial) {
    Seen seen = TwoFrames(kRao, kLao);
    Taken taken = AsStated(seen);
    taken.views[1].patient_shift = {3 * random.Normal(), 3 * random.Normal(), 3 * random.Normal()};
    SeenOcclusion o;
    o.near_cap = MarkAt(taken, "near cap", near), o.far_cap = MarkAt(taken, "far cap", far);
    seen.occlusion = o;
    AddBranches(taken, seen, 3);
    const auto found = MeasurePair(seen);
    ASSERT_TRUE(found.ok()) << Sentence(found.error());
    worst = std::max(worst, std::abs(found->occlusion->course->numbers.chord.value.millimetres() - Norm(far - near)));
  }
  EXPECT_LT(worst, 0.35);  // about four of that sd
}

// Each cap from its own frames, the heart elsewhere in each: the marks tell where it was.
TEST(DualInjection, CapsFromFourFramesAreTiedByTheMarks) {
  Seen seen;
  seen.frames = {FrameOf("a", 0, kRao, TablePlace::kStill), FrameOf("b", 1, kLao, TablePlace::kStill),
                 FrameOf("a2", 0, kRao, TablePlace::kStill), FrameOf("b2", 1, kLao, TablePlace::kStill)};
  Taken taken = AsStated(seen);
  taken.views[1].patient_shift = {2, 1, -4}, taken.views[2].patient_shift = {-1, 2, 3},
  taken.views[3].patient_shift = {1, -2, 5};
  const Vec3 near{8.6, -37.7, 3.4}, far{19.7, -38.0, -8.3};
  SeenOcclusion o;
  o.near_cap = MarkAt(taken, "near cap", near), o.far_cap = MarkAt(taken, "far cap", far);
  o.near_cap.clicks.resize(2), o.far_cap.clicks.erase(o.far_cap.clicks.begin(), o.far_cap.clicks.begin() + 2);
  seen.occlusion = o;
  const auto alone = MeasurePair(seen);
  AddBranches(taken, seen, 4);
  const auto tied = MeasurePair(seen);
  ASSERT_TRUE(alone.ok() && tied.ok());
  EXPECT_EQ(tied->occlusion->method, CapsMethod::kTwoViewsApart);
  const double want = Norm(far - near);
  EXPECT_NEAR(tied->occlusion->course->numbers.chord.value.millimetres(), want, 0.4);
  // Without marks nothing ties the frames: the spread says so.
  EXPECT_GT(alone->occlusion->course->numbers.chord.sd->millimetres(),
            3.0 * tied->occlusion->course->numbers.chord.sd->millimetres());
}

// L_app * SOD/SID and the parts of its sd, by hand: 2 clicks of 1 px at 0.2173 mm, depth 25/765, lean sqrt(3)/2 (15
// deg)^2.
TEST(DualInjection, OneFrameGivesTheProjectedLengthAsTheLeast) {
  Seen seen = TwoFrames(kRao, kLao);
  SeenOcclusion o;
  o.near_cap = {"near cap", {{0, {200, 200}}}};
  o.far_cap = {"far cap", {{0, {290, 200}}}};
  seen.occlusion = o;
  const auto found = MeasurePair(seen);
  ASSERT_TRUE(found.ok()) << Sentence(found.error());
  EXPECT_EQ(found->occlusion->method, CapsMethod::kOneFrame);
  EXPECT_TRUE(found->occlusion->at_least);
  const double pixel = 0.3125 * 765 / 1100, length = 90 * pixel, lean = 15 * std::numbers::pi / 180;
  EXPECT_NEAR(found->occlusion->length.value.millimetres(), length, 1e-9);
  const double sd =
      std::sqrt(2 * pixel * pixel + std::pow(length * 25 / 765, 2) + 0.75 * std::pow(length * lean * lean, 2));
  EXPECT_NEAR(found->occlusion->length.sd->millimetres(), sd, 1e-9);
}

TEST(DualInjection, TwoRunsOfOnePoseAreBroughtTogetherByAMark) {
  Seen seen = TwoFrames(kRao, kRao);
  SeenOcclusion o;
  o.near_cap = {"near cap", {{0, {200, 200}}}};
  o.far_cap = {"far cap", {{1, {293, 204}}}};  // the picture moved by (3, 4)
  seen.occlusion = o;
  const double pixel = 0.3125 * 765 / 1100;
  const auto loose = MeasurePair(seen);
  seen.marks.push_back({"catheter tip", {{0, {100, 100}}, {1, {103, 104}}}});
  const auto tied = MeasurePair(seen);
  ASSERT_TRUE(loose.ok() && tied.ok());
  EXPECT_EQ(tied->occlusion->method, CapsMethod::kSamePose);
  EXPECT_NEAR(tied->occlusion->length.value.millimetres(), 90 * pixel, 1e-9);
  EXPECT_GT(*loose->occlusion->length.sd, *tied->occlusion->length.sd);
}

TEST(DualInjection, OneCapInEachOfTwoPosesIsRefused) {
  Seen seen = TwoFrames(kRao, kLao);
  SeenOcclusion o;
  o.near_cap = {"near cap", {{0, {200, 200}}}};
  o.far_cap = {"far cap", {{1, {293, 204}}}};
  seen.occlusion = o;
  const auto found = MeasurePair(seen);
  ASSERT_FALSE(found.ok());
  EXPECT_EQ(Sentence(found.error()),
            "the two caps are not seen in one frame, nor in two frames of one pose, nor both in two views (occlusion): "
            "mark both caps in one "
            "frame of a dual injection, or each cap in two views at least 30 degrees apart");
}

// Where the table's place is open, so is the scale; the six vessels' own bends must not settle it. The table stood still, which is
// what is thought likeliest, so that nothing else draws the scale either way.
TEST(PairedViews, BendsDoNotDrawDownTheScaleThatAnUnknownTableLeavesOpen) {
  Random random("BendsDoNotDrawDown");
  Seen seen = TwoFrames(kRao, kLao, TablePlace::kUnknown);
  Taken taken = AsStated(seen);
  taken.noise_px = 1.0, taken.random = &random;
  AddBranches(taken, seen);
  double truly = 0.0, found_mm = 0.0;
  for (int i = 0; i < 6; ++i) {
    const Curve limbs = LimbsOf(30.0 + 12.0 * i);
    const Vec3 at = 0.3 * kBranches[static_cast<std::size_t>(i)];
    const Curve curve = [=](double t) { return limbs(t) + at; };
    seen.paths.push_back({"vessel " + std::to_string(i + 1), PathKind::kVessel, LinesOf(taken, curve, 0.0, 1.0, 12)});
    truly += LengthOfCurve(curve);
  }
  const auto found = MeasurePair(seen);
  ASSERT_TRUE(found.ok()) << Sentence(found.error());
  for (const auto& course : found->courses) found_mm += course.numbers.length.value.millimetres();
  EXPECT_NEAR(found_mm / truly, 1.0, 0.02);
}

TEST(PairedViews, AnUnknownTableWithTooFewMarksIsRefused) {
  Seen seen = TwoFrames(kRao, kLao, TablePlace::kUnknown);
  const Taken taken = AsStated(seen);
  AddBranches(taken, seen, 2);
  const auto found = MeasurePair(seen);
  ASSERT_FALSE(found.ok());
  EXPECT_EQ(Sentence(found.error()),
            "the table may have moved between the runs, and 2 shared points are too few to tell (table): mark at least "
            "3 points that both "
            "views show, or say that the table stood still or where it stood");
}

TEST(PairedViews, NarrowViewsAreToldAndNearlyEqualOnesRefused) {
  for (const auto& [apart, ok] : {std::pair{22.0, true}, std::pair{10.0, false}, std::pair{172.0, false}}) {
    Seen seen = TwoFrames(TheView(0, 0), TheView(apart, 0));
    AddBranches(AsStated(seen), seen);
    const auto found = MeasurePair(seen);
    EXPECT_EQ(found.ok(), ok) << apart;
    if (found.ok()) {
      EXPECT_TRUE(found->narrow);
      EXPECT_FALSE(found->warnings.empty());
    }
  }
}

TEST(PairedViews, OneBadClickIsFoundAndLeftOut) {
  Random random("OneBadClick");
  Seen seen = WithPath(ArcOf(30.0, 70.0), PathKind::kVessel, 8);
  Taken taken = AsStated(seen);
  taken.noise_px = 1.0, taken.random = &random;
  AddBranches(taken, seen);
  const auto good = MeasurePair(seen);
  seen.marks[2].clicks[1].at.row += 40;
  const auto bad = MeasurePair(seen);
  ASSERT_TRUE(good.ok() && bad.ok());
  EXPECT_TRUE(bad->marks[2].left_out);
  EXPECT_NEAR(bad->courses[0].numbers.length.value.millimetres(), good->courses[0].numbers.length.value.millimetres(),
              0.5);
  seen.paths[0].lines[0].points[3].row += 25;  // and a click beside the vessel
  const auto worse = MeasurePair(seen);
  ASSERT_TRUE(worse.ok());
  EXPECT_NEAR(worse->courses[0].numbers.length.value.millimetres(), good->courses[0].numbers.length.value.millimetres(),
              3.0 * worse->courses[0].numbers.length.sd->millimetres() + 1.0);
}

TEST(PairedViews, AViewWithTheWrongSignIsRefused) {
  Seen seen = TwoFrames(kRao, kLao);
  const Taken taken = AsStated(seen);
  AddBranches(taken, seen);
  seen.frames[1].view.primary = -seen.frames[1].view.primary;
  const auto found = MeasurePair(seen);
  ASSERT_FALSE(found.ok());
  EXPECT_NE(found.error().what.find("the views do not fit each other"), std::string::npos);
}

TEST(PairedViews, NumbersThatCannotBeAreRefused) {
  Seen seen = TwoFrames(kRao, kLao);
  AddBranches(AsStated(seen), seen);
  Seen outside = seen;
  outside.marks[0].clicks[0].at = {-40, 10};
  EXPECT_FALSE(MeasurePair(outside).ok());
  Seen nan = seen;
  nan.marks[0].clicks[0].at.row = std::nan("");
  EXPECT_FALSE(MeasurePair(nan).ok());
  Seen geometry = seen;
  geometry.frames[0].view.source_to_detector = Length::Millimetres(0);
  EXPECT_FALSE(MeasurePair(geometry).ok());
  Seen nothing = TwoFrames(kRao, kLao);
  EXPECT_FALSE(MeasurePair(nothing).ok());
  Seen same = seen;
  for (SeenMark& mark : same.marks) mark.clicks[0].at = mark.clicks[1].at = {256, 256};
  static_cast<void>(MeasurePair(same));  // all on one pixel: whatever it says, it says it
}

// A guide line passes through the point it is drawn for, and follows the marks when the table moved.
TEST(GuideLines, PassThroughTheOtherPicture) {
  Seen seen = TwoFrames(kRao, kLao, TablePlace::kUnknown);
  Taken taken = AsStated(seen);
  taken.views[1].patient_shift = {12, -4, 7};
  const Vec3 point{10, -20, 5};
  const ImagePoint a = taken.Click(0, point), b = taken.Click(1, point);
  const auto off = [&b](const GuideLine& g) {
    const double c = g.to.column - g.from.column, r = g.to.row - g.from.row;
    return std::abs(c * (b.row - g.from.row) - r * (b.column - g.from.column)) / std::hypot(c, r);
  };
  const auto before = GuideLineOf(seen, 0, a, 1);
  ASSERT_TRUE(before.ok());
  EXPECT_LT(off(*before), 2.0 * before->sd_px);
  AddBranches(taken, seen);
  const auto after = GuideLineOf(seen, 0, a, 1);
  ASSERT_TRUE(after.ok());
  EXPECT_EQ(after->marks, 6u);
  EXPECT_LT(off(*after), 1.0);
  EXPECT_GT(off(*before), 3.0);
}

}  // namespace
}  // namespace fairlead
