// SPDX-License-Identifier: Apache-2.0
#include <fcntl.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <set>
#include <system_error>

#include "casebook/entry_json.h"
#include "casebook/fact_pictures.h"
#include "keeping/images/digest.h"
#include "keeping/images/stored.h"
#include "keeping/parcel/parcel.h"
#include "keeping/parcel/tar.h"

namespace fairlead {
namespace {
namespace fs = std::filesystem;

constexpr std::string_view kReadme =
    "One case of Fairlead, whole: journal.jsonl is its journal, one entry a line; lab.jsonl what the lab knew; images/ holds the files that\n"
    "the journal names by the SHA-256 of their bytes; manifest.json lists them all with size and SHA-256.\n"
    "\n"
    "Take it in with: fairlead case import FOLDER. It is refused if a single byte differs.\n"
    "Unless the manifest says \"deidentified\": true, the journal's words and the images' headers can tell who the patient is:\n"
    "handle the folder as a patient record.\n";

std::span<const std::uint8_t> BytesIn(std::string_view text) { return {reinterpret_cast<const std::uint8_t*>(text.data()), text.size()}; }

// Where the files of a parcel go: one after another.
class Sink {
 public:
  virtual ~Sink() = default;
  virtual Status Begin(const std::string& name, std::uint64_t bytes) = 0;
  virtual Status Add(std::span<const std::uint8_t> bytes) = 0;
  virtual Status End() = 0;
};

class FolderSink final : public Sink {
 public:
  explicit FolderSink(fs::path folder) : folder_(std::move(folder)) {}
  Status Begin(const std::string& name, std::uint64_t) override {
    place_ = folder_ / name;
    std::error_code fault;
    fs::create_directories(place_.parent_path(), fault);
    file_ = Descriptor(open(place_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0600));
    if (!file_.ok()) return DiskError("the file could not be made", place_);
    return Done{};
  }
  Status Add(std::span<const std::uint8_t> bytes) override {
    while (!bytes.empty()) {
      const ssize_t put = write(file_.get(), bytes.data(), bytes.size());
      if (put < 0 && errno == EINTR) continue;
      if (put <= 0) return DiskError("the file could not be written", place_);
      bytes = bytes.subspan(static_cast<std::size_t>(put));
    }
    return Done{};
  }
  Status End() override {
    if (fsync(file_.get()) != 0) return DiskError("the file could not be written", place_);
    file_.Close();
    return Done{};
  }

 private:
  fs::path folder_, place_;
  Descriptor file_;
};

class ArchiveSink final : public Sink {
 public:
  explicit ArchiveSink(TemporaryFile& file) : file_(file) {}
  Status Begin(const std::string& name, std::uint64_t bytes) override {
    bytes_ = bytes;
    return file_.Write(BytesIn(TarHead(name, bytes)));
  }
  Status Add(std::span<const std::uint8_t> bytes) override { return file_.Write(bytes); }
  Status End() override { return file_.Write(BytesIn(TarPadding(bytes_))); }

 private:
  TemporaryFile& file_;
  std::uint64_t bytes_ = 0;
};

class Packing {
 public:
  Packing(const ParcelContents& contents, Sink& sink) : contents_(contents), sink_(sink) {}

  Result<Packed> All() {
    if (auto put = PutText("journal.jsonl", ChainText(contents_.chain)); !put) return put.error();
    if (contents_.lab)
      if (auto put = PutText("lab.jsonl", ChainText(*contents_.lab)); !put) return put.error();
    for (const PackedImage& image : contents_.images)
      if (auto put = PutImage(image); !put) return put.error();
    if (!contents_.removed.empty())
      if (auto put = PutText("removed.txt", contents_.removed); !put) return put.error();
    Manifest manifest{contents_.chain.case_id, static_cast<std::int64_t>(contents_.chain.entries.size()), HexOf(contents_.chain.head()), contents_.program, contents_.deidentified, files_, contents_.absent};
    const std::string readme = contents_.readme.empty() ? std::string(kReadme) : contents_.readme;
    for (const auto& [name, text] : {std::pair<std::string, std::string>{"README.txt", readme}, {"manifest.json", ManifestText(manifest)}})
      if (auto put = Put(name, text); !put) return put.error();
    Packed packed{files_.size(), contents_.images.size(), contents_.absent.size(), 0};
    for (const ParcelFile& file : files_) packed.bytes += file.bytes;
    return packed;
  }

 private:
  Status Put(const std::string& name, std::string_view text) {
    if (auto begun = sink_.Begin(name, text.size()); !begun) return begun;
    if (auto added = sink_.Add(BytesIn(text)); !added) return added;
    return sink_.End();
  }
  Status PutText(const std::string& name, const std::string& text) {
    Sha256 digest;
    digest.Add(BytesIn(text));
    files_.push_back({name, text.size(), digest.Finish()});
    return Put(name, text);
  }
  Status PutImage(const PackedImage& image) {
    const Descriptor file(open(image.file.c_str(), O_RDONLY | O_CLOEXEC));
    if (!file.ok()) return DiskError("a stored image could not be opened", image.file);
    std::error_code fault;
    const std::uint64_t size = fs::file_size(image.file, fault);
    if (fault) return DiskError("a stored image could not be read", image.file);
    if (auto begun = sink_.Begin(image.name, size); !begun) return begun;
    Sha256 digest;
    std::vector<std::uint8_t> piece(std::size_t{1} << 20);
    std::uint64_t read_so_far = 0;
    while (true) {
      const ssize_t got = read(file.get(), piece.data(), piece.size());
      if (got < 0 && errno == EINTR) continue;
      if (got < 0) return DiskError("a stored image could not be read", image.file);
      if (got == 0) break;
      const auto bytes = std::span<const std::uint8_t>(piece).first(static_cast<std::size_t>(got));
      read_so_far += bytes.size();
      digest.Add(bytes);
      if (auto added = sink_.Add(bytes); !added) return added;
    }
    const std::string hash = digest.Finish();
    if (read_so_far != size || image.name.substr(7, 64) != hash)
      return Error{"a stored image is damaged: its bytes no longer give its name", image.file.string(), "import the run again, then export", Fault::kOutside};
    files_.push_back({image.name, size, hash});
    return sink_.End();
  }

  const ParcelContents& contents_;
  Sink& sink_;
  std::vector<ParcelFile> files_;
};

}  // namespace

std::vector<std::string> ImagesNamed(const CarriedChain& chain) {
  std::set<std::string> hashes;
  for (const CarriedEntry& carried : chain.entries) {
    if (!carried.data) continue;
    const EntryData data = ReadEntryData(carried.entry.kind, carried.entry.v, *carried.data);
    if (const auto* added = std::get_if<ImageAdded>(&data)) hashes.insert(added->hash);
    if (const auto* fact = std::get_if<FactStated>(&data)) {
      const auto images = ImagesBehind(fact->origin);
      hashes.insert(images.begin(), images.end());
    }
    if (const auto* pixel = std::get_if<PixelSizeSet>(&data)) hashes.insert(pixel->image);
  }
  std::erase_if(hashes, [](const std::string& hash) { return !IsHash(hash); });
  return {hashes.begin(), hashes.end()};
}

Result<ParcelContents> GatherCase(const Journal& journal, const fs::path& data, const std::string& case_id, const std::string& program) {
  auto chain = CarryOut(journal, case_id);
  if (!chain) return chain.error();
  auto lab = CarryOut(journal, std::string(kLabCase));
  if (!lab) return lab.error();
  ParcelContents contents;
  contents.program = program;
  for (const std::string& hash : ImagesNamed(*chain)) {
    const fs::path file = StoredImage(data, hash);
    if (file.empty()) contents.absent.push_back(hash);
    else contents.images.push_back({"images/" + hash + file.extension().string(), file});
  }
  contents.chain = std::move(*chain);
  if (!lab->entries.empty()) contents.lab = std::move(*lab);
  return contents;
}

Result<Packed> PackFolder(const ParcelContents& contents, const fs::path& folder) {
  std::error_code fault;
  const fs::path given = folder.has_filename() ? folder : folder.parent_path();
  if (fs::exists(fs::symlink_status(given, fault))) return Error{"there is something of this name already", given.string(), "choose a name that is free"};
  std::string name = (given.string() + ".XXXXXX");
  if (mkdtemp(name.data()) == nullptr) return DiskError("the folder could not be made", given);
  const fs::path unfinished(name);
  FolderSink sink(unfinished);
  Result<Packed> packed = Packing(contents, sink).All();
  if (packed && rename(unfinished.c_str(), given.c_str()) != 0) packed = DiskError("the folder could not be named", given);
  if (!packed) fs::remove_all(unfinished, fault);
  return packed;
}

Result<Packed> PackArchive(const ParcelContents& contents, TemporaryFile& archive) {
  ArchiveSink sink(archive);
  auto packed = Packing(contents, sink).All();
  if (!packed) return packed;
  if (auto ended = archive.Write(BytesIn(TarEnd())); !ended) return ended.error();
  return packed;
}

}  // namespace fairlead
