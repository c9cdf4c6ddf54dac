// SPDX-License-Identifier: Apache-2.0
#include "front/server/report_case.h"

#include <algorithm>
#include <cstdint>
#include <span>
#include <utility>

#include "casebook/ulid.h"
#include "front/server/random.h"
#include "front/server/run_parts.h"
#include "keeping/images/digest.h"
#include "reasoning/assess/assess_json.h"

namespace fairlead {
namespace {

std::string DigestOf(std::string_view text) {
  Sha256 digest;
  digest.Add({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()});
  return digest.Finish();
}

}  // namespace

Result<Report> ReportOfCase(const State& state, const Knowledge& lab, int zone_min) {
  auto limits = LimitsOf(lab);
  if (!limits.ok()) return limits.error();
  return MakeReport(state, {*limits, zone_min});
}

Result<Letter> LetterOfCase(const State& state, const Knowledge& lab, int zone_min) {
  auto limits = LimitsOf(lab);
  if (!limits.ok()) return limits.error();
  return MakeLetter(state, {*limits, zone_min});
}

Lesson LessonOfCase(const State& state, LessonWords words, const std::string& key, std::vector<LessonClip> clips) {
  const auto tag = [key](std::string_view word) { return "person-" + DigestOf(key + "\n" + std::string(word)).substr(0, 6); };
  return MakeLesson(state, {std::move(words.mask), tag, std::move(clips), std::move(words.keep)});
}

Result<IncomingEntry> SignatureOf(const State& state, const Knowledge& lab, int zone_min, const Signer& signer) {
  if (signer.by.empty()) return Error{"nobody signs", "by", "give the name or initials of whoever stands for the report"};
  auto report = ReportOfCase(state, lab, zone_min);
  if (!report.ok()) return report.error();
  if (report->not_understood > 0) return Error{"some entries were written by a newer program and are not understood", "the report", "sign with that program"};
  ReportSeal seal;
  seal.words = ReportWordsOf(*report);
  if (!report->seals.empty()) {
    const ReportSeal& last = report->seals.back();
    if (last.words == seal.words) return Error{"nothing has changed since version " + std::to_string(last.version) + " was signed", "the report", "read that version"};
    seal.version = last.version + 1;
  }
  seal.up_to = state.seq, seal.zone_min = zone_min, seal.gaps = static_cast<int>(GapCount(*report));
  seal.report_sha256 = DigestOf(seal.words);
  seal.assessment_sha256 = DigestOf(AssessmentJson(Assess(StandingFacts(state)), state.seq));
  seal.program = signer.program;
  Entry entry;
  entry.id = NewUlid(signer.at, RandomTail());
  entry.at = entry.written = signer.at;
  entry.by = signer.by;
  entry.device = signer.device;
  entry.data = Shown{std::string(kSignedStep), SealText(seal)};
  return MakeIncoming(std::move(entry));
}

}  // namespace fairlead
