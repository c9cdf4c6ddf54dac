// SPDX-License-Identifier: Apache-2.0
// Hashes are checked against sha256sum (coreutils); a folder is changed by hand in every way that somebody might change one.
#include "keeping/parcel/parcel.h"

#include <gtest/gtest.h>
#include <sys/stat.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <functional>
#include <set>

#include "casebook/fold.h"
#include "keeping/images/digest.h"
#include "keeping/images/stored.h"
#include "tests/casebook/state_text.h"
#include "tests/keeping/journal/data_folder.h"

namespace fairlead {
namespace {
namespace fs = std::filesystem;

constexpr Instant kLater{4'000'000'000'000};  // the year 2096

void PutBytes(const fs::path& file, const std::string& bytes) {
  fs::create_directories(file.parent_path());
  std::ofstream(file, std::ios::binary) << bytes;
}
std::string DigestOfText(const std::string& text) {
  Sha256 digest;
  digest.Add({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()});
  return digest.Finish();
}

// A data folder with one case whose journal names two stored images and one that is gone.
class Parcel : public testing::Test {
 protected:
  void SetUp() override {
    journal_ = JournalWithCase(home_, 20);
    for (const std::string& bytes : {std::string("one run"), std::string(3'000'000, 'r')}) {
      hashes_.push_back(DigestOfText(bytes));
      PutBytes(PlaceOfImage(home_.path(), hashes_.back(), false), bytes);
    }
    std::vector<IncomingEntry> images;
    std::uint64_t number = 900;
    for (const std::string& hash : {hashes_[0], hashes_[1], std::string(64, 'e')})
      images.push_back(MakeIncoming(Written(number++, ImageAdded{.hash = hash, .label = "run", .frames = 1, .rows = 2, .columns = 2, .modality = "XA"})));
    Must(journal_->Append("c1", images));
    Entry known = Written(990, KnowledgeWritten{.name = "shelf", .owner = "lab", .version = "1", .text = "{\"a\":1}"});
    Must(journal_->Append(std::string(kLabCase), std::vector{MakeIncoming(known)}));
    contents_ = Must(GatherCase(*journal_, home_.path(), "c1", "test"));
    out_ = scratch_.path() / "case";
  }
  Result<ParcelTaken> Take(const fs::path& parcel, Journal& journal, const DataFolder& away) {
    auto source = OpenParcel(parcel);
    if (!source.ok()) return source.error();
    return TakeParcel(**source, [&](const std::vector<const CarriedChain*>& chains, bool look) { return CarryIn(journal, chains, look); }, away.path(), kLater);
  }

  DataFolder home_, scratch_;
  std::unique_ptr<Journal> journal_;
  std::vector<std::string> hashes_;
  ParcelContents contents_;
  fs::path out_;
};

TEST_F(Parcel, AFolderAndAnArchiveGiveTheSameCaseOnTheOtherSide) {
  const Packed packed = Must(PackFolder(contents_, out_));
  EXPECT_EQ(packed.images, 2u);
  EXPECT_EQ(packed.absent, contents_.absent.size());
  EXPECT_TRUE(std::ranges::find(contents_.absent, std::string(64, 'e')) != contents_.absent.end());
  auto archive = Must(TemporaryFile::Make(scratch_.path()));
  Must(PackArchive(contents_, archive));
  Must(archive.Keep(scratch_.path() / "case.tar", false));
  // By the system's own program: every line of the manifest.
  ASSERT_EQ(std::system(("cd " + out_.string() + " && python3 -c \"import json;[print(f['sha256'],'',f['path']) for f in json.load(open('manifest.json'))['files']]\" | sha256sum -c --quiet").c_str()), 0);
  for (const fs::path& parcel : {out_, scratch_.path() / "case.tar"}) {
    DataFolder away;
    auto journal = Must(OpenJournal(away.path(), Owning()));
    const ParcelTaken taken = Must(Take(parcel, *journal, away));
    EXPECT_EQ(taken.case_id, "c1");
    EXPECT_EQ(taken.entries, 23);
    EXPECT_EQ(taken.images_new, 2u);
    EXPECT_EQ(taken.lab, ParcelTaken::Lab::kTaken);
    EXPECT_EQ(StateText(Fold(Must(journal->Entries("c1")))), StateText(Fold(Must(journal_->Entries("c1")))));
    EXPECT_TRUE(Must(journal->Verify("c1")).faults.empty());
    for (const std::string& hash : hashes_) EXPECT_EQ(BytesOf(StoredImage(away.path(), hash)), BytesOf(StoredImage(home_.path(), hash)));
    const ParcelTaken again = Must(Take(parcel, *journal, away));
    EXPECT_EQ(again.came, CarriedIn::kThere);
    EXPECT_EQ(again.images_new, 0u);
    EXPECT_EQ(again.lab, ParcelTaken::Lab::kSame);
  }
}

TEST_F(Parcel, EveryPictureOfAMeasurementInTwoViewsGoesAlong) {
  FactStated fact;
  fact.key = {"bend_angio_deg", ""}, fact.belief = Number{50, 4}, fact.mark = Mark::kMeasured;
  fact.origin.image = std::string(64, 'a');
  fact.origin.views = {{std::string(64, 'a'), 3, "", "", {}, {}}, {std::string(64, 'c'), 5, "", "still", {}, {}}};
  CarriedChain chain;
  chain.entries.push_back({Written(1, fact), EntryDataJson(fact), {}, {}, ""});
  EXPECT_EQ(ImagesNamed(chain), (std::vector<std::string>{std::string(64, 'a'), std::string(64, 'c')}));
}

TEST_F(Parcel, TheSameCaseGivesTheSameBytesAndExistingNamesAreLeftAlone) {
  Must(PackFolder(contents_, out_));
  Must(PackFolder(contents_, scratch_.path() / "again"));
  EXPECT_EQ(std::system(("diff -r " + out_.string() + " " + (scratch_.path() / "again").string()).c_str()), 0);
  EXPECT_FALSE(PackFolder(contents_, out_).ok());
  fs::create_symlink("/nowhere", scratch_.path() / "link");
  EXPECT_FALSE(PackFolder(contents_, scratch_.path() / "link").ok());
}

TEST_F(Parcel, AStoredImageThatIsDamagedDoesNotLeaveAndLeavesNoFolder) {
  PutBytes(StoredImage(home_.path(), hashes_[0]), "another run");
  const auto packed = PackFolder(contents_, out_);
  ASSERT_FALSE(packed.ok());
  EXPECT_EQ(packed.error().what, "a stored image is damaged: its bytes no longer give its name");
  EXPECT_TRUE(fs::is_empty(scratch_.path()));
}

TEST_F(Parcel, AnotherLabKeepsWhatItKnows) {
  Must(PackFolder(contents_, out_));
  DataFolder away;
  auto journal = Must(OpenJournal(away.path(), Owning()));
  Must(journal->Append(std::string(kLabCase), std::vector{MakeIncoming(Written(991, KnowledgeWritten{.name = "shelf", .owner = "lab", .version = "9", .text = "{}"}))}));
  EXPECT_EQ(Must(Take(out_, *journal, away)).lab, ParcelTaken::Lab::kOwnStays);
  EXPECT_EQ(Must(journal->Entries(std::string(kLabCase))).size(), 1u);
}

// Everything that a hand, a disk or an enemy could do to the folder. Nothing may come in then, not even an image.
TEST_F(Parcel, ATamperedFolderIsRefusedWithOneSentenceAndNothingComesIn) {
  Must(PackFolder(contents_, out_));
  const std::string image = "images/" + hashes_[0] + ".dcm";
  const auto edit = [&](const char* name, const std::string& from, const std::string& to) {
    std::string text = BytesOf(out_ / name);
    const std::size_t at = text.find(from);
    ASSERT_NE(at, std::string::npos) << from;
    PutBytes(out_ / name, text.replace(at, from.size(), to));
  };
  const std::vector<std::pair<const char*, std::function<void()>>> deeds = {
      {"a byte of an image", [&] { PutBytes(out_ / image, "0ne run"); }},
      {"a longer image", [&] { PutBytes(out_ / image, "one run and more"); }},
      {"a missing image", [&] { fs::remove(out_ / image); }},
      {"an image that nobody names", [&] { PutBytes(out_ / ("images/" + std::string(64, 'd') + ".dcm"), "x"); }},
      {"a file beside", [&] { PutBytes(out_ / "run.sh", "x"); }},
      {"a folder inside images", [&] { PutBytes(out_ / "images/deep/x.dcm", "x"); }},
      {"an image through a link", [&] { fs::remove(out_ / image); fs::create_symlink("/etc/passwd", out_ / image); }},
      {"images through a link", [&] { fs::rename(out_ / "images", scratch_.path() / "elsewhere"); fs::create_symlink(scratch_.path() / "elsewhere", out_ / "images"); }},
      {"a pipe", [&] { fs::remove(out_ / image); mkfifo((out_ / image).c_str(), 0600); }},
      {"a byte of the journal", [&] { edit("journal.jsonl", "\"by\":\"", "\"by\":\"X"); }},
      {"the last entry gone", [&] { std::string text = BytesOf(out_ / "journal.jsonl"); text.resize(text.rfind("{\"seq\"")); PutBytes(out_ / "journal.jsonl", text); }},
      {"the journal emptied", [&] { PutBytes(out_ / "journal.jsonl", ""); }},
      {"a byte of what the lab knew", [&] { edit("lab.jsonl", "shelf", "shelv"); }},
      {"no manifest", [&] { fs::remove(out_ / "manifest.json"); }},
      {"a manifest that climbs out", [&] { edit("manifest.json", image, "images/../../../../../../../../../../../../../tmp/x.dcm"); }},
      {"a manifest with a name of the root", [&] { edit("manifest.json", image, "/etc/cron.d/x"); }},
      {"a manifest with another hash", [&] { edit("manifest.json", "\"sha256\": \"" + hashes_[0], "\"sha256\": \"" + hashes_[1]); }},
      {"a manifest with a negative size", [&] { edit("manifest.json", "\"bytes\": 7", "\"bytes\": -7"); }},
      {"a manifest with a huge size", [&] { edit("manifest.json", "\"bytes\": 7", "\"bytes\": 99999999999999999999"); }},
      {"a manifest of a newer program", [&] { edit("manifest.json", "\"fairlead_case\": 1", "\"fairlead_case\": 2"); }},
      {"a manifest of another case", [&] { edit("manifest.json", "\"case\": \"c1\"", "\"case\": \"c2\""); }},
      {"a manifest of the lab", [&] { edit("manifest.json", "\"case\": \"c1\"", "\"case\": \"lab\""); }},
      {"a manifest that hides what is absent", [&] { edit("manifest.json", std::string(64, 'e'), std::string(64, 'f')); }},
      {"a manifest without end", [&] { PutBytes(out_ / "manifest.json", std::string(100'000, '[')); }},
  };
  for (const auto& [deed, change] : deeds) {
    fs::remove_all(out_);
    fs::remove_all(scratch_.path() / "elsewhere");
    Must(PackFolder(contents_, out_));
    change();
    DataFolder away;
    auto journal = Must(OpenJournal(away.path(), Owning()));
    const auto taken = Take(out_, *journal, away);
    ASSERT_FALSE(taken.ok()) << deed;
    EXPECT_FALSE(taken.error().what.empty() || taken.error().to_do.empty()) << deed;
    EXPECT_EQ(Sentence(taken.error()).find('\n'), std::string::npos) << deed;
    EXPECT_TRUE(Must(journal->Cases()).empty()) << deed;
    EXPECT_TRUE(Must(journal->Entries(std::string(kLabCase))).empty()) << deed;
    std::set<std::string> left;
    for (const auto& each : fs::recursive_directory_iterator(away.path()))
      if (each.is_regular_file() && each.path().string().find("/images/") != std::string::npos) left.insert(each.path().string());
    EXPECT_TRUE(left.empty()) << deed << ": " << (left.empty() ? "" : *left.begin());
  }
}

TEST_F(Parcel, SentencesAreThoseThatAPersonCanUse) {
  Must(PackFolder(contents_, out_));
  DataFolder away;
  auto journal = Must(OpenJournal(away.path(), Owning()));
  const auto said = [&] { return Sentence(Take(out_, *journal, away).error()); };
  PutBytes(out_ / "run.sh", "x");
  EXPECT_EQ(said(), "it holds a file that its manifest does not name (run.sh): export the case again, and carry it over without changing it");
  fs::remove(out_ / "run.sh");
  PutBytes(out_ / ("images/" + hashes_[0] + ".dcm"), "0ne run");
  EXPECT_EQ(said(), "its bytes are not those that were exported (images/" + hashes_[0] + ".dcm): export the case again, and carry it over without changing it");
}

}  // namespace
}  // namespace fairlead
