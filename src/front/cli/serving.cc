// SPDX-License-Identifier: Apache-2.0
// serve, demo, address.
#include <unistd.h>

#include <cstdlib>
#include <future>
#include <system_error>
#include <thread>
#include <utility>

#include "front/cli/commands.h"
#include "front/cli/terminal.h"
#include "front/demo/demo.h"
#include "front/server/body.h"
#include "front/server/client.h"
#include "front/server/engine.h"
#include "front/server/json_text.h"
#include "keeping/certificate/certificate.h"

namespace fairlead {
namespace {

EngineSettings SettingsOf(const Arguments& arguments) {
  EngineSettings settings;
  settings.folder = arguments.data;
  settings.address = arguments.address;
  settings.port = static_cast<std::uint16_t>(arguments.port);
  settings.web = arguments.web;
  settings.version = kVersion;
  settings.stop_on_signals = true;
  return settings;
}

void PrintAddressLine(const Arguments& arguments, const std::string& address) {
  Print(arguments.json ? JsonText().Open('{').Member("address", address).Close('}').Take() : address);
}

// "127.0.0.1:8420", "localhost:0", "0.0.0.0:8443".
Status TakeListen(Arguments& arguments) {
  if (arguments.listen.empty()) return Done{};
  const std::size_t colon = arguments.listen.rfind(':');
  const std::string host = arguments.listen.substr(0, colon);
  char* end = nullptr;
  const std::string port = colon == std::string::npos ? "" : arguments.listen.substr(colon + 1);
  const long number = std::strtol(port.c_str(), &end, 10);
  if (port.empty() || *end != '\0' || number < 0 || number > 65535) {
    return Error{"the port is no number from 0 to 65535", "--listen " + arguments.listen, "use 127.0.0.1:PORT",
                 Fault::kUsage};
  }
  arguments.address = host == "localhost" ? "127.0.0.1" : host;
  arguments.port = static_cast<int>(number);
  return Done{};
}

// A certificate that was given, else the one that `fairlead certificate` made, where it is needed.
TlsFiles TlsOf(const Arguments& arguments) {
  if (!arguments.tls_certificate.empty() || !arguments.tls_key.empty()) {
    return {arguments.tls_certificate, arguments.tls_key};
  }
  const CertificatePaths made = CertificatesOf(arguments.data);
  std::error_code ignored;
  if (arguments.address.starts_with("127.") || !std::filesystem::exists(made.server, ignored)) return {};
  return {made.server, made.server_key};
}

// Removed with everything in it when the program ends.
class TemporaryFolder {
 public:
  explicit TemporaryFolder(std::filesystem::path path) : path_(std::move(path)) {}
  TemporaryFolder(const TemporaryFolder&) = delete;
  TemporaryFolder& operator=(const TemporaryFolder&) = delete;
  ~TemporaryFolder() {
    std::error_code ignored;
    if (!path_.empty()) std::filesystem::remove_all(path_, ignored);
  }

 private:
  std::filesystem::path path_;
};

Result<std::filesystem::path> MakeTemporaryFolder() {
  std::error_code code;
  std::string place = (std::filesystem::temp_directory_path(code) / "fairlead-demo-XXXXXX").string();
  if (code || ::mkdtemp(place.data()) == nullptr) {
    return Error{"no temporary folder can be made", place, "give one with --data", Fault::kOutside};
  }
  return std::filesystem::path(place);
}

// Fulfils `opened` when the cases are there, or when it ends before.
Status Fill(Practice& practice, std::promise<void>& opened, const std::stop_token& stop) {
  bool told = false;
  const auto tell = [&] {
    if (!std::exchange(told, true)) opened.set_value();
  };
  DemoDoors doors;
  doors.open_case = [&](const std::string& case_id, std::span<const IncomingEntry> first) {
    return practice.OpenCase(case_id, first);
  };
  doors.tell_lab = [&](std::span<const IncomingEntry> entries) -> Status {
    auto written = practice.Append(std::string(kLabCase), entries);
    return written.ok() ? Status(Done{}) : written.error();
  };
  doors.add_run = [&](const std::string& case_id, std::span<const std::uint8_t> file) {
    tell();  // all cases are opened before the first run
    return practice.TakeFile(case_id, file, "demo");
  };
  Status filled = FillDemo(doors, stop);
  tell();
  return filled;
}

}  // namespace

int Serve(const Arguments& given) {
  Arguments arguments = given;
  if (auto taken = TakeListen(arguments); !taken.ok()) return Fail(taken.error());
  ErrorStreamLog log;
  EngineSettings settings = SettingsOf(arguments);
  settings.tls = TlsOf(arguments);
  settings.outbox = arguments.audit.to, settings.outbox_lab = arguments.audit.as;
  auto engine = OpenEngine(settings, log);
  if (!engine.ok()) return Fail(engine.error());
  PrintAddressLine(arguments, (*engine)->NewAddress());
  (*engine)->Run();
  return 0;
}

int Demo(const Arguments& given) {
  Arguments arguments = given;
  std::filesystem::path temporary;
  if (!arguments.data_given) {
    auto made = MakeTemporaryFolder();
    if (!made.ok()) return Fail(made.error());
    temporary = arguments.data = *made;
  }
  const TemporaryFolder removed_at_the_end(temporary);
  ErrorStreamLog log;
  auto engine = OpenEngine(SettingsOf(arguments), log);
  if (!engine.ok()) return Fail(engine.error());
  // The cases are there when the address is printed; their runs come while the page is already open.
  std::promise<void> opened;
  Status filled = Done{};
  std::jthread fill([&](const std::stop_token& stop) {
    filled = Fill((*engine)->practice(), opened, stop);
    // Asked to end, it is not whole and need not be.
    if (!filled.ok() && !stop.stop_requested()) log.Write("the invented practice is not whole: " + Sentence(filled.error()));
  });
  opened.get_future().wait();
  PrintAddressLine(arguments, (*engine)->NewAddress());
  (*engine)->Run();
  fill.request_stop();
  fill.join();
  return 0;
}

int PrintAddress(const Arguments& arguments) {
  const auto client = Connect(arguments.data);
  if (client == nullptr) {
    return Fail(Error{"no program serves this data folder", arguments.data.string(), "start fairlead serve",
                      Fault::kOutside});
  }
  auto answer = client->Post("/api/address", "");
  if (!answer.ok()) return Fail(answer.error());
  if (answer->status != 200) return Fail(ParseErrorAnswer(answer->status, answer->body));
  auto members = MembersOf(answer->body);
  if (!members.ok() || members->empty()) return Fail(Error{"the answer is not understood", "", "", Fault::kOutside});
  auto address = ParseText(members->front().second);
  if (!address.ok()) return Fail(address.error());
  PrintAddressLine(arguments, *address);
  return 0;
}

}  // namespace fairlead
