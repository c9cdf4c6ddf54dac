// SPDX-License-Identifier: Apache-2.0
// The lab's certificates, read back by OpenSSL's own command.
#include "keeping/certificate/certificate.h"

#include <gtest/gtest.h>
#include <sys/stat.h>

#include <cstdio>
#include <fstream>

namespace fairlead {
namespace {

class Certificates : public ::testing::Test {
 protected:
  void SetUp() override {
    std::string place = (std::filesystem::temp_directory_path() / "fairlead-cert-XXXXXX").string();
    ASSERT_NE(::mkdtemp(place.data()), nullptr);
    folder_ = place;
  }
  void TearDown() override { std::filesystem::remove_all(folder_); }
  static std::string Say(const std::string& command) {
    std::FILE* pipe = ::popen((command + " 2>&1").c_str(), "r");
    std::string text;
    char piece[512];
    while (std::fgets(piece, sizeof piece, pipe) != nullptr) text += piece;
    ::pclose(pipe);
    return text;
  }
  static mode_t ModeOf(const std::filesystem::path& path) {
    struct stat facts{};
    return ::stat(path.c_str(), &facts) == 0 ? facts.st_mode & 0777 : 0;
  }
  static Instant Now() { return {std::int64_t{::time(nullptr)} * 1000}; }
  std::filesystem::path folder_;
};

TEST_F(Certificates, SatisfyOpenSslsOwnVerifier) {
  auto made = MakeCertificate(folder_, {"lab-2.example", "10.0.0.7"}, Now());
  ASSERT_TRUE(made.ok()) << Sentence(made.error());
  const std::string verify = "openssl verify -x509_strict -purpose sslserver -CAfile " + made->authority.string();
  EXPECT_NE(Say(verify + " -verify_hostname lab-2.example " + made->server.string()).find(": OK"), std::string::npos);
  EXPECT_NE(Say(verify + " -verify_ip 10.0.0.7 " + made->server.string()).find(": OK"), std::string::npos);
  EXPECT_EQ(Say(verify + " -verify_hostname other.example " + made->server.string()).find(": OK"), std::string::npos);
  EXPECT_EQ(Say("openssl verify " + made->server.string()).find(": OK"), std::string::npos);
}

TEST_F(Certificates, KeepKeysFromOthersAndAuthorityOverRenewal) {
  auto first = MakeCertificate(folder_, {"a.example"}, Now());
  ASSERT_TRUE(first.ok());
  EXPECT_EQ(ModeOf(first->authority_key), 0600u);
  EXPECT_EQ(ModeOf(first->server_key), 0600u);
  EXPECT_EQ(ModeOf(folder_ / "tls"), 0700u);
  const std::string authority = Say("openssl x509 -noout -fingerprint -in " + first->authority.string());
  const std::string server = Say("openssl x509 -noout -fingerprint -in " + first->server.string());
  ASSERT_TRUE(MakeCertificate(folder_, {"b.example"}, Now()).ok());
  EXPECT_EQ(Say("openssl x509 -noout -fingerprint -in " + first->authority.string()), authority);
  EXPECT_NE(Say("openssl x509 -noout -fingerprint -in " + first->server.string()), server);
}

TEST_F(Certificates, MakeNoSecondAuthorityWhereTheKeyOfTheFirstIsKeptElsewhere) {
  auto first = MakeCertificate(folder_, {"a.example"}, Now());
  ASSERT_TRUE(first.ok());
  const std::string authority = Say("openssl x509 -noout -fingerprint -in " + first->authority.string());
  std::filesystem::rename(first->authority_key, folder_ / "elsewhere.pem");
  auto refused = MakeCertificate(folder_, {"b.example"}, Now());
  ASSERT_FALSE(refused.ok());
  EXPECT_NE(refused.error().what.find("authority's key"), std::string::npos);
  EXPECT_EQ(Say("openssl x509 -noout -fingerprint -in " + first->authority.string()), authority);
  std::filesystem::rename(folder_ / "elsewhere.pem", first->authority_key);
  EXPECT_TRUE(MakeCertificate(folder_, {"b.example"}, Now()).ok());
}

TEST_F(Certificates, SayTheirNamesAndTheirEnd) {
  const Instant now = Now();
  auto made = MakeCertificate(folder_, {"lab-2.example", "10.0.0.7"}, now);
  ASSERT_TRUE(made.ok());
  auto facts = ReadCertificate(made->server, made->server_key);
  ASSERT_TRUE(facts.ok()) << Sentence(facts.error());
  EXPECT_EQ(facts->names, (std::vector<std::string>{"lab-2.example", "10.0.0.7"}));
  // CA/Browser Forum Baseline Requirements 6.3.2: at most 398 days.
  const double days = static_cast<double>(facts->until.ms - now.ms) / 86'400'000.0;
  EXPECT_LT(days, 398.0);
  EXPECT_GT(days, 396.0);
  EXPECT_FALSE(ReadCertificate(made->server, made->authority_key).ok());
  EXPECT_FALSE(ReadCertificate(folder_ / "nothing.pem", made->server_key).ok());
}

TEST_F(Certificates, RefuseNamesThatAreNone) {
  EXPECT_FALSE(MakeCertificate(folder_, {}, Now()).ok());
  for (const char* name : {"", "a b", "a,DNS:b", "..", "-x", "a\nb", "https://a"}) {
    EXPECT_FALSE(MakeCertificate(folder_, {name}, Now()).ok()) << name;
  }
}

}  // namespace
}  // namespace fairlead
