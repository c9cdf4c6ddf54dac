// SPDX-License-Identifier: Apache-2.0
// Every path of docs/wire.md: who may ask, how much may be sent, and what answers.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "front/server/attempts.h"
#include "front/server/events.h"
#include "front/server/guard.h"
#include "front/server/held_rows.h"
#include "front/server/http.h"
#include "front/server/log.h"
#include "front/server/page.h"
#include "front/server/practice.h"
#include "front/server/registry_sender.h"
#include "front/server/run_boards.h"
#include "keeping/people/access.h"

namespace fairlead {

class Pullbacks;
std::shared_ptr<Pullbacks> MakePullbacks();  // front/server/pullbacks.h

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
  Attempts& attempts;
  AccessRecord& access;
  RunBoards& boards;
  std::shared_ptr<Pullbacks> pullbacks = MakePullbacks();
  std::shared_ptr<HeldRows> rows = std::make_shared<HeldRows>();
  const RegistrySender* sender = nullptr;  // null: rows are sent nowhere by themselves
};

// A request that was let in, with the pieces of the path that stand for {…}.
struct Asked {
  Request request;
  std::vector<std::string> given;
  bool keeps = true;  // false: by itself this request writes nothing, as a preview does
};

struct Route {
  enum class Body { kNone, kJson, kFile, kTable };  // kTable: text as a spreadsheet saved it, taken whole
  std::string_view method;
  std::string_view path;                             // "/api/cases/{id}/entries"
  Body body = Body::kNone;
  bool open = false;                                 // needs no cookie
  bool local = false;                                // only through the socket
  bool slow = false;                                 // tenths of a second of work: goes to the workers kept for that
  // Who may, where passwords are asked for; not said: a reader may GET, a recorder may do the rest.
  std::optional<Role> needs = std::nullopt;
  Response (*answer)(App& app, Asked& asked) = nullptr;
  void (*stream)(App& app, Asked& asked, const std::shared_ptr<Reply>& reply) = nullptr;  // instead of `answer`
};

std::span<const Route> CaseRoutes();
std::span<const Route> ImageRoutes();
std::span<const Route> KitRoutes();        // devices: fit, reach, shelf, tray
std::span<const Route> LabRoutes();
std::span<const Route> PracticeRoutes();   // audit of past cases
std::span<const Route> LadderRoutes();     // which way, and when to change
std::span<const Route> LearningRoutes();   // what one's own attempts make of the priors
std::span<const Route> SpacesRoutes();     // two wires that will not meet
std::span<const Route> PullbackRoutes();   // ultrasound
std::span<const Route> PairRoutes();       // two views measured together
std::span<const Route> RunRoutes();        // the log bar and the run
std::span<const Route> ReportRoutes();     // the report of a visit
std::span<const Route> PeopleRoutes();
std::span<const Route> GapRoutes();        // an occlusion between two caps in one pose
std::span<const Route> MomentRoutes();     // contrast and motion over the frames of a run
std::span<const Route> TraceRoutes();      // a vessel through clicks
std::span<const Route> ReferenceRoutes();  // what is the same for every case, and the address

// All of them: what FindRoute looks through, and what a test reads who may ask what.
std::vector<std::span<const Route>> AllRoutes();

// {"entries": [Entry]} of a case's or of the lab's journal, written; the receipts as JSON.
Response AppendEntries(App& app, const std::string& case_id, const std::string& body);

// JSON Schema of the answers, and 16 digits that tell it from an older or newer one.
std::string AnswersSchema();
std::string SchemaHash();

// Takes the file of POST /api/images.
std::unique_ptr<BodySink> TakeUpload(App& app, const RequestHead& head, Response& refusal);

// Writes into the access record that somebody looks at this case or image, the first time in a session.
void RecordLook(App& app, const RequestHead& head, std::string_view id);

Service MakeService(App& app);

// Headers of every answer: nothing from elsewhere is loaded, nobody frames the page, and the page is isolated from
// other sites' so that it may share memory with its workers.
NamedText SecurityHeaders(bool secure);

}  // namespace fairlead
