// SPDX-License-Identifier: Apache-2.0
// A data folder of a test's own, and a clock that it sets.
#pragma once

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <memory>
#include <stdexcept>
#include <sstream>
#include <string>
#include <vector>

#include "keeping/journal/journal.h"
#include "tests/casebook/invented_entries.h"

namespace fairlead {

class DataFolder {
 public:
  DataFolder() {
    std::string name = (std::filesystem::temp_directory_path() / "fairlead-journal-XXXXXX").string();
    path_ = mkdtemp(name.data());
  }
  ~DataFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  DataFolder(const DataFolder&) = delete;
  DataFolder& operator=(const DataFolder&) = delete;
  const std::filesystem::path& path() const { return path_; }
  std::filesystem::path file() const { return path_ / "journal.sqlite"; }

 private:
  std::filesystem::path path_;
};

inline std::string BytesOf(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::ostringstream bytes;
  bytes << in.rdbuf();
  return bytes.str();
}

// One second later at each look, unless it is set.
struct TestClock {
  std::shared_ptr<Instant> now = std::make_shared<Instant>(kInventedMorning);
  Instant operator()() { return *now = {now->ms + 1000}; }
};

inline JournalOptions Owning(TestClock clock = {}, std::uint64_t ballast = 64 * 1024) { return {Access::kOwn, clock, ballast}; }

template <typename T>
T Must(Result<T> result) {
  if (!result) throw std::runtime_error(Sentence(result.error()));
  return std::move(*result);
}

inline std::vector<IncomingEntry> AsIncoming(const std::vector<Entry>& entries) {
  std::vector<IncomingEntry> incoming;
  for (const Entry& entry : entries) incoming.push_back(MakeIncoming(entry));
  return incoming;
}

// A journal with one case "c1" of so many invented entries.
inline std::unique_ptr<Journal> JournalWithCase(const DataFolder& folder, std::size_t count, JournalOptions options = Owning()) {
  auto journal = Must(OpenJournal(folder.path(), std::move(options)));
  Must(journal->NewCase("c1", AsIncoming(InventedCase(count, "journal"))));
  return journal;
}

}  // namespace fairlead
