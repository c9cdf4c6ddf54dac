// SPDX-License-Identifier: Apache-2.0
// The whole engine over real sockets, on a folder of its own.
#include "front/server/engine.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <thread>

#include "casebook/entry_json.h"
#include "front/server/body.h"
#include "front/server/client.h"
#include "front/server/random.h"
#include "tests/front/server/wire.h"

namespace fairlead {
namespace {

using namespace std::chrono_literals;
using test::BodyOf;
using test::StatusOf;
using test::Wire;

class Running : public ::testing::Test {
 protected:
  void SetUp() override {
    folder_ = std::filesystem::temp_directory_path() / ("fairlead-test-" + RandomHex(8));
    std::filesystem::create_directories(folder_ / "web" / "assets");
    std::ofstream(folder_ / "web" / "index.html") << "<p>page</p>";
    std::ofstream(folder_ / "secret.txt") << "secret";
    EngineSettings settings;
    settings.folder = folder_ / "data";
    settings.port = 0;
    settings.ports_to_try = 1;
    settings.web = folder_ / "web";
    settings.version = "test";
    settings.beat = 100ms;
    auto engine = OpenEngine(settings, log_);
    ASSERT_TRUE(engine.ok()) << Sentence(engine.error());
    engine_ = std::move(*engine);
    thread_ = std::jthread([this] { engine_->Run(); });
    host_ = "127.0.0.1:" + std::to_string(engine_->port());
  }
  void TearDown() override {
    if (engine_ != nullptr) engine_->Stop();
    if (thread_.joinable()) thread_.join();
    engine_.reset();
    std::filesystem::remove_all(folder_);
  }

  std::string Ask(const std::string& head, const std::string& more = {}) {
    Wire wire(engine_->port());
    wire.Send(head + " HTTP/1.1\r\nHost: " + host_ + "\r\nConnection: close\r\n" + cookie_ + more + "\r\n");
    return wire.ReceiveAll();
  }
  std::string Post(const std::string& path, const std::string& json) {
    Wire wire(engine_->port());
    wire.Send("POST " + path + " HTTP/1.1\r\nHost: " + host_ + "\r\nConnection: close\r\n" + cookie_ +
              "Content-Type: application/json\r\nContent-Length: " + std::to_string(json.size()) + "\r\n\r\n" + json);
    return wire.ReceiveAll();
  }
  void LetIn() {
    const std::string address = engine_->NewAddress();
    const std::string answer = Ask("GET " + address.substr(address.find("/?")));
    ASSERT_EQ(StatusOf(answer), 303) << answer;
    const auto at = answer.find("Set-Cookie: ");
    ASSERT_NE(at, std::string::npos);
    const std::string cookie = answer.substr(at + 12, answer.find("\r\n", at) - at - 12);
    EXPECT_NE(cookie.find("; HttpOnly"), std::string::npos);
    EXPECT_NE(cookie.find("; SameSite=Strict"), std::string::npos);
    cookie_ = "Cookie: other=1; " + cookie.substr(0, cookie.find(';')) + "\r\n";
  }
  std::string NewCase() {
    const std::string body = BodyOf(Post("/api/cases", R"({"title":"a test","room":"1"})"));
    const auto members = MembersOf(body);
    return members.ok() && !members->empty() ? *ParseText(members->front().second) : std::string();
  }
  static std::string Note(const std::string& id, const std::string& text) {
    return R"({"v":1,"id":")" + id + R"(","at":"2026-11-25T09:00:00.000Z","written":"2026-11-25T09:00:00.000Z",)" +
           R"("by":"AB","device":"page","kind":"note","data":{"text":")" + text + R"("}})";
  }
  static std::string NewId() { return NewUlid(Now(), RandomTail()); }

  NoLog log_;
  std::filesystem::path folder_;
  std::unique_ptr<Engine> engine_;
  std::jthread thread_;
  std::string host_, cookie_;
};

TEST_F(Running, IsHealthyWithoutACookie) {
  EXPECT_EQ(BodyOf(Ask("GET /healthz")), "ok");
  EXPECT_EQ(StatusOf(Ask("GET /api/version")), 200);
}

TEST_F(Running, RefusesAForeignHostName) {
  host_ = "elsewhere.example:" + std::to_string(engine_->port());
  EXPECT_EQ(StatusOf(Ask("GET /healthz")), 403);
  host_ = "127.0.0.1:1";
  EXPECT_EQ(StatusOf(Ask("GET /healthz")), 403);
  host_ = "";
  EXPECT_EQ(StatusOf(Ask("GET /healthz")), 403);
  host_ = "localhost:" + std::to_string(engine_->port());
  EXPECT_EQ(StatusOf(Ask("GET /healthz")), 200);
}

TEST_F(Running, RefusesAForeignOrigin) {
  LetIn();
  EXPECT_EQ(StatusOf(Ask("GET /api/cases", "Origin: http://elsewhere.example\r\n")), 403);
  EXPECT_EQ(StatusOf(Ask("GET /api/cases", "Origin: null\r\n")), 403);
  EXPECT_EQ(StatusOf(Ask("GET /api/cases", "Origin: https://" + host_ + "\r\n")), 403);
  EXPECT_EQ(StatusOf(Ask("GET /api/cases", "Origin: http://" + host_ + "\r\n")), 200);
}

TEST_F(Running, RefusesABrowserThatWasNotLetIn) {
  EXPECT_EQ(StatusOf(Ask("GET /api/cases")), 403);
  cookie_ = "Cookie: fairlead=\r\n";
  EXPECT_EQ(StatusOf(Ask("GET /api/cases")), 403);
  cookie_ = "Cookie: fairlead=0000\r\n";
  EXPECT_EQ(StatusOf(Ask("GET /api/cases")), 403);
  cookie_.clear();
  EXPECT_EQ(StatusOf(Post("/api/assess", "{}")), 403);
}

TEST_F(Running, LetsOneBrowserInWithEachAddress) {
  const std::string address = engine_->NewAddress();
  const std::string target = "GET " + address.substr(address.find("/?"));
  EXPECT_EQ(StatusOf(Ask(target)), 303);
  EXPECT_EQ(StatusOf(Ask(target)), 403);
  EXPECT_EQ(StatusOf(Ask("GET /?start=0000")), 403);
}

TEST_F(Running, ServesNoFileOutsideThePage) {
  EXPECT_NE(Ask("GET /").find("<p>page</p>"), std::string::npos);
  for (const char* path : {"/../secret.txt", "/%2e%2e/secret.txt", "/assets/../../secret.txt", "/..%2fsecret.txt",
                           "//etc/passwd", "/%2fetc/passwd", "/assets", "/./../secret.txt"}) {
    const std::string answer = Ask(std::string("GET ") + path);
    EXPECT_EQ(StatusOf(answer), 404) << path;
    EXPECT_EQ(answer.find("secret"), std::string::npos) << path;
  }
}

TEST_F(Running, SendsItsSecurityHeadersWithEveryAnswer) {
  for (const char* path : {"/", "/healthz", "/api/cases", "/nowhere"}) {
    const std::string answer = Ask(std::string("GET ") + path);
    for (const char* header : {"Content-Security-Policy: default-src 'self'", "X-Content-Type-Options: nosniff",
                               "Cross-Origin-Opener-Policy: same-origin", "Cross-Origin-Embedder-Policy: require-corp"}) {
      EXPECT_NE(answer.find(header), std::string::npos) << path << " " << header;
    }
  }
}

TEST_F(Running, RefusesWhatIsNoJsonForm) {
  LetIn();
  // A form of another site can send text/plain without asking first (Fetch standard, CORS-safelisted request-header).
  Wire wire(engine_->port());
  wire.Send("POST /api/cases HTTP/1.1\r\nHost: " + host_ + "\r\nConnection: close\r\n" + cookie_ +
            "Content-Type: text/plain\r\nContent-Length: 2\r\n\r\n{}");
  EXPECT_EQ(StatusOf(wire.ReceiveAll()), 400);
}

TEST_F(Running, CountsAnEntrySentTwiceOnce) {
  LetIn();
  const std::string case_id = NewCase();
  const std::string id = NewId();
  const std::string path = "/api/cases/" + case_id + "/entries";
  const std::string body = "{\"entries\":[" + Note(id, "one") + "]}";
  EXPECT_NE(BodyOf(Post(path, body)).find("\"again\":false"), std::string::npos);
  EXPECT_NE(BodyOf(Post(path, body)).find("\"again\":true"), std::string::npos);
  EXPECT_EQ(StatusOf(Post(path, "{\"entries\":[" + Note(id, "other") + "]}")), 409);
  EXPECT_NE(BodyOf(Ask("GET /api/cases")).find("\"entries\":2"), std::string::npos);
}

TEST_F(Running, KeepsWhatTheScreensSaidAtAMeasurement) {
  LetIn();
  const std::string path = "/api/cases/" + NewCase() + "/entries";
  const std::string entry =
      R"({"v":1,"id":")" + NewId() + R"(","at":"2026-11-25T09:00:00.000Z","written":"2026-11-25T09:00:00.000Z","by":"AB",)" +
      R"("device":"page","kind":"fact","data":{"fact":"length_angio_mm","value":{"value":19.2,"sd":1.4},"mark":"measured"}})";
  for (int sent = 0; sent < 2; ++sent) EXPECT_EQ(StatusOf(Post(path, "{\"entries\":[" + entry + "]}")), 200);
  const std::string shown = BodyOf(Ask("GET " + path.substr(0, path.size() - 8)));
  EXPECT_NE(shown.find("\"kind\":\"shown\""), std::string::npos);
  EXPECT_EQ(shown.find("\"kind\":\"shown\""), shown.rfind("\"kind\":\"shown\""));
  EXPECT_NE(shown.find("J-CTO"), std::string::npos);
}

TEST_F(Running, WritesItsOwnKindsItself) {
  LetIn();
  const std::string path = "/api/cases/" + NewCase() + "/entries";
  const std::string entry =
      R"({"v":1,"id":")" + NewId() + R"(","at":"2026-11-25T09:00:00.000Z","written":"2026-11-25T09:00:00.000Z","by":"AB",)" +
      R"("device":"page","kind":"shown","data":{"at_step":"acceptance","text":"all is well"}})";
  EXPECT_EQ(StatusOf(Post(path, "{\"entries\":[" + entry + "]}")), 400);
}

TEST_F(Running, AnswersWhatIsNotThereWith404) {
  LetIn();
  EXPECT_EQ(StatusOf(Ask("GET /api/cases/01ARZ3NDEKTSV4RRFFQ69G5FAV")), 404);
  EXPECT_EQ(StatusOf(Ask("GET /api/images/" + std::string(64, 'a'))), 404);
  EXPECT_EQ(StatusOf(Ask("GET /api/images/..%2f..%2fsecret.txt")), 404);
  EXPECT_EQ(StatusOf(Ask("GET /api/nowhere")), 404);
  EXPECT_EQ(StatusOf(Ask("DELETE /api/cases")), 405);
  EXPECT_EQ(StatusOf(Ask("POST /api/address")), 405);  // only through the socket
}

TEST_F(Running, BeatsAndResumesItsEvents) {
  LetIn();
  const std::string case_id = NewCase();
  const std::string path = "/api/cases/" + case_id + "/entries";
  for (int i = 0; i < 3; ++i) Post(path, "{\"entries\":[" + Note(NewId(), std::to_string(i)) + "]}");
  Wire resumed(engine_->port());
  resumed.Send("GET /api/events?case=" + case_id + " HTTP/1.1\r\nHost: " + host_ + "\r\n" + cookie_ +
               "Last-Event-ID: " + case_id + ".2\r\n\r\n");
  const std::string missed = resumed.Receive("event: beat", 5s);
  EXPECT_EQ(missed.find("id: " + case_id + ".2\n"), std::string::npos);
  EXPECT_NE(missed.find("id: " + case_id + ".3\n"), std::string::npos);
  EXPECT_NE(missed.find("id: " + case_id + ".4\n"), std::string::npos);
  EXPECT_NE(missed.find("event: beat\ndata: {\"now\":\""), std::string::npos);
  Post(path, "{\"entries\":[" + Note(NewId(), "later") + "]}");
  EXPECT_NE(resumed.Receive("id: " + case_id + ".5\n", 5s).find("event: case"), std::string::npos);
}

TEST_F(Running, TellsAFollowerOnlyOfItsCases) {
  LetIn();
  const std::string followed = NewCase();
  const std::string other = NewCase();
  Wire wire(engine_->port());
  wire.Send("GET /api/events?case=" + followed + " HTTP/1.1\r\nHost: " + host_ + "\r\n" + cookie_ + "\r\n");
  wire.Receive("id: " + followed + ".1\n", 5s);
  Post("/api/cases/" + other + "/entries", "{\"entries\":[" + Note(NewId(), "x") + "]}");
  Post("/api/cases/" + followed + "/entries", "{\"entries\":[" + Note(NewId(), "y") + "]}");
  const std::string told = wire.Receive("id: " + followed + ".2\n", 5s);
  EXPECT_NE(told.find(followed), std::string::npos);
  EXPECT_EQ(told.find(other), std::string::npos);
}

TEST_F(Running, KeepsTheLabsKnowledgeInAJournalOfItsOwn) {
  LetIn();
  const auto text = [](const std::string& id, const std::string& version) {
    return R"({"entries":[{"v":1,"id":")" + id + R"(","at":"2026-11-25T09:00:00.000Z","written":"2026-11-25T09:00:00.000Z",)" +
           R"("by":"AB","device":"page","kind":"knowledge","data":{"name":"shelf","owner":"head nurse","version":")" + version +
           R"(","text":{"wires": [ 1.50 ]}}}]})";
  };
  EXPECT_NE(BodyOf(Ask("GET /api/lab")).find("\"knowledge\":[]"), std::string::npos);
  Wire wire(engine_->port());
  wire.Send("GET /api/events?case=lab HTTP/1.1\r\nHost: " + host_ + "\r\n" + cookie_ + "\r\n");
  wire.Receive("\n\n", 5s);
  EXPECT_EQ(StatusOf(Post("/api/lab/entries", text(NewId(), "1"))), 200);
  EXPECT_EQ(StatusOf(Post("/api/lab/entries", text(NewId(), "2"))), 200);
  const std::string lab = BodyOf(Ask("GET /api/lab?name=shelf"));
  EXPECT_NE(lab.find(R"("name":"shelf","owner":"head nurse","version":"2")"), std::string::npos) << lab;
  EXPECT_NE(lab.find(R"("text":{"wires": [ 1.50 ]})"), std::string::npos) << lab;
  EXPECT_NE(BodyOf(Ask("GET /api/lab?known=2020-01-01T00:00:00Z")).find("\"knowledge\":[]"), std::string::npos);
  EXPECT_NE(wire.Receive("id: lab.2\n", 5s).find("event: case"), std::string::npos);
  // Neither chain takes what belongs to the other.
  EXPECT_EQ(StatusOf(Post("/api/cases/" + NewCase() + "/entries", text(NewId(), "3"))), 400);
  EXPECT_EQ(StatusOf(Post("/api/cases/lab/entries", text(NewId(), "3"))), 404);
  const std::string fact = R"({"entries":[{"v":1,"id":")" + NewId() + R"(","at":"2026-11-25T09:00:00Z","written":"2026-11-25T09:00:00Z",)" +
                           R"("by":"AB","device":"page","kind":"fact","data":{"fact":"age_years","value":60,"mark":"stated"}}]})";
  EXPECT_EQ(StatusOf(Post("/api/lab/entries", fact)), 400);
}

TEST_F(Running, GivesItsFolderToNoSecondOwner) {
  EngineSettings settings;
  settings.folder = folder_ / "data";
  settings.port = 0;
  auto second = OpenEngine(settings, log_);
  ASSERT_FALSE(second.ok());
  EXPECT_EQ(second.error().fault, Fault::kOutside);
  EXPECT_NE(Sentence(second.error()).find(std::to_string(::getpid())), std::string::npos) << Sentence(second.error());
  EXPECT_EQ(BodyOf(Ask("GET /healthz")), "ok");
}

TEST_F(Running, TakesCommandsThroughItsSocket) {
  const auto status = std::filesystem::status(SocketOf(folder_ / "data"));
  EXPECT_EQ(status.type(), std::filesystem::file_type::socket);
  EXPECT_EQ(status.permissions(), std::filesystem::perms::owner_read | std::filesystem::perms::owner_write);
  const auto client = Connect(folder_ / "data");
  ASSERT_NE(client, nullptr);
  auto made = client->Post("/api/cases", R"({"title":"by socket"})");
  ASSERT_TRUE(made.ok());
  EXPECT_EQ(made->status, 200);
  auto address = client->Post("/api/address", "");
  ASSERT_TRUE(address.ok());
  EXPECT_NE(address->body.find("?start="), std::string::npos);
}

}  // namespace
}  // namespace fairlead
