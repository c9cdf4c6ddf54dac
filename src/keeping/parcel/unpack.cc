// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <system_error>

#include "casebook/entry_json.h"
#include "keeping/images/digest.h"
#include "keeping/images/stored.h"
#include "keeping/parcel/parcel.h"

namespace fairlead {
namespace {
namespace fs = std::filesystem;

Error Changed(const std::string& what, const std::string& where) { return {what, where, "export the case again, and carry it over without changing it"}; }

// The whole of a text file, no longer than `most`.
Result<std::string> WholeText(ParcelSource& source, const std::string& name, std::uint64_t most) {
  std::string text;
  auto read = source.Read(name, [&](std::span<const std::uint8_t> bytes) -> Status {
    if (bytes.size() > most - text.size()) return Changed("it is larger than it may be", name);
    text.append(reinterpret_cast<const char*>(bytes.data()), bytes.size());
    return Done{};
  });
  if (!read) return read.error();
  return text;
}

Result<std::string> VerifiedText(ParcelSource& source, const ParcelFile& file) {
  auto text = WholeText(source, file.path, file.bytes);
  if (!text) return text;
  Sha256 digest;
  digest.Add({reinterpret_cast<const std::uint8_t*>(text->data()), text->size()});
  if (text->size() != file.bytes || digest.Finish() != file.sha256) return Changed("its bytes are not those that were exported", file.path);
  return text;
}

Result<CarriedChain> ReadChain(ParcelSource& source, const ParcelFile& file, const std::string& case_id, Instant now) {
  auto text = VerifiedText(source, file);
  if (!text) return text.error();
  auto chain = ReadChainText(*text, case_id);
  if (!chain) return Within(file.path, chain.error());
  if (auto holds = CheckCarried(*chain, now); !holds) return Within(file.path, holds.error());
  return chain;
}

// Every file that is there is named by the manifest, and every one that it names is there, of its size.
Status SameFiles(const std::vector<std::pair<std::string, std::uint64_t>>& there, const Manifest& manifest) {
  for (const auto& [name, bytes] : there) {
    if (name == "manifest.json" || name == "README.txt") continue;
    const auto file = std::ranges::find(manifest.files, name, &ParcelFile::path);
    if (file == manifest.files.end()) return Changed("it holds a file that its manifest does not name", name.substr(0, 120));
    if (file->bytes != bytes) return Changed("its size is not the one that was exported", name);
  }
  for (const ParcelFile& file : manifest.files) {
    const auto same = std::ranges::count(there, file.path, &std::pair<std::string, std::uint64_t>::first);
    if (same != 1) return Changed(same == 0 ? "a file is missing" : "a file is there twice", file.path);
  }
  return Done{};
}

// Images that came and were not here: under temporary names until everything is known to be right.
struct Waiting {
  TemporaryFile file;
  fs::path place;
};

Result<std::vector<Waiting>> BringImages(ParcelSource& source, const Manifest& manifest, const fs::path& data) {
  const fs::path incoming = data / "images" / "incoming";
  std::error_code fault;
  fs::create_directories(incoming, fault);
  std::vector<Waiting> waiting;
  for (const ParcelFile& file : manifest.files) {
    if (!IsImageName(file.path)) continue;
    const bool here = !StoredImage(data, file.sha256).empty();
    std::optional<TemporaryFile> copy;
    if (!here) {
      auto made = TemporaryFile::Make(incoming);
      if (!made) return made.error();
      copy.emplace(std::move(*made));
    }
    Sha256 digest;
    std::uint64_t size = 0;
    auto read = source.Read(file.path, [&](std::span<const std::uint8_t> bytes) -> Status {
      size += bytes.size();
      if (size > file.bytes) return Changed("it is larger than its manifest says", file.path);
      digest.Add(bytes);
      return copy ? copy->Write(bytes) : Status(Done{});
    });
    if (!read) return read.error();
    if (size != file.bytes || digest.Finish() != file.sha256) return Changed("its bytes are not those that were exported", file.path);
    if (copy) waiting.push_back({std::move(*copy), PlaceOfImage(data, file.sha256, file.path.ends_with(".png"))});
  }
  return waiting;
}

// All under their own names, or none.
Result<std::vector<fs::path>> KeepImages(std::vector<Waiting>& waiting) {
  std::vector<fs::path> kept;
  for (Waiting& one : waiting) {
    std::error_code fault;
    fs::create_directories(one.place.parent_path(), fault);
    if (auto named = one.file.Keep(one.place, true); !named) {
      for (const fs::path& place : kept) fs::remove(place, fault);
      return named.error();
    }
    kept.push_back(one.place);
  }
  return kept;
}

}  // namespace

Result<ParcelRead> ReadParcel(ParcelSource& source, Instant now) {
  auto there = source.List();
  if (!there) return there.error();
  const auto has = [&](const char* name) { return std::ranges::count(*there, name, &std::pair<std::string, std::uint64_t>::first) == 1; };
  if (!has("manifest.json")) return Error{"there is no manifest.json, or there are two", "the case", "choose the folder or file that fairlead case export made"};
  auto text = WholeText(source, "manifest.json", kLongestManifest);
  if (!text) return text.error();
  auto manifest = ReadManifest(*text);
  if (!manifest) return manifest.error();
  if (auto same = SameFiles(*there, *manifest); !same) return same.error();
  ParcelRead read{std::move(*manifest), {}, std::nullopt};
  for (const ParcelFile& file : read.manifest.files) {
    if (IsImageName(file.path)) continue;  // verified while they are copied
    if (file.path == "removed.txt") {
      if (auto list = VerifiedText(source, file); !list) return list.error();
      continue;
    }
    const bool lab = file.path == "lab.jsonl";
    auto chain = ReadChain(source, file, lab ? std::string(kLabCase) : read.manifest.case_id, now);
    if (!chain) return chain.error();
    if (lab) read.lab = std::move(*chain);
    else read.chain = std::move(*chain);
  }
  if (static_cast<std::int64_t>(read.chain.entries.size()) != read.manifest.entries || HexOf(read.chain.head()) != read.manifest.head) return Changed("the journal does not end where the manifest says", "journal.jsonl");
  for (const std::string& hash : ImagesNamed(read.chain)) {
    const bool came = std::ranges::any_of(read.manifest.files, [&](const ParcelFile& file) { return file.sha256 == hash && IsImageName(file.path); });
    if (!came && std::ranges::find(read.manifest.absent, hash) == read.manifest.absent.end()) return Changed("an image that the journal names is missing", "images/" + hash);
  }
  return read;
}

Result<ParcelTaken> TakeParcel(ParcelSource& source, const CarryDoor& carry_in, const fs::path& data, Instant now) {
  auto read = ReadParcel(source, now);
  if (!read) return read.error();
  ParcelTaken taken{.case_id = read->manifest.case_id, .entries = read->manifest.entries};
  taken.absent = read->manifest.absent.size(), taken.deidentified = read->manifest.deidentified;
  std::vector<const CarriedChain*> chains{&read->chain};
  auto looked = carry_in(chains, true);
  if (!looked) return looked.error();
  if (read->lab) {
    // What this lab knows is its own: it is filled where it is empty, and never mixed.
    auto lab = carry_in({&*read->lab}, true);
    if (!lab && lab.error().fault == Fault::kOutside) return lab.error();
    taken.lab = !lab ? ParcelTaken::Lab::kOwnStays : lab->front() == CarriedIn::kThere ? ParcelTaken::Lab::kSame : lab->front() == CarriedIn::kNew ? ParcelTaken::Lab::kTaken : ParcelTaken::Lab::kOwnStays;
    if (taken.lab == ParcelTaken::Lab::kTaken) chains.push_back(&*read->lab);
  }
  auto waiting = BringImages(source, read->manifest, data);
  if (!waiting) return waiting.error();
  taken.images = static_cast<std::size_t>(std::ranges::count_if(read->manifest.files, [](const ParcelFile& file) { return IsImageName(file.path); }));
  taken.images_new = waiting->size();
  auto kept = KeepImages(*waiting);
  if (!kept) return kept.error();
  auto came = carry_in(chains, false);
  if (!came) {
    std::error_code fault;
    for (const fs::path& place : *kept) fs::remove(place, fault);
    return came.error();
  }
  taken.came = came->front();
  return taken;
}

}  // namespace fairlead
