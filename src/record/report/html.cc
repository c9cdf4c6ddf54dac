// SPDX-License-Identifier: Apache-2.0
// The report as one page of HTML for a browser and its printer: no script, nothing from elsewhere.
#include <fmt/core.h>

#include <algorithm>
#include <numeric>
#include <set>

#include "record/report/drawing.h"
#include "record/report/html_text.h"
#include "record/report/parts.h"

namespace fairlead {
namespace {

constexpr std::string_view kStyle =
    "@page{size:auto;margin:16mm}body{font:14px/1.45 system-ui,sans-serif;color:#111;background:#fff;max-width:60rem;margin:1.5rem auto;padding:0 1rem}"
    "h1{font-size:1.5rem;margin:0 0 .2rem}h2{font-size:1.05rem;margin:1.4rem 0 .3rem;border-bottom:2px solid #2b3835;padding-bottom:.1rem;break-after:avoid}"
    ".head{color:#444;margin:0}.invented{border:2px solid #8a4a00;color:#8a4a00;font-weight:700;padding:.2rem .5rem;display:inline-block;margin:.5rem 0}"
    "dl{display:grid;grid-template-columns:minmax(9rem,16rem) 1fr;gap:.15rem 1rem;margin:.2rem 0}dt{color:#444}dd{margin:0}"
    ".gap{border:1.5px dashed #a33;padding:0 .35rem;color:#8a1f1f}.gap::before{content:'\\25A2\\00A0'}"
    "table{border-collapse:collapse;width:100%;margin:.4rem 0;font-variant-numeric:tabular-nums}th,td{border:1px solid #bbb;padding:.2rem .4rem;text-align:left;vertical-align:top}"
    "th{background:#eef2ee}caption{text-align:left;font-weight:600;padding:.2rem 0}.small{color:#444;font-size:.85em;margin:.2rem 0}"
    ".words{border-left:4px solid #58b6a6;padding:.1rem .7rem;margin:.4rem 0;white-space:pre-wrap}tr,dl{break-inside:avoid}"
    ".pictures{display:grid;grid-template-columns:repeat(auto-fit,minmax(18rem,1fr));gap:1rem}figure{margin:0;break-inside:avoid}figure.wide{grid-column:1/-1}figure svg{display:block;width:100%;height:auto}figcaption{margin-top:.3rem}"
    "footer{margin-top:2rem;border-top:1px solid #bbb;color:#444;font-size:.85em}.mono{font-family:ui-monospace,monospace;overflow-wrap:anywhere}";

void AddTable(std::string& html, const ReportTable& table) {
  html += "<table>";
  if (!table.title.empty()) html += "<caption>" + HtmlText(table.title) + "</caption>";
  html += "<thead><tr>";
  for (const std::string& column : table.columns) html += "<th scope=\"col\">" + HtmlText(column) + "</th>";
  html += "</tr></thead><tbody>";
  for (const auto& row : table.rows) {
    html += "<tr>";
    for (const std::string& cell : row) html += "<td>" + HtmlText(cell) + "</td>";
    html += "</tr>";
  }
  html += "</tbody></table>";
  for (const std::string& remark : table.remarks) html += "<p class=\"small\">" + HtmlText(remark) + "</p>";
}

void AddSection(std::string& html, const ReportSection& section, Duration zone) {
  html += "<section id=\"" + HtmlText(section.id) + "\"><h2>" + HtmlText(section.title) + "</h2>";
  if (!section.lines.empty()) {
    html += "<dl>";
    for (const ReportLine& line : section.lines) {
      const std::string value = HtmlText(line.value);
      html += "<dt>" + HtmlText(line.label) + "</dt><dd>" + (line.gap ? "<span class=\"gap\">" + value + "</span>" : value) + "</dd>";
    }
    html += "</dl>";
  }
  for (const ReportTable& table : section.tables) AddTable(html, table);
  for (const ReportWords& words : section.words)
    html += "<p class=\"words\">" + HtmlText(words.text) + "<br><span class=\"small\">" + HtmlText(words.by + ", " + DayOf(words.at, zone)) + "</span></p>";
  html += "</section>";
}

void AddPictures(std::string& html, const Report& report) {
  if (report.pictures.empty()) return;
  html += "<section id=\"pictures\"><h2>Key pictures</h2><div class=\"pictures\">";
  for (std::size_t i = 0; i < report.pictures.size(); ++i) {
    const KeyPicture& picture = report.pictures[i];
    const std::string svg = PictureSvg(picture);
    html += std::string("<figure") + (picture.wide ? " class=\"wide\">" : ">") + (svg.empty() ? "<p><span class=\"gap\">" + HtmlText(MissingText(picture)) + "</span></p>" : svg);
    html += "<figcaption><strong>" + std::to_string(i + 1) + " · " + HtmlText(picture.title) + "</strong>";
    if (!picture.caption.empty()) html += "<br>" + HtmlText(picture.caption);
    for (const auto* lines : {&picture.marks, &picture.seen})
      for (const std::string& mark : *lines) html += "<br><span class=\"small\">" + HtmlText(mark) + "</span>";
    html += "</figcaption></figure>";
  }
  html += "</div></section>";
}

void AddSeals(std::string& html, const Report& report) {
  html += "<section id=\"signatures\"><h2>Signatures</h2>";
  if (report.seals.empty()) html += "<p><span class=\"gap\">not signed</span></p>";
  for (const ReportSeal& seal : report.seals)
    html += "<p>" + HtmlText(SealLine(report, seal)) + "<br><span class=\"mono small\">SHA-256 " + HtmlText(seal.report_sha256) + "</span></p>";
  for (const std::string& line : ChangesSince(report)) html += "<p class=\"small\">" + HtmlText(line) + "</p>";
  html += "</section>";
}

void AddSources(std::string& html, const Report& report) {
  const auto sources = SourcesOf(report);
  if (sources.empty()) return;
  html += "<section id=\"sources\"><h2>Sources</h2><ul>";
  for (const std::string& source : sources) html += "<li>" + HtmlText(source) + "</li>";
  html += "</ul></section>";
}

}  // namespace

std::string HtmlText(std::string_view text) {
  std::string safe;
  for (const char c : text) {
    if (c == '&') safe += "&amp;";
    else if (c == '<') safe += "&lt;";
    else if (c == '>') safe += "&gt;";
    else if (c == '"') safe += "&quot;";
    else if (c == '\'') safe += "&#39;";
    else if (static_cast<unsigned char>(c) >= 0x20 || c == '\n' || c == '\t') safe += c;
  }
  return safe;
}

std::string MissingText(const KeyPicture& picture) { return picture.missing.empty() ? "the picture was not fetched" : picture.missing; }

std::string HeadLine(const Report& report) {
  return fmt::format("Visit {} · case {} · {} items not recorded", report.visit, report.case_id, GapCount(report));
}

std::string JournalLine(const Report& report) {
  return fmt::format("From the journal up to entry {}, recorded {}, chain {}.", report.seq, ToIso(report.as_of).substr(0, 16) + "Z", report.hash.substr(0, 32));
}

std::string SealLine(const Report& report, const ReportSeal& seal) {
  const Duration zone = Duration::Minutes(report.zone_min);
  std::string line = fmt::format("Version {} signed by {} on {}, up to entry {}, {} items not recorded then", seal.version, seal.by, ToIso(seal.at + zone).substr(0, 16), seal.up_to, seal.gaps);
  line[line.find('T', line.find(" on "))] = ' ';
  return line;
}

std::vector<std::string> ChangesSince(const Report& report) {
  if (report.seals.empty()) return {};
  const ReportSeal& last = report.seals.back();
  if (last.words.empty()) return {"The signed words were too many for the journal: only their hash is kept."};
  if (report.zone_min != last.zone_min) return {"Signed with times of another zone: ask for that zone to compare the words."};
  const auto differences = WordDifferences(last.words, ReportWordsOf(report));
  if (differences.empty()) return {"Nothing has changed since the last signature."};
  std::vector<std::string> lines = {fmt::format("Changed since version {} was signed (- then, + now):", last.version)};
  lines.insert(lines.end(), differences.begin(), differences.end());
  return lines;
}

std::vector<std::string> SourcesOf(const Report& report) {
  std::set<std::string> cited;
  for (const ReportSection& section : report.sections)
    for (const ReportLine& line : section.lines)
      if (!line.source.empty() && line.source != "practice") cited.insert(CitationOf(line.source));
  cited.erase("");
  return {cited.begin(), cited.end()};
}

std::string ReportHtml(const Report& report) {
  std::string html = "<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\"><title>" +
                     HtmlText(report.title) + "</title><style>" + std::string(kStyle) + "</style></head><body><main><h1>Report: " + HtmlText(report.title) + "</h1>";
  html += "<p class=\"head\">" + HtmlText(HeadLine(report)) + "</p>";
  if (report.invented) html += "<p class=\"invented\">INVENTED: nobody lived this case</p>";
  for (const ReportSection& section : report.sections) AddSection(html, section, Duration::Minutes(report.zone_min));
  AddPictures(html, report);
  AddSeals(html, report);
  AddSources(html, report);
  html += "</main><footer><p>" + HtmlText(kReportStanding) + "</p><p class=\"mono\">" + HtmlText(JournalLine(report)) + "</p></footer></body></html>\n";
  return html;
}

}  // namespace fairlead
