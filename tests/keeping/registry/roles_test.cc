// SPDX-License-Identifier: Apache-2.0
// docs/registry-roles.sql on a real server, read by the lab's own role.
#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <thread>

#include "keeping/registry/outbox.h"
#include "tests/keeping/registry/postgres.h"

namespace fairlead {
namespace {

KeptRow RowOf(const std::string& id, std::int64_t version, const std::string& body, const std::string& lab = "here") { return {lab, id, version, Instant{version}, body}; }

// A body is "year strategy outcome".
std::vector<KeptSum> CountRow(const KeptRow& row) {
  KeptSum sum;
  sum.year = std::stoi(row.body.substr(0, 4)), sum.strategy = row.body.substr(5, 2);
  sum.cases = sum.outcomes = 1, sum.successes = row.body.back() == '1' ? 1 : 0;
  return {sum};
}

std::unique_ptr<RegistryStore> At(const std::string& where, bool outbox) {
  auto store = OpenRegistryStore(where, {.sums = CountRow, .outbox = outbox});
  EXPECT_TRUE(store.ok()) << Sentence(store.error());
  return store.ok() ? std::move(*store) : nullptr;
}

// Each lab has a role of its own: it writes and reads its own rows, and of the others it sees counts under the rule.
TEST(Roles, LabsWithRolesOfTheirOwnSeeOfEachOtherOnlyCountsUnderTheRule) {
  ASSERT_EQ(test::Postgres::Running().why(), "");
  const std::string schema_ = "roles", where_ = test::Postgres::Running().Fresh(schema_);
  char name[] = "/tmp/fairlead-roles-XXXXXX";
  const std::filesystem::path folder = ::mkdtemp(name);
  At(where_, false).reset();  // the owner makes the tables
  ASSERT_EQ(test::Postgres::Running().File(schema_, FAIRLEAD_TESTS_DIR "/../docs/registry-roles.sql"), 0);
  ASSERT_EQ(test::Postgres::Running().File(schema_, FAIRLEAD_TESTS_DIR "/../docs/registry-roles.sql"), 0) << "a second time changes nothing";
  const auto as = [&](const std::string& lab) {
    EXPECT_EQ(test::Postgres::Running().Sql(schema_, "DROP ROLE IF EXISTS \\\"" + lab + "\\\"; CREATE ROLE \\\"" + lab + "\\\" LOGIN IN ROLE registry_lab"), 0);
    std::string where = where_;
    return where.replace(where.find("lab:secret"), 10, lab);
  };
  auto a = At((folder / "a.sqlite").string(), true), b = At((folder / "b.sqlite").string(), true);
  for (int i = 0; i < 23; ++i) ASSERT_TRUE(a->Put({RowOf("a" + std::to_string(i), 1, i < 12 ? "2026 AW 1" : "2026 AW 0")}).ok());
  for (int i = 0; i < 5; ++i) ASSERT_TRUE(b->Put({RowOf("b" + std::to_string(i), 1, "2026 RW 1")}).ok());
  auto of_a = At(as("lab-a"), false), of_b = At(as("lab-b"), false);
  ASSERT_TRUE(of_a && of_b);
  // Both write at once.
  Result<Delivery> sent_b = Delivery{};
  std::thread other([&] { sent_b = SendWaiting(*b, *of_b, "lab-b", nullptr); });
  const auto sent_a = SendWaiting(*a, *of_a, "lab-a", nullptr);
  other.join();
  ASSERT_TRUE(sent_a.ok()) << Sentence(sent_a.error());
  ASSERT_TRUE(sent_b.ok()) << Sentence(sent_b.error());
  EXPECT_EQ(of_a->Rows("").value().size(), 23u);
  EXPECT_EQ(of_b->Rows("").value().size(), 5u);
  EXPECT_TRUE(of_b->Rows("lab-a").value().empty());
  EXPECT_FALSE(of_a->Put({RowOf("x", 1, "2026 AW 1", "lab-b")}).ok()) << "nobody writes for another";
  const auto seen_by_b = of_b->Counts().value().value(), seen_by_a = of_a->Counts().value().value();
  ASSERT_EQ(seen_by_b.size(), 2u);
  EXPECT_EQ(seen_by_b[0].lab, "lab-a");
  EXPECT_EQ(seen_by_b[0].cases, 25);       // 23, to the nearest 5
  EXPECT_EQ(seen_by_b[0].successes, 10);   // 12
  EXPECT_EQ(seen_by_b[1].cases, 5);        // its own as they are
  EXPECT_EQ(seen_by_a[1].cases, std::nullopt);  // 5: too few to be told
  EXPECT_EQ(seen_by_a[1].successes, std::nullopt);
  EXPECT_EQ(seen_by_a[0].cases, 23);
  EXPECT_EQ(At(where_, false)->Rows("").value().size(), 28u);
  std::error_code ignored;
  std::filesystem::remove_all(folder, ignored);
}

}  // namespace
}  // namespace fairlead
