// SPDX-License-Identifier: Apache-2.0
// Dose reports in the store. Expected values are the generator's own parameters.
#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>

#include "imaging/dosereport/write_report.h"
#include "keeping/images/images.h"

namespace fairlead {
namespace {

namespace fs = std::filesystem;

class DoseStore : public testing::Test {
 protected:
  void SetUp() override {
    data_ = fs::temp_directory_path() / ("fairlead-doses-" + std::to_string(getpid()));
    fs::remove_all(data_);
    auto store = OpenImageStore(data_, {});
    ASSERT_TRUE(store);
    store_ = std::move(*store);
  }
  void TearDown() override {
    store_.reset();
    fs::remove_all(data_);
  }
  std::unique_ptr<Upload> Sent(const std::vector<std::uint8_t>& bytes) {
    auto upload = store_->Begin();
    EXPECT_TRUE(upload);
    EXPECT_TRUE((*upload)->Add(bytes));
    return std::move(*upload);
  }

  fs::path data_;
  std::unique_ptr<ImageStore> store_;
};

TEST_F(DoseStore, KeepsAReportThatIsNoRun) {
  const auto events = InventedEvents(21, 8);
  auto upload = Sent(DoseReportFile(events, "store", {}));
  EXPECT_FALSE(upload->Finish({}, {}));  // no run in it, and it is still there
  const auto imported = upload->FinishDose({});
  ASSERT_TRUE(imported) << Sentence(imported.error());
  EXPECT_FALSE(imported->again);
  EXPECT_EQ(imported->report.events.size(), events.size());
  const auto found = store_->FindDose(imported->hash);
  ASSERT_TRUE(found) << Sentence(found.error());
  EXPECT_EQ(found->events.back().id, events.back().id);
  EXPECT_TRUE(Sent(DoseReportFile(events, "store", {}))->FinishDose({})->again);
}

TEST_F(DoseStore, KeepsNothingOfAFileThatIsNeither) {
  auto upload = Sent({'n', 'o', 't', 'h', 'i', 'n', 'g'});
  EXPECT_FALSE(upload->Finish({}, {}));
  EXPECT_FALSE(upload->FinishDose({}));
  upload.reset();
  for (const auto& entry : fs::recursive_directory_iterator(data_)) EXPECT_FALSE(entry.is_regular_file()) << entry.path();
}

TEST_F(DoseStore, FindsNoReportUnderANameThatIsNoHash) {
  EXPECT_FALSE(store_->FindDose("../../etc/passwd"));
  EXPECT_FALSE(store_->FindDose(std::string(64, 'a')));
}

}  // namespace
}  // namespace fairlead
