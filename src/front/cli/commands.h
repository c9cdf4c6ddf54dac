// SPDX-License-Identifier: Apache-2.0
// The commands, each giving the program's exit status.
#pragma once

#include "front/cli/command.h"
#include "reasoning/spaces/matrix.h"

namespace fairlead {

int Serve(const Arguments& given);
int Demo(const Arguments& given);
int PrintAddress(const Arguments& arguments);
int AddPeople(const Arguments& arguments);
int ResetPeople(const Arguments& arguments);
int RemovePeople(const Arguments& arguments);
int ListPeople(const Arguments& arguments);
int MakeCertificates(const Arguments& arguments);

int OpenNewCase(const Arguments& arguments);
int ListCases(const Arguments& arguments);
int ShowCase(const Arguments& arguments);
int WriteLog(const Arguments& arguments);
int ListJournal(const Arguments& arguments);
int VerifyJournal(const Arguments& arguments);

int ShowLab(const Arguments& arguments);
int SetLab(const Arguments& arguments);
int WithdrawLab(const Arguments& arguments);

int AssessCase(const Arguments& arguments);
int ListFacts(const Arguments& arguments);
int ScoreFacts(const Arguments& arguments);
int ShowLadder(const Arguments& arguments);
int LearnLadder(const Arguments& arguments);  // ladder learn

int WriteReport(const Arguments& arguments);
int WriteLesson(const Arguments& arguments);
int WriteExchange(const Arguments& arguments);
int AuditPractice(const Arguments& arguments);
int ShowLikeCases(const Arguments& arguments);
int ShowRegistry(const Arguments& arguments);
int ExportRegistry(const Arguments& arguments);
int RebuildKept(const Arguments& arguments);
int SendKept(const Arguments& arguments);
int ShowShared(const Arguments& arguments);
int BackUpKept(const Arguments& arguments);
int ImportKept(const Arguments& arguments);
int RestoreKept(const Arguments& arguments);
int ShowEgfr(const Arguments& arguments);
int ShowContrast(const Arguments& arguments);
int ShowHeparin(const Arguments& arguments);

int ShowRun(const Arguments& arguments);
int TraceRun(const Arguments& arguments);
int MeasureTwoRuns(const Arguments& arguments);
int ImportImages(const Arguments& given);
int MakePhantom(const Arguments& arguments);

int ShowIvus(const Arguments& arguments);    // a pullback, or typed values
int ShowSpaces(const Arguments& arguments);  // its part without a file
void PrintJoining(const JoiningAnswer& answer);
int MakePullback(const Arguments& arguments);

int ProjectPoints(const Arguments& arguments);
int ShowShortening(const Arguments& arguments);
int ShowWorkingViews(const Arguments& arguments);
int ShowSkin(const Arguments& arguments);
int MakeDosePhantom(const Arguments& arguments);

int AskFit(const Arguments& arguments);
int PreviewImport(const Arguments& arguments);
int ReadLabel(const Arguments& arguments);
int AskReach(const Arguments& arguments);
int ListWires(const Arguments& arguments);
int ShowSupport(const Arguments& arguments);
int LayTray(const Arguments& arguments);
int SearchShelf(const Arguments& arguments);

}  // namespace fairlead
