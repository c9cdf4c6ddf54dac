// SPDX-License-Identifier: Apache-2.0
// xa pair: two runs and the points that were marked in them.
#include <fcntl.h>
#include <fmt/core.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <optional>

#include "front/cli/commands.h"
#include "front/cli/terminal.h"
#include "front/server/pair_body.h"
#include "imaging/child/decode.h"

namespace fairlead {
namespace {

Result<Run> ReadRunFile(const std::string& path, const std::stop_token& stop) {
  const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (file < 0)
    return Error{std::string("the file cannot be opened: ") + std::strerror(errno), path, "check its name and rights"};
  const Descriptor owned(file);
  auto decoded = DecodeInChild(file, Descriptor(), {}, stop, {});
  if (!decoded.ok()) return Within(path, decoded.error());
  return std::move(decoded->run);
}

std::string Told(double value, double sd, const char* unit) {
  return fmt::format("{:.1f} ± {:.1f} {}", value, sd, unit);
}
std::string Told(const Reading<Length>& length) {
  return Told(length.value.millimetres(), length.sd->millimetres(), "mm");
}
std::string InTen(double odds) {
  return fmt::format("{:.0f} in 10", 10.0 * odds);
}

void PrintCourse(const CourseInSpace& course, std::vector<std::vector<std::string>>& rows) {
  const CourseNumbers& n = course.numbers;
  rows.push_back({course.name + ": length", Told(n.length) + fmt::format(", chord {}", Told(n.chord))});
  rows.push_back({"", fmt::format("largest bend {} at {:.1f} mm, above 45 deg: {}",
                                  Told(n.bend.value.degrees(), n.bend.sd->degrees(), "deg"), n.bend_at.millimetres(),
                                  InTen(n.over_45))});
  rows.push_back({"", fmt::format("length over chord {:.2f} ± {:.2f}, all turns together {}", n.winding, n.winding_sd,
                                  Told(n.turning.degrees(), n.turning_sd.degrees(), "deg"))});
  for (const Turn& turn : n.turns)
    rows.push_back({"", fmt::format("turn of {} at {:.1f} mm", Told(turn.turn.degrees(), turn.sd.degrees(), "deg"),
                                    turn.at.millimetres())});
}

void PrintFound(const PairFound& found) {
  std::vector<std::vector<std::string>> rows;
  if (found.in_space) {
    rows.push_back({"views apart", fmt::format("{:.0f} deg", found.between.degrees())});
    rows.push_back({"points against fit", fmt::format("{:.1f} px rms with the geometry as stated, {:.1f} px as fitted",
                                                      found.stated_rms_px, found.fitted_rms_px)});
  }
  if (found.occlusion) {
    rows.push_back({"occlusion", (found.occlusion->at_least ? "at least " : "") + Told(found.occlusion->length) +
                                     fmt::format(", 20 mm or more: {}", InTen(found.occlusion->over_20_mm))});
    for (const auto& part : found.occlusion->length.parts)
      rows.push_back({"", fmt::format("± {:.2f} mm {}", part.sd.millimetres(), part.name)});
    rows.push_back({"method", found.occlusion->method_text});
    if (found.occlusion->course) PrintCourse(*found.occlusion->course, rows);
  }
  for (const CourseInSpace& course : found.courses) PrintCourse(course, rows);
  Print(Table(rows));
  for (const auto& warning : found.warnings) Print("warning: " + warning);
  if (found.occlusion && found.occlusion->course)
    for (const auto& warning : found.occlusion->course->warnings) Print("note: " + warning);
  for (const CourseInSpace& course : found.courses)
    for (const auto& warning : course.warnings) Print("note: " + course.name + ": " + warning);
}

}  // namespace

int MeasureTwoRuns(const Arguments& arguments) {
  if (arguments.files.size() != 3)
    return Fail(
        Error{"two runs and a file of points are needed", "", "fairlead xa pair A B POINTS.json", Fault::kUsage});
  auto text = ReadText(arguments.files[2].string());
  if (!text.ok()) return Fail(text.error());
  const std::string where = arguments.files[2].string();
  auto body = ParsePairPoints(*text, "run");
  if (!body.ok()) return Fail(Within(where, body.error()));
  const auto interrupt = TakeInterrupts();
  std::array<std::optional<Run>, 2> runs;
  for (std::size_t i = 0; i < 2; ++i) {
    auto run = ReadRunFile(arguments.files[i].string(), interrupt->token());
    if (!run.ok()) return Fail(run.error());
    runs[i] = std::move(*run);
  }
  auto seen = SeenWithRuns(std::move(*body), [&runs](const std::string& name) -> Result<const Run*> {
    if (name == "A" || name == "B") return &*runs[name == "A" ? 0 : 1];
    return Error{"there is no run \"" + name.substr(0, 40) + "\"", "run", "name it A or B, in the order of the files"};
  });
  if (!seen.ok()) return Fail(Within(where, seen.error()));
  const auto found = MeasurePair(*seen);
  if (!found.ok()) return Fail(Within(where, found.error()));
  if (arguments.json) {
    Print(PairJson(*found, *seen));
    return 0;
  }
  PrintFound(*found);
  // What is wrong with a file's geometry is wrong with the lengths.
  for (std::size_t i = 0; i < 2; ++i) {
    for (const RunRemark& remark : runs[i]->remarks)
      if (remark.level == RemarkLevel::kWarning) Print(std::string("warning: run ") + (i == 0 ? "A: " : "B: ") + remark.text);
  }
  return 0;
}

}  // namespace fairlead
