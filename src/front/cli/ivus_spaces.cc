// SPDX-License-Identifier: Apache-2.0
// ivus without a file: the two wires' spaces and the vessel's size, typed.
#include <fmt/core.h>

#include <charconv>
#include <cmath>

#include "front/cli/commands.h"
#include "front/cli/terminal.h"
#include "front/server/spaces_json.h"
#include "reasoning/spaces/matrix.h"

namespace fairlead {
namespace {

Error Wrong(std::string what, std::string where, std::string to_do) {
  return {std::move(what), std::move(where), std::move(to_do), Fault::kUsage};
}

Result<double> ParseFigure(std::string_view text, std::string_view unit, const std::string& where) {
  while (text.starts_with(' ')) text.remove_prefix(1);
  double value = 0.0;
  const auto read = std::from_chars(text.data(), text.data() + text.size(), value);
  std::string_view rest(read.ptr, static_cast<std::size_t>(text.data() + text.size() - read.ptr));
  while (rest.starts_with(' ')) rest.remove_prefix(1);
  if (read.ec == std::errc() && std::isfinite(value) && (rest.empty() || rest == unit)) return value;
  return Wrong("this is not a number" + (unit.empty() ? std::string() : " in " + std::string(unit)), where, "write it as 3.1" + std::string(unit));
}

// "3.1", "3.1mm", "3.1±0.1mm" (or +-).
Result<Reading<Length>> ParseMillimetres(const std::string& text, const std::string& option) {
  const std::string where = option + " " + text.substr(0, 40);
  std::size_t cut = text.find("±");
  std::size_t width = std::string_view("±").size();
  if (cut == std::string::npos) {
    cut = text.find("+-");
    width = 2;
  }
  auto value = ParseFigure(std::string_view(text).substr(0, cut), "mm", where);
  if (!value.ok()) return value.error();
  Reading<Length> reading;
  reading.value = Length::Millimetres(*value);
  if (cut == std::string::npos) return reading;
  auto sd = ParseFigure(std::string_view(text).substr(cut + width), "mm", where);
  if (!sd.ok()) return sd.error();
  reading.sd = Length::Millimetres(*sd);
  return reading;
}

Error AsUsage(const std::string& option, Error error) {
  error = Within(option, std::move(error));
  error.fault = Fault::kUsage;
  return error;
}

Status TakeSpaces(const IvusArguments& given, JoiningQuestion& question) {
  if (!given.near_wire.empty()) {
    auto odds = ParseSpace(given.near_wire);
    if (!odds.ok()) return AsUsage("--near", odds.error());
    question.near_wire = *odds;
  }
  if (!given.far_wire.empty()) {
    auto odds = ParseSpace(given.far_wire);
    if (!odds.ok()) return AsUsage("--far", odds.error());
    question.far_wire = *odds;
    return Done{};
  }
  if (given.same_side.empty() && given.in_ring.empty()) return Done{};
  auto same_side = ParseSign(given.same_side.empty() ? "unknown" : given.same_side);
  if (!same_side.ok()) return AsUsage("--same-side", same_side.error());
  auto in_ring = ParseSign(given.in_ring.empty() ? "unknown" : given.in_ring);
  if (!in_ring.ok()) return AsUsage("--in-ring", in_ring.error());
  TakeSigns(question, *same_side, *in_ring);
  return Done{};
}

Status TakeVessel(const IvusArguments& given, JoiningQuestion& question) {
  if (given.eem_min.empty() && given.eem_max.empty()) return Done{};
  if (given.eem_min.empty() || given.eem_max.empty()) {
    return Wrong("only one of the vessel's two sizes is given", "--eem-min, --eem-max", "give the smallest and the largest");
  }
  auto least = ParseMillimetres(given.eem_min, "--eem-min");
  if (!least.ok()) return least.error();
  auto most = ParseMillimetres(given.eem_max, "--eem-max");
  if (!most.ok()) return most.error();
  question.vessel = VesselSize{*least, *most, {}};
  if (given.calcium_arc.empty()) return Done{};
  auto arc = ParseFigure(given.calcium_arc, "deg", "--calcium-arc " + given.calcium_arc.substr(0, 40));
  if (!arc.ok()) return arc.error();
  question.vessel->calcium_arc = Angle::Degrees(*arc);
  return Done{};
}

Result<JoiningQuestion> QuestionFrom(const IvusArguments& given) {
  JoiningQuestion question;
  if (auto taken = TakeSpaces(given, question); !taken.ok()) return taken.error();
  if (auto taken = TakeVessel(given, question); !taken.ok()) return taken.error();
  if (!given.overlap.empty()) {
    auto overlap = ParseMillimetres(given.overlap, "--overlap");
    if (!overlap.ok()) return overlap.error();
    question.overlap = overlap->value;
  }
  if (!given.tissue.empty()) {
    auto tissue = ParseMillimetres(given.tissue, "--tissue");
    if (!tissue.ok()) return tissue.error();
    question.tissue = *tissue;
  }
  if (!given.minutes.empty()) {
    auto minutes = ParseFigure(given.minutes, "min", "--minutes " + given.minutes.substr(0, 40));
    if (!minutes.ok()) return minutes.error();
    question.minutes = Duration::Minutes(*minutes);
  }
  question.balloon_cycles = given.cycles;
  question.places = given.places;
  return question;
}

void PrintLines(std::string_view head, const std::vector<std::string>& lines, bool numbered) {
  if (lines.empty()) return;
  Print(head);
  for (std::size_t i = 0; i < lines.size(); ++i) Print(numbered ? fmt::format("  {}. {}", i + 1, lines[i]) : "  - " + lines[i]);
}

}  // namespace

void PrintJoining(const JoiningAnswer& answer) {
  Print(fmt::format("near wire: {}; far wire: {}", answer.near_space, answer.far_space));
  Print(answer.meaning);
  PrintLines("what the trade lists for it, in order:", answer.manoeuvres, true);
  std::vector<std::string> sizes;
  for (const BalloonSize& size : answer.balloon.sizes) {
    const double largest = size.largest.millimetres();
    sizes.push_back(size.smallest ? fmt::format("{:.2f} to {:.2f} mm: {}", size.smallest->millimetres(), largest, size.what)
                                  : fmt::format("{:.2f} mm: {}", largest, size.what));
  }
  PrintLines("sizes the rule allows:", sizes, false);
  PrintLines("cautions:", answer.balloon.cautions, false);
  PrintLines(answer.balloon.cautions.empty() ? "cautions:" : "and:", answer.cautions, false);
  Print("to avoid: " + answer.avoid);
  PrintLines("to look at first:", answer.look_first, false);
  PrintLines("before a wire is brought out of the other guide:", answer.before_out, false);
  Print("The sizes and the order are practice, without a published trial. " + std::string(kStanding));
}

int ShowSpaces(const Arguments& arguments) {
  auto question = QuestionFrom(arguments.ivus);
  if (!question.ok()) return Fail(question.error());
  auto answer = HowToJoin(*question);
  if (!answer.ok()) return Fail(answer.error());
  if (arguments.json) Print(JoiningJson(*question, *answer));
  else PrintJoining(*answer);
  return 0;
}

}  // namespace fairlead
