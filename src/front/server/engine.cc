// SPDX-License-Identifier: Apache-2.0
#include "front/server/engine.h"

#include <fmt/core.h>

#include <system_error>

#include "front/server/routes.h"

namespace fairlead {
namespace {

class OneEngine : public Engine {
 public:
  OneEngine(const EngineSettings& settings, Log& log)
      : log_(log), page_(settings.web.empty() ? BuiltInPage() : PageOf(settings.web)), version_(settings.version) {}
  ~OneEngine() override {
    events_.Forget();  // streams let go of their sessions before the server ends
    server_.reset();
  }

  Status Open(const EngineSettings& settings) {
    PracticeOptions options;
    options.images = settings.images;
    options.told = [this](const Appended& appended) { events_.Tell(appended); };
    auto practice = Practice::Open(settings.folder, std::move(options));
    if (!practice.ok()) return practice.error();
    practice_ = std::move(*practice);
    app_ = std::make_unique<App>(App{*practice_, guard_, events_, *page_, log_, version_, [this] { return NewAddress(); },
                                     settings.images.file_bytes});
    ServerSettings server;
    server.port = settings.port;
    server.ports_to_try = settings.ports_to_try;
    server.socket = SocketOf(settings.folder);
    server.headers = SecurityHeaders();
    server.tick = settings.beat;
    server.deadline = settings.deadline;
    server.stop_on_signals = settings.stop_on_signals;
    auto listening = Listen(server, MakeService(*app_));
    if (!listening.ok()) return listening.error();
    server_ = std::move(*listening);
    guard_.SetPort(server_->port());
    return Done{};
  }

  Practice& practice() override { return *practice_; }
  std::uint16_t port() const override { return server_->port(); }
  std::string NewAddress() override {
    return fmt::format("http://127.0.0.1:{}/?start={}", server_->port(), guard_.NewStart());
  }
  void Run() override {
    log_.Write(fmt::format("serving on port {}", server_->port()));
    server_->Run();
    log_.Write("ended");
  }
  void Stop() override { server_->Stop(); }

 private:
  Log& log_;
  std::unique_ptr<Page> page_;
  std::string version_;
  Guard guard_;
  Events events_;
  std::unique_ptr<Practice> practice_;
  std::unique_ptr<App> app_;
  std::unique_ptr<Server> server_;
};

}  // namespace

std::filesystem::path SocketOf(const std::filesystem::path& folder) { return folder / "fairlead.sock"; }

Result<std::unique_ptr<Engine>> OpenEngine(const EngineSettings& settings, Log& log) {
  auto engine = std::make_unique<OneEngine>(settings, log);
  if (auto opened = engine->Open(settings); !opened.ok()) return opened.error();
  return std::unique_ptr<Engine>(std::move(engine));
}

}  // namespace fairlead
