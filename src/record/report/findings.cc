// SPDX-License-Identifier: Apache-2.0
#include "record/report/findings.h"

#include <algorithm>

namespace fairlead {
namespace {

std::optional<double> NumberFact(const ReportMatter& matter, std::string_view name) {
  const auto* number = std::get_if<Number>(&BeliefOf(matter.facts, {std::string(name), ""}));
  return number == nullptr ? std::nullopt : std::optional(number->value);
}

std::optional<std::string> GradeFact(const ReportMatter& matter, std::string_view name) {
  const auto* grade = std::get_if<GradeOdds>(&BeliefOf(matter.facts, {std::string(name), ""}));
  return grade == nullptr || grade->odds.size() != 1 ? std::nullopt : std::optional(grade->odds.front().first);
}

bool Troubled(const RunState& run, std::initializer_list<std::string_view> kinds) {
  return std::ranges::any_of(run.troubles, [&](const Trouble& trouble) { return std::ranges::find(kinds, trouble.kind) != kinds.end(); });
}

std::optional<bool> BranchLost(const ReportMatter& matter) {
  if (!matter.run.branches.empty()) return std::ranges::any_of(matter.run.branches, [](const auto& branch) { return branch.second.value == "lost"; });
  if (const auto grade = GradeFact(matter, "side_branch_result")) return *grade == "lost";
  return std::nullopt;
}

// Somebody went through the question "complications: yes or no" before the room was left.
bool Asked(const RunState& run) {
  const auto tick = run.ticks.find({"close", "complications"});
  return tick != run.ticks.end() && tick->second.value.state == "done";
}

// Days after the visit up to which somebody saw the patient and wrote no event down; events themselves.
struct Course {
  bool seen_free = false;
  bool death = false, infarction = false, repeat = false, stroke = false;
};
Course CourseOfWard(const RunState& run) {
  Course course;
  double seen = -1.0, first_event = 1e9;
  for (const auto& follow : run.follow_ups) {
    const std::string_view outcome = WordOf(follow.value, RunField::kOutcome);
    const double days = NumberOf(follow.value, RunField::kDays).value_or(0.0);
    if (WordOf(follow.value, RunField::kState) == "due") continue;
    course.death |= outcome == "death", course.infarction |= outcome == "mi", course.repeat |= outcome == "repeat", course.stroke |= outcome == "stroke";
    if (outcome == "death" || outcome == "mi" || outcome == "repeat" || outcome == "stroke") first_event = std::min(first_event, days);
    if (outcome == "well" || outcome == "angina") seen = std::max(seen, days);
  }
  course.seen_free = seen >= 1.0 && first_event > seen;
  return course;
}

void AddBlood(ResultFindings& found, const ReportMatter& matter) {
  const RunSession* session = PresentSession(matter.run);
  const Instant began = session == nullptr ? Instant{} : session->access.value_or(session->start);
  const Instant contrast = matter.run.contrast.empty() ? began : matter.run.contrast.front().at;
  found.haemoglobin_before_g_dl = NumberFact(matter, "haemoglobin");
  found.creatinine_before_mg_dl = matter.patient.creatinine_mg_dl;
  const auto most = [](std::optional<double>& held, std::optional<double> value) {
    if (value) held = std::max(held.value_or(*value), *value);
  };
  found.troponin_times_url = NumberFact(matter, "troponin_times_url");
  found.ck_mb_times_uln = NumberFact(matter, "ck_mb_times_uln");
  for (const VisitEvent& lab : EventsOf(matter, Verb::kLab)) {
    const auto haemoglobin = NumberOf(*lab.event, RunField::kHaemoglobin), creatinine = NumberOf(*lab.event, RunField::kCreatinine);
    if (lab.at < began) {
      if (haemoglobin) found.haemoglobin_before_g_dl = haemoglobin;
      continue;
    }
    if (haemoglobin) found.haemoglobin_least_g_dl = std::min(found.haemoglobin_least_g_dl.value_or(*haemoglobin), *haemoglobin);
    if (creatinine && lab.at > contrast) found.creatinine_after.push_back({(lab.at - contrast).minutes() / 60.0, *creatinine});
    most(found.troponin_times_url, NumberOf(*lab.event, RunField::kTroponin));
    most(found.ck_mb_times_uln, NumberOf(*lab.event, RunField::kCkMb));
  }
}

void AddTrouble(ResultFindings& found, const ReportMatter& matter) {
  const RunState& run = matter.run;
  const bool asked = Asked(run);
  const auto unless_asked = [asked](bool happened) { return happened || asked ? std::optional(happened) : std::nullopt; };
  found.tamponade = unless_asked(Troubled(run, {"tamponade"}) || !run.drains.empty());
  const bool seen_blood = Troubled(run, {"bleed", "tamponade"}) || std::ranges::any_of(run.troubles, [](const Trouble& trouble) {
    return trouble.kind == "perforation" && !trouble.grade.empty() && trouble.grade != "I";
  });
  found.overt_bleeding = unless_asked(seen_blood);
  const bool slow = found.flow && *found.flow < 3 && run.crossed_lesion;
  found.angiographic_complication = unless_asked(found.branch_lost.value_or(false) || slow || Troubled(run, {"donor", "thrombus", "target dissection", "dissection"}));
  for (const VisitEvent& st : EventsOf(matter, Verb::kSt)) {
    const bool moved = WordOf(*st.event, RunField::kState) != "normal";
    found.ischaemic_ecg = found.ischaemic_ecg.value_or(false) || moved;
  }
}

}  // namespace

ResultFindings FindingsOf(const ReportMatter& matter) {
  ResultFindings found;
  const RunState& run = matter.run;
  found.residual_pct = run.residual ? std::optional(run.residual->value) : NumberFact(matter, "residual_stenosis_pct");
  if (const auto flow = run.flows.find(""); flow != run.flows.end()) found.flow = static_cast<int>(flow->second.value);
  else if (const auto grade = GradeFact(matter, "timi_final")) found.flow = grade->front() - '0';
  found.branch_lost = BranchLost(matter);
  AddTrouble(found, matter);
  AddBlood(found, matter);
  // An event that is only known from a later visit may have happened after discharge: it stays open.
  const Course course = CourseOfWard(run);
  const auto event = [&](bool known, bool in_lab) { return in_lab ? std::optional(true) : known ? std::nullopt : course.seen_free ? std::optional(false) : std::nullopt; };
  found.death = event(course.death, false);
  found.infarction = event(course.infarction, false);
  found.urgent_repeat = event(course.repeat, false);
  found.stroke = event(course.stroke, Troubled(run, {"stroke"}));
  if (!run.drains.empty()) found.tamponade_treated = true;
  else if (course.seen_free && !found.tamponade.value_or(true)) found.tamponade_treated = false;
  return found;
}

}  // namespace fairlead
