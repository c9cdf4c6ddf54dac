// SPDX-License-Identifier: Apache-2.0
#include "front/cli/command.h"

#include <exception>
#include <string_view>

#include "front/cli/carry.h"
#include "front/cli/commands.h"
#include "front/cli/terminal.h"
#include "imaging/child/decode.h"

namespace fairlead {
namespace {

struct Command {
  std::string_view name;
  int (*run)(const Arguments&);
};

// One a line: rooms add theirs.
constexpr Command kCommands[] = {
    {"demo", Demo},
    {"serve", Serve},
    {"address", PrintAddress},
    {"people add", AddPeople},
    {"people reset", ResetPeople},
    {"people remove", RemovePeople},
    {"people list", ListPeople},
    {"certificate", MakeCertificates},
    {"case new", OpenNewCase},
    {"case list", ListCases},
    {"case show", ShowCase},
    {"case export", ExportCase},
    {"case deidentify", ExportDeidentified},
    {"case import", ImportCase},
    {"case facts", TakeCaseFacts},
    {"log", WriteLog},
    {"journal", ListJournal},
    {"verify", VerifyJournal},
    {"assess", AssessCase},
    {"facts", ListFacts},
    {"score", ScoreFacts},
    {"ladder", ShowLadder},
    {"report", WriteReport},
    {"lesson", WriteLesson},
    {"exchange", WriteExchange},
    {"audit", AuditPractice},
    {"audit like", ShowLikeCases},
    {"egfr", ShowEgfr},
    {"contrast", ShowContrast},
    {"heparin", ShowHeparin},
    {"xa show", ShowRun},
    {"xa trace", TraceRun},
    {"xa pair", MeasureTwoRuns},
    {"image import", ImportImages},
    {"phantom xa", MakePhantom},
    {"ivus", ShowIvus},
    {"phantom ivus", MakePullback},
    {"kit fit", AskFit},
    {"kit import", PreviewImport},
    {"kit label", ReadLabel},
    {"kit reach", AskReach},
    {"kit shelf", SearchShelf},
    {"kit support", ShowSupport},
    {"kit tray", LayTray},
    {"kit wires", ListWires},
    {"views project", ProjectPoints},
    {"views short", ShowShortening},
    {"views", ShowWorkingViews},
    {"skin", ShowSkin},
    {"phantom rdsr", MakeDosePhantom},
    {"registry backup", BackUpKept},
    {"registry export", ExportRegistry},
    {"registry rebuild", RebuildKept},
    {"registry import", ImportKept},
    {"registry restore", RestoreKept},
    {"registry send", SendKept},
    {"registry shared", ShowShared},
    {"registry show", ShowRegistry},
    {"lab show", ShowLab},
    {"lab set", SetLab},
    {"lab withdraw", WithdrawLab},
};

}  // namespace

int RunCommandLine(int argc, char** argv) {
  if (argc > 1 && std::string_view(argv[1]) == "_decode") return DecodeMain();
  try {
    const Parsed parsed = ParseCommandLine(argc, argv);
    if (parsed.ends) return *parsed.ends;
    for (const Command& command : kCommands) {
      if (command.name == parsed.arguments.command) return command.run(parsed.arguments);
    }
  } catch (const std::exception& failure) {  // out of memory, a file system that fails in the middle
    return Fail(Error{failure.what(), "", "try again, and report it if it stays", Fault::kOutside});
  }
  return 2;
}

}  // namespace fairlead
