// SPDX-License-Identifier: Apache-2.0
#include "keeping/images/marks.h"

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <fstream>

#include "keeping/images/digest.h"
#include "keeping/images/files.h"

namespace fairlead {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kLongestLine = std::size_t{1} << 19;  // a thousand marks of each kind are some 200 kB
constexpr std::size_t kLongestWho = 64;
constexpr std::string_view kOutdated = "somebody else has set marks on this run meanwhile";
constexpr int kPieces = 6;                                   // version, when, who, on what, hash of the line before, marks

std::string HashOf(std::string_view line) {
  Sha256 digest;
  digest.Add({reinterpret_cast<const std::uint8_t*>(line.data()), line.size()});
  return digest.Finish();
}

bool FitsLine(std::string_view text) {
  return std::ranges::none_of(text, [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; });
}

Result<KeptMarks> ParseLine(std::string_view line, const fs::path& where) {
  const Error wrong{"the kept marks of this run cannot be read", where.filename().string(), "put the file back from a copy, or move it away to begin anew", Fault::kOutside};
  std::array<std::string_view, kPieces> pieces;
  for (int i = 0; i < kPieces; ++i) {
    const std::size_t tab = i + 1 < kPieces ? line.find('\t') : line.size();
    if (tab == std::string_view::npos) return wrong;
    pieces[static_cast<std::size_t>(i)] = line.substr(0, tab);
    line.remove_prefix(std::min(line.size(), tab + 1));
  }
  KeptMarks marks;
  const auto read = std::from_chars(pieces[0].data(), pieces[0].data() + pieces[0].size(), marks.version);
  const auto when = ParseIso(std::string(pieces[1]));
  if (read.ec != std::errc() || read.ptr != pieces[0].data() + pieces[0].size() || marks.version < 1 || !when.ok()) return wrong;
  marks.recorded = *when;
  marks.by = pieces[2], marks.device = pieces[3], marks.text = pieces[5];
  return marks;
}

}  // namespace

bool Outdated(const Error& error) { return error.what == kOutdated; }

fs::path MarksStore::Place(std::string_view hash) const { return images_ / hash.substr(0, 2) / (std::string(hash) + ".marks"); }

// The last whole line, and how many bytes of the file are whole lines: a line that was cut off by a lost supply is none.
Result<KeptMarks> MarksStore::Read(std::string_view hash, std::string& line, std::uintmax_t& whole) {
  if (!IsHash(hash)) return Error{"this names no run", "image", "give the 64 digits of its hash"};
  line.clear(), whole = 0;
  const fs::path path = Place(hash);
  std::error_code none;
  const std::uintmax_t size = fs::file_size(path, none);
  if (none || size == 0) return KeptMarks{};
  std::ifstream file(path, std::ios::binary);
  const std::uintmax_t tail = std::min<std::uintmax_t>(size, 2 * kLongestLine + 2);
  std::string text(static_cast<std::size_t>(tail), '\0');
  file.seekg(static_cast<std::streamoff>(size - tail));
  if (!file.read(text.data(), static_cast<std::streamsize>(tail))) return DiskError("the kept marks could not be read", path);
  const std::size_t end = text.rfind('\n');
  if (end == std::string::npos) return KeptMarks{};
  whole = size - tail + end + 1;
  const std::size_t before = end == 0 ? std::string::npos : text.rfind('\n', end - 1);
  line = text.substr(before == std::string::npos ? 0 : before + 1, end - (before == std::string::npos ? 0 : before + 1));
  return ParseLine(line, path);
}

Result<KeptMarks> MarksStore::Latest(std::string_view hash) {
  const std::lock_guard lock(guard_);
  std::string line;
  std::uintmax_t whole = 0;
  return Read(hash, line, whole);
}

Result<KeptMarks> MarksStore::Add(std::string_view hash, int after, const KeptMarks& marks) {
  if (marks.by.empty() || marks.by.size() > kLongestWho || marks.device.size() > kLongestWho || !FitsLine(marks.by) || !FitsLine(marks.device)) {
    return Error{"a name has 1 to 64 bytes, and no line breaks", "by", "send initials or a role"};
  }
  if (marks.text.size() > kLongestLine - 400 || !FitsLine(marks.text)) return Error{"these are more marks than are kept of one run", "marks", "take some back"};
  const std::lock_guard lock(guard_);
  std::string line;
  std::uintmax_t whole = 0;
  auto latest = Read(hash, line, whole);
  if (!latest.ok()) return latest.error();
  if (latest->version != after) return Error{std::string(kOutdated), "after", "read them, then set yours again"};
  KeptMarks next = marks;
  next.version = after + 1;
  const std::string text = std::to_string(next.version) + '\t' + ToIso(next.recorded) + '\t' + next.by + '\t' + next.device + '\t' +
                           (line.empty() ? std::string("-") : HashOf(line)) + '\t' + next.text + '\n';
  const fs::path path = Place(hash);
  std::error_code none;
  fs::create_directories(path.parent_path(), none);
  const bool fresh = !fs::exists(path, none);
  const Descriptor file(open(path.c_str(), O_WRONLY | O_CREAT | O_CLOEXEC, 0600));
  if (!file.ok() || ftruncate(file.get(), static_cast<off_t>(whole)) != 0 || lseek(file.get(), 0, SEEK_END) < 0) return DiskError("the marks could not be kept", path);
  if (write(file.get(), text.data(), text.size()) != static_cast<ssize_t>(text.size()) || fsync(file.get()) != 0) return DiskError("the marks could not be kept", path);
  if (fresh) {
    const Descriptor folder(open(path.parent_path().c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (!folder.ok() || fsync(folder.get()) != 0) return DiskError("the marks could not be kept", path);
  }
  return next;
}

}  // namespace fairlead
