// SPDX-License-Identifier: Apache-2.0
// How accurate a pullback's reading is on invented ones, whose truth is the generator's: ivus_accuracy PULLBACKS [first seed] [odd]
// "odd": one in four pushed forward, one in four with every second frame far too bright, one in four at a pixel of 0.015 mm
// and half the speed, one in four at three times the speed.
// docs/methods-ultrasound.md quotes what this prints.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string_view>
#include <vector>

#include "tests/imaging/pullback/scene.h"

namespace fairlead {
namespace {

struct Spread {
  double n = 0, sum = 0, squares = 0, stated = 0;
  void Add(double error, double sd) { n += 1, sum += error, squares += error * error, stated += sd * sd; }
  double bias() const { return n > 0 ? sum / n : 0.0; }
  double sd() const { return n > 1 ? std::sqrt(std::max(0.0, squares / n - bias() * bias())) : 0.0; }
  double ratio() const { return squares > 0 ? std::sqrt(stated / squares) : 0.0; }
};

double Centile(std::vector<double> values, double share) {
  if (values.empty()) return 0.0;
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

double MeanOf(const std::vector<double>& values) {
  double sum = 0.0;
  for (const double value : values) sum += value;
  return values.empty() ? 0.0 : sum / static_cast<double>(values.size());
}

// What is called inside or outside against the truth, and how often the truth is inside at each chance that is stated.
struct Calls {
  int right = 0, wrong = 0, unknown = 0;
  std::array<int, 5> stated{}, inside{};
  void Add(double chance, bool truth) {
    const auto bin = static_cast<std::size_t>(std::clamp(chance * 5.0, 0.0, 4.0));
    ++stated[bin], inside[bin] += truth;
    if (chance < 0.8 && chance > 0.2) ++unknown;
    else ++((chance >= 0.8) == truth ? right : wrong);
  }
  void Print(const char* what) const {
    const int all = right + wrong + unknown;
    if (all == 0) return;
    std::printf("  %-28s n %5d  right %.3f  wrong %.3f  unknown %.3f;  true share at a stated chance of", what, all, 1.0 * right / all, 1.0 * wrong / all, 1.0 * unknown / all);
    for (std::size_t bin = 0; bin < stated.size(); ++bin) {
      if (stated[bin] > 0) std::printf("  %.1f-%.1f: %.2f (%d)", 0.2 * static_cast<double>(bin), 0.2 * static_cast<double>(bin + 1), 1.0 * inside[bin] / stated[bin], stated[bin]);
    }
    std::printf("\n");
  }
};

// All three spaces: what is told at 0.8 and above, and how often each is true at each chance that is stated for it.
struct SpaceCalls {
  std::array<std::array<int, 5>, 3> told{};     // true space: told lumen, plaque, inside only, outside, unknown
  std::array<std::array<int, 5>, 3> stated{}, held{};
  void Add(const SpaceChances& chances, SpaceTruth truth) {
    const std::array<double, 3> each{chances.lumen, chances.plaque, chances.outside};
    const auto t = static_cast<std::size_t>(truth);
    const std::size_t call = each[0] >= 0.8 ? 0 : each[1] >= 0.8 ? 1 : each[0] + each[1] >= 0.8 ? 2 : each[2] >= 0.8 ? 3 : 4;
    ++told[t][call];
    for (std::size_t k = 0; k < 3; ++k) {
      const auto bin = static_cast<std::size_t>(std::clamp(each[k] * 5.0, 0.0, 4.0));
      ++stated[k][bin], held[k][bin] += k == t;
    }
  }
  void Print() const {
    const std::array<const char*, 3> names{"true lumen", "in plaque", "outside"};
    for (std::size_t t = 0; t < 3; ++t) {
      std::printf("  truly %-10s told: lumen %d, plaque %d, inside only %d, outside %d, unknown %d;  its share at a stated chance of", names[t], told[t][0], told[t][1], told[t][2], told[t][3], told[t][4]);
      for (std::size_t bin = 0; bin < 5; ++bin) {
        if (stated[t][bin] > 0) std::printf("  %.1f-%.1f: %.2f (%d)", 0.2 * static_cast<double>(bin), 0.2 * static_cast<double>(bin + 1), 1.0 * held[t][bin] / stated[t][bin], stated[t][bin]);
      }
      std::printf("\n");
    }
  }
};

struct Tally {
  std::vector<double> lumen, eem, channel, riding, second;
  Spread lumen_area, eem_area, channel_area, lumen_mm2, eem_mm2, tissue;
  Calls catheter, wire, wire_beside;
  SpaceCalls spaces;
  int frames_there = 0, frames_seen = 0, claimed = 0, frames_without = 0;
};

void AddBorders(const InventedPullback& made, const PullbackReading& reading, Tally& tally) {
  const bool open = made.order.scene == "open";
  for (std::size_t f = 0; f < made.truth.size(); ++f) {
    const SectionTruth& truth = made.truth[f];
    const PullbackSection& section = reading.sections[f];
    const Agreement lumen = AgreementOf(reading.borders.frames[f].lumen, truth.lumen);
    (open ? tally.lumen : tally.channel).push_back(lumen.jaccard);
    (open ? tally.lumen_area : tally.channel_area).Add(lumen.area_error, 0.0);
    tally.lumen_mm2.Add(section.lumen.value - AreaInside(truth.lumen), section.lumen.sd);
    if (!truth.inside || !section.eem) continue;
    const Agreement eem = AgreementOf(reading.borders.frames[f].eem, truth.eem);
    tally.eem.push_back(eem.jaccard);
    tally.eem_area.Add(eem.area_error, 0.0);
    tally.eem_mm2.Add(section.eem->value - AreaInside(truth.eem), section.eem->sd);
  }
}

void AddWires(const InventedPullback& made, const PullbackReading& reading, Tally& tally) {
  const bool found = !reading.wires.second.frames.empty();
  for (std::size_t f = 0; f < made.truth.size(); ++f) {
    const SectionTruth& truth = made.truth[f];
    if (!reading.wires.riding.frames.empty() && reading.wires.riding.frames[f].seen) tally.riding.push_back(DegreesApart(reading.wires.riding.frames[f].angle_deg, truth.guidewire.angle_deg));
    const bool seen = found && reading.wires.second.frames[f].seen;
    ++(truth.far_wire ? tally.frames_there : tally.frames_without);
    (truth.far_wire ? tally.frames_seen : tally.claimed) += seen;
    if (!truth.far_wire || !seen) continue;
    tally.second.push_back(DegreesApart(reading.wires.second.frames[f].angle_deg, truth.far_wire->angle_deg));
    const auto ray = static_cast<std::size_t>(std::lround(truth.far_wire->angle_deg / 360.0 * kRays)) % kRays;
    const double thickness = truth.far_wire->distance_mm - static_cast<double>(truth.lumen[ray]);
    tally.tissue.Add(reading.tissue[f].thickness_mm - thickness, reading.tissue[f].sd_mm);
  }
}

void AddSpaces(const InventedPullback& made, const PullbackReading& reading, Tally& tally) {
  for (const SpaceRange& range : reading.ranges) {
    const SectionTruth& first = made.truth[static_cast<std::size_t>(range.first)];
    const SectionTruth& last = made.truth[static_cast<std::size_t>(range.last)];
    if (first.space != last.space) continue;  // the catheter changes its space within the range
    tally.catheter.Add(range.catheter.inside(), first.inside);
    tally.spaces.Add(range.catheter, first.space);
    if (range.wire && first.far_wire) (first.inside ? tally.wire : tally.wire_beside).Add(range.wire->inside(), first.far_wire->in_plaque);
  }
}

void Row(const char* what, const Spread& s, const char* unit, bool stated) {
  std::printf("  %-28s n %5.0f  bias %+.3f  sd %.3f %s", what, s.n, s.bias(), s.sd(), unit);
  if (stated) std::printf("  stated/true %.2f", s.ratio());
  std::printf("\n");
}

void Print(Grade grade, int pullbacks, const Tally& t) {
  std::printf("%s, %d pullbacks of 40 frames\n", std::string(GradeName(grade)).c_str(), pullbacks);
  std::printf("  Jaccard, mean (5th centile)   lumen %.3f (%.3f)  channel %.3f (%.3f)  media %.3f (%.3f)\n", MeanOf(t.lumen), Centile(t.lumen, 0.05), MeanOf(t.channel),
              Centile(t.channel, 0.05), MeanOf(t.eem), Centile(t.eem, 0.05));
  Row("lumen area, relative", t.lumen_area, "", false);
  Row("channel area, relative", t.channel_area, "", false);
  Row("media area, relative", t.eem_area, "", false);
  Row("lumen or channel area", t.lumen_mm2, "mm2", true);
  Row("media area", t.eem_mm2, "mm2", true);
  std::printf("  wire angle, median (95th)     riding %.1f (%.1f) deg  second %.1f (%.1f) deg\n", Centile(t.riding, 0.5), Centile(t.riding, 0.95), Centile(t.second, 0.5),
              Centile(t.second, 0.95));
  std::printf("  second wire seen              in %d of %d frames with one; claimed in %d of %d frames without\n", t.frames_seen, t.frames_there, t.claimed, t.frames_without);
  Row("tissue between", t.tissue, "mm", true);
  t.catheter.Print("catheter inside, 10 frames");
  t.spaces.Print();
  t.wire.Print("second wire inside");
  t.wire_beside.Print("the same, from beside");
}

// Pullbacks with a stent of their own: 60 frames at 2 mm/s, a stent along their middle half.
struct StentTally {
  Spread area, smallest, end_mm, expansion;
  int found = 0, missed = 0, claimed = 0, without = 0;
};

// Minimal area over the mean lumen 1 mm beside both ends: from the truth, where the reading takes the largest lumen.
void AddStent(const InventedPullback& made, const PullbackReading& reading, StentTally& tally) {
  int first = -1, last = -1;
  double least = 1e9;
  for (std::size_t f = 0; f < made.truth.size(); ++f) {
    if (!made.truth[f].stent) continue;
    if (first < 0) first = static_cast<int>(f);
    last = static_cast<int>(f);
    least = std::min(least, AreaInside(*made.truth[f].stent));
  }
  if (!reading.stent) {
    ++tally.missed;
    return;
  }
  ++tally.found;
  const StentReading& stent = *reading.stent;
  const double each = made.order.speed_mm_s * made.order.frame_time.seconds();
  tally.end_mm.Add(each * (stent.first - first), 0.0), tally.end_mm.Add(each * (stent.last - last), 0.0);
  for (const StentFrame& frame : stent.frames) {
    const SectionTruth& truth = made.truth[static_cast<std::size_t>(frame.frame)];
    if (truth.stent) tally.area.Add(frame.area.value / AreaInside(*truth.stent) - 1.0, frame.area.sd / AreaInside(*truth.stent));
  }
  tally.smallest.Add(stent.smallest_area.value / least - 1.0, stent.smallest_area.sd / least);
  if (!stent.reference_before || !stent.reference_after || stent.expansion.empty()) return;
  const auto lumen = [&](int at) { return AreaInside(made.truth[static_cast<std::size_t>(at)].lumen); };
  tally.expansion.Add(stent.expansion.front().value - least / (0.5 * (lumen(*stent.reference_before) + lumen(*stent.reference_after))), stent.expansion.front().sd);
}

void PrintStents(const StentTally& t) {
  std::printf("  stent                        found in %d of %d pullbacks with one, claimed in %d of %d without\n", t.found, t.found + t.missed, t.claimed, t.without);
  Row("  area of a frame, relative", t.area, "", true);
  Row("  smallest area, relative", t.smallest, "", true);
  Row("  its ends", t.end_mm, "mm", false);
  Row("  expansion (mean of both)", t.expansion, "", true);
}

PullbackOrder OddOrder(PullbackOrder order, int number) {
  switch (number / static_cast<int>(PullbackScenes().size()) % 4) {  // the scenes follow each other
    case 0: order.backwards = true; break;
    case 1: order.saturated = true; break;
    case 2: order.pixel = Length::Millimetres(0.015), order.speed_mm_s = 0.5, order.size = 512; break;
    default: order.speed_mm_s = 3.0; break;
  }
  return order;
}

}  // namespace
}  // namespace fairlead

int main(int count, char** words) {
  using namespace fairlead;
  const int pullbacks = count > 1 ? std::atoi(words[1]) : 12;
  const unsigned first = count > 2 ? static_cast<unsigned>(std::atoi(words[2])) : 1;
  const bool odd = count > 3 && std::string_view(words[3]) == "odd";
  for (const Grade grade : {Grade::kClean, Grade::kTypical, Grade::kPoor}) {
    Tally tally;
    StentTally stents;
    for (int i = 0; i < pullbacks; ++i) {
      const auto& scene = PullbackScenes()[static_cast<std::size_t>(i) % PullbackScenes().size()];
      const PullbackOrder order = OrderOf(scene.data(), grade, first + static_cast<unsigned>(i), 40, 400);
      const auto made = InventPullback(odd ? OddOrder(order, i) : order);
      if (!made) return 1;
      const auto reading = ReadPullback(QuestionOf(*made), {});
      if (!reading) return 1;
      AddBorders(*made, *reading, tally);
      AddWires(*made, *reading, tally);
      AddSpaces(*made, *reading, tally);
      ++stents.without, stents.claimed += reading->stent.has_value();
    }
    for (int i = 0; i < pullbacks; ++i) {
      PullbackOrder order = OrderOf("open", grade, first + static_cast<unsigned>(i), 60, 400);
      order.stent = true, order.speed_mm_s = 2.0;
      const auto made = InventPullback(order);
      if (!made) return 1;
      const auto reading = ReadPullback(QuestionOf(*made), {});
      if (!reading) return 1;
      AddStent(*made, *reading, stents);
    }
    Print(grade, pullbacks, tally);
    PrintStents(stents);
  }
}
