// SPDX-License-Identifier: Apache-2.0
// Every path of docs/wire.md: who may ask, how much may be sent, and what answers.
#pragma once

#include <functional>
#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "front/server/events.h"
#include "front/server/guard.h"
#include "front/server/http.h"
#include "front/server/log.h"
#include "front/server/page.h"
#include "front/server/practice.h"

namespace fairlead {

// What the paths work on; all of it outlives the server.
struct App {
  Practice& practice;
  Guard& guard;
  Events& events;
  const Page& page;
  Log& log;
  std::string version;
  std::function<std::string()> address;  // a new one-use address
  std::uint64_t largest_file = std::uint64_t{2} << 30;
};

// A request that was let in, with the pieces of the path that stand for {…}.
struct Asked {
  Request request;
  std::vector<std::string> given;
};

struct Route {
  enum class Body { kNone, kJson, kFile };
  std::string_view method;
  std::string_view path;                             // "/api/cases/{id}/entries"
  Body body = Body::kNone;
  bool open = false;                                 // needs no cookie
  bool local = false;                                // only through the socket
  Response (*answer)(App& app, Asked& asked) = nullptr;
  void (*stream)(App& app, Asked& asked, const std::shared_ptr<Reply>& reply) = nullptr;  // instead of `answer`
};

std::span<const Route> CaseRoutes();
std::span<const Route> ImageRoutes();
std::span<const Route> LabRoutes();
std::span<const Route> PracticeRoutes();   // audit of past cases
std::span<const Route> LadderRoutes();     // which way, and when to change
std::span<const Route> SpacesRoutes();     // two wires that will not meet
std::span<const Route> RunRoutes();        // the log bar and the run
std::span<const Route> ReferenceRoutes();  // what is the same for every case, and the address

// {"entries": [Entry]} of a case's or of the lab's journal, written; the receipts as JSON.
Response AppendEntries(App& app, const std::string& case_id, const std::string& body);

// JSON Schema of the answers, and 16 digits that tell it from an older or newer one.
std::string AnswersSchema();
std::string SchemaHash();

// Takes the file of POST /api/images.
std::unique_ptr<BodySink> TakeUpload(App& app, const RequestHead& head, Response& refusal);

Service MakeService(App& app);

// Headers of every answer: nothing from elsewhere is loaded, nobody frames the page, and the page is isolated from
// other sites' so that it may share memory with its workers.
NamedText SecurityHeaders();

}  // namespace fairlead
