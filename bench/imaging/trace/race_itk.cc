// SPDX-License-Identifier: Apache-2.0
// Vesselness raced against ITK's multi-scale Hessian objectness (the same five scales, tubes, one thread), in one process
// by turns: least processor times and their ratio.
//   build/bench/bin/trace_race_itk [rounds]
// Built where ITK is found (Debian package libinsighttoolkit5-dev), which nothing else here needs.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <random>
#include <string>
#include <vector>

#include <itkHessianToObjectnessMeasureImageFilter.h>
#include <itkImage.h>
#include <itkMultiScaleHessianBasedMeasureImageFilter.h>
#include <itkMultiThreaderBase.h>

#include "imaging/trace/vesselness.h"

namespace {

using Grey = itk::Image<float, 2>;
using Hessians = itk::Image<itk::SymmetricSecondRankTensor<double, 2>, 2>;

double CpuNow() {
  timespec t{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) * 1e3 + static_cast<double>(t.tv_nsec) * 1e-6;
}

// A dark arc on noise, turned over.
fairlead::Picture Arc(int size) {
  fairlead::Picture picture{size, size, {}};
  std::mt19937 random(1);
  std::normal_distribution<float> noise(0.0f, 4.0f);
  for (int y = 0; y < size; ++y) {
    for (int x = 0; x < size; ++x) {
      const double off = std::abs(std::hypot(x - 0.5 * size, y - 0.5 * size) - 0.3 * size);
      picture.values.push_back((off < 4.0 ? 60.0f : 0.0f) - 150.0f + noise(random));
    }
  }
  return picture;
}

Grey::Pointer ItkOf(const fairlead::Picture& picture) {
  auto image = Grey::New();
  image->SetRegions(Grey::RegionType{{0, 0}, {static_cast<itk::SizeValueType>(picture.columns), static_cast<itk::SizeValueType>(picture.rows)}});
  image->Allocate();
  std::copy(picture.values.begin(), picture.values.end(), image->GetBufferPointer());
  return image;
}

Grey::Pointer ByItk(Grey* image) {
  auto measure = itk::HessianToObjectnessMeasureImageFilter<Hessians, Grey>::New();
  measure->SetObjectDimension(1);
  measure->SetBrightObject(true);
  auto filter = itk::MultiScaleHessianBasedMeasureImageFilter<Grey, Hessians, Grey>::New();
  filter->SetInput(image);
  filter->SetHessianToMeasureFilter(measure);
  filter->SetSigmaMinimum(1.5), filter->SetSigmaMaximum(6.0), filter->SetNumberOfSigmaSteps(5);
  filter->SetSigmaStepMethodToLogarithmic();
  filter->Update();
  return filter->GetOutput();
}

}  // namespace

int main(int argc, char** argv) {
  const int rounds = std::max(5, argc > 1 ? std::atoi(argv[1]) : 15);
  itk::MultiThreaderBase::SetGlobalDefaultNumberOfThreads(1);
  std::string load;
  std::getline(std::ifstream("/proc/loadavg"), load);
  std::printf("%d rounds by turns, least processor time; load %s\n", rounds, load.c_str());
  for (const int size : {512, 1024}) {
    const fairlead::Picture picture = Arc(size);
    const Grey::Pointer image = ItkOf(picture);
    double ours = 1e9, theirs = 1e9;
    fairlead::Vesselness v;
    Grey::Pointer w;
    for (int round = 0; round < rounds; ++round) {
      double start = CpuNow();
      for (int k = 0; k < 5; ++k) {
        start = CpuNow();
        v = fairlead::VesselnessOf(picture);
        ours = std::min(ours, CpuNow() - start);
      }
      start = CpuNow();
      w = ByItk(image);
      theirs = std::min(theirs, CpuNow() - start);
    }
    // Both see the same vessel: of the pixels that ITK holds for the strongest twentieth, most are so for us.
    const std::size_t n = picture.values.size(), top = n / 20;
    const auto limit = [&](std::vector<float> values) {
      std::nth_element(values.begin(), values.end() - static_cast<std::ptrdiff_t>(top), values.end());
      return *(values.end() - static_cast<std::ptrdiff_t>(top));
    };
    const float a = limit(v.strength), b = limit({w->GetBufferPointer(), w->GetBufferPointer() + n});
    std::size_t both = 0;
    for (std::size_t i = 0; i < n; ++i) both += v.strength[i] >= a && w->GetBufferPointer()[i] >= b ? 1U : 0U;
    std::printf("%d x %d, 5 scales: ours %.2f ms, ITK %.0f ms: %.0f times; they share %.0f %% of the strongest twentieth\n", size, size, ours, theirs, theirs / ours,
                100.0 * static_cast<double>(both) / static_cast<double>(top));
  }
  return 0;
}
