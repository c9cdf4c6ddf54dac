// SPDX-License-Identifier: Apache-2.0
// mutate_deep COUNT FOLDER   reads COUNT damaged copies of the files in FOLDER, each in a child, on two threads. Ends with
// 1 if the parent got no sentence, a child overran its time, or a run came back that contradicts itself.
#include <atomic>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <mutex>
#include <string_view>
#include <thread>

#include "tests/imaging/child/files.h"

namespace {

using namespace fairlead;

struct Tally {
  std::atomic<int> next{0}, opened{0}, refused{0}, died{0}, bad{0};
};

void Try(const std::vector<std::vector<std::uint8_t>>& files, int number, Tally& tally) {
  constexpr double kRates[] = {0.0, 0.00001, 0.0005, 0.01};  // the first: one bit
  const auto seed = static_cast<std::uint64_t>(number);
  const std::vector<std::uint8_t> bytes = Mutated(files[seed % files.size()], kRates[seed / files.size() % 4], seed);
  const auto start = std::chrono::steady_clock::now();
  const Descriptor file = InMemory(bytes);
  const Result<DecodedRun> decoded = DecodeInChild(file.get(), {}, {}, {}, {});
  const bool late = std::chrono::steady_clock::now() - start > std::chrono::seconds(25);
  if (decoded) ++tally.opened;
  else ++tally.refused;
  if (!decoded && decoded.error().what.find("makes its decoder fail") != std::string::npos) ++tally.died;
  if (late || (!decoded && decoded.error().what.empty())) {
    ++tally.bad;
    std::printf("number %d: %s\n", number, late ? "late" : "no sentence");
  }
}

}  // namespace

int main(int argc, char** argv) {
  if (argc > 1 && std::string_view(argv[1]) == "_decode") return DecodeMain();
  if (argc != 3) return 2;
  const int count = std::atoi(argv[1]);
  std::vector<std::vector<std::uint8_t>> files;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(argv[2])) {
    constexpr std::uintmax_t kLargest = 2'000'000;  // so that thousands fit the time
    if (entry.is_regular_file() && entry.file_size() > 200 && entry.file_size() < kLargest) files.push_back(BytesAt(entry.path().string()));
  }
  if (files.empty()) return 2;
  Tally tally;
  const auto work = [&] {
    for (int number = tally.next++; number < count; number = tally.next++) Try(files, number, tally);
  };
  {
    std::jthread second(work);
    work();
  }
  std::printf("%d damaged files: %d opened, %d refused (%d by a dead child), %d bad\n", count, tally.opened.load(), tally.refused.load(), tally.died.load(), tally.bad.load());
  return tally.bad == 0 ? 0 : 1;
}
