// SPDX-License-Identifier: Apache-2.0
// The words of a report, what differs between two of them, and the text that seals them.
#include <fmt/core.h>

#include <algorithm>
#include <charconv>

#include "record/report/parts.h"

namespace fairlead {
namespace {

constexpr std::size_t kLongestSeal = 30 * 1024;  // bytes; an entry of this kind takes 32 KiB

std::string OneLine(std::string text) {
  std::ranges::replace(text, '\n', ' ');
  return text;
}

void AddSection(std::string& words, const ReportSection& section, Duration zone) {
  words += "\n" + section.title + "\n";
  for (const ReportLine& line : section.lines) words += OneLine(line.label + ": " + line.value) + "\n";
  for (const ReportTable& table : section.tables) {
    words += OneLine((table.title.empty() ? "" : table.title + ": ") + ListText(table.columns, " | ")) + "\n";
    for (const auto& row : table.rows) {
      std::string line;
      for (const std::string& cell : row) line += (line.empty() ? "" : " | ") + (cell.empty() ? "-" : cell);
      words += OneLine(std::move(line)) + "\n";
    }
  }
  for (const ReportWords& said : section.words) words += fmt::format("{} ({}, {})\n", said.text, said.by, ToIso(said.at + zone).substr(0, 10));
}

std::vector<std::string> LinesOf(std::string_view text) {
  std::vector<std::string> lines;
  while (!text.empty()) {
    const std::size_t end = text.find('\n');
    lines.emplace_back(text.substr(0, end));
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
  }
  return lines;
}

template <typename Whole>
bool TakeWhole(std::string_view text, Whole& into) {
  const auto read = std::from_chars(text.data(), text.data() + text.size(), into);
  return read.ec == std::errc() && read.ptr == text.data() + text.size();
}

bool TakeMember(ReportSeal& seal, std::string_view name, std::string_view value) {
  if (name == "report version") return TakeWhole(value, seal.version);
  if (name == "up to entry") return TakeWhole(value, seal.up_to);
  if (name == "zone minutes") return TakeWhole(value, seal.zone_min);
  if (name == "not recorded") return TakeWhole(value, seal.gaps);
  if (name == "report SHA-256") return seal.report_sha256 = value, true;
  if (name == "assessment SHA-256") return seal.assessment_sha256 = value, true;
  if (name == "program") return seal.program = value, true;
  return false;
}

}  // namespace

std::string ReportWordsOf(const Report& report) {
  std::string words = fmt::format("{}\nVisit {}, times {}\n", OneLine(report.title), report.visit, report.zone_min == 0 ? "in UTC" : fmt::format("UTC{:+03d}:{:02d}", report.zone_min / 60, std::abs(report.zone_min % 60)));
  if (report.invented) words += "INVENTED: nobody lived this case\n";
  for (const ReportSection& section : report.sections) AddSection(words, section, Duration::Minutes(report.zone_min));
  for (std::size_t i = 0; i < report.pictures.size(); ++i) {
    const KeyPicture& picture = report.pictures[i];
    if (i == 0) words += "\nKey pictures\n";
    words += OneLine(fmt::format("{}: {}{}{}", i + 1, picture.title, picture.image.empty() ? "" : ", file SHA-256 " + picture.image, picture.caption.empty() ? "" : "; " + picture.caption + " (" + picture.by + ")")) + "\n";
    for (const std::string& mark : picture.marks) words += OneLine(fmt::format("{}.{}", i + 1, mark)) + "\n";
  }
  return words;
}

// Longest common subsequence of lines; reports have some hundreds.
std::vector<std::string> WordDifferences(std::string_view before, std::string_view after) {
  const auto a = LinesOf(before), b = LinesOf(after);
  std::vector<std::vector<std::uint16_t>> common(a.size() + 1, std::vector<std::uint16_t>(b.size() + 1));
  for (std::size_t i = a.size(); i-- > 0;)
    for (std::size_t j = b.size(); j-- > 0;)
      common[i][j] = a[i] == b[j] ? static_cast<std::uint16_t>(common[i + 1][j + 1] + 1) : std::max(common[i + 1][j], common[i][j + 1]);
  std::vector<std::string> differences;
  std::size_t i = 0, j = 0;
  while (i < a.size() || j < b.size()) {
    if (i < a.size() && j < b.size() && a[i] == b[j]) ++i, ++j;
    else if (j == b.size() || (i < a.size() && common[i + 1][j] >= common[i][j + 1])) differences.push_back("- " + a[i++]);
    else differences.push_back("+ " + b[j++]);
  }
  std::erase_if(differences, [](const std::string& line) { return line.size() == 2; });
  return differences;
}

std::string SealText(const ReportSeal& seal) {
  std::string text = fmt::format(
      "report version: {}\nup to entry: {}\nzone minutes: {}\nnot recorded: {}\nreport SHA-256: {}\nassessment SHA-256: {}\nprogram: {}\n", seal.version,
      seal.up_to, seal.zone_min, seal.gaps, seal.report_sha256, seal.assessment_sha256, seal.program);
  if (text.size() + seal.words.size() < kLongestSeal) text += "\n" + seal.words;
  return text;
}

std::optional<ReportSeal> SealOfText(std::string_view text) {
  if (!text.starts_with("report version: ")) return std::nullopt;
  ReportSeal seal;
  while (!text.empty() && text.front() != '\n') {
    const std::size_t end = std::min(text.find('\n'), text.size());
    const std::string_view line = text.substr(0, end);
    const std::size_t colon = line.find(": ");
    if (colon == std::string_view::npos || !TakeMember(seal, line.substr(0, colon), line.substr(colon + 2))) return std::nullopt;
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  if (!text.empty()) seal.words = text.substr(1);
  return seal;
}

}  // namespace fairlead
