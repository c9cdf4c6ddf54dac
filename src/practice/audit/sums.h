// SPDX-License-Identifier: Apache-2.0
// All of the audit that does not depend on the order of the cases, as whole numbers that add up: what two sets of rows have
// together is the sum of what each has, and a row is taken out as it was put in. So sums may be kept in a table, month by month,
// and no row need be read for the audit. What depends on the order is one letter a case (JudgedLetter).
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "practice/audit/audit.h"
#include "practice/audit/packed.h"

namespace fairlead {

// Figures of very many attempts or cases. Those that are multiples of a step are counted, others kept, so that quartiles are
// exact all the same.
class Tally {
 public:
  explicit Tally(double steps_a_unit = 2) : scale_(steps_a_unit) {}
  void Add(double value, int sign = 1);     // sign -1: takes it out
  void Merge(const Tally& other);           // of the same step
  std::int64_t size() const { return size_; }
  Quartiles Found() const;

  struct Steps {                            // a value and how many there are of it
    std::uint64_t step = 0, count = 0;
  };
  std::vector<Steps> Counted() const;       // ascending
  std::vector<double> Others() const;       // ascending
  void Put(const Steps& counted);
  void PutOther(double value) { others_.push_back(value), ++size_; }

 private:
  double scale_;
  std::vector<std::uint32_t> steps_;        // how many of each multiple
  std::vector<double> others_;
  std::int64_t size_ = 0;
};

struct PartSums {
  std::int64_t rows = 0;
  Count success, complication;
};
struct MonthOfSums {
  PartSums part;
  std::array<Count, 4> judged{};            // failures by class of J-CTO
};
struct YardstickSums {
  static constexpr std::size_t kMostGroups = 16;
  std::array<Count, kMostGroups> groups{};
  std::int64_t facts_missing = 0, not_made_for = 0, no_outcome = 0;
};
struct LeftSums {
  Tally minutes, stalled;
};
struct KitSums {
  Tally counts;
  Count used;
};

inline constexpr std::size_t kRowMembers = 10;   // of which the audit says how often they are missing
inline constexpr double kKermaSteps = 1000;      // a dose is written in mGy at best

class AuditSums {
 public:
  AuditSums();
  // Rows of `all`; sign -1 takes them out.
  void Add(const PackedCases& all, std::span<const PackedCase* const> rows, int sign = 1);
  void Merge(const AuditSums& other);

  // Words (operators are not among them) by number; 0 is the empty one. What follows is by that number.
  std::vector<std::string> words{std::string()};
  std::vector<PartSums> ways, vessels;
  std::vector<LeftSums> left;
  std::unordered_map<std::uint32_t, Count> next;           // crossed, by reason and way tried next: (reason << 16) | way
  std::unordered_map<std::uint32_t, std::int64_t> shown;   // changes, by what the ladder put next and the way tried

  std::int64_t cases = 0, invented = 0, no_outcome = 0, no_difficulty = 0, no_complication_entry = 0;
  PartSums whole;
  Count procedural;
  std::array<PartSums, 4> classes{};
  std::map<int, MonthOfSums> months;                       // by MonthBegun
  std::array<std::int64_t, kRowMembers> lacks{};
  Tally minutes, contrast_ml, air_kerma_gy{kKermaSteps};
  std::int64_t not_shown = 0, left_for_good = 0;
  std::array<KitSums, kCountedKit.size()> kit;
  std::vector<YardstickSums> yardsticks;                   // as Yardsticks()

  WordNumber NumberOf(const std::string& word);

 private:
  void AddRow(const PackedCases& all, const PackedCase& row, std::span<const WordNumber> here, std::int64_t sign);
  void AddTries(const PackedCases& all, const PackedCase& row, std::span<const WordNumber> here, std::int64_t sign);
  std::map<std::string, WordNumber, std::less<>> numbers_{{std::string(), WordNumber{0}}};
};

// A letter for a case whose outcome and J-CTO are known: its class and whether it failed. Nothing for others.
std::optional<char> JudgedLetter(const PackedCase& row);

// The audit of cases whose sums these are; `letters` in the order of time, `id` gives a case of them by its number, from one
// thread at a time.
Audit AuditOf(const AuditSums& sums, std::string_view letters, const std::function<std::string(std::size_t)>& id);

}  // namespace fairlead
