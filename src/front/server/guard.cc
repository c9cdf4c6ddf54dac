// SPDX-License-Identifier: Apache-2.0
#include "front/server/guard.h"

#include <algorithm>
#include <array>

#include "front/server/random.h"
#include "keeping/images/digest.h"

namespace fairlead {
namespace {

constexpr std::size_t kStarts = 16;      // chosen
constexpr std::size_t kSessions = 256;   // browsers let in; the one unused longest is forgotten; chosen
constexpr std::size_t kOfOne = 24;       // of them for one account, which so pushes nobody else out; chosen
constexpr std::size_t kSecret = 32;      // bytes
constexpr std::int64_t kIdleMs = 2 * 3'600'000;      // chosen: longer than any pause in a case
constexpr std::int64_t kWholeMs = 14 * 3'600'000;    // chosen: a shift and its end
constexpr std::int64_t kKeptUse = 60'000;            // of use that a crash may forget; chosen
constexpr std::size_t kSeen = 512;       // cases remembered of one session

// Takes the same time wherever the two differ.
bool Same(std::string_view a, std::string_view b) {
  if (a.size() != b.size()) return false;
  unsigned different = 0;
  for (std::size_t i = 0; i < a.size(); ++i) different |= static_cast<unsigned>(a[i] ^ b[i]);
  return different == 0;
}

// The cookies themselves are nowhere kept: whoever reads the memory's or the disk's copy cannot come in with it.
std::string Digest(std::string_view text) {
  Sha256 hash;
  hash.Add({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()});
  return hash.Finish();
}
std::string DigestOf(const Account& person) {
  return Digest(std::string(RoleName(person.role)) + " " + person.hash);
}

// Value of a cookie in a Cookie header; empty if it is not there.
std::string_view CookieOf(std::string_view header, std::string_view name) {
  while (!header.empty()) {
    while (header.starts_with(' ')) header.remove_prefix(1);
    const std::size_t end = std::min(header.find(';'), header.size());
    const std::string_view pair = header.substr(0, end);
    if (pair.size() > name.size() && pair.starts_with(name) && pair[name.size()] == '=') return pair.substr(name.size() + 1);
    header.remove_prefix(std::min(end + 1, header.size()));
  }
  return {};
}

// RFC 6265bis section 4.1.3.2: a browser takes a __Host- cookie only by TLS, for this host alone.
std::string_view CookieName(bool secure) { return secure ? "__Host-fairlead" : "fairlead"; }

std::string Small(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; });
  return text;
}

// What of the host is compared: for "*.lab.example" all but its first label (RFC 6125 section 6.4.3), after the star.
std::string Labels(const std::string& host, std::string_view name) {
  const std::size_t dot = host.find('.');
  return name.starts_with("*.") && dot != std::string::npos && dot > 0 ? "*" + host.substr(dot) : host;
}

}  // namespace

Guard::Guard(std::function<Instant()> clock) : clock_(std::move(clock)), names_{"127.0.0.1", "localhost", "[::1]"} {}

void Guard::SetPort(std::uint16_t port) { port_ = port; }

void Guard::AskForPasswords(std::vector<std::string> names) {
  asks_ = true;
  for (std::string& name : names) names_.push_back(Small(std::move(name)));
}

void Guard::SetPeople(std::vector<Account> people) {
  const std::lock_guard lock(mutex_);
  people_ = std::move(people);
  std::erase_if(sessions_, [&](const Session& session) {
    return std::none_of(people_.begin(), people_.end(), [&](const Account& person) {
      return person.name == session.person.name && person.hash == session.person.hash && person.role == session.person.role;
    });
  });
}

std::optional<std::string> Guard::Foreign(const RequestHead& head) const {
  if (head.local) return std::nullopt;
  const std::string port = ":" + std::to_string(port_);
  const std::string host = Small(head.host);
  const bool ours = std::any_of(names_.begin(), names_.end(), [&](const std::string& name) {
    const std::string given = Labels(host, name);
    return given == name + port || (port_ == (asks_ ? 443 : 80) && given == name);
  });
  if (!ours) return "the request names another host than this computer";
  if (head.origin.empty()) {
    const bool reads = head.method == "GET" || head.method == "HEAD";
    if (asks_ && !reads) return "the request does not say from which page it comes";
    return std::nullopt;
  }
  if (Small(head.origin) != (asks_ ? "https://" : "http://") + host) return "the request comes from another site's page";
  return std::nullopt;
}

const Guard::Session* Guard::Holder(std::string_view cookie_header) const {
  const std::string_view value = CookieOf(cookie_header, CookieName(asks_));
  if (value.size() != 2 * kSecret) return nullptr;
  const std::string given = Digest(value);
  const Session* found = nullptr;
  for (const Session& session : sessions_) {
    if (Same(session.cookie, given)) found = &session;
  }
  return found == nullptr || (asks_ && Ended(*found)) ? nullptr : found;
}
bool Guard::Ended(const Session& session) const {
  const Instant now = clock_();
  return now.ms - session.last.ms > kIdleMs || now.ms - session.since.ms > kWholeMs;
}
Guard::Session* Guard::Holder(std::string_view cookie_header) {
  return const_cast<Session*>(std::as_const(*this).Holder(cookie_header));
}

std::optional<Visitor> Guard::Who(const RequestHead& head) {
  if (head.local) return Visitor{"", Role::kAdministrator};
  const std::lock_guard lock(mutex_);
  Session* session = Holder(head.cookie);
  if (session == nullptr) return std::nullopt;
  session->last = clock_();
  return Visitor{session->person.name, session->person.role};
}

bool Guard::StillIn(std::string_view cookie_header) const {
  const std::lock_guard lock(mutex_);
  return Holder(cookie_header) != nullptr;
}

std::string Guard::NewStart() {
  std::string token = RandomHex(kSecret);
  const std::lock_guard lock(mutex_);
  starts_.push_back(token);
  if (starts_.size() > kStarts) starts_.erase(starts_.begin());
  return token;
}

std::optional<std::string> Guard::Redeem(std::string_view token) {
  if (asks_) return std::nullopt;
  const std::lock_guard lock(mutex_);
  const auto at = std::find_if(starts_.begin(), starts_.end(), [&](const std::string& t) { return Same(t, token); });
  if (at == starts_.end()) return std::nullopt;
  starts_.erase(at);
  return Begin({"", Role::kAdministrator, ""});
}

std::optional<Account> Guard::Find(std::string_view name) const {
  const std::lock_guard lock(mutex_);
  const auto at = std::find_if(people_.begin(), people_.end(), [&](const Account& person) { return person.name == name; });
  if (at == people_.end()) return std::nullopt;
  return *at;
}

std::string Guard::LetIn(const Account& person, const RequestHead& head) {
  const std::lock_guard lock(mutex_);
  if (const Session* session = Holder(head.cookie)) sessions_.erase(sessions_.begin() + (session - sessions_.data()));
  return Begin(person);
}

// The one unused longest goes: of this account if it has many, else of all.
void Guard::MakeRoom(const Account& person) {
  const auto own = [&](const Session& session) { return session.person.name == person.name; };
  const bool many = asks_ && std::count_if(sessions_.begin(), sessions_.end(), own) >= std::ptrdiff_t{kOfOne};
  if (!many && sessions_.size() < kSessions) return;
  const auto oldest = std::min_element(sessions_.begin(), sessions_.end(), [&](const Session& a, const Session& b) {
    return std::pair(many && !own(a), a.last) < std::pair(many && !own(b), b.last);
  });
  sessions_.erase(oldest);
}

std::string Guard::Begin(Account person) {
  MakeRoom(person);
  const Instant now = clock_();
  const std::string value = RandomHex(kSecret);
  sessions_.push_back({Digest(value), std::move(person), now, now});
  return CookieLine(value);
}

std::string Guard::SendOut(const RequestHead& head) {
  const std::lock_guard lock(mutex_);
  if (const Session* session = Holder(head.cookie)) sessions_.erase(sessions_.begin() + (session - sessions_.data()));
  return CookieLine("") + "; Max-Age=0";
}

std::string Guard::CookieLine(std::string_view value) const {
  // On loopback it outlives the browser's window, since only the printed address hands out another: entries that wait in
  // a browser whose last tab was closed must still arrive. Where passwords are asked for, whoever closes the browser is out.
  const std::string rest = asks_ ? "; Secure" : value.empty() ? "" : "; Max-Age=" + std::to_string(kWholeMs / 1000);
  return std::string(CookieName(asks_)) + "=" + std::string(value) + "; HttpOnly; SameSite=Strict; Path=/" + rest;
}

void Guard::Remember(const std::vector<Visit>& visits) {
  const std::lock_guard lock(mutex_);
  for (const Visit& visit : visits) {
    Account person{"", Role::kAdministrator, ""};
    const auto at = std::find_if(people_.begin(), people_.end(), [&](const Account& p) { return p.name == visit.name; });
    if (asks_ && at == people_.end()) continue;
    if (asks_) person = *at;
    const Session session{visit.cookie, std::move(person), visit.since, visit.last};
    const bool same = visit.name == session.person.name && visit.account == DigestOf(session.person);
    if (same && !Ended(session) && sessions_.size() < kSessions) sessions_.push_back(session);
  }
}

std::optional<std::vector<Visit>> Guard::ToKeep() {
  const std::lock_guard lock(mutex_);
  std::vector<Visit> now;
  for (const Session& s : sessions_) now.push_back({s.cookie, s.person.name, DigestOf(s.person), s.since, s.last});
  const bool same = std::equal(now.begin(), now.end(), kept_.begin(), kept_.end(), [](const Visit& a, const Visit& b) {
    return a.cookie == b.cookie && a.account == b.account && a.last.ms - b.last.ms < kKeptUse;
  });
  if (same) return std::nullopt;
  kept_ = now;
  return now;
}

bool Guard::FirstLook(const RequestHead& head, std::string_view case_id) {
  const std::lock_guard lock(mutex_);
  Session* session = Holder(head.cookie);
  if (session == nullptr || session->seen.size() >= kSeen) return session != nullptr;
  return session->seen.emplace(case_id).second;
}

}  // namespace fairlead
