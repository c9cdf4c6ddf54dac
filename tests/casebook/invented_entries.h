// SPDX-License-Identifier: Apache-2.0
// Invented entries for the tests of entries, fold and journal. All of it is made up; no patient is behind it.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "casebook/entry.h"
#include "casebook/entry_json.h"

namespace fairlead {

// SplitMix64: the same numbers on every machine, seeded from the test's own name.
class TaggedGenerator {
 public:
  explicit TaggedGenerator(std::string_view tag) {
    for (const char c : tag) state_ = (state_ ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
  }
  std::uint64_t Next() {
    std::uint64_t z = (state_ += 0x9e3779b97f4a7c15ULL);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
    return z ^ (z >> 31);
  }
  std::size_t Below(std::size_t n) { return Next() % n; }

 private:
  std::uint64_t state_ = 14695981039346656037ULL;
};

inline constexpr Instant kInventedMorning{1795599600000};  // 2026-11-25T09:40:00Z

inline std::string InventedId(std::uint64_t n) {
  std::array<std::uint8_t, 10> random{};
  for (std::size_t i = 0; i < 8; ++i) random[9 - i] = static_cast<std::uint8_t>(n >> (8 * i));
  return NewUlid(kInventedMorning, random);
}

inline EntryData LengthOf(double mm, double sd = 1.4) {
  FactStated fact;
  fact.key = {"length_angio_mm", ""};
  fact.belief = Number{mm, sd};
  fact.mark = Mark::kMeasured;
  return fact;
}
inline EntryData Flag(std::string name, double yes) {
  FactStated fact;
  fact.key = {std::move(name), ""};
  fact.belief = FlagOdds{yes};
  return fact;
}

// An entry as a person wrote it: not yet in a store.
inline Entry Written(std::uint64_t n, EntryData data, std::int64_t minutes = 0, std::string amends = "") {
  Entry entry;
  entry.id = InventedId(n);
  entry.at = {kInventedMorning.ms + minutes * 60000};
  entry.written = entry.at;
  entry.by = "AB";
  entry.device = "page";
  entry.data = std::move(data);
  entry.kind = KindName(entry.data);
  entry.amends = std::move(amends);
  return entry;
}

// The same as a store gives it.
inline Entry Stored(std::int64_t seq, EntryData data, std::int64_t minutes = 0, std::string amends = "") {
  Entry entry = Written(static_cast<std::uint64_t>(seq), std::move(data), minutes, std::move(amends));
  entry.seq = seq;
  entry.recorded = {kInventedMorning.ms + seq * 1000};
  return entry;
}

// Entries as a long case has them: lengths and flags with their origin, images, calibrations, notes, amendments.
inline std::vector<Entry> InventedCase(std::size_t count, std::string_view tag) {
  TaggedGenerator random(tag);
  std::vector<Entry> entries{Written(1, CaseOpened{"invented case", "lab 1", true})};
  const std::string image(64, 'a');
  std::vector<std::pair<std::string, std::size_t>> originals;
  for (std::uint64_t n = 2; entries.size() < count; ++n) {
    const auto minutes = static_cast<std::int64_t>(n / 20);
    switch (random.Below(8)) {
      case 0: entries.push_back(Written(n, NoteWritten{"an invented remark"}, minutes)); break;
      case 1: entries.push_back(Written(n, PixelSizeSet{image, 0.2, 0.004, "catheter 6 French", 3, {{10, 20}, {16, 28}}}, minutes)); break;
      case 2: entries.push_back(Written(n, Flag("proximal_cap_ambiguous", 0.25 * static_cast<double>(random.Below(5))), minutes)); break;
      case 3:
        if (!originals.empty()) {
          entries.push_back(Written(n, LengthOf(12.5), minutes, originals[random.Below(originals.size())].first));
          break;
        }
        [[fallthrough]];
      default: {
        EntryData data = LengthOf(10.0 + static_cast<double>(random.Below(300)) / 10.0);
        std::get<FactStated>(data).origin = {image, 12, "ruler, catheter 6 French", {{100.5, 220}, {180, 240.25}},
                                             {{"clicks", 0.5}, {"pixel size", 0.4}, {"foreshortening (not corrected)", 1.0}}};
        originals.emplace_back(InventedId(n), entries.size());
        entries.push_back(Written(n, std::move(data), minutes));
      }
    }
  }
  return entries;
}

}  // namespace fairlead
