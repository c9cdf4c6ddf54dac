// SPDX-License-Identifier: Apache-2.0
#include "keeping/images/images.h"

#include <fcntl.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <semaphore>
#include <system_error>
#include <utility>
#include <vector>

#include "imaging/child/dose.h"
#include "keeping/images/cache.h"
#include "keeping/images/digest.h"
#include "keeping/images/doses.h"
#include "keeping/images/files.h"
#include "keeping/images/reading.h"

namespace fairlead {
namespace {

namespace fs = std::filesystem;

constexpr std::ptrdiff_t kChildren = 2;  // that decode at the same time: each may take a gigabyte
constexpr std::size_t kPiece = std::size_t{1} << 20;

Error NoSuchImage() { return {"there is no such image", "image", "import the run again"}; }

class DiskStore;

// What the store and its uploads can do beside runs; doses.h asks for it.
class TakesDoses {
 public:
  virtual ~TakesDoses() = default;
  virtual Result<ImportedDose> FinishDose(std::stop_token stop) = 0;
};
class FindsDoses {
 public:
  virtual ~FindsDoses() = default;
  virtual Result<DoseReport> FindDose(std::string_view hash) = 0;
};

class DiskUpload final : public Upload, public TakesDoses {
 public:
  DiskUpload(DiskStore& store, TemporaryFile file) : store_(store), file_(std::move(file)) {}
  Status Add(std::span<const std::uint8_t> bytes) override;
  Result<Imported> Finish(std::stop_token stop, const ImportProgressFn& progress) override;
  Result<ImportedDose> FinishDose(std::stop_token stop) override;

 private:
  const std::string& Hash() {
    if (hash_.empty()) hash_ = digest_.Finish();
    return hash_;
  }
  DiskStore& store_;
  TemporaryFile file_;
  Sha256 digest_;
  std::string hash_;  // once all bytes are there
  std::size_t bytes_ = 0;
  bool png_ = false;
};

// images/incoming/*.part while they come in, images/ab/ab12... for good, frames/ab12... as long as there is room.
class DiskStore final : public ImageStore, public FindsDoses {
 public:
  DiskStore(const fs::path& data, ImageStoreSettings settings)
      : images_(data / "images"), incoming_(images_ / "incoming"), settings_(std::move(settings)), cache_(data / "frames", settings_.cache_bytes) {}

  Status Prepare() {
    std::error_code fault;
    fs::create_directories(cache_.folder(), fault);
    if (!fault) fs::create_directories(incoming_, fault);
    if (fault) return Error{"the folder for images could not be made: " + fault.message(), images_.string(), "see that the data folder can be written", Fault::kOutside};
    for (const fs::path& folder : {incoming_, cache_.folder()}) {
      for (const fs::directory_entry& entry : fs::directory_iterator(folder, fault)) {
        if (entry.path().extension() == ".part") fs::remove(entry.path(), fault);
      }
    }
    return Done{};
  }

  Result<std::unique_ptr<Upload>> Begin() override {
    Result<TemporaryFile> file = TemporaryFile::Make(incoming_);
    if (!file) return file.error();
    return std::unique_ptr<Upload>(std::make_unique<DiskUpload>(*this, std::move(*file)));
  }

  Result<Imported> Import(const fs::path& path, std::stop_token stop, const ImportProgressFn& progress) override {
    const Descriptor file(open(path.c_str(), O_RDONLY | O_CLOEXEC));
    if (!file.ok()) return DiskError("the file could not be opened", path);
    Result<std::unique_ptr<Upload>> upload = Begin();
    if (!upload) return upload.error();
    std::vector<std::uint8_t> piece(kPiece);
    ImportProgress so_far;
    while (true) {
      if (stop.stop_requested()) return Error{"the import was stopped", "", "", Fault::kOutside};
      const ssize_t got = read(file.get(), piece.data(), piece.size());
      if (got < 0 && errno == EINTR) continue;
      if (got < 0) return DiskError("the file could not be read", path);
      if (got == 0) break;
      const auto count = static_cast<std::size_t>(got);
      if (Status added = (*upload)->Add(std::span(piece).first(count)); !added) return added.error();
      so_far.bytes += count;
      if (progress) progress(so_far);
    }
    Result<Imported> imported = (*upload)->Finish(std::move(stop), progress);
    if (!imported) return Within(path.filename().string(), imported.error());
    return imported;
  }

  Result<Run> Find(std::string_view hash) override {
    Result<std::shared_ptr<const CachedRun>> cached = Open(std::string(hash));
    if (!cached) return cached.error();
    return (*cached)->run;
  }

  Result<FramesView> Frames(std::string_view hash, int first, int last) override {
    Result<std::shared_ptr<const CachedRun>> cached = Open(std::string(hash));
    if (!cached) return cached.error();
    const Run& run = (*cached)->run;
    if (first < 0 || last < first || last >= run.frames) {
      return Error{"the run has frames 0 to " + std::to_string(run.frames - 1), "frames " + std::to_string(first) + " to " + std::to_string(last), "ask for frames of the run"};
    }
    const std::size_t frame = FrameBytes(run);
    const auto bytes = (*cached)->frames->bytes().subspan(static_cast<std::size_t>(first) * frame, static_cast<std::size_t>(last - first + 1) * frame);
    return FramesView{*cached, bytes};
  }

  const ImageStoreSettings& settings() const { return settings_; }

  // The stored file of a hash; empty if there is none.
  fs::path Stored(const std::string& hash) const {
    for (const bool png : {false, true}) {
      fs::path path = Place(hash, png);
      std::error_code fault;
      if (fs::is_regular_file(path, fault)) return path;
    }
    return {};
  }

  Result<Imported> TakeIn(TemporaryFile& file, const std::string& hash, bool png, std::stop_token stop, const DecodeProgress& progress) {
    if (!Stored(hash).empty()) {
      Result<std::shared_ptr<const CachedRun>> cached = Open(hash);
      if (cached) return Imported{hash, true, (*cached)->run};
      // What is stored under this hash is damaged; these bytes are not.
    }
    Result<TemporaryFile> frames = TemporaryFile::Make(cache_.folder());
    if (!frames) return frames.error();
    Result<Run> run = Decode(file.fd(), *frames, std::move(stop), progress);
    if (!run) return run.error();
    if (Status kept = KeepAs(Place(hash, png), file); !kept) return kept.error();
    Result<std::shared_ptr<const CachedRun>> cached = cache_.Put(hash, std::move(*frames), std::move(*run));
    if (!cached) return cached.error();
    return Imported{hash, false, (*cached)->run};
  }

  Result<ImportedDose> TakeInDose(TemporaryFile& file, const std::string& hash, std::stop_token stop) {
    Result<DoseReport> report = ReadDose(file.fd(), std::move(stop));
    if (!report) return report.error();
    const bool again = !Stored(hash).empty();
    if (!again) {
      if (Status kept = KeepAs(Place(hash, false), file); !kept) return kept.error();
    }
    return ImportedDose{hash, again, std::move(*report)};
  }

  Result<DoseReport> FindDose(std::string_view hash) override {
    const std::string name(hash);
    const fs::path path = IsHash(name) ? Stored(name) : fs::path();
    if (path.empty()) return Error{"there is no such dose report", "dose report", "import it again"};
    const Descriptor file(open(path.c_str(), O_RDONLY | O_CLOEXEC));
    if (!file.ok()) return DiskError("the stored dose report could not be opened", path);
    return ReadDose(file.get(), {});
  }

 private:
  static Status KeepAs(const fs::path& place, TemporaryFile& file) {
    std::error_code fault;
    fs::create_directories(place.parent_path(), fault);
    return file.Keep(place, true);
  }

  Result<DoseReport> ReadDose(int file, std::stop_token stop) {
    children_.acquire();
    Result<DoseReport> report = ReadDoseInChild(file, settings_.child, std::move(stop));
    children_.release();
    return report;
  }

  fs::path Place(const std::string& hash, bool png) const { return images_ / hash.substr(0, 2) / (hash + (png ? ".png" : ".dcm")); }

  Result<Run> Decode(int file, const TemporaryFile& frames, std::stop_token stop, const DecodeProgress& progress) {
    Result<Descriptor> output = frames.Again();
    if (!output) return output.error();
    children_.acquire();
    Result<DecodedRun> decoded = DecodeInChild(file, std::move(*output), settings_.child, std::move(stop), progress);
    children_.release();
    if (!decoded) return decoded.error();
    return std::move(decoded->run);
  }

  Result<std::shared_ptr<const CachedRun>> Open(const std::string& hash) {
    if (!IsHash(hash)) return NoSuchImage();
    if (auto cached = cache_.Find(hash)) return cached;
    return Rebuild(hash);
  }

  Result<std::shared_ptr<const CachedRun>> Rebuild(const std::string& hash) {
    const fs::path path = Stored(hash);
    if (path.empty()) return NoSuchImage();
    const Descriptor file(open(path.c_str(), O_RDONLY | O_CLOEXEC));
    if (!file.ok()) return DiskError("the stored image could not be opened", path);
    if (Status sound = Verify(file.get(), hash, path); !sound) return sound.error();
    Result<TemporaryFile> frames = TemporaryFile::Make(cache_.folder());
    if (!frames) return frames.error();
    Result<Run> run = Decode(file.get(), *frames, {}, {});
    if (!run) return run.error();
    return cache_.Put(hash, std::move(*frames), std::move(*run));
  }

  static Status Verify(int file, const std::string& hash, const fs::path& path) {
    const auto mapped = MappedFile::Map(file);
    if (!mapped) return mapped.error();
    Sha256 digest;
    digest.Add((*mapped)->bytes());
    if (digest.Finish() == hash) return Done{};
    return Error{"the stored image is damaged: its bytes no longer give its name", path.string(), "import the run again", Fault::kOutside};
  }

  fs::path images_, incoming_;
  ImageStoreSettings settings_;
  FramesCache cache_;
  std::counting_semaphore<kChildren> children_{kChildren};
};

Status DiskUpload::Add(std::span<const std::uint8_t> bytes) {
  if (bytes.size() > store_.settings().file_bytes - bytes_) {
    return Error{"the file is larger than " + std::to_string(store_.settings().file_bytes >> 20) + " MiB", "", "export a shorter run"};
  }
  constexpr std::uint8_t kPngMark = 0x89;
  if (bytes_ == 0 && !bytes.empty()) png_ = bytes.front() == kPngMark;
  if (Status written = file_.Write(bytes); !written) return written;
  digest_.Add(bytes);
  bytes_ += bytes.size();
  return Done{};
}

Result<Imported> DiskUpload::Finish(std::stop_token stop, const ImportProgressFn& progress) {
  if (bytes_ == 0) return Error{"the file is empty", "", "choose another file"};
  const auto decoding = [&](int done, int all) {
    if (progress) progress({bytes_, done, all});
  };
  return store_.TakeIn(file_, Hash(), png_, std::move(stop), decoding);
}

Result<ImportedDose> DiskUpload::FinishDose(std::stop_token stop) {
  if (bytes_ == 0) return Error{"the file is empty", "", "choose another file"};
  return store_.TakeInDose(file_, Hash(), std::move(stop));
}

}  // namespace

Result<ImportedDose> FinishDose(Upload& upload, std::stop_token stop) {
  auto* taker = dynamic_cast<TakesDoses*>(&upload);
  if (taker == nullptr) return Error{"this store takes no dose reports", "", "", Fault::kOutside};
  return taker->FinishDose(std::move(stop));
}

Result<DoseReport> FindDose(ImageStore& store, std::string_view hash) {
  auto* finder = dynamic_cast<FindsDoses*>(&store);
  if (finder == nullptr) return Error{"this store holds no dose reports", "", "", Fault::kOutside};
  return finder->FindDose(hash);
}

Result<std::unique_ptr<ImageStore>> OpenImageStore(const fs::path& data, ImageStoreSettings settings) {
  auto store = std::make_unique<DiskStore>(data, std::move(settings));
  if (Status prepared = store->Prepare(); !prepared) return prepared.error();
  return std::unique_ptr<ImageStore>(std::move(store));
}

Result<std::unique_ptr<ImageStore>> OpenImagesToRead(const fs::path& data) {
  return std::unique_ptr<ImageStore>(std::make_unique<DiskStore>(data, ImageStoreSettings{}));
}

}  // namespace fairlead
