// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/csv.h"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cstdint>

namespace fairlead {
namespace {

constexpr std::size_t kMostBytes = std::size_t{32} << 20;
constexpr std::size_t kMostLines = 200'000;
constexpr std::size_t kMostColumns = 200;
constexpr std::size_t kLongestCell = 4096;

void AppendUtf8(std::string& text, std::uint32_t code) {
  if (code < 0x80) {
    text += static_cast<char>(code);
  } else if (code < 0x800) {
    text += static_cast<char>(0xC0 | code >> 6);
    text += static_cast<char>(0x80 | (code & 0x3F));
  } else if (code < 0x10000) {
    text += static_cast<char>(0xE0 | code >> 12);
    text += static_cast<char>(0x80 | (code >> 6 & 0x3F));
    text += static_cast<char>(0x80 | (code & 0x3F));
  } else {
    text += static_cast<char>(0xF0 | code >> 18);
    text += static_cast<char>(0x80 | (code >> 12 & 0x3F));
    text += static_cast<char>(0x80 | (code >> 6 & 0x3F));
    text += static_cast<char>(0x80 | (code & 0x3F));
  }
}

std::uint32_t Byte(std::string_view bytes, std::size_t at) { return static_cast<std::uint8_t>(bytes[at]); }

std::string FromUtf16(std::string_view bytes, bool little) {
  std::string text;
  const auto unit = [&](std::size_t at) {
    return little ? Byte(bytes, at) | Byte(bytes, at + 1) << 8 : Byte(bytes, at) << 8 | Byte(bytes, at + 1);
  };
  for (std::size_t at = 0; at + 1 < bytes.size(); at += 2) {
    std::uint32_t code = unit(at);
    if (code >= 0xD800 && code < 0xDC00 && at + 3 < bytes.size()) {
      const std::uint32_t low = unit(at + 2);
      if (low >= 0xDC00 && low < 0xE000) { code = 0x10000 + ((code - 0xD800) << 10) + (low - 0xDC00); at += 2; }
    }
    AppendUtf8(text, code >= 0xD800 && code < 0xE000 ? 0xFFFD : code);
  }
  return text;
}

// How many bytes the well-formed character at `at` has; 0: not UTF-8.
std::size_t Utf8Length(std::string_view text, std::size_t at) {
  const std::uint32_t lead = Byte(text, at);
  const std::size_t length = lead < 0x80 ? 1 : lead >= 0xC2 && lead < 0xE0 ? 2 : lead >= 0xE0 && lead < 0xF0 ? 3 : lead >= 0xF0 && lead < 0xF5 ? 4 : 0;
  if (length == 0 || at + length > text.size()) return 0;
  for (std::size_t i = 1; i < length; ++i) {
    if ((Byte(text, at + i) & 0xC0) != 0x80) return 0;
  }
  return length;
}

bool IsUtf8(std::string_view text) {
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t length = Utf8Length(text, at);
    if (length == 0) return false;
    at += length;
  }
  return true;
}

// The part of Windows-1252 that differs from Latin-1: the Unicode Consortium's mapping table CP1252.
constexpr std::array<std::uint16_t, 32> kWindows = {
    0x20AC, 0xFFFD, 0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021, 0x02C6, 0x2030, 0x0160, 0x2039, 0x0152, 0xFFFD, 0x017D, 0xFFFD,
    0xFFFD, 0x2018, 0x2019, 0x201C, 0x201D, 0x2022, 0x2013, 0x2014, 0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0xFFFD, 0x017E, 0x0178};

std::string FromWindows(std::string_view bytes) {
  std::string text;
  for (std::size_t at = 0; at < bytes.size(); ++at) {
    const std::uint32_t byte = Byte(bytes, at);
    AppendUtf8(text, byte >= 0x80 && byte < 0xA0 ? kWindows[byte - 0x80] : byte);
  }
  return text;
}

struct Decoded {
  std::string text;
  std::string encoding;
};

Decoded Decode(std::string_view bytes) {
  if (bytes.starts_with("\xEF\xBB\xBF")) bytes.remove_prefix(3);
  if (bytes.starts_with("\xFF\xFE")) return {FromUtf16(bytes.substr(2), true), "UTF-16"};
  if (bytes.starts_with("\xFE\xFF")) return {FromUtf16(bytes.substr(2), false), "UTF-16"};
  if (IsUtf8(bytes)) return {std::string(bytes), "UTF-8"};
  return {FromWindows(bytes), "Windows-1252"};
}

// Of the first line, outside quotes; a semicolon or tab beats a comma, which may stand in a heading.
char DelimiterOf(std::string_view text) {
  std::size_t semicolons = 0, tabs = 0, commas = 0;
  bool quoted = false;
  for (const char c : text) {
    if (c == '"') quoted = !quoted;
    if (!quoted && (c == '\n' || c == '\r')) break;
    if (quoted) continue;
    semicolons += c == ';' ? 1 : 0;
    tabs += c == '\t' ? 1 : 0;
    commas += c == ',' ? 1 : 0;
  }
  if (tabs > 0 && tabs >= semicolons) return '\t';
  return semicolons > 0 && semicolons * 2 >= commas ? ';' : ',';
}

std::string Stripped(std::string cell) {
  const char* blanks = " \t";
  const auto first = cell.find_first_not_of(blanks);
  if (first == std::string::npos) return {};
  return cell.substr(first, cell.find_last_not_of(blanks) - first + 1);
}

class Reader {
 public:
  Reader(std::string_view text, char delimiter) : text_(text), delimiter_(delimiter) {}

  std::vector<CsvLine> Run() {
    while (at_ < text_.size() && lines_.size() <= kMostLines) OneLine();
    return std::move(lines_);
  }

 private:
  void OneLine() {
    CsvLine line;
    line.number = number_;
    bool ended = false;
    while (!ended) {
      line.cells.push_back(Cell(line.whole));
      ended = at_ >= text_.size() || text_[at_] != delimiter_;
      if (!ended) ++at_;
      if (line.cells.size() > kMostColumns) line.whole = false, line.cells.pop_back();
    }
    if (at_ < text_.size() && text_[at_] == '\r') ++at_;
    if (at_ < text_.size() && text_[at_] == '\n') ++at_;
    ++number_;
    if (std::ranges::any_of(line.cells, [](const std::string& cell) { return !cell.empty(); })) lines_.push_back(std::move(line));
  }

  bool AtEnd() const { return at_ >= text_.size() || text_[at_] == '\n' || text_[at_] == '\r' || text_[at_] == delimiter_; }

  std::string Cell(bool& whole) {
    while (at_ < text_.size() && text_[at_] == ' ') ++at_;
    std::string cell = at_ < text_.size() && text_[at_] == '"' ? Quoted(whole) : std::string();
    while (!AtEnd()) cell += text_[at_++];
    if (cell.size() > kLongestCell) { cell.resize(kLongestCell); whole = false; }
    return Stripped(std::move(cell));
  }

  // A quote that is never closed would swallow the file: it ends at the end of its line then.
  std::string Quoted(bool& whole) {
    const std::size_t start = at_++;
    std::string cell;
    std::size_t breaks = 0;
    while (at_ < text_.size() && cell.size() <= kLongestCell) {
      const char c = text_[at_++];
      if (c == '"' && at_ < text_.size() && text_[at_] == '"') ++at_;
      else if (c == '"') { number_ += breaks; return cell; }
      breaks += c == '\n' ? 1 : 0;
      cell += c;
    }
    whole = false;
    at_ = start + 1;
    cell.clear();
    while (!AtEnd()) cell += text_[at_++];
    return cell;
  }

  std::string_view text_;
  char delimiter_;
  std::size_t at_ = 0;
  std::size_t number_ = 1;
  std::vector<CsvLine> lines_;
};

}  // namespace

Result<CsvTable> ReadCsv(std::string_view bytes) {
  if (bytes.size() > kMostBytes) return Error{"the table is larger than 32 MiB", "", "split it"};
  Decoded decoded = Decode(bytes);
  if (decoded.text.find('\0') != std::string::npos) return Error{"this is not a text file", "", "export the list as CSV"};
  std::string_view text = decoded.text;
  CsvTable table;
  table.encoding = std::move(decoded.encoding);
  std::size_t skipped = 0;
  // "sep=;" on the first line, as one spreadsheet writes it.
  if (text.starts_with("sep=") && text.size() > 4) {
    table.delimiter = text[4];
    const auto end = text.find('\n');
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
    skipped = 1;
  } else {
    table.delimiter = DelimiterOf(text);
  }
  table.lines = Reader(text, table.delimiter).Run();
  for (CsvLine& line : table.lines) line.number += skipped;
  if (table.lines.size() > kMostLines) return Error{fmt::format("the table has more than {} lines", kMostLines), "", "split it"};
  if (table.lines.empty()) return Error{"the table is empty", "", "give a file with a line of headings and a line for each device"};
  return table;
}

}  // namespace fairlead
