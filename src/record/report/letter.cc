// SPDX-License-Identifier: Apache-2.0
#include "record/report/letter.h"

#include <fmt/core.h>

#include <algorithm>

#include "casebook/derive.h"
#include "reasoning/dose/followup.h"
#include "record/report/findings.h"
#include "record/report/html_text.h"

namespace fairlead {
namespace {

std::string VesselWords(const ReportMatter& matter) {
  const auto* grade = std::get_if<GradeOdds>(&BeliefOf(matter.facts, {"occluded_vessel", ""}));
  if (grade == nullptr || grade->odds.size() != 1) return "one of the arteries of your heart";
  const std::string& vessel = grade->odds.front().first;
  if (vessel == "RCA") return "the right artery of your heart";
  if (vessel == "LAD") return "the artery at the front of your heart";
  if (vessel == "LCX") return "the artery at the side of your heart";
  return vessel == "LM" ? "the main left artery of your heart" : "a bypass of your heart";
}

std::string OutcomeWords(const ReportMatter& matter) {
  const RunState& run = matter.run;
  const std::string_view outcome = run.result ? WordOf(run.result->value, RunField::kOutcome) : std::string_view();
  if (outcome == "success") {
    const std::size_t stents = run.stents.size();
    return "The blockage was passed and the artery was opened" + (stents == 0 ? std::string(".") : fmt::format("; {} small metal {} {} placed to keep it open.", stents, stents == 1 ? "tube (stent)" : "tubes (stents)", stents == 1 ? "was" : "were"));
  }
  if (outcome == "partial") return "The artery was opened in part.";
  if (outcome == "prepared") return "The blockage was treated so that it can be passed more easily another day. It is not open yet; this was stopped on purpose.";
  if (outcome == "failed") return "The blockage could not be passed this time. Your doctor will talk with you about what comes next.";
  return "How it ended: " + std::string(kToFill);
}

std::string TroubleWords(const ReportMatter& matter) {
  const RunState& run = matter.run;
  if (run.troubles.empty()) {
    const bool asked = run.ticks.contains({"close", "complications"});
    return asked ? "No complication was seen during the procedure." : "Complications: " + std::string(kToFill);
  }
  std::vector<std::string> parts;
  for (const Trouble& trouble : run.troubles) {
    std::string text = "Something that is called a complication happened: " + (trouble.kind.empty() ? std::string(kToFill) : trouble.kind);
    if (trouble.kind == "perforation") text = "A leak from a vessel of the heart was seen";
    if (trouble.kind == "tamponade") text = "Blood collected around the heart";
    if (trouble.kind == "donor") text = "An artery that helps the blocked one was hurt";
    if (trouble.kind == "hypotension") text = "Your blood pressure was low for a while";
    if (trouble.kind == "bleed") text = "There was bleeding where the tubes went in";
    parts.push_back(text + (trouble.over ? "; it was over before you left the room." : "; ask your doctor how it was solved."));
  }
  return ListText(parts, " ");
}

std::string Day(const ReportMatter& matter, double days) {
  const RunSession* session = PresentSession(matter.run);
  const Instant end = session == nullptr ? matter.run.last_at : session->end.value_or(matter.run.last_at);
  return DayOf(end + Duration::Minutes(days * 1440.0), matter.zone);
}

std::string DueOf(const ReportMatter& matter, std::string_view kind) {
  for (const auto& follow : matter.run.follow_ups)
    if (WordOf(follow.value, RunField::kKind) == kind && WordOf(follow.value, RunField::kState) == "due")
      return Day(matter, NumberOf(follow.value, RunField::kDays).value_or(0.0));
  return std::string(kToFill);
}

bool MuchRadiation(const ReportMatter& matter) {
  const auto last = [](const Console& console) { return console.sums.empty() ? std::nullopt : std::optional(console.sums.back().value); };
  return !LevelsReached({last(matter.run.air_kerma), last(matter.run.kerma_area), last(matter.run.fluoro), std::nullopt}).empty();
}

std::vector<LetterPart> ForPatient(const ReportMatter& matter, const std::string& day) {
  std::vector<LetterPart> parts;
  parts.push_back({"What was done", {"On " + day + " we worked on a blockage in " + VesselWords(matter) + ". It had been closed for a long time. " + OutcomeWords(matter), TroubleWords(matter)}});
  std::vector<std::string> next;
  if (!matter.run.contrast.empty()) next.push_back("Dye: a blood test shows how your kidneys took it. Date of the test: " + DueOf(matter, "creatinine") + ".");
  if (MuchRadiation(matter))
    next.push_back(fmt::format("X-rays: this took longer or needed more X-rays than usual. Between {} and {} ask somebody to look at the skin of your back. If you see a red "
                               "or sore place, do not scratch or rub it, call us, and tell any doctor who looks at it about these X-rays.", Day(matter, 14.0), Day(matter, 28.0)));
  next.push_back("Visit: " + DueOf(matter, "visit") + ".");
  const auto drugs = matter.run.ticks.find({"close", "drugs"});
  const bool said = drugs != matter.run.ticks.end() && !drugs->second.value.why.empty();
  next.push_back("Your tablets: " + (said ? drugs->second.value.why : std::string(kToFill)) + ". Do not stop tablets against clotting without asking us.");
  parts.push_back({"What comes next", std::move(next)});
  // practice, no source: the usual warnings
  parts.push_back({"Call the emergency number at once", {"for pain in the chest, shortness of breath, fainting, weakness of an arm or leg, trouble speaking, or bleeding that does not stop where the tubes went in."}});
  return parts;
}

std::vector<LetterPart> ForDoctor(const ReportMatter& matter) {
  const RunState& run = matter.run;
  std::vector<std::string> lines, tried, stents;
  for (const RunAttempt& attempt : run.attempts) tried.push_back(StrategyText(attempt.strategy) + (attempt.ended == AttemptEnd::kCrossed ? ": crossed" : attempt.reason.empty() ? "" : ": " + ReasonText(attempt.reason)));
  lines.push_back("Strategies: " + (tried.empty() ? std::string(kToFill) : ListText(tried, "; ")) + ".");
  for (const auto& stent : run.stents) stents.push_back(SizeText(stent.value));
  if (!stents.empty()) lines.push_back("Stents: " + ListText(stents, "; ") + ".");
  const ResultFindings found = FindingsOf(matter);
  lines.push_back("Result: residual stenosis " + (found.residual_pct ? Plain(*found.residual_pct) + " %" : std::string(kToFill)) + ", TIMI flow " + (found.flow ? std::to_string(*found.flow) : std::string(kToFill)) + ".");
  const std::string kerma = run.air_kerma.sums.empty() ? std::string(kToFill) : Plain(run.air_kerma.sums.back().value) + " Gy";
  lines.push_back("Contrast " + (run.contrast.empty() ? std::string(kToFill) : Plain(run.contrast.back().value) + " mL") + "; air kerma at the reference point " + kerma + ".");
  for (const Trouble& trouble : run.troubles) lines.push_back("Complication: " + ListText({trouble.kind, trouble.grade.empty() ? "" : "class " + trouble.grade, trouble.site, trouble.over ? "over at the end" : "end not recorded"}) + ".");
  if (Died(run)) lines.emplace_back("The patient died: see the report.");
  return {{"For the referring doctor", std::move(lines)}};
}

}  // namespace

Letter MakeLetter(const State& state, const ReportSettings& settings) {
  const ReportMatter matter = MatterOf(state, settings);
  Letter letter;
  letter.title = "About your procedure";
  if (const CaseOpened* opened = CaseInfo(state); opened != nullptr) letter.invented = opened->invented;
  if (!state.entries.empty()) letter.as_of = state.entries.back().recorded;
  const RunSession* session = PresentSession(matter.run);
  letter.day = session == nullptr ? std::string(kToFill) : DayOf(session->start, matter.zone);
  letter.patient = ForPatient(matter, letter.day);
  // No page tells a patient who died what comes next.
  if (Died(matter.run)) letter.title = "About a procedure", letter.patient = {{"No letter to the patient", {"The log says that the patient died. What is said to the family, and by whom, is for the responsible doctor."}}};
  letter.doctor = ForDoctor(matter);
  return letter;
}

std::string LetterHtml(const Letter& letter) {
  std::string html = "<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\"><title>" + HtmlText(letter.title) +
                     "</title><style>@page{margin:18mm}body{font:16px/1.5 system-ui,sans-serif;color:#111;background:#fff;max-width:44rem;margin:2rem auto;padding:0 1rem}"
                     "h2{font-size:1.1rem;margin:1.2rem 0 .2rem}p{margin:.3rem 0}hr{margin:1.5rem 0}footer{color:#444;font-size:.85em}</style></head><body><main><h1>" + HtmlText(letter.title) + "</h1>";
  if (letter.invented) html += "<p><strong>INVENTED: nobody lived this case</strong></p>";
  html += "<p>Name and date of birth: ______________________________</p>";
  const auto add = [&html](const std::vector<LetterPart>& parts) {
    for (const LetterPart& part : parts) {
      html += "<h2>" + HtmlText(part.heading) + "</h2>";
      for (const std::string& paragraph : part.paragraphs) html += "<p>" + HtmlText(paragraph) + "</p>";
    }
  };
  add(letter.patient);
  html += "<hr>";
  add(letter.doctor);
  return html + "<p>Signature: ______________________________</p></main><footer><p>" + HtmlText(kReportStanding) + "</p></footer></body></html>\n";
}

}  // namespace fairlead
