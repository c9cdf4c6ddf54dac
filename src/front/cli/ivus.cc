// SPDX-License-Identifier: Apache-2.0
// ivus: a pullback from a file, or what was seen on one, typed; phantom ivus.
#include <fcntl.h>
#include <fmt/core.h>
#include <sys/mman.h>
#include <unistd.h>

#include <cerrno>
#include <charconv>
#include <cmath>
#include <cstring>
#include <iterator>
#include <tuple>

#include "front/cli/commands.h"
#include "front/cli/terminal.h"
#include "front/server/json_text.h"
#include "front/server/pullback_answer.h"
#include "front/server/spaces_json.h"
#include "imaging/child/decode.h"
#include "imaging/pullback/invented.h"

namespace fairlead {
namespace {

Error Wrong(std::string what, std::string where, std::string to_do) { return {std::move(what), std::move(where), std::move(to_do), Fault::kUsage}; }

// A number with or without its unit.
Result<double> ParseWith(std::string_view text, std::string_view unit, const std::string& option) {
  double value = 0.0;
  const auto read = std::from_chars(text.data(), text.data() + text.size(), value);
  const std::string_view rest(read.ptr, static_cast<std::size_t>(text.data() + text.size() - read.ptr));
  if (read.ec == std::errc() && std::isfinite(value) && value > 0.0 && (rest.empty() || rest == unit)) return value;
  return Wrong("this is not a number above 0 in " + std::string(unit), option + " " + std::string(text.substr(0, 40)), "write it as 0.5" + std::string(unit));
}

class Mapped {
 public:
  Mapped(int file, std::size_t size) : size_(size), at_(::mmap(nullptr, size, PROT_READ, MAP_PRIVATE, file, 0)) {}
  Mapped(const Mapped&) = delete;
  Mapped& operator=(const Mapped&) = delete;
  ~Mapped() {
    if (ok()) ::munmap(at_, size_);
  }
  bool ok() const { return at_ != MAP_FAILED; }
  std::span<const std::uint8_t> bytes() const { return {static_cast<const std::uint8_t*>(at_), size_}; }

 private:
  std::size_t size_;
  void* at_;
};

// What is typed, on top of a file of marks.
Result<PullbackAsk> AskFrom(const IvusArguments& given) {
  PullbackAsk ask;
  if (!given.marks.empty()) {
    auto text = ReadText(given.marks.string());
    if (!text.ok()) return text.error();
    auto parsed = ParsePullbackAsk(*text, false);
    if (!parsed.ok()) return Within(given.marks.string(), parsed.error());
    ask = std::move(*parsed);
  }
  for (const auto& [text, unit, option, value] : {std::tuple{&given.pixel, "mm", "--pixel", &ask.pixel_mm}, std::tuple{&given.speed, "mm/s", "--speed", &ask.speed_mm_s}}) {
    if (text->empty()) continue;
    auto parsed = ParseWith(*text, unit, option);
    if (!parsed.ok()) return parsed.error();
    *value = *parsed;
  }
  for (const auto& [text, odds] : {std::pair{&given.near_wire, &ask.near_wire}, std::pair{&given.far_wire, &ask.far_wire}}) {
    if (text->empty()) continue;
    auto mark = ParseSpace(*text);
    if (!mark.ok()) return Wrong(mark.error().what, mark.error().where, mark.error().to_do);
    *odds = *mark;
  }
  return ask;
}

void PrintSections(const PullbackReading& reading) {
  std::vector<std::vector<std::string>> rows = {{"frame", "mm", "lumen mm2", "vessel mm2", "vessel min-max mm", "burden", "calcium", "tissue mm"}};
  const std::size_t step = std::max<std::size_t>(1, reading.sections.size() / 20);
  for (std::size_t f = 0; f < reading.sections.size(); f += step) {
    const PullbackSection& s = reading.sections[f];
    rows.push_back({fmt::format("{}", s.frame), s.z_mm ? fmt::format("{:.1f}", *s.z_mm) : "-", fmt::format("{:.2f} ± {:.2f}", s.lumen.value, s.lumen.sd),
                    s.eem ? fmt::format("{:.2f} ± {:.2f}", s.eem->value, s.eem->sd) : "not seen",
                    s.eem ? fmt::format("{:.2f}-{:.2f}", s.eem_min_mm, s.eem_max_mm) : "-", s.burden ? fmt::format("{:.0f} %", 100.0 * *s.burden) : "-",
                    s.calcium_deg > 0.0 ? fmt::format("{:.0f} deg", s.calcium_deg) : "-",
                    f < reading.tissue.size() && reading.tissue[f].seen ? fmt::format("{:.2f} ± {:.2f}", reading.tissue[f].thickness_mm, reading.tissue[f].sd_mm) : "-"});
  }
  Print(Table(rows));
}

void PrintStent(const StentReading& stent) {
  Print(fmt::format("stent in frames {} to {}{}: smallest area {:.2f} ± {:.2f} mm2 at frame {}", stent.first, stent.last, stent.by_reader ? " (with points by hand)" : "",
                    stent.smallest_area.value, stent.smallest_area.sd, stent.smallest));
  for (const StentRatio& ratio : stent.expansion) {
    Print(fmt::format("  {:.0f} ± {:.0f} % of {} ({})", 100.0 * ratio.value, 100.0 * ratio.sd, ratio.against, ratio.source.id));
  }
  if (stent.expansion.empty()) Print("  no reference beside the stent is in this pullback: its expansion is not known");
}

std::string_view BranchWords(const LumenSigns& signs) {
  if (signs.branch_opens > signs.branch_beyond) return ", a branch opens into the channel";
  return signs.branch_beyond > 0 ? ", a branch is seen beyond tissue" : "";
}

void PrintChances(std::string_view what, const SpaceChances& chances) {
  Print(fmt::format("{}: true lumen {:.2f}, plaque {:.2f}, outside plaque {:.2f}", what, chances.lumen, chances.plaque, chances.outside));
}

void PrintReading(const PullbackReading& reading, const PullbackScale& scale, int frame) {
  Print(fmt::format("pixel {:.4f} x {:.4f} mm ({}); pullback {} ({})", scale.row_mm, scale.column_mm, scale.pixel_from,
                    scale.speed_mm_s ? fmt::format("{:g} mm/s", *scale.speed_mm_s) : "without speed", scale.speed_from));
  PrintSections(reading);
  Print(reading.wires.second.frames.empty() ? "no second wire was found" : fmt::format("thinnest tissue at frame {}", frame));
  for (const SpaceRange& range : reading.ranges) {
    if (frame < range.first || frame > range.last) continue;
    Print(fmt::format("frames {} to {}: media round the catheter in {:.0f} % of what is seen, edge of an intima {:+.0f} grey levels{}", range.first, range.last,
                      100.0 * range.media_share, range.signs.lining, BranchWords(range.signs)));
    PrintChances("  catheter", range.catheter);
    if (range.wire) PrintChances("  second wire", *range.wire);
  }
  if (reading.stent) PrintStent(*reading.stent);
  for (const std::string& remark : reading.remarks) Print("note: " + remark);
}

int Answer(const Arguments& arguments, const PullbackAsk& ask, const Run& run, std::span<const std::uint8_t> frames, const std::stop_token& stop) {
  auto answer = AnswerPullback(ask, run, frames, stop);
  if (!answer.ok()) return Fail(answer.error());
  // What is wrong with the file, as that it ends early, is said first; the note that only X-ray runs are measured by geometry is no news here.
  auto& remarks = answer->reading.remarks;
  auto at = remarks.begin();
  for (const RunRemark& remark : run.remarks) {
    if (remark.level == RemarkLevel::kWarning) at = std::next(remarks.insert(at, remark.text));
  }
  if (arguments.json) {
    Print(PullbackAnswerJson(*answer, ask.borders));
    return 0;
  }
  PrintReading(answer->reading, answer->scale, answer->frame);
  if (answer->two_wires) PrintJoining(answer->joining);
  else Print(kStanding);
  return 0;
}

}  // namespace

int ShowIvus(const Arguments& arguments) {
  const IvusArguments& given = arguments.ivus;
  if (given.file.empty()) {
    if (!given.near_wire.empty()) return ShowSpaces(arguments);
    return Fail(Wrong("nothing is given to work on", "ivus", "give a pullback's file, or --near and --far, or --near with --same-side and --in-ring"));
  }
  const auto ask = AskFrom(given);
  if (!ask.ok()) return Fail(ask.error());
  const std::string path = given.file.string();
  const Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
  if (!file.ok()) return Fail(Error{std::string("the file cannot be opened: ") + std::strerror(errno), path, "check its name and rights"});
  const auto interrupt = TakeInterrupts();
  auto decoded = DecodeInChild(file.get(), Descriptor(), {}, interrupt->token(), {});
  if (!decoded.ok()) return Fail(Within(path, decoded.error()));
  const Mapped frames(decoded->frames.get(), FrameBytes(decoded->run) * static_cast<std::size_t>(decoded->run.frames));
  if (!frames.ok()) return Fail(Error{"the decoded frames cannot be mapped", path, "free some memory", Fault::kOutside});
  return Answer(arguments, *ask, decoded->run, frames.bytes(), interrupt->token());
}

int MakePullback(const Arguments& arguments) {
  PullbackOrder order;
  order.seed = arguments.seed;
  if (!arguments.scene.empty()) order.scene = arguments.scene;
  auto grade = ParseGrade(arguments.grade);
  if (!grade.ok()) return Fail(grade.error());
  order.grade = *grade;
  order.frames = arguments.ivus.frames;
  order.size = arguments.ivus.size;
  order.pixel = Length::Millimetres(10.0 / order.size);
  order.backwards = arguments.ivus.backwards;
  order.saturated = arguments.ivus.saturated;
  order.stent = arguments.ivus.stent;
  order.calibrated = !arguments.ivus.uncalibrated;
  auto written = WritePullbackPhantom(arguments.out, order);
  if (!written.ok()) return Fail(written.error());
  const std::string folder = arguments.out.string();
  Print(arguments.json ? JsonText().Open('{').Member("folder", folder).Member("file", "pullback.dcm").Member("truth", "truth.json").Close('}').Take()
                       : "a synthetic pullback.dcm and its truth.json are in " + folder);
  return 0;
}

}  // namespace fairlead
