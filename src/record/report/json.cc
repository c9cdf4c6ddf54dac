// SPDX-License-Identifier: Apache-2.0
#include <nlohmann/json.hpp>

#include "record/report/html_text.h"

namespace fairlead {
namespace {
using nlohmann::ordered_json;

std::string_view HowWord(ReportFill::How how) {
  switch (how) {
    case ReportFill::How::kFact: return "fact";
    case ReportFill::How::kLog: return "log";
    case ReportFill::How::kText: return "text";
    case ReportFill::How::kHand: return "hand";
  }
  return "";
}

ordered_json LineTree(const ReportLine& line) {
  ordered_json tree = {{"label", line.label}, {"value", line.value}, {"gap", nullptr}, {"because", line.because}, {"source", line.source}};
  if (line.gap) tree["gap"] = {{"how", HowWord(line.gap->how)}, {"what", line.gap->what}};
  return tree;
}

ordered_json SectionTree(const ReportSection& section) {
  ordered_json tree = {{"id", section.id}, {"title", section.title}, {"lines", ordered_json::array()}, {"tables", ordered_json::array()}, {"words", ordered_json::array()}};
  for (const ReportLine& line : section.lines) tree["lines"].push_back(LineTree(line));
  for (const ReportTable& table : section.tables)
    tree["tables"].push_back({{"title", table.title}, {"columns", table.columns}, {"rows", table.rows}, {"remarks", table.remarks}});
  for (const ReportWords& words : section.words)
    tree["words"].push_back({{"text", words.text}, {"by", words.by}, {"at", ToIso(words.at)}, {"entry", words.entry}});
  return tree;
}

}  // namespace

std::string ReportJson(const Report& report) {
  ordered_json tree = {{"case", report.case_id}, {"title", report.title}, {"invented", report.invented}, {"visit", report.visit}, {"seq", report.seq},
                       {"hash", report.hash}, {"zone_min", report.zone_min}, {"not_understood", report.not_understood}, {"gaps", GapCount(report)},
                       {"sections", ordered_json::array()}, {"seals", ordered_json::array()}, {"changes", ChangesSince(report)}, {"standing", kReportStanding}};
  for (const ReportSection& section : report.sections) tree["sections"].push_back(SectionTree(section));
  tree["pictures"] = ordered_json::array();
  for (const KeyPicture& picture : report.pictures)
    tree["pictures"].push_back({{"entry", picture.entry}, {"title", picture.title}, {"caption", picture.caption}, {"marks", picture.marks}, {"wide", picture.wide}, {"missing", picture.missing}});
  for (const ReportSeal& seal : report.seals)
    tree["seals"].push_back({{"version", seal.version}, {"by", seal.by}, {"at", ToIso(seal.at)}, {"up_to", seal.up_to}, {"gaps", seal.gaps},
                             {"report_sha256", seal.report_sha256}, {"assessment_sha256", seal.assessment_sha256}, {"program", seal.program}, {"entry", seal.entry}});
  return tree.dump(-1, ' ', false, ordered_json::error_handler_t::replace);
}

}  // namespace fairlead
