// SPDX-License-Identifier: Apache-2.0
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "casebook/entry_json.h"
#include "keeping/journal/chain.h"
#include "keeping/registry/outbox.h"

namespace fairlead {
namespace {

using Json = nlohmann::ordered_json;

Error Damaged(const std::string& file, std::string what) { return {"this copy of a registry is damaged: " + std::move(what), file, "take another copy; nothing was written"}; }

std::string LineOf(const KeptRow& row) {
  return Json{{"lab", row.lab}, {"id", row.id}, {"version", row.version}, {"began", row.began.ms}, {"body", row.body}}.dump(-1, ' ', false, Json::error_handler_t::replace) + '\n';
}

}  // namespace

Result<ReadCopy> ReadRegistryCopy(const std::string& file) {
  std::ifstream in(file, std::ios::binary);
  if (!in) return Error{"this file cannot be read", file, "check its name and who may read it", Fault::kOutside};
  const std::string text((std::istreambuf_iterator<char>(in)), {});
  if (text.size() < 2 || text.back() != '\n') return Damaged(file, "its last line is not whole");
  const std::size_t last = text.rfind('\n', text.size() - 2);
  const std::size_t body = last == std::string::npos ? 0 : last + 1;
  const Json foot = Json::parse(text.begin() + static_cast<std::ptrdiff_t>(body), text.end(), nullptr, false);
  if (!foot.is_object() || !foot.contains("rows") || !foot["rows"].is_number_unsigned() || !foot.contains("sha256") || !foot["sha256"].is_string()) return Damaged(file, "its last line does not say what it holds");
  ReadCopy read;
  read.copy = {foot["rows"].get<std::size_t>(), HexOf(ChainHasher().OfBytes(std::string_view(text).substr(0, body)))};
  if (read.copy.sha256 != foot["sha256"].get<std::string>()) return Damaged(file, "its bytes are not those that were written");
  for (std::size_t at = 0; at < body;) {
    const std::size_t end = text.find('\n', at);
    const Json line = Json::parse(text.begin() + static_cast<std::ptrdiff_t>(at), text.begin() + static_cast<std::ptrdiff_t>(end), nullptr, false);
    at = end + 1;
    try {
      read.rows.push_back({line.at("lab").get<std::string>(), line.at("id").get<std::string>(), line.at("version").get<std::int64_t>(), Instant{line.at("began").get<std::int64_t>()}, line.at("body").get<std::string>()});
    } catch (const Json::exception&) {
      return Damaged(file, "line " + std::to_string(read.rows.size() + 1) + " is no row");
    }
  }
  if (read.rows.size() != read.copy.rows) return Damaged(file, "it holds " + std::to_string(read.rows.size()) + " rows and says " + std::to_string(read.copy.rows));
  return read;
}

Result<RegistryCopy> BackUpRegistry(RegistryStore& store, const std::string& file) {
  auto rows = store.Rows("");
  if (!rows.ok()) return rows.error();
  return BackUpRows(*rows, file);
}

Result<RegistryCopy> BackUpRows(const std::vector<KeptRow>& rows, const std::string& file) {
  std::string text;
  for (const KeptRow& row : rows) text += LineOf(row);
  const std::string digest = HexOf(ChainHasher().OfBytes(text));
  text += Json{{"rows", rows.size()}, {"sha256", digest}}.dump() + '\n';
  const std::string beside = file + ".new";
  std::ofstream out(beside, std::ios::binary | std::ios::trunc);
  out << text;
  out.close();
  std::error_code fault;
  if (out) std::filesystem::rename(beside, file, fault);
  if (!out || fault) return Error{"the copy could not be written", file, "check the folder and the space on the disk", Fault::kOutside};
  return CheckRegistryCopy(file);
}

Result<RegistryCopy> CheckRegistryCopy(const std::string& file) {
  auto read = ReadRegistryCopy(file);
  if (!read.ok()) return read.error();
  return read->copy;
}

Result<RegistryCopy> RestoreRegistry(RegistryStore& store, const std::string& file) {
  auto read = ReadRegistryCopy(file);
  if (!read.ok()) return read.error();
  if (auto put = store.Put(read->rows); !put.ok()) return put.error();
  return read->copy;
}

}  // namespace fairlead
