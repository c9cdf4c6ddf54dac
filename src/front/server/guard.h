// SPDX-License-Identifier: Apache-2.0
// Who may speak with the server. On loopback any page in the operator's browser can send requests: the names in Host
// and Origin tell them apart (a foreign name that was made to resolve to 127.0.0.1 is still foreign), and a cookie that
// only the printed address hands out proves that this browser was let in by the person who started the program. Beyond
// loopback a name and a password let a person in, for a time.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <mutex>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "front/server/http.h"
#include "keeping/people/people.h"
#include "keeping/people/visits.h"
#include "measure/instant.h"

namespace fairlead {

// Who is behind a request. On loopback a nameless administrator: whoever started the program.
struct Visitor {
  std::string name;
  Role role = Role::kReader;
};

class Guard {
 public:
  explicit Guard(std::function<Instant()> clock);

  // The port is known once the server listens.
  void SetPort(std::uint16_t port);
  // From now on the port is reached by TLS under these names, and visitors need a name and a password.
  void AskForPasswords(std::vector<std::string> names);
  bool asks_for_passwords() const { return asks_; }
  void SetPeople(std::vector<Account> people);  // ends the sessions of those who are gone or have another password

  // The sentence that refuses this request, or nothing: Host must be one of our names with our port; Origin, if sent,
  // the same; a request that may change something must send it where passwords are asked for. What comes through the
  // socket in the data folder was let in by its file mode.
  std::optional<std::string> Foreign(const RequestHead& head) const;

  // Who holds the request's cookie; nobody if it was never handed out or has ended. Where passwords are asked for, a
  // session ends two hours after its last request, and fourteen hours after it began.
  std::optional<Visitor> Who(const RequestHead& head);
  // The same without counting as use: for streams, which ask nothing after they were opened.
  bool StillIn(std::string_view cookie_header) const;

  // A new one-use token for an address. The sixteen newest count.
  std::string NewStart();
  // The value of Set-Cookie for a token that was not used before; the token is used then.
  std::optional<std::string> Redeem(std::string_view token);

  std::optional<Account> Find(std::string_view name) const;
  // The value of Set-Cookie, always a new one; the session that the request held ends (RFC 6265 section 8.4: fixation).
  std::string LetIn(const Account& person, const RequestHead& head);
  std::string SendOut(const RequestHead& head);  // the value of Set-Cookie that takes the cookie away

  // --- Across a restart. Those of accounts that are gone or changed are left out, and those that have ended.
  void Remember(const std::vector<Visit>& visits);
  // What is to be kept, if that changed since it was last asked for; a minute of use is no change.
  std::optional<std::vector<Visit>> ToKeep();

  // True the first time that this session looks at that case.
  bool FirstLook(const RequestHead& head, std::string_view case_id);

 private:
  struct Session {
    std::string cookie;  // SHA-256 of its value
    Account person;
    Instant since, last;
    std::set<std::string, std::less<>> seen{};  // cases
  };
  Session* Holder(std::string_view cookie_header);
  const Session* Holder(std::string_view cookie_header) const;
  std::string Begin(Account person);
  void MakeRoom(const Account& person);
  bool Ended(const Session& session) const;
  std::string CookieLine(std::string_view value) const;

  const std::function<Instant()> clock_;
  std::uint16_t port_ = 0;
  bool asks_ = false;
  std::vector<std::string> names_;
  mutable std::mutex mutex_;
  std::vector<std::string> starts_;  // guarded by mutex_, as are the next
  std::vector<Session> sessions_;
  std::vector<Account> people_;
  std::vector<Visit> kept_;  // as they were last given out
};

}  // namespace fairlead
