// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/row_scan.h"

#include <algorithm>
#include <charconv>

#include "casebook/member_reader.h"

namespace fairlead {
namespace {

class Scan {
 public:
  explicit Scan(std::string_view text) : text_(text) {}

  // Whether this stands next; then it is behind.
  bool Take(std::string_view what) {
    if (!text_.substr(at_).starts_with(what)) return false;
    at_ += what.size();
    return true;
  }
  void Need(std::string_view what) {
    if (!Take(what)) failed_ = true;
  }
  // Letters that stand for themselves.
  std::string_view Word() {
    Need("\"");
    const std::size_t from = at_;
    while (at_ < text_.size() && text_[at_] >= ' ' && text_[at_] <= '~' && text_[at_] != '"' && text_[at_] != '\\') ++at_;
    const std::string_view word = text_.substr(from, at_ - from);
    Need("\"");
    return word;
  }
  std::string Name() {
    const std::string_view word = Word();
    failed_ = failed_ || word.size() > kLongestName;
    return std::string(word);
  }
  bool Flag() {
    if (Take("true")) return true;
    Need("false");
    return false;
  }
  double Number(double low, double high) {
    const std::size_t from = at_;
    Take("-");
    if (!Take("0")) Digits();
    if (Take(".")) Digits();
    if (Take("e") || Take("E")) {
      if (!Take("+")) Take("-");
      Digits();
    }
    double number = 0;
    const auto [end, fault] = std::from_chars(text_.data() + from, text_.data() + at_, number);
    if (fault != std::errc() || end != text_.data() + at_ || !(number >= low && number <= high)) failed_ = true;
    return number;
  }
  int Whole(int most) {
    int number = 0;
    const std::size_t from = at_;
    if (!Take("0")) Digits();
    const auto [end, fault] = std::from_chars(text_.data() + from, text_.data() + at_, number);
    if (fault != std::errc() || end != text_.data() + at_ || number > most) failed_ = true;
    return number;
  }
  void Fail() { failed_ = true; }
  bool failed() const { return failed_; }
  bool AtEnd() const { return at_ == text_.size(); }

 private:
  void Digits() {
    const std::size_t from = at_;
    while (at_ < text_.size() && text_[at_] >= '0' && text_[at_] <= '9') ++at_;
    if (at_ == from || (text_[from] == '0' && from > 0 && text_[from - 1] != '.' && text_[from - 1] != '+' && text_[from - 1] != '-' && text_[from - 1] != 'e' && text_[from - 1] != 'E')) failed_ = true;
  }
  std::string_view text_;
  std::size_t at_ = 0;
  bool failed_ = false;
};

constexpr double kMostMinutes = 1440;
constexpr std::size_t kMostTries = 40;

Try ScanTry(Scan& scan) {
  Try made;
  scan.Need("{\"strategy\":"), made.strategy = scan.Name();
  scan.Need(",\"minutes\":"), made.minutes = scan.Number(0, kMostMinutes);
  scan.Need(",\"crossed\":"), made.crossed = scan.Flag();
  if (scan.Take(",\"reason\":")) made.reason = scan.Name();
  if (scan.Take(",\"ladder\":")) made.ladder = scan.Name();
  if (scan.Take(",\"stalled_min\":")) made.stalled_min = scan.Number(0, kMostMinutes);
  scan.Need("}");
  if (made.strategy.empty()) scan.Fail();
  return made;
}

void ScanFacts(Scan& scan, CaseRow& row) {
  scan.Need("{");
  while (!scan.failed()) {
    const std::string_view name = scan.Word();
    scan.Need(":");
    const RowFactKind* kind = scan.failed() ? nullptr : FindRowFact(name);
    if (kind == nullptr) return scan.Fail();
    RowFact fact;
    if (!kind->words.empty()) {
      const std::string_view word = scan.Word();
      if (std::find(kind->words.begin(), kind->words.end(), word) == kind->words.end()) return scan.Fail();
      fact = std::string(word);
    } else if (kind->high > kind->low) {
      fact = scan.Number(kind->low, kind->high);
    } else {
      fact = scan.Flag();
    }
    if (!row.facts.emplace(std::string(name), std::move(fact)).second) return scan.Fail();
    if (!scan.Take(",")) break;
  }
  scan.Need("}");
}

void ScanKit(Scan& scan, CaseRow& row) {
  constexpr int kMostOfAKind = 200;
  scan.Need("{");
  while (!scan.failed()) {
    const std::string_view name = scan.Word();
    scan.Need(":");
    if (std::find(kCountedKit.begin(), kCountedKit.end(), name) == kCountedKit.end()) return scan.Fail();
    if (!row.kit.emplace(std::string(name), scan.Whole(kMostOfAKind)).second) return scan.Fail();
    if (!scan.Take(",")) break;
  }
  scan.Need("}");
}

void ScanTries(Scan& scan, CaseRow& row) {
  scan.Need(",\"tries\":[");
  if (scan.Take("]")) return;
  while (!scan.failed() && row.tries.size() < kMostTries) {
    row.tries.push_back(ScanTry(scan));
    if (!scan.Take(",")) break;
  }
  scan.Need("]");
}

}  // namespace

std::optional<CaseRow> ScanCaseRow(std::string_view text) {
  Scan scan(text);
  CaseRow row;
  scan.Need("{\"cases\":[{\"case\":"), row.id = scan.Name();
  scan.Need(",\"began\":");
  const auto began = ParseIso(std::string(scan.Word()));
  if (scan.failed() || !began.ok() || row.id.empty()) return std::nullopt;
  row.began = *began;
  scan.Need(",\"by\":"), row.by = scan.Name();
  scan.Need(",\"vessel\":"), row.vessel = scan.Name();
  if (scan.Take(",\"j_cto\":")) row.j_cto = scan.Whole(5);
  ScanTries(scan, row);
  if (scan.Take(",\"success\":")) row.success = scan.Flag();
  if (scan.Take(",\"complication\":")) row.complication = scan.Flag();
  if (scan.Take(",\"minutes\":")) row.minutes = scan.Number(0, kMostMinutes);
  if (scan.Take(",\"contrast_ml\":")) row.contrast_ml = scan.Number(0, 3000);
  if (scan.Take(",\"air_kerma_gy\":")) row.air_kerma_gy = scan.Number(0, 50);
  if (scan.Take(",\"facts\":")) ScanFacts(scan, row);
  if (scan.Take(",\"kit\":")) ScanKit(scan, row);
  if (scan.Take(",\"invented\":")) row.invented = scan.Flag();
  scan.Need("}]}");
  if (scan.failed() || !scan.AtEnd()) return std::nullopt;
  return row;
}

}  // namespace fairlead
