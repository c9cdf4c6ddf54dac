// SPDX-License-Identifier: Apache-2.0
#include "front/server/log_scan.h"

#include <algorithm>
#include <array>

namespace fairlead {
namespace {

bool BeginsLabel(std::string_view word) {
  constexpr std::array<std::string_view, 5> kMarks = {"]d2", "]C1", "]Q3", "]e0", "(01)"};
  if (std::ranges::any_of(kMarks, [&](std::string_view mark) { return word.starts_with(mark); }) || word.starts_with('\x1d')) return true;
  return word.size() >= 16 && word.starts_with("01") && word.substr(0, 16).find_first_not_of("0123456789") == std::string_view::npos;
}

}  // namespace

std::optional<ScannedLine> FindScan(std::string_view line) {
  std::size_t at = std::min(line.find_first_not_of(' '), line.size());
  const std::string_view verb = line.substr(at, std::min(line.find(' ', at), line.size()) - at);
  if (verb.size() == 4 && (verb == "note" || verb == "Note" || verb == "NOTE" || verb == "fact")) return std::nullopt;
  while (at < line.size()) {
    if (line[at] == ' ') { ++at; continue; }
    if (line[at] == ';') return std::nullopt;  // what follows is a remark
    const std::size_t word_end = std::min(line.find(' ', at), line.size());
    const std::string_view word = line.substr(at, word_end - at);
    if (!BeginsLabel(word)) { at = word_end; continue; }
    // Identifiers in brackets may be typed apart; a raw code holds no blank.
    const bool brackets = word.starts_with("(");
    const std::size_t end = brackets ? std::min({line.find(" @", at), line.find(" ;", at), line.size()}) : word_end;
    return ScannedLine{std::string(line.substr(0, at)), std::string(line.substr(at, end - at)), std::string(line.substr(end))};
  }
  return std::nullopt;
}

}  // namespace fairlead
