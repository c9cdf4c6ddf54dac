// SPDX-License-Identifier: Apache-2.0
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "keeping/images/images.h"

namespace fairlead {
namespace {

namespace fs = std::filesystem;

// sha256 of the phantom's eighth run, as sha256sum says.
const std::string kHash = "e59b72c78f17b531f9106e4372712e1bab9bba955a9c6d499dd6c26f294c2fec";

class Store : public testing::Test {
 protected:
  void SetUp() override {
    data_ = fs::temp_directory_path() / ("fairlead-images-" + std::to_string(getpid()));
    fs::remove_all(data_);
    Open({});
  }
  void TearDown() override { fs::remove_all(data_); }

  void Open(ImageStoreSettings settings) {
    store_.reset();
    Result<std::unique_ptr<ImageStore>> store = OpenImageStore(data_, std::move(settings));
    ASSERT_TRUE(store);
    store_ = std::move(*store);
  }
  static fs::path Real(const char* name) {
    fs::path path(FAIRLEAD_TESTS_DIR "/data/dicom/");
    return path += name;
  }
  Imported Import(const char* name) {
    Result<Imported> imported = store_->Import(Real(name), {}, {});
    EXPECT_TRUE(imported) << (imported ? "" : Sentence(imported.error()));
    return imported ? *imported : Imported{};
  }
  std::size_t FilesBelow(const char* folder) const {
    const fs::recursive_directory_iterator list(data_ / folder);
    return static_cast<std::size_t>(std::ranges::count_if(list, [](const fs::directory_entry& e) { return e.is_regular_file(); }));
  }
  fs::path Stored() const {
    fs::path path = data_ / "images/e5" / kHash;
    return path += ".dcm";
  }
  fs::path Cached() const { return data_ / "frames" / kHash; }
  void Flip(const fs::path& path, std::streamoff at) const {
    std::fstream file(path, std::ios::in | std::ios::out | std::ios::binary);
    file.seekg(at);
    const char value = static_cast<char>(file.get());
    file.seekp(at);
    file.put(static_cast<char>(value ^ 1));
  }

  fs::path data_;
  std::unique_ptr<ImageStore> store_;
};

TEST_F(Store, KeepsAFileOnceUnderItsHash) {
  const Imported first = Import("phantom/xa8.dcm");
  EXPECT_EQ(first.hash, kHash);
  EXPECT_EQ(first.run.hash, kHash);
  EXPECT_FALSE(first.again);
  EXPECT_TRUE(Import("phantom/xa8.dcm").again);
  EXPECT_EQ(FilesBelow("images"), 1U);
  EXPECT_EQ(FilesBelow("frames"), 1U);
  EXPECT_EQ(fs::file_size(Stored()), fs::file_size(Real("phantom/xa8.dcm")));
}

TEST_F(Store, ServesTheFramesAskedFor) {
  Import("phantom/xa8.dcm");
  const Result<FramesView> all = store_->Frames(kHash, 0, 7);
  const Result<FramesView> some = store_->Frames(kHash, 3, 4);
  ASSERT_TRUE(all && some);
  constexpr std::size_t kFrame = 512 * 512;
  EXPECT_EQ(all->bytes.size(), 8 * kFrame);
  EXPECT_TRUE(std::ranges::equal(some->bytes, all->bytes.subspan(3 * kFrame, 2 * kFrame)));
}

TEST_F(Store, RefusesFramesOutsideTheRun) {
  Import("phantom/xa8.dcm");
  for (const auto& [first, last] : {std::pair{-1, 0}, {0, 8}, {5, 4}, {1'000'000, 2'000'000'000}}) EXPECT_FALSE(store_->Frames(kHash, first, last));
}

TEST_F(Store, NeverMakesAPathOfANameFromOutside) {
  for (const char* name : {"", "../../etc/passwd", "e5", "..", "E59B72C78F17B531F9106E4372712E1BAB9BBA955A9C6D499DD6C26F294C2FEC",
                           "../frames/0000000000000000000000000000000000000000000000000000000", "0000000000000000000000000000000000000000000000000000000000000000"}) {
    const Result<fairlead::Run> run = store_->Find(name);
    ASSERT_FALSE(run) << name;
    EXPECT_EQ(run.error().what, "there is no such image");
  }
}

TEST_F(Store, MakesADeletedCacheAnew) {
  Import("phantom/xa8.dcm");
  Open({});
  fs::remove(Cached());
  EXPECT_TRUE(store_->Frames(kHash, 0, 0));
  EXPECT_TRUE(fs::exists(Cached()));
}

TEST_F(Store, MakesADamagedCacheAnew) {
  const Imported first = Import("phantom/xa8.dcm");
  const Result<FramesView> sound = store_->Frames(kHash, 0, 7);
  ASSERT_TRUE(sound);
  const std::vector<std::uint8_t> bytes(sound->bytes.begin(), sound->bytes.end());
  Open({});
  for (const std::streamoff at : {std::streamoff{100'000}, std::streamoff{8 * 512 * 512 + 50}, static_cast<std::streamoff>(fs::file_size(Cached())) - 3}) {
    Flip(Cached(), at);
    Open({});
    const Result<FramesView> frames = store_->Frames(kHash, 0, 7);
    ASSERT_TRUE(frames);
    EXPECT_TRUE(std::ranges::equal(frames->bytes, bytes)) << at;
  }
}

TEST_F(Store, SaysThatAStoredFileIsDamagedAndTakesItInAgain) {
  Import("phantom/xa8.dcm");
  Open({});
  fs::remove(Cached());
  Flip(Stored(), 1'000'000);
  const Result<FramesView> frames = store_->Frames(kHash, 0, 0);
  ASSERT_FALSE(frames);
  EXPECT_EQ(frames.error().what, "the stored image is damaged: its bytes no longer give its name");
  EXPECT_FALSE(Import("phantom/xa8.dcm").again);
  EXPECT_TRUE(store_->Frames(kHash, 0, 0));
}

TEST_F(Store, KeepsNothingOfARefusedFile) {
  const fs::path text = data_ / "text.dcm";
  std::ofstream(text) << "no picture";
  EXPECT_FALSE(store_->Import(text, {}, {}));
  EXPECT_EQ(FilesBelow("images"), 0U);
  EXPECT_EQ(FilesBelow("frames"), 0U);
}

TEST_F(Store, KeepsNothingOfAStoppedOrDroppedUpload) {
  {
    Result<std::unique_ptr<Upload>> upload = store_->Begin();
    ASSERT_TRUE(upload);
    const std::vector<std::uint8_t> bytes(5000, 1);
    EXPECT_TRUE((*upload)->Add(bytes));
  }
  std::stop_source stop;
  stop.request_stop();
  EXPECT_FALSE(store_->Import(Real("phantom/xa8.dcm"), stop.get_token(), {}));
  EXPECT_EQ(FilesBelow("images"), 0U);
  EXPECT_EQ(FilesBelow("frames"), 0U);
}

TEST_F(Store, ClearsWhatAnInterruptedImportLeft) {
  std::ofstream(data_ / "images/incoming/abc.part") << "half";
  std::ofstream(data_ / "frames/def.part") << "half";
  Open({});
  EXPECT_EQ(FilesBelow("images"), 0U);
  EXPECT_EQ(FilesBelow("frames"), 0U);
}

TEST_F(Store, RefusesAFileThatIsTooLarge) {
  ImageStoreSettings settings;
  settings.file_bytes = 1 << 20;
  Open(settings);
  const Result<Imported> imported = store_->Import(Real("phantom/xa8.dcm"), {}, {});
  ASSERT_FALSE(imported);
  EXPECT_EQ(imported.error().what, "the file is larger than 1 MiB");
}

TEST_F(Store, DeletesTheLongestUnusedFramesBeyondItsSize) {
  ImageStoreSettings settings;
  settings.cache_bytes = 5 << 20;  // two runs of 2 MiB fit
  Open(settings);
  for (const char* name : {"phantom/xa8.dcm", "phantom/xa6.dcm", "phantom/xa7.dcm"}) Import(name);
  EXPECT_EQ(FilesBelow("frames"), 2U);
  EXPECT_FALSE(fs::exists(Cached()));
  EXPECT_TRUE(store_->Frames(kHash, 7, 7));  // made anew
}

TEST_F(Store, TakesAPictureAsAStill) {
  const Imported still = Import("frames/frame-010.png");
  EXPECT_EQ(still.run.kind, RunKind::kStill);
  Open({});
  fs::remove(data_ / "frames" / still.hash);
  EXPECT_TRUE(store_->Frames(still.hash, 0, 0));
}

TEST_F(Store, TellsBytesAndFrames) {
  std::size_t bytes = 0;
  int frames = 0;
  ASSERT_TRUE(store_->Import(Real("phantom/xa8.dcm"), {}, [&](const ImportProgress& p) {
    bytes = std::max(bytes, p.bytes);
    frames = std::max(frames, p.frames_done);
  }));
  EXPECT_EQ(bytes, fs::file_size(Real("phantom/xa8.dcm")));
  EXPECT_EQ(frames, 8);
}

TEST_F(Store, RefusesAnEmptyFile) {
  const Result<Imported> imported = store_->Import("/dev/null", {}, {});
  ASSERT_FALSE(imported);
  EXPECT_EQ(imported.error().what, "the file is empty");
}

}  // namespace
}  // namespace fairlead
