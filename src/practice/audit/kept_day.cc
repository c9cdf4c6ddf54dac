// SPDX-License-Identifier: Apache-2.0
// A day's rows as text, and back.
#include <algorithm>
#include <bit>

#include "practice/audit/kept.h"
#include "practice/audit/kept_bytes.h"

namespace fairlead {
namespace {

constexpr std::uint64_t kForm = 2;            // of the bytes; raised when they are written otherwise
constexpr std::uint64_t kMostRowTries = 65'535;

// FNV-1a.
class Mix {
 public:
  void Add(std::string_view text) {
    for (const char c : text) hash_ = (hash_ ^ static_cast<std::uint8_t>(c)) * 0x100000001b3ULL;
    hash_ = (hash_ ^ 255U) * 0x100000001b3ULL;
  }
  void Add(double number) { Add(std::to_string(std::bit_cast<std::uint64_t>(number))); }
  void Add(const Test& test) {
    Add(test.fact), Add(static_cast<double>(test.compare)), Add(test.cut);
    for (const std::string_view word : test.words) Add(word);
  }
  std::uint64_t hash() const { return hash_; }

 private:
  std::uint64_t hash_ = 0xcbf29ce484222325ULL;
};

// All that the group of a row under a score depends on.
std::uint64_t StampNow() {
  Mix mix;
  mix.Add(static_cast<double>(kForm));
  for (const std::string_view kind : kCountedKit) mix.Add(kind);
  for (const RowFactKind& kind : RowFacts()) {
    mix.Add(kind.name);
    for (const std::string_view word : kind.words) mix.Add(word);
  }
  for (const Yardstick& each : Yardsticks()) {
    const ScoreDefinition& score = *each.score;
    mix.Add(score.id), mix.Add(each.table->what), mix.Add(each.table->cohort), mix.Add(static_cast<double>(each.slot)), mix.Add(score.high);
    for (const ScoreGroup& group : score.groups) mix.Add(group.low), mix.Add(group.high);
    for (const Exclusion& exclusion : score.exclusions) mix.Add(exclusion.test);
    for (const ScoreItem& item : score.items) {
      mix.Add(item.per);
      for (const Level& level : item.levels) mix.Add(level.points), mix.Add(level.test);
    }
  }
  return mix.hash();
}

// Words as this day numbers them.
class Words {
 public:
  explicit Words(const PackedCases& all) : all_(all), numbers_(all.words(), -1) {}
  std::uint64_t Of(WordNumber number) {
    if (numbers_[number] < 0) numbers_[number] = static_cast<std::int64_t>(used_.size()), used_.push_back(number);
    return static_cast<std::uint64_t>(numbers_[number]);
  }
  void Write(BytesOut& out) const {
    out.Whole(used_.size());
    for (const WordNumber number : used_) out.Text(all_.word(number));
  }

 private:
  const PackedCases& all_;
  std::vector<std::int64_t> numbers_;
  std::vector<WordNumber> used_;
};

std::uint64_t Three(std::int8_t said) { return static_cast<std::uint64_t>(said + 1); }

void WriteRow(const PackedCases& all, const PackedCase& row, Words& words, BytesOut& out) {
  out.Text(all.id(row)), out.Signed(row.began.ms);
  out.Whole(words.Of(row.by)), out.Whole(words.Of(row.vessel));
  out.Whole(Three(row.j_cto)), out.Whole(Three(row.success) + 3 * Three(row.complication) + 9 * Three(row.first_attempt) + 27 * static_cast<std::uint64_t>(row.invented));
  out.Figure(row.minutes), out.Figure(row.contrast_ml), out.Figure(row.air_kerma_gy);
  for (const std::int8_t group : row.groups) out.Whole(static_cast<std::uint64_t>(group + 2));
  for (const std::uint8_t count : row.kit) out.Whole(count);
  out.Whole(row.tries);
  const PackedTry* tries = all.tries(row);
  for (std::size_t i = 0; i < row.tries; ++i) {
    out.Whole(2 * words.Of(tries[i].way) + (tries[i].crossed ? 1 : 0)), out.Whole(words.Of(tries[i].reason)), out.Whole(words.Of(tries[i].ladder));
    out.Figure(tries[i].minutes), out.Figure(tries[i].stalled_min);
  }
}

class RowsIn {
 public:
  RowsIn(BytesIn& in, PackedCases& to) : in_(in), to_(to) {
    const std::uint64_t words = in_.Whole(kMostWords);
    for (std::uint64_t i = 0; i < words && !in_.failed(); ++i) words_.push_back(to_.NumberOf(std::string(in_.Text())));
  }
  void Row(std::string_view known) {
    PackedCase row;
    const std::string_view id = in_.Text();
    row.began.ms = in_.Signed();
    row.by = Word(in_.Whole()), row.vessel = Word(in_.Whole());
    row.j_cto = Little(6);
    const std::uint64_t flags = in_.Whole(53);
    row.success = static_cast<std::int8_t>(static_cast<int>(flags % 3) - 1), row.complication = static_cast<std::int8_t>(static_cast<int>(flags / 3 % 3) - 1);
    row.first_attempt = static_cast<std::int8_t>(static_cast<int>(flags / 9 % 3) - 1), row.invented = flags >= 27;
    row.minutes = in_.Figure(), row.contrast_ml = in_.Figure(), row.air_kerma_gy = in_.Figure();
    for (std::int8_t& group : row.groups) group = static_cast<std::int8_t>(static_cast<int>(in_.Whole(100)) - 2);
    for (std::uint8_t& count : row.kit) count = static_cast<std::uint8_t>(in_.Whole(255));
    const std::uint64_t count = in_.Whole(kMostRowTries);
    tries_.clear();
    for (std::uint64_t i = 0; i < count && !in_.failed(); ++i) {
      PackedTry made;
      const std::uint64_t way = in_.Whole();
      made.way = Word(way / 2), made.crossed = way % 2 == 1;
      made.reason = Word(in_.Whole()), made.ladder = Word(in_.Whole());
      made.minutes = in_.FloatFigure(), made.stalled_min = in_.FloatFigure();
      tries_.push_back(made);
    }
    if (!in_.failed()) to_.AddPacked(row, id, tries_, known);
  }

 private:
  std::int8_t Little(std::uint64_t most) { return static_cast<std::int8_t>(static_cast<int>(in_.Whole(most)) - 1); }
  WordNumber Word(std::uint64_t number) {
    if (number < words_.size()) return words_[number];
    in_.Fail();
    return 0;
  }
  BytesIn& in_;
  PackedCases& to_;
  std::vector<WordNumber> words_;
  std::vector<PackedTry> tries_;
};

// `known`: of the same rows, its stamp taken already; null: not asked for.
bool Take(std::string_view text, BytesIn* known, PackedCases& to) {
  BytesIn in(text);
  if (in.Whole() != KeptStamp() || in.failed()) return false;
  const std::uint64_t rows = in.Whole(in.left());
  if (known != nullptr && known->Whole() != rows) return false;
  RowsIn read(in, to);
  for (std::uint64_t i = 0; i < rows && !in.failed(); ++i) {
    if (known == nullptr) {
      read.Row({});
      continue;
    }
    known->Text(), known->Signed();
    read.Row(known->Text());
  }
  return !in.failed() && in.AtEnd();
}

}  // namespace

std::uint64_t KeptStamp() {
  static const std::uint64_t kStamp = StampNow();
  return kStamp;
}

DayText TextOfDay(const PackedCases& all, std::span<const PackedCase* const> rows) {
  DayText day;
  if (rows.empty()) return day;
  Words words(all);
  BytesOut body, known;
  known.Whole(KeptStamp()), known.Whole(rows.size());
  for (const PackedCase* row : rows) {
    WriteRow(all, *row, words, body);
    known.Text(all.id(*row)), known.Signed(row->began.ms), known.Text(all.known(*row));
    const auto letter = JudgedLetter(*row);
    if (!letter) continue;
    day.letters.push_back(*letter);
    day.ids.append(all.id(*row)), day.ids.push_back('\n');
  }
  BytesOut out;
  out.Whole(KeptStamp()), out.Whole(rows.size());
  words.Write(out);
  out.Append(body);
  day.rows = out.AsText(), day.known = known.AsText();
  return day;
}

bool TakeDay(std::string_view text, PackedCases& to) { return Take(text, nullptr, to); }

bool TakeDay(const DayText& day, PackedCases& to) {
  BytesIn known(day.known);
  return known.Whole() == KeptStamp() && !known.failed() && Take(day.rows, &known, to) && !known.failed() && known.AtEnd();
}

}  // namespace fairlead
