// SPDX-License-Identifier: Apache-2.0
// How accurate the trace is, on phantom runs whose truth is the generator's: accuracy RUNS [first seed] [grade|all|other] [each]
// Each run is measured twice: with the reader's clicks alone, and with one more where the trace asks for it. Grades: clean,
// typical, poor; without one, clean and typical; other: runs of no grade (tests/imaging/trace/other_runs.h). With `each`, lines for
// every run.
// docs/methods-trace.md quotes what this prints.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <vector>

#include "tests/imaging/trace/trial.h"

namespace fairlead {
namespace {

struct Spread {
  double n = 0, sum = 0, squares = 0, stated = 0;
  void Add(double error, double sd) { n += 1, sum += error, squares += error * error, stated += sd * sd; }
  double bias() const { return n > 0 ? sum / n : 0.0; }
  double sd() const { return n > 1 ? std::sqrt(std::max(0.0, squares / n - bias() * bias())) : 0.0; }
  double rms() const { return n > 0 ? std::sqrt(squares / n) : 0.0; }
  double ratio() const { return squares > 0 ? std::sqrt(stated / squares) : 0.0; }
};

void Row(const char* what, const Spread& s, const char* unit) {
  std::printf("  %-44s n %7.0f  bias %+.3f  sd %.3f %s  stated/true %.2f\n", what, s.n, s.bias(), s.sd(), unit, s.ratio());
}

double Centile(std::vector<double>& values, double share) {
  if (values.empty()) return 0.0;
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

// Rms of the diameters' errors where no other shadow is near and everywhere, and where the course went.
void Tell(std::uint64_t seed, const TrialResult& result) {
  Spread alone, all;
  for (const SampleError& e : result.samples) {
    all.Add(e.error_mm, e.stated_mm);
    if (e.alone) alone.Add(e.error_mm, e.stated_mm);
  }
  std::vector<double> off = result.off_course_mm;
  std::printf("    %4llu %-10s off %.2f to %.2f mm, length %+.1f of %.1f mm; alone %3.0f rms %.3f stated/true %.2f, all %3.0f rms %.3f stated/true %.2f\n",
              static_cast<unsigned long long>(seed), result.vessel.c_str(), Centile(off, 0.5), Centile(off, 1.0), result.length_error_mm, result.true_length_mm,
              alone.n, alone.rms(), alone.ratio(), all.n, all.rms(), all.ratio());
  if (!result.least) return;
  std::printf("         least diameter off by %+.3f mm, stated %.3f; stenosis off by %+.1f points, stated %.1f\n", result.least->error_mm, result.least->stated_mm, result.stenosis_error_pct,
              result.stenosis_stated_pct);
}

// Where the centreline is farther off than its goal.
struct FarOff {
  double limit_mm = 0.4;
  std::size_t all = 0, far = 0, near_an_end = 0, in_detours = 0, detours = 0;
  void Add(const std::vector<double>& off) {
    constexpr std::size_t kEnd = 12;    // pixels
    constexpr double kDetour_mm = 2.0;  // the trace has left the vessel
    const bool detour = !off.empty() && *std::max_element(off.begin(), off.end()) > kDetour_mm;
    detours += detour ? 1 : 0, all += off.size();
    for (std::size_t i = 0; i < off.size(); ++i) {
      if (!(off[i] > limit_mm)) continue;
      ++far, in_detours += detour ? 1 : 0, near_an_end += i < kEnd || i + kEnd >= off.size() ? 1 : 0;
    }
  }
};

// All that one table shows.
class Table {
 public:
  explicit Table(Grade grade) : grade_(grade) { far_off_.limit_mm = grade == Grade::kClean ? 0.4 : 0.8; }
  void Add(const TrialResult& result) {
    ++done_, asks_ += result.asks ? 1 : 0;
    off_.insert(off_.end(), result.off_course_mm.begin(), result.off_course_mm.end());
    far_off_.Add(result.off_course_mm);
    std::vector<double> own = result.off_course_mm;
    if (Centile(own, 0.5) > 2.0) {
      ++lost_;
      return;
    }
    kept_ += result.kept_share;
    double mean = 0.0, n = 0.0;
    for (const SampleError& e : result.samples) {
      if (e.true_mm < 1.0 || e.true_mm > 4.0) continue;
      all_.Add(e.error_mm, e.stated_mm);
      if (!e.alone) continue;
      alone_.Add(e.error_mm, e.stated_mm);
      (e.true_mm < 1.6 ? thin_ : e.true_mm < 2.4 ? medium_ : wide_).Add(e.error_mm, e.stated_mm);
      mean += e.error_mm, n += 1;
    }
    if (n > 20) per_run_.Add(mean / n, 0.0);
    length_.Add(result.length_error_mm, result.length_stated_mm);
    relative_.push_back(std::abs(result.course_error_share));
    if (result.least) {
      least_.Add(result.least->error_mm, result.least->stated_mm);
      stenosis_.Add(result.stenosis_error_pct, result.stenosis_stated_pct);
    }
  }
  void Print(const char* how) {
    std::printf("%s, %s: %d runs, %d lost (another vessel traced), %.1f %% of the points measured; %d ask for one more click\n", std::string(GradeName(grade_)).c_str(), how, done_,
                lost_, 100.0 * kept_ / std::max(1, done_ - lost_), asks_);
    Row("diameter 1-4 mm, no other shadow near", alone_, "mm");
    Row("  1.0 to 1.6 mm", thin_, "mm");
    Row("  1.6 to 2.4 mm", medium_, "mm");
    Row("  2.4 to 4.0 mm", wide_, "mm");
    Row("diameter 1-4 mm, everywhere", all_, "mm");
    Row("mean diameter of a run's samples", per_run_, "mm");
    std::printf("  %-44s median %.3f  95 %% %.3f mm\n", "centreline", Centile(off_, 0.5), Centile(off_, 0.95));
    const auto share = [](std::size_t part, std::size_t whole) { return 100.0 * static_cast<double>(part) / static_cast<double>(std::max<std::size_t>(1, whole)); };
    std::printf("  %-44s %.1f %% of places; of these %.0f %% in the %zu runs that leave the vessel by more than 2 mm, %.0f %% within 12 pixels of an end\n", "  beyond its goal",
                share(far_off_.far, far_off_.all), share(far_off_.in_detours, far_off_.far), far_off_.detours, share(far_off_.near_an_end, far_off_.far));
    Row("length between noisy clicks", length_, "mm");
    double squares = 0.0;
    for (const double r : relative_) squares += r * r;
    std::printf("  %-44s median %.2f  68 %% %.2f  95 %% %.2f  rms %.2f %%\n", "length of the line against the true one", 100 * Centile(relative_, 0.5), 100 * Centile(relative_, 0.68),
                100 * Centile(relative_, 0.95), 100 * std::sqrt(squares / std::max<double>(1.0, static_cast<double>(relative_.size()))));
    Row("least diameter of a narrowing", least_, "mm");
    Row("percent stenosis", stenosis_, "points");
    std::fflush(stdout);
  }

 private:
  Grade grade_;
  Spread alone_, all_, thin_, medium_, wide_, per_run_, length_, least_, stenosis_;
  std::vector<double> off_, relative_;
  FarOff far_off_;
  int done_ = 0, lost_ = 0, asks_ = 0;
  double kept_ = 0.0;
};

void OfGrade(Grade grade, int runs, std::uint64_t first, bool each, bool other) {
  if (other) std::printf("runs of no grade, held against the goals of a typical one\n");
  Table plain(grade), answered(grade);
  int done = 0, two = 0, three = 0, four = 0;
  for (std::uint64_t seed = first; done < runs && seed < first + 3 * static_cast<std::uint64_t>(runs); ++seed) {
    const auto trial = RunTrials({grade, seed, seed % 2 == 1, 1.0, other}, 1);
    if (!trial) continue;
    ++done;
    const int clicks = trial->clicks_first + trial->clicks_given;
    two += clicks == 2 ? 1 : 0, three += clicks == 3 ? 1 : 0, four += clicks > 3 ? 1 : 0;
    if (each) Tell(seed, trial->answered);
    plain.Add(trial->plain);
    answered.Add(trial->answered);
  }
  plain.Print("the reader's clicks alone");
  answered.Print("with one more click where it is asked for");
  std::printf("  clicks with those asked for: two in %d runs, three in %d, four in %d\n", two, three, four);
}

}  // namespace
}  // namespace fairlead

int main(int argc, char** argv) {
  const int runs = argc > 1 ? std::atoi(argv[1]) : 200;
  const auto first = static_cast<std::uint64_t>(argc > 2 ? std::atoi(argv[2]) : 1);
  const std::string wanted = argc > 3 ? argv[3] : "";
  for (const auto grade : {fairlead::Grade::kClean, fairlead::Grade::kTypical, fairlead::Grade::kPoor}) {
    const bool usual = wanted.empty() && grade != fairlead::Grade::kPoor;
    if (usual || wanted == "all" || wanted == fairlead::GradeName(grade)) fairlead::OfGrade(grade, runs, first, argc > 4, false);
  }
  if (wanted == "other") fairlead::OfGrade(fairlead::Grade::kTypical, runs, first, argc > 4, true);
  return 0;
}
