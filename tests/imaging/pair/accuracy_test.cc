// SPDX-License-Identifier: Apache-2.0
// How far from the truth two-view measurement ends up, and whether its stated spread is right. The table of
// docs/methods-pair.md: FAIRLEAD_PHANTOM_PAIRS=250 build/test/bin/test_imaging_pair --gtest_filter='Accuracy.*'
#include <gtest/gtest.h>

#include <array>
#include <cstdlib>

#include "tests/imaging/pair/phantom_reader.h"

namespace fairlead {
namespace {

int PairsAsked() {
  const char* asked = std::getenv("FAIRLEAD_PHANTOM_PAIRS");
  return asked == nullptr ? 36 : std::max(1, std::atoi(asked));
}

// The first of the seeds. What is stated was calibrated from 50000 on, other hearts than those of the check.
unsigned FirstSeed() {
  const char* asked = std::getenv("FAIRLEAD_PHANTOM_FROM");
  return asked == nullptr ? 100u : static_cast<unsigned>(std::max(0, std::atoi(asked)));
}

struct Errors {
  std::vector<double> error, sd;
  void Add(double e, double s) { error.push_back(e), sd.push_back(s); }
  double Mean() const {
    double sum = 0;
    for (const double e : error) sum += e;
    return sum / static_cast<double>(error.size());
  }
  double Rms() const {
    double sum = 0;
    for (const double e : error) sum += e * e;
    return std::sqrt(sum / static_cast<double>(error.size()));
  }
  double Stated() const {
    double sum = 0;
    for (const double s : sd) sum += s * s;
    return std::sqrt(sum / static_cast<double>(sd.size()));
  }
  double Within(double sds) const {
    int inside = 0;
    for (std::size_t i = 0; i < error.size(); ++i) inside += std::abs(error[i]) <= sds * sd[i] ? 1 : 0;
    return static_cast<double>(inside) / static_cast<double>(error.size());
  }
  double Centile(double share) const {
    std::vector<double> sorted;
    for (const double e : error) sorted.push_back(std::abs(e));
    std::sort(sorted.begin(), sorted.end());
    return sorted[static_cast<std::size_t>(share * static_cast<double>(sorted.size() - 1))];
  }
  void Print(const char* what, Grade grade) const {
    std::printf(
        "%-34s %-8s n %4zu  mean %+6.2f  rms %5.2f  95th %5.2f  stated sd %5.2f  stated/rms %4.2f  within 1 sd %3.0f "
        "%%  2 sd %3.0f %%\n",
        what, std::string(GradeName(grade)).c_str(), error.size(), Mean(), Rms(), Centile(0.95), Stated(),
        Stated() / Rms(), 100 * Within(1), 100 * Within(2));
  }
};

struct Table3 {
  Errors length, chord, bend, channel, channel_pct, over, point;
  int refused = 0;
};

Table3 Measure(Grade grade, Reads reads, bool channel, int pairs) {
  Table3 table;
  Random random("Accuracy" + std::string(GradeName(grade)) + std::to_string(FirstSeed()));
  const std::array<std::string_view, 3> scenes{"circumflex-marginal", "graft-anterior", "short-right"};
  for (int i = 0, tried = 0; i < pairs && tried < 4 * pairs; ++tried) {
    const auto scene = MakeScene(scenes[static_cast<std::size_t>(tried) % 3], FirstSeed() + static_cast<unsigned>(tried));
    const auto read = Reader(*scene, grade, random).Read(reads, channel);
    if (!read) continue;
    ++i;
    const auto found = MeasurePair(read->seen);
    if (!found || !found->occlusion || !found->occlusion->course) {
      ++table.refused;
      if (!found) std::printf("refused: %s\n", Sentence(found.error()).c_str());
      continue;
    }
    const CourseNumbers& numbers = found->occlusion->course->numbers;
    const double length = LengthOf(read->course).millimetres();
    table.length.Add(numbers.length.value.millimetres() - length, numbers.length.sd->millimetres());
    table.chord.Add(numbers.chord.value.millimetres() - Norm(read->course.back() - read->course.front()),
                    numbers.chord.sd->millimetres());
    table.bend.Add((numbers.bend.value - LargestBend(read->course, numbers.arm).turn).degrees(),
                   numbers.bend.sd->degrees());
    if (!read->channel.empty() && !found->courses.empty()) {
      const double channel_length = LengthOf(read->channel).millimetres();
      const CourseNumbers& winds = found->courses[0].numbers;
      table.channel.Add(winds.length.value.millimetres() - channel_length, winds.length.sd->millimetres());
      table.channel_pct.Add(100.0 * (winds.length.value.millimetres() / channel_length - 1.0),
                            100.0 * winds.length.sd->millimetres() / channel_length);
    }
  }
  return table;
}

// Clicks hold a course across, not along: a free end may slip inwards from the clicks that it began with.
TEST(ExactClicks, BesideAnOcclusionAreNotSaidToFitNothing) {
  const auto scene = MakeScene("short-right", 7);
  ASSERT_TRUE(scene.ok());
  const auto plans = UsualRuns(*scene, Grade::kClean);
  const Occlusion& o = *scene->occlusion;
  const auto& nodes = scene->vessels[static_cast<std::size_t>(o.vessel)].nodes;
  Seen seen = TwoFrames(plans[0].view, plans[1].view);
  const Taken taken = AsStated(seen);
  SeenOcclusion marked;
  marked.near_cap = MarkAt(taken, "near cap", nodes[o.proximal].at);
  marked.far_cap = MarkAt(taken, "far cap", nodes[o.distal].at);
  for (std::size_t f = 0; f < 2; ++f) {
    SeenLine before{f, {}}, after{f, {}};
    for (std::size_t i = 25; i > 2; i -= 4) before.points.push_back(taken.Click(f, nodes[o.proximal - i].at));
    for (std::size_t i = 3; i < 26; i += 4) after.points.push_back(taken.Click(f, nodes[o.distal + i].at));
    marked.before.push_back(before), marked.after.push_back(after);
  }
  seen.occlusion = marked;
  for (const Vessel& vessel : scene->vessels) {
    if (vessel.kind == VesselKind::kArtery && vessel.from.vessel >= 0 && seen.marks.size() < 3)
      seen.marks.push_back(MarkAt(taken, vessel.name, vessel.nodes.front().at));
  }
  const auto found = MeasurePair(seen);
  ASSERT_TRUE(found.ok()) << Sentence(found.error());
  for (const std::string& warning : found->occlusion->course->warnings)
    EXPECT_EQ(warning.find("fitted nothing"), std::string::npos) << warning;
  const double want = LengthOf(OcclusionCourse(*scene)).millimetres();
  EXPECT_NEAR(found->occlusion->length.value.millimetres(), want, 0.03 * want);
}

TEST(Accuracy, OfTheOcclusionOverPhantomPairs) {
  const int pairs = PairsAsked();
  for (const Grade grade : {Grade::kClean, Grade::kTypical, Grade::kPoor}) {
    const Table3 whole = Measure(grade, Reads::kVesselBesides, false, pairs);
    whole.length.Print("occlusion, vessel beside it", grade);
    whole.chord.Print("its chord", grade);
    whole.bend.Print("its bend (degrees)", grade);
    const Table3 caps = Measure(grade, Reads::kCapsAndMarks, false, pairs);
    caps.length.Print("occlusion, caps and marks alone", grade);
    const Table3 channel = Measure(grade, Reads::kCapsAndMarks, true, pairs / 2);
    channel.channel.Print("channel", grade);
    channel.channel_pct.Print("channel (%)", grade);
    // Half a millimetre and 1.2 mm are what is asked of views at least 45 degrees apart; a sample of 36 wavers by 12 %.
    EXPECT_LE(whole.length.Rms(), grade == Grade::kClean ? 0.6 : 1.2) << GradeName(grade);
    EXPECT_GT(whole.length.Stated() / whole.length.Rms(), 0.7) << GradeName(grade);
    EXPECT_LT(whole.length.Stated() / whole.length.Rms(), 1.6) << GradeName(grade);
    EXPECT_GT(whole.length.Within(2.0), 0.85) << GradeName(grade);
    EXPECT_LE(caps.length.Rms(), grade == Grade::kClean ? 0.6 : 1.2) << GradeName(grade);
    EXPECT_GT(caps.length.Stated() / caps.length.Rms(), 0.7) << GradeName(grade);
    EXPECT_LT(caps.length.Stated() / caps.length.Rms(), 1.6) << GradeName(grade);
    EXPECT_LE(whole.refused + caps.refused + channel.refused, pairs / 20) << GradeName(grade);
  }
}

}  // namespace
}  // namespace fairlead
