// SPDX-License-Identifier: Apache-2.0
// The sender against a real PostgreSQL server that is broken off in the middle of a write and comes back later.
#include "front/server/registry_sender.h"

#include <gtest/gtest.h>

#include <atomic>
#include <cstdlib>
#include <filesystem>

#include "front/server/registry_kept.h"
#include "tests/keeping/registry/postgres.h"

namespace fairlead {
namespace {

using namespace std::chrono_literals;

class LinesOfLog : public Log {
 public:
  void Write(std::string_view line) override {
    const std::lock_guard lock(mutex_);
    lines_ += std::string(line) + "\n";
  }
  std::string Text() {
    const std::lock_guard lock(mutex_);
    return lines_;
  }

 private:
  std::mutex mutex_;
  std::string lines_;
};

class Sending : public testing::Test {
 protected:
  void SetUp() override {
    ASSERT_EQ(test::Postgres::Running().why(), "");
    char name[] = "/tmp/fairlead-sender-XXXXXX";
    folder_ = ::mkdtemp(name);
    static int count = 0;
    where_ = test::Postgres::Running().Fresh("s" + std::to_string(++count));
  }
  void TearDown() override {
    sender_.reset();
    std::error_code ignored;
    std::filesystem::remove_all(folder_, ignored);
  }
  // What the practice holds: `visits_` of them, the first `again_` written to once more.
  Registry Rows() const {
    Registry registry;
    for (int i = 0; i < visits_; ++i) {
      LabVisit visit;
      visit.case_id = visit.row.id = "case-" + std::to_string(1000 + i);
      visit.seq = i < again_ ? 9 : 1;
      visit.row.began = Instant{1'700'000'000'000 + i * 3'600'000LL};
      visit.row.by = "AB", visit.row.vessel = "RCA", visit.row.j_cto = i % 5, visit.row.success = i % 7 != 0;
      registry.visits.push_back(visit);
    }
    return registry;
  }
  void Begin() {
    auto sender = RegistrySender::Of({.folder = folder_, .address = where_, .lab = "lab-a", .settle = 10ms, .first_pause = 50ms, .longest_pause = 200ms},
                                     [this]() -> Result<Registry> { return Rows(); }, log_);
    ASSERT_TRUE(sender.ok()) << Sentence(sender.error());
    sender_ = std::move(*sender);
    sender_->Begin();
  }
  template <typename Holds>
  bool Becomes(Holds holds) {
    for (int i = 0; i < 4000; ++i) {
      if (holds()) return true;
      std::this_thread::sleep_for(5ms);
    }
    return false;
  }
  std::vector<KeptRow> There() { return OpenSharedRegistry(where_).value()->Rows("").value(); }

  std::filesystem::path folder_;
  std::string where_;
  LinesOfLog log_;
  std::atomic<int> visits_{0}, again_{0};
  std::unique_ptr<RegistrySender> sender_;
};

TEST_F(Sending, HappensByItselfAfterAnEntryAndSaysSo) {
  visits_ = 3;
  Begin();
  ASSERT_TRUE(Becomes([&] { return sender_->State().sent == 3; })) << SenderJson(sender_.get());
  visits_ = 5, again_ = 1;
  sender_->Wrote();
  ASSERT_TRUE(Becomes([&] { return sender_->State().sent == 6; })) << SenderJson(sender_.get());
  ASSERT_TRUE(Becomes([&] { return sender_->State().last_sent.has_value(); }));
  const auto rows = There();
  ASSERT_EQ(rows.size(), 5u);
  EXPECT_EQ(rows[0].lab, "lab-a");
  EXPECT_EQ(rows[0].version, 9);
  for (const KeptRow& row : rows) EXPECT_EQ(row.body.find("AB"), std::string::npos) << "the operator stays at home";
  const std::string said = SenderJson(sender_.get());
  EXPECT_NE(said.find("\"waiting\":0"), std::string::npos) << said;
  EXPECT_EQ(said.find("secret"), std::string::npos) << said;
}

// Broken in the middle of a write, again and again; entries go on; at the end every row is there once, the newest of each.
TEST_F(Sending, IsCountedFromThereToo) {
  visits_ = 30;
  Begin();
  ASSERT_TRUE(Becomes([&] { return sender_->State().sent == 30; })) << SenderJson(sender_.get());
  const auto all = sender_->AuditThere({});
  ASSERT_TRUE(all.ok()) << Sentence(all.error());
  EXPECT_EQ(all->cases, 30U);
  ASSERT_TRUE(all->success);
  EXPECT_EQ(all->success->count.events, 25) << "0, 7, 14, 21 and 28 failed";
  EXPECT_EQ(all->says.back().find("Counted from the shared registry postgresql://"), 0U) << all->says.back();
  Slice hard;
  hard.j_cto_from = 4;
  EXPECT_EQ(sender_->AuditThere(hard)->cases, 6U);
}

TEST_F(Sending, SurvivesTheServerBreakingInTheMiddleOfAWrite) {
  visits_ = 1;
  Begin();
  ASSERT_TRUE(Becomes([&] { return sender_->State().sent == 1; }));
  std::size_t in_the_middle = 0;
  for (int i = 1; i <= 3; ++i) {
    const std::size_t before = sender_->State().sent;
    visits_ = 1 + 700 * i, again_ = visits_ / 2;
    sender_->Wrote();
    // Until rows wait: the batches of 200 then leave one after the other, each in one transaction.
    ASSERT_TRUE(Becomes([&] { return sender_->State().waiting > 0; }));
    std::this_thread::sleep_for(std::chrono::milliseconds(40 * i));
    test::Postgres::Running().Break();
    ASSERT_TRUE(Becomes([&] { return sender_->State().failing_since.has_value() || sender_->State().sent > before; }));
    in_the_middle += sender_->State().failing_since ? 1 : 0;
    const auto begun = std::chrono::steady_clock::now();
    for (int k = 0; k < 1000; ++k) sender_->Wrote();  // what an entry does of all this
    EXPECT_LT(std::chrono::steady_clock::now() - begun, 200ms);
    test::Postgres::Running().Start();
    ASSERT_TRUE(Becomes([&] { return sender_->State().waiting == 0 && !sender_->State().failing_since; })) << SenderJson(sender_.get());
  }
  EXPECT_GE(in_the_middle, 1u) << "the server was never caught writing: the test says nothing";
  const auto rows = There();
  const Registry truth = Rows();
  ASSERT_EQ(rows.size(), truth.visits.size());
  for (std::size_t i = 0; i < rows.size(); ++i) {
    EXPECT_EQ(rows[i].id, truth.visits[i].row.id);
    EXPECT_EQ(rows[i].version, truth.visits[i].seq);
  }
  std::int64_t cases = 0;
  const auto sums = OpenSharedRegistry(where_).value()->Sums("lab-a").value();
  for (const KeptSum& sum : sums) cases += sum.cases;
  EXPECT_EQ(cases, static_cast<std::int64_t>(rows.size())) << "no half transaction is left in the sums";
  EXPECT_NE(log_.Text().find("rows wait for the shared registry"), std::string::npos);
  EXPECT_NE(log_.Text().find("answers again"), std::string::npos);
  EXPECT_EQ(log_.Text().find("secret"), std::string::npos);
}

TEST(Sender, RefusesAnAddressOrALabThatIsNone) {
  LinesOfLog log;
  const auto rows = []() -> Result<Registry> { return Registry{}; };
  EXPECT_FALSE(RegistrySender::Of({.folder = "/tmp", .address = "db.example/cto", .lab = "lab-a"}, rows, log).ok());
  EXPECT_FALSE(RegistrySender::Of({.folder = "/tmp", .address = "postgresql://db.example/cto", .lab = "Lab A"}, rows, log).ok());
  EXPECT_EQ(SenderJson(nullptr), R"({"on":false})");
}

}  // namespace
}  // namespace fairlead
