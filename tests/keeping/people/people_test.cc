// SPDX-License-Identifier: Apache-2.0
// Accounts, their passwords and the access record.
#include "keeping/people/people.h"

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <fstream>
#include <iterator>
#include <set>

#include "keeping/people/access.h"

namespace fairlead {
namespace {

class People : public ::testing::Test {
 protected:
  void SetUp() override {
    std::string place = (std::filesystem::temp_directory_path() / "fairlead-people-XXXXXX").string();
    ASSERT_NE(::mkdtemp(place.data()), nullptr);
    folder_ = place;
  }
  void TearDown() override { std::filesystem::remove_all(folder_); }
  static mode_t ModeOf(const std::filesystem::path& path) {
    struct stat facts{};
    return ::stat(path.c_str(), &facts) == 0 ? facts.st_mode & 0777 : 0;
  }
  std::filesystem::path folder_;
};

TEST_F(People, NobodyMayWithoutAFile) {
  auto people = ReadPeople(folder_);
  ASSERT_TRUE(people.ok());
  EXPECT_TRUE(people->empty());
  EXPECT_EQ(PeopleStamp(folder_), "");
}

TEST_F(People, KeepsAPasswordOnlyAsArgon2idWithItsCost) {
  ASSERT_TRUE(AddPerson(folder_, "AB", Role::kRecorder, "a long enough sentence").ok());
  auto people = ReadPeople(folder_);
  ASSERT_TRUE(people.ok());
  ASSERT_EQ(people->size(), 1u);
  const Account& person = people->front();
  // RFC 9106 section 4: m = 64 MiB (65536 KiB), t = 3; the encoding names version 0x13 = 19.
  EXPECT_EQ(person.hash.substr(0, 31), "$argon2id$v=19$m=65536,t=3,p=1$");
  EXPECT_EQ(ModeOf(folder_ / "people"), 0600u);
  std::ifstream file(folder_ / "people");
  const std::string text{std::istreambuf_iterator<char>(file), {}};
  EXPECT_EQ(text.find("sentence"), std::string::npos);
  EXPECT_TRUE(PasswordHolds(&person, "a long enough sentence"));
  EXPECT_FALSE(PasswordHolds(&person, "a long enough sentencE"));
  EXPECT_FALSE(PasswordHolds(&person, ""));
  EXPECT_FALSE(PasswordHolds(nullptr, "a long enough sentence"));
}

TEST_F(People, SameWordsGetAnotherHashEachTime) {
  auto one = HashPassword("the same sentence");
  auto two = HashPassword("the same sentence");
  ASSERT_TRUE(one.ok() && two.ok());
  EXPECT_NE(*one, *two);
}

TEST_F(People, RefusesNamesThatCouldBreakTheFile) {
  for (const char* name : {"", "a b", "a\nb", "../people", "<script>", "\xc3\xa9", "a;b"}) {
    EXPECT_FALSE(AddPerson(folder_, name, Role::kReader, "a long enough sentence").ok()) << name;
  }
  EXPECT_FALSE(AddPerson(folder_, std::string(41, 'a'), Role::kReader, "a long enough sentence").ok());
  EXPECT_FALSE(AddPerson(folder_, "AB", Role::kReader, "short").ok());
  EXPECT_FALSE(AddPerson(folder_, "AB", Role::kReader, std::string(401, 'a')).ok());
}

TEST_F(People, ResetsAndRemovesOnlyWhoIsThere) {
  ASSERT_TRUE(AddPerson(folder_, "AB", Role::kOperator, "a long enough sentence").ok());
  EXPECT_FALSE(AddPerson(folder_, "AB", Role::kReader, "another good sentence").ok());
  const std::string before = PeopleStamp(folder_);
  ASSERT_TRUE(ResetPassword(folder_, "AB", "another good sentence").ok());
  EXPECT_NE(PeopleStamp(folder_), before);
  auto people = ReadPeople(folder_);
  ASSERT_TRUE(people.ok());
  EXPECT_TRUE(PasswordHolds(&people->front(), "another good sentence"));
  EXPECT_EQ(people->front().role, Role::kOperator);
  EXPECT_FALSE(ResetPassword(folder_, "CD", "another good sentence").ok());
  EXPECT_TRUE(RemovePerson(folder_, "AB").ok());
  EXPECT_FALSE(RemovePerson(folder_, "AB").ok());
  EXPECT_TRUE(ReadPeople(folder_)->empty());
}

TEST_F(People, RefusesAFileThatOthersReadOrThatIsBroken) {
  std::ofstream(folder_ / "people") << "fairlead people 1\nAB operator $argon2id$x\n";
  ::chmod((folder_ / "people").c_str(), 0644);
  EXPECT_FALSE(ReadPeople(folder_).ok());
  ::chmod((folder_ / "people").c_str(), 0600);
  EXPECT_TRUE(ReadPeople(folder_).ok());
  for (const char* text : {"", "other\n", "fairlead people 1\nAB king $argon2id$x\n", "fairlead people 1\nAB operator plain\n",
                           "fairlead people 1\nAB operator $argon2id$x more\n"}) {
    std::ofstream(folder_ / "people") << text;
    EXPECT_FALSE(ReadPeople(folder_).ok()) << text;
  }
}

TEST_F(People, MakesPasswordsThatDiffer) {
  std::set<std::string> seen;
  for (int i = 0; i < 1000; ++i) seen.insert(NewPassword());
  EXPECT_EQ(seen.size(), 1000u);
  EXPECT_EQ(seen.begin()->size(), 23u);
  EXPECT_TRUE(HashPassword(*seen.begin()).ok());
}

TEST_F(People, WritesOneLineOfAccessWhateverTheTexts) {
  {
    auto record = OpenAccessRecord(folder_);
    ASSERT_TRUE(record.ok());
    (*record)->Write({0}, "AB\n2026 forged", "10.0.0.7", "login", "");
    (*record)->Write({1000}, "", "10.0.0.7", "open", std::string(500, 'x'));
  }
  std::ifstream file(folder_ / "access.log");
  std::string line;
  ASSERT_TRUE(std::getline(file, line));
  EXPECT_EQ(line, "1970-01-01T00:00:00.000Z AB?2026?forged 10.0.0.7 login -");
  ASSERT_TRUE(std::getline(file, line));
  EXPECT_EQ(line.size(), 24 + 1 + 1 + 1 + 8 + 1 + 4 + 1 + 120u);
  EXPECT_FALSE(std::getline(file, line));
  EXPECT_EQ(ModeOf(folder_ / "access.log"), 0600u);
}

TEST_F(People, KeepsTheAccessRecordBounded) {
  auto record = OpenAccessRecord(folder_, 1000);
  ASSERT_TRUE(record.ok());
  for (int i = 0; i < 2000; ++i) (*record)->Write({i}, "AB", "10.0.0.7", "read", "01ARZ3NDEKTSV4RRFFQ69G5FAV");
  std::size_t files = 0;
  for (const auto& entry : std::filesystem::directory_iterator(folder_)) {
    if (!entry.path().filename().string().starts_with("access.log")) continue;
    ++files;
    EXPECT_LE(entry.file_size(), 1000u);
  }
  EXPECT_EQ(files, 10u);
}

}  // namespace
}  // namespace fairlead
