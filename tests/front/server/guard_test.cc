// SPDX-License-Identifier: Apache-2.0
// Who is let in, for how long, and how often somebody may try.
#include "front/server/guard.h"

#include <gtest/gtest.h>

#include <set>

#include "front/server/attempts.h"
#include "front/server/routes.h"

namespace fairlead {
namespace {

class Door : public ::testing::Test {
 protected:
  Door() : guard_([this] { return now_; }) {
    guard_.SetPort(8443);
    guard_.AskForPasswords({"Lab-2.example", "10.0.0.7"});
    guard_.SetPeople({ab_, cd_});
  }
  static RequestHead Head(const std::string& host, const std::string& method = "GET", const std::string& origin = {}) {
    RequestHead head;
    head.method = method;
    head.host = host;
    head.origin = origin;
    return head;
  }
  static RequestHead With(const std::string& set_cookie) {
    RequestHead head = Head("10.0.0.7:8443");
    head.cookie = "a=b; " + set_cookie.substr(0, set_cookie.find(';'));
    return head;
  }
  void Pass(double hours) { now_.ms += static_cast<std::int64_t>(hours * 3'600'000); }

  Instant now_{1'000'000'000'000};
  const Account ab_{"AB", Role::kRecorder, "$argon2id$one"};
  const Account cd_{"CD", Role::kReader, "$argon2id$two"};
  Guard guard_;
};

TEST_F(Door, OpensOnlyForTheNamesOfTheCertificate) {
  EXPECT_FALSE(guard_.Foreign(Head("lab-2.example:8443")));
  EXPECT_FALSE(guard_.Foreign(Head("LAB-2.example:8443")));
  EXPECT_FALSE(guard_.Foreign(Head("10.0.0.7:8443")));
  for (const char* host : {"lab-2.example", "lab-2.example:443", "evil.example:8443", "lab-2.example.evil.example:8443", ""}) {
    EXPECT_TRUE(guard_.Foreign(Head(host))) << host;
  }
}

// RFC 6125 section 6.4.3: the star stands for one whole label.
TEST_F(Door, OpensForOneLabelBehindAStar) {
  guard_.AskForPasswords({"*.lab.example"});
  EXPECT_FALSE(guard_.Foreign(Head("room-1.lab.example:8443")));
  for (const char* host : {"lab.example:8443", ".lab.example:8443", "a.room-1.lab.example:8443", "evil.example:8443",
                           "room-1.lab.example.evil.example:8443", "room-1.lab.example:443"}) {
    EXPECT_TRUE(guard_.Foreign(Head(host))) << host;
  }
}

TEST_F(Door, LetsOneAccountPushOutOnlyItself) {
  const std::string other = guard_.LetIn(cd_, {});
  Pass(0.01);
  const std::string first = guard_.LetIn(ab_, {});
  for (int i = 0; i < 400; ++i) {
    Pass(0.001);
    guard_.LetIn(ab_, {});
  }
  EXPECT_TRUE(guard_.Who(With(other)));
  EXPECT_FALSE(guard_.Who(With(first)));
}

TEST_F(Door, TakesNothingThatMayWriteFromAnotherOrUnnamedPage) {
  EXPECT_FALSE(guard_.Foreign(Head("10.0.0.7:8443", "POST", "https://10.0.0.7:8443")));
  for (const char* origin : {"", "null", "http://10.0.0.7:8443", "https://10.0.0.7", "https://evil.example",
                             "https://lab-2.example:8443"}) {
    EXPECT_TRUE(guard_.Foreign(Head("10.0.0.7:8443", "POST", origin))) << origin;
  }
}

TEST_F(Door, HandsOutACookieThatOnlyThisHostGetsByTls) {
  const std::string cookie = guard_.LetIn(ab_, {});
  // RFC 6265bis section 4.1.3.2: Secure, Path=/, no Domain.
  EXPECT_TRUE(cookie.starts_with("__Host-fairlead="));
  for (const char* part : {"; HttpOnly", "; SameSite=Strict", "; Path=/", "; Secure"}) {
    EXPECT_NE(cookie.find(part), std::string::npos) << part;
  }
  EXPECT_EQ(cookie.find("Max-Age"), std::string::npos) << "whoever closes the browser is out";
  EXPECT_EQ(cookie.find("Domain"), std::string::npos);
  const auto visitor = guard_.Who(With(cookie));
  ASSERT_TRUE(visitor);
  EXPECT_EQ(visitor->name, "AB");
  EXPECT_EQ(visitor->role, Role::kRecorder);
}

TEST_F(Door, KnowsNobodyByAGuessAPieceOrTheOtherCookie) {
  const std::string cookie = guard_.LetIn(ab_, {});
  const std::string value = cookie.substr(16, 64);
  for (const std::string& given : {std::string(), std::string("__Host-fairlead="), "__Host-fairlead=" + value.substr(1),
                                   "__Host-fairlead=" + value + "0", "fairlead=" + value, "x__Host-fairlead=" + value}) {
    RequestHead head = Head("10.0.0.7:8443");
    head.cookie = given;
    EXPECT_FALSE(guard_.Who(head)) << given;
  }
}

TEST_F(Door, EndsASessionThatIsNotUsedAndEveryOneInTheEnd) {
  const RequestHead idle = With(guard_.LetIn(ab_, {}));
  Pass(1.9);
  EXPECT_TRUE(guard_.Who(idle));
  Pass(2.1);
  EXPECT_FALSE(guard_.Who(idle));
  const RequestHead busy = With(guard_.LetIn(ab_, {}));
  for (double hours = 0; hours < 13.5; hours += 1.5) {
    EXPECT_TRUE(guard_.Who(busy)) << hours;
    Pass(1.5);
  }
  Pass(0.6);
  EXPECT_FALSE(guard_.Who(busy));
}

TEST_F(Door, FollowingAStreamIsNoUse) {
  const RequestHead head = With(guard_.LetIn(ab_, {}));
  Pass(1.9);
  EXPECT_TRUE(guard_.StillIn(head.cookie));
  Pass(0.2);
  EXPECT_FALSE(guard_.StillIn(head.cookie));
}

TEST_F(Door, SendsOutWhoLeavesAndWhoseAccountChanged) {
  const std::string one = guard_.LetIn(ab_, {});
  const std::string two = guard_.LetIn(ab_, {});
  const std::string other = guard_.LetIn(cd_, {});
  EXPECT_NE(guard_.SendOut(With(one)).find("Max-Age=0"), std::string::npos);
  EXPECT_FALSE(guard_.Who(With(one)));
  EXPECT_TRUE(guard_.Who(With(two)));
  guard_.SetPeople({{"AB", Role::kRecorder, "$argon2id$new"}, cd_});
  EXPECT_FALSE(guard_.Who(With(two)));
  EXPECT_TRUE(guard_.Who(With(other)));
  guard_.SetPeople({{"CD", Role::kOperator, "$argon2id$two"}});
  EXPECT_FALSE(guard_.Who(With(other)));
}

// Session fixation: whoever comes in leaves behind what the browser held before.
TEST_F(Door, EndsTheSessionThatABrowserHeldWhenItComesInAnew) {
  const std::string before = guard_.LetIn(cd_, {});
  const std::string after = guard_.LetIn(ab_, With(before));
  EXPECT_NE(before, after);
  EXPECT_FALSE(guard_.Who(With(before)));
  EXPECT_EQ(guard_.Who(With(after))->name, "AB");
}

TEST_F(Door, KnowsItsVisitorsAfterARestartUnlessTheAccountChanged) {
  const std::string ab = guard_.LetIn(ab_, {});
  const std::string cd = guard_.LetIn(cd_, {});
  const auto visits = guard_.ToKeep();
  ASSERT_TRUE(visits);
  EXPECT_FALSE(guard_.ToKeep());
  ASSERT_EQ(visits->size(), 2u);
  EXPECT_EQ(ab.find(visits->front().cookie), std::string::npos) << "the cookie itself is kept nowhere";
  Guard again([this] { return now_; });
  again.SetPort(8443);
  again.AskForPasswords({"10.0.0.7"});
  again.SetPeople({ab_, {"CD", Role::kReader, "$argon2id$reset meanwhile"}});
  again.Remember(*visits);
  ASSERT_TRUE(again.Who(With(ab)));
  EXPECT_EQ(again.Who(With(ab))->role, Role::kRecorder);
  EXPECT_FALSE(again.Who(With(cd)));
  Guard loopback([this] { return now_; });
  loopback.Remember(*visits);
  EXPECT_FALSE(loopback.Who(With(ab)));
  Pass(2.1);
  Guard late([this] { return now_; });
  late.AskForPasswords({"10.0.0.7"});
  late.SetPeople({ab_, cd_});
  late.Remember(*visits);
  EXPECT_FALSE(late.Who(With(ab)));
}

TEST_F(Door, OpensToNoPrintedTokenWherePasswordsAreAskedFor) {
  EXPECT_FALSE(guard_.Redeem(guard_.NewStart()));
}

TEST(Loopback, GivesACookieThatOutlivesTheBrowsersWindow) {
  Guard guard([] { return Instant{1'000'000'000'000}; });
  guard.SetPort(8420);
  const auto cookie = guard.Redeem(guard.NewStart());
  ASSERT_TRUE(cookie);
  EXPECT_NE(cookie->find("; Max-Age=50400"), std::string::npos);
  EXPECT_EQ(cookie->find("Secure"), std::string::npos);
}

TEST_F(Door, SeesAFirstLookOnceASession) {
  const RequestHead head = With(guard_.LetIn(ab_, {}));
  EXPECT_TRUE(guard_.FirstLook(head, "case 1"));
  EXPECT_FALSE(guard_.FirstLook(head, "case 1"));
  EXPECT_TRUE(guard_.FirstLook(head, "case 2"));
  EXPECT_TRUE(guard_.FirstLook(With(guard_.LetIn(ab_, {})), "case 1"));
}

TEST(Attempts, MakeAFailingAddressWaitLongerEachTime) {
  Attempts attempts;
  Instant now{1'000'000'000'000};
  for (int i = 0; i < 5; ++i) EXPECT_FALSE(attempts.Begin("n" + std::to_string(i), "10.0.0.9", now)) << i;
  int before = 0;
  for (int i = 0; i < 12; ++i) {
    const auto wait = attempts.Begin("m" + std::to_string(i), "10.0.0.9", now);
    ASSERT_TRUE(wait) << i;
    EXPECT_GE(*wait, before);
    before = *wait;
    now.ms += std::int64_t{*wait} * 1000;
    EXPECT_FALSE(attempts.Begin("k" + std::to_string(i), "10.0.0.9", now));
  }
  EXPECT_EQ(before, 900);
  EXPECT_FALSE(attempts.Begin("m", "10.0.0.10", now));  // another address is free
}

TEST(Attempts, KeepNobodyOutForLongByFailingInTheirName) {
  Attempts attempts;
  Instant now{1'000'000'000'000};
  for (int i = 0; i < 400; ++i) {
    attempts.Begin("AB", "10.0.0." + std::to_string(i), now);
    now.ms += 31'000;
  }
  now.ms -= 30'000;
  const auto wait = attempts.Begin("AB", "10.0.1.1", now);
  ASSERT_TRUE(wait);
  EXPECT_LE(*wait, 30);
}

TEST(Attempts, AreNotWonBackByAnAccountOfOnesOwn) {
  Attempts attempts;
  const Instant now{1'000'000'000'000};
  int tried = 0;
  for (int i = 0; i < 100; ++i) {
    if (!attempts.Begin("x" + std::to_string(i), "10.0.0.9", now)) ++tried;
    if (!attempts.Begin("CD", "10.0.0.9", now)) attempts.Succeeded("CD", "10.0.0.9");
  }
  EXPECT_EQ(tried, 5);
}

TEST(Attempts, ForgetAfterSuccessAndRememberBoundedly) {
  Attempts attempts;
  Instant now{1'000'000'000'000};
  for (int i = 0; i < 5; ++i) attempts.Begin("AB", "10.0.0.9", now);
  EXPECT_TRUE(attempts.Begin("AB", "10.0.0.9", now));
  attempts.Succeeded("AB", "10.0.0.9");
  EXPECT_FALSE(attempts.Begin("AB", "10.0.0.9", now));
  for (int i = 0; i < 6000; ++i) attempts.Begin("x" + std::to_string(i), "y" + std::to_string(i), now);
  EXPECT_LE(attempts.remembered(), 4096u);
}

// The table of paths itself: a path added later is held to the same rule.
TEST(Paths, AreOpenToNobodyButAtTheDoorAndChangeNothingForAReader) {
  const std::set<std::string_view> door = {"/healthz", "/api/version", "/api/me", "/api/login"};
  std::size_t seen = 0;
  for (const auto routes : AllRoutes()) {
    for (const Route& route : routes) {
      ++seen;
      EXPECT_EQ(route.open, door.contains(route.path)) << route.path;
      if (route.method == "GET" || route.open || route.local) continue;
      const bool keeps = route.path.starts_with("/api/cases") || route.path.starts_with("/api/lab") || route.path == "/api/images";
      EXPECT_FALSE(keeps && route.needs == Role::kReader) << route.path;
      EXPECT_TRUE(!route.path.starts_with("/api/lab") || route.needs == Role::kAdministrator) << route.path;
    }
  }
  EXPECT_GT(seen, 20u);
}

}  // namespace
}  // namespace fairlead
