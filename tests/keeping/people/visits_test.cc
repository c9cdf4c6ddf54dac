// SPDX-License-Identifier: Apache-2.0
// Browsers that were let in, across a restart.
#include "keeping/people/visits.h"

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <fstream>
#include <iterator>

namespace fairlead {
namespace {

class Visits : public ::testing::Test {
 protected:
  void SetUp() override {
    std::string place = (std::filesystem::temp_directory_path() / "fairlead-visits-XXXXXX").string();
    ASSERT_NE(::mkdtemp(place.data()), nullptr);
    folder_ = place;
  }
  void TearDown() override { std::filesystem::remove_all(folder_); }
  std::filesystem::path folder_;
  const std::vector<Visit> two_{{std::string(64, 'a'), "AB", std::string(64, 'b'), {1000}, {2000}},
                                {std::string(64, 'c'), "", std::string(64, 'd'), {-5}, {0}}};
};

TEST_F(Visits, ComeBackAsTheyWereWritten) {
  EXPECT_TRUE(ReadVisits(folder_).empty());
  ASSERT_TRUE(WriteVisits(folder_, two_).ok());
  EXPECT_EQ(ReadVisits(folder_), two_);
  struct stat facts{};
  ASSERT_EQ(::stat((folder_ / "visits").c_str(), &facts), 0);
  EXPECT_EQ(facts.st_mode & 0777, 0600u);
}

TEST_F(Visits, AreForgottenWhereOthersMayReadThem) {
  ASSERT_TRUE(WriteVisits(folder_, two_).ok());
  ::chmod((folder_ / "visits").c_str(), 0640);
  EXPECT_TRUE(ReadVisits(folder_).empty());
}

TEST_F(Visits, LeaveOutWhatIsBroken) {
  ASSERT_TRUE(WriteVisits(folder_, two_).ok());
  std::ofstream(folder_ / "visits", std::ios::app) << "nonsense\n" << std::string(64, 'a') << " short 1 2 AB\n\n";
  EXPECT_EQ(ReadVisits(folder_), two_);
  std::ofstream(folder_ / "visits") << "another form\n";
  EXPECT_TRUE(ReadVisits(folder_).empty());
}

}  // namespace
}  // namespace fairlead
