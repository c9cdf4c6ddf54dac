// SPDX-License-Identifier: Apache-2.0
#include "front/server/engine.h"

#include <fmt/core.h>

#include <algorithm>
#include <condition_variable>
#include <mutex>
#include <system_error>
#include <thread>

#include "front/server/random.h"
#include "front/server/registry_sender.h"
#include "front/server/routes.h"
#include "front/server/wakes.h"
#include "keeping/certificate/certificate.h"

namespace fairlead {
namespace {

bool IsLoopback(const std::string& address) { return address.starts_with("127."); }

// Beyond loopback: a certificate that can be used and at least one person; the names under which the server is reached.
Result<std::vector<std::string>> NamesBeyond(const EngineSettings& settings) {
  const std::string place = "listening on " + settings.address;
  if (settings.tls.certificate.empty() || settings.tls.key.empty()) {
    const bool half = settings.tls.certificate.empty() != settings.tls.key.empty();
    return Error{half ? "a certificate and its key are only used together" : "listening beyond this computer needs TLS", place,
                 "make a certificate with fairlead certificate, or give --tls-cert and --tls-key", Fault::kUsage};
  }
  auto certificate = ReadCertificate(settings.tls.certificate, settings.tls.key);
  if (!certificate.ok()) return certificate.error();
  if (certificate->names.empty()) {
    return Error{"the certificate names no host", "--tls-cert", "make one with fairlead certificate", Fault::kUsage};
  }
  if (certificate->until < Now()) {
    return Error{"the certificate ended on " + ToIso(certificate->until).substr(0, 10), "--tls-cert",
                 "make a new one with fairlead certificate", Fault::kUsage};
  }
  auto people = ReadPeople(settings.folder);
  if (!people.ok()) return people.error();
  if (people->empty()) {
    return Error{"listening beyond this computer needs at least one account", place,
                 "add a person with fairlead people add NAME --role operator", Fault::kUsage};
  }
  return std::move(certificate->names);
}

// The name that is printed: the first one that stands for one computer.
std::string PrintedName(const std::vector<std::string>& names) {
  const auto whole = std::find_if(names.begin(), names.end(), [](const std::string& name) { return !name.starts_with("*."); });
  return whole == names.end() ? names.front() : *whole;
}
constexpr std::chrono::milliseconds kLook{250};  // how late a caution that comes by time alone may be told; chosen

class OneEngine : public Engine {
 public:
  OneEngine(const EngineSettings& settings, Log& log)
      : log_(log), page_(settings.web.empty() ? BuiltInPage() : PageOf(settings.web)), version_(settings.version) {}
  ~OneEngine() override {
    if (practice_ != nullptr) practice_->Finish();  // it tells the followers, who are still there
    looker_ = {};      // ends before what it looks at
    events_.Forget();  // streams let go of their sessions before the server ends
    server_.reset();
  }

  Status Open(const EngineSettings& settings) {
    folder_ = settings.folder;
    if (!IsLoopback(settings.address) || !settings.tls.certificate.empty() || !settings.tls.key.empty()) {
      auto names = NamesBeyond(settings);
      if (!names.ok()) return names.error();
      host_ = PrintedName(*names);
      guard_.AskForPasswords(std::move(*names));
      PasswordHolds(nullptr, "");  // so that the first unknown name takes no longer than the next
    }
    PracticeOptions options;
    options.images = settings.images;
    options.keep_missed = true;
    options.told = [this](const Appended& appended) {
      if (wakes_ != nullptr && !appended.said) wakes_->Wrote(appended.case_id);
      events_.Tell(appended);
      if (sender_ != nullptr) sender_->Wrote();
    };
    auto practice = Practice::Open(settings.folder, std::move(options));
    if (!practice.ok()) return practice.error();
    practice_ = std::move(*practice);
    auto access = OpenAccessRecord(settings.folder);
    if (!access.ok()) return access.error();
    access_ = std::move(*access);
    wakes_ = std::make_unique<Wakes>(*practice_, events_);
    boards_ = std::make_unique<RunBoards>(*practice_);
    app_ = std::make_unique<App>(App{*practice_, guard_, events_, *page_, log_, version_, [this] { return NewAddress(); },
                                     settings.images.file_bytes, attempts_, *access_, *boards_});
    app_->rows = std::make_shared<HeldRows>(settings.folder);
    if (!settings.outbox.empty()) {
      auto sender = RegistrySender::Of({.folder = settings.folder, .address = settings.outbox, .lab = settings.outbox_lab}, [this] { return practice_->RegistryNow(); }, log_);
      if (!sender.ok()) return sender.error();
      sender_ = std::move(*sender);
      app_->sender = sender_.get();
    }
    ServerSettings server;
    server.address = settings.address;
    server.tls = settings.tls;
    server.port = settings.port;
    server.ports_to_try = settings.ports_to_try;
    server.socket = SocketOf(settings.folder);
    server.headers = SecurityHeaders(guard_.asks_for_passwords());
    server.tick = settings.beat;
    server.deadline = settings.deadline;
    server.stop_on_signals = settings.stop_on_signals;
    Service service = MakeService(*app_);
    service.tick = [this] {
      RenewPeople();
      KeepVisits();
      events_.Beat();
    };
    RenewPeople();
    guard_.Remember(ReadVisits(folder_));
    auto listening = Listen(server, std::move(service));
    if (!listening.ok()) return listening.error();
    server_ = std::move(*listening);
    guard_.SetPort(server_->port());
    return Done{};
  }

  Practice& practice() override { return *practice_; }
  std::uint16_t port() const override { return server_->port(); }
  std::string NewAddress() override {
    if (guard_.asks_for_passwords()) return fmt::format("https://{}:{}/", host_, server_->port());
    return fmt::format("http://127.0.0.1:{}/?start={}", server_->port(), guard_.NewStart());
  }
  void Run() override {
    log_.Write(fmt::format("serving on port {}", server_->port()));
    looker_ = std::jthread([this](const std::stop_token& stop) { LookOn(stop); });
    if (sender_ != nullptr) sender_->Begin();
    server_->Run();
    looker_ = {};
    KeepVisits();
    log_.Write("ended");
  }
  void Stop() override { server_->Stop(); }

 private:
  // People who were added, reset or removed by a command count from the next beat.
  void RenewPeople() {
    const std::lock_guard lock(people_mutex_);  // two beats may meet on a slow disk
    const std::string stamp = PeopleStamp(folder_);
    if (!guard_.asks_for_passwords() || stamp == people_stamp_) return;
    auto people = ReadPeople(folder_);
    if (!people.ok()) log_.Write(Sentence(people.error()));
    guard_.SetPeople(people.ok() ? std::move(*people) : std::vector<Account>{});
    people_stamp_ = stamp;
  }

  // So that a browser which was let in need not come in anew after a crash; its waiting entries then arrive by themselves.
  void KeepVisits() {
    const std::lock_guard lock(people_mutex_);
    const auto visits = guard_.ToKeep();
    if (!visits) return;
    if (auto kept = WriteVisits(folder_, *visits); !kept.ok()) log_.Write(Sentence(kept.error()));
  }

  void LookOn(const std::stop_token& stop) {
    std::mutex mutex;
    std::condition_variable_any wait;
    std::unique_lock lock(mutex);
    while (!wait.wait_for(lock, stop, kLook, [] { return false; }) && !stop.stop_requested()) wakes_->Look(Now());
  }

  Log& log_;
  std::unique_ptr<Page> page_;
  std::string version_;
  std::filesystem::path folder_;
  std::string host_;
  std::mutex people_mutex_;
  std::string people_stamp_{"not read"};  // guarded by people_mutex_
  Guard guard_{Now};
  Attempts attempts_;
  std::unique_ptr<AccessRecord> access_;
  Events events_;
  std::unique_ptr<Practice> practice_;
  std::unique_ptr<Wakes> wakes_;
  std::unique_ptr<RunBoards> boards_;
  std::unique_ptr<RegistrySender> sender_;  // there before anything is written, so that nobody reads it while it comes
  std::unique_ptr<App> app_;
  std::unique_ptr<Server> server_;
  std::jthread looker_;
};

}  // namespace

std::filesystem::path SocketOf(const std::filesystem::path& folder) { return folder / "fairlead.sock"; }

Result<std::unique_ptr<Engine>> OpenEngine(const EngineSettings& settings, Log& log) {
  auto engine = std::make_unique<OneEngine>(settings, log);
  if (auto opened = engine->Open(settings); !opened.ok()) return opened.error();
  return std::unique_ptr<Engine>(std::move(engine));
}

}  // namespace fairlead
