// SPDX-License-Identifier: Apache-2.0
#include "keeping/parcel/manifest.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <set>

#include "casebook/entry_json.h"
#include "keeping/images/digest.h"

namespace fairlead {
namespace {
using Tree = nlohmann::ordered_json;

constexpr int kParcelFormat = 1;
constexpr int kDeepest = 6;

Error BadManifest(const std::string& what) { return {what, "manifest.json", "export the case again, and carry it over without changing it"}; }

// Parsed without exceptions and never deeper than a manifest is.
Result<Tree> TreeOf(std::string_view text) {
  const auto shallow = [](int depth, Tree::parse_event_t, Tree&) { return depth <= kDeepest; };
  Tree tree = Tree::parse(text, shallow, false);
  if (tree.is_discarded() || !tree.is_object()) return Error{"this is no JSON object", "", ""};
  return tree;
}

std::string TextIn(const Tree& tree, const char* name) {
  const auto found = tree.find(name);
  return found != tree.end() && found->is_string() ? found->get<std::string>() : std::string();
}
std::optional<std::int64_t> WholeIn(const Tree& tree, const char* name) {
  const auto found = tree.find(name);
  if (found == tree.end() || !found->is_number_integer()) return std::nullopt;
  if (found->is_number_unsigned() && found->get<std::uint64_t>() > static_cast<std::uint64_t>(INT64_MAX)) return std::nullopt;
  return found->get<std::int64_t>();
}

std::optional<Hash> HashIn(const Tree& tree, const char* name) {
  const std::string text = TextIn(tree, name);
  if (!IsHash(text)) return std::nullopt;
  Hash hash{};
  const auto digit = [](char c) { return c <= '9' ? c - '0' : c - 'a' + 10; };
  for (std::size_t i = 0; i < hash.size(); ++i) hash[i] = static_cast<std::uint8_t>(digit(text[2 * i]) << 4 | digit(text[2 * i + 1]));
  return hash;
}

std::optional<std::string> FaultOfFile(const ParcelFile& file) {
  const bool chain = file.path == "journal.jsonl" || file.path == "lab.jsonl" || file.path == "removed.txt";
  if (!chain && !IsImageName(file.path)) return "it names a file that no case has";
  if (!IsHash(file.sha256)) return "it gives no hash for " + file.path;
  if (!chain && file.path.substr(7, 64) != file.sha256) return "an image's name is not its hash";
  if (file.bytes > (chain ? kLargestChain : kLargestParcelFile)) return file.path + " is larger than is taken in";
  return std::nullopt;
}

Status ReadFiles(const Tree& list, Manifest& manifest) {
  if (!list.is_array() || list.size() > kMostParcelFiles) return BadManifest("it lists no files, or more than " + std::to_string(kMostParcelFiles));
  std::set<std::string> seen;
  for (const Tree& one : list) {
    if (!one.is_object()) return BadManifest("its list of files is not understood");
    ParcelFile file{TextIn(one, "path"), 0, TextIn(one, "sha256")};
    const auto bytes = WholeIn(one, "bytes");
    if (!bytes || *bytes < 0) return BadManifest("it gives no size for a file");
    file.bytes = static_cast<std::uint64_t>(*bytes);
    if (auto fault = FaultOfFile(file)) return BadManifest(*fault);
    if (!seen.insert(file.path).second) return BadManifest("it names " + file.path + " twice");
    manifest.files.push_back(std::move(file));
  }
  if (!seen.contains("journal.jsonl")) return BadManifest("it names no journal");
  return Done{};
}

}  // namespace

bool IsImageName(std::string_view path) {
  return path.size() == 75 && path.starts_with("images/") && IsHash(path.substr(7, 64)) && (path.ends_with(".dcm") || path.ends_with(".png"));
}

std::string ManifestText(const Manifest& manifest) {
  Tree tree = {{"fairlead_case", kParcelFormat}, {"case", manifest.case_id}, {"entries", manifest.entries}, {"head", manifest.head},
               {"program", manifest.program}, {"deidentified", manifest.deidentified}, {"files", Tree::array()}, {"absent", manifest.absent}};
  for (const ParcelFile& file : manifest.files) tree["files"].push_back({{"path", file.path}, {"bytes", file.bytes}, {"sha256", file.sha256}});
  return tree.dump(1, ' ', false, Tree::error_handler_t::replace) + "\n";
}

Result<Manifest> ReadManifest(std::string_view text) {
  if (text.size() > kLongestManifest) return BadManifest("it is larger than a manifest may be");
  auto tree = TreeOf(text);
  if (!tree) return BadManifest("this is not the manifest of a case");
  const auto format = WholeIn(*tree, "fairlead_case");
  if (!format) return BadManifest("this is not the manifest of a case");
  if (*format != kParcelFormat) return BadManifest("the case was exported in format " + std::to_string(*format) + ", by a newer program");
  Manifest manifest{TextIn(*tree, "case"), WholeIn(*tree, "entries").value_or(-1), TextIn(*tree, "head"), TextIn(*tree, "program"), tree->value("deidentified", Tree(false)) == Tree(true), {}, {}};
  if (manifest.case_id.empty() || manifest.case_id.size() > 64 || manifest.case_id == kLabCase) return BadManifest("it names no case");
  if (manifest.entries < 1 || !IsHash(manifest.head)) return BadManifest("it does not say where the journal ends");
  const auto files = tree->find("files");
  if (files == tree->end()) return BadManifest("it lists no files");
  if (auto read = ReadFiles(*files, manifest); !read) return read.error();
  const auto absent = tree->find("absent");
  if (absent != tree->end() && absent->is_array() && absent->size() <= kMostParcelFiles)
    for (const Tree& one : *absent)
      if (one.is_string() && IsHash(one.get_ref<const std::string&>())) manifest.absent.push_back(one.get<std::string>());
  return manifest;
}

std::string ChainText(const CarriedChain& chain) {
  std::string text;
  for (const CarriedEntry& carried : chain.entries) {
    const Entry& entry = carried.entry;
    Tree line = {{"seq", entry.seq}, {"id", entry.id}, {"v", entry.v}, {"kind", entry.kind}, {"at", entry.at.ms}, {"written", entry.written.ms}, {"recorded", entry.recorded.ms},
                 {"by", entry.by}, {"device", entry.device}, {"amends", entry.amends}, {"data_hash", HexOf(carried.data_hash)}, {"hash", HexOf(entry.hash)}};
    if (carried.data) line["data"] = *carried.data;
    else line["struck_out"] = {{"at", carried.struck.ms}, {"reason", carried.struck_because}};
    text += line.dump(-1, ' ', false, Tree::error_handler_t::strict) + "\n";
  }
  return text;
}

Result<CarriedChain> ReadChainText(std::string_view text, const std::string& case_id) {
  CarriedChain chain{case_id, {}};
  while (!text.empty()) {
    const auto refused = [&](const char* what) { return Error{what, "line " + std::to_string(chain.entries.size() + 1), "export the case again, and carry it over without changing it"}; };
    const std::size_t end = text.find('\n');
    const std::string_view line = text.substr(0, end);
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
    if (line.size() > 8 * kLongestKnowledge) return refused("the line is longer than an entry may be");
    if (chain.entries.size() >= kMostCarried) return refused("there are more entries than one case may have");
    auto tree = TreeOf(line);
    if (!tree) return refused("this is no entry");
    CarriedEntry carried;
    Entry& entry = carried.entry;
    const auto seq = WholeIn(*tree, "seq"), v = WholeIn(*tree, "v"), at = WholeIn(*tree, "at"), written = WholeIn(*tree, "written"), recorded = WholeIn(*tree, "recorded");
    const auto data_hash = HashIn(*tree, "data_hash"), hash = HashIn(*tree, "hash");
    if (!seq || !v || *v < 0 || *v > 1'000'000 || !at || !written || !recorded || !data_hash || !hash) return refused("the entry is not whole");
    entry.seq = *seq, entry.v = static_cast<int>(*v), entry.at = {*at}, entry.written = {*written}, entry.recorded = {*recorded};
    entry.id = TextIn(*tree, "id"), entry.case_id = case_id, entry.kind = TextIn(*tree, "kind"), entry.by = TextIn(*tree, "by");
    entry.device = TextIn(*tree, "device"), entry.amends = TextIn(*tree, "amends");
    entry.hash = *hash, carried.data_hash = *data_hash;
    if (const auto data = tree->find("data"); data != tree->end() && data->is_string()) {
      carried.data = data->get<std::string>();
    } else if (const auto struck = tree->find("struck_out"); struck != tree->end() && struck->is_object()) {
      carried.struck = {WholeIn(*struck, "at").value_or(0)}, carried.struck_because = TextIn(*struck, "reason");
    } else {
      return refused("the entry has neither data nor the reason why they are gone");
    }
    chain.entries.push_back(std::move(carried));
  }
  return chain;
}

}  // namespace fairlead
