// SPDX-License-Identifier: Apache-2.0
// kit: fit, import, label, shelf.
#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <filesystem>
#include <iterator>

#include "front/cli/commands.h"
#include "front/cli/kit_shelf.h"
#include "front/cli/reader.h"
#include "front/cli/terminal.h"
#include "front/cli/writing.h"
#include "front/server/kit_uses.h"
#include "front/server/lab_shelf.h"
#include "front/server/random.h"
#include "reasoning/kit/kit_json.h"

namespace fairlead {
namespace {

constexpr std::string_view kCaution =
    "Labels round and makers differ: try outside the patient what is tight. Local protocol and the responsible physician decide.";

constexpr std::string_view kInvented = "The shelf is invented demonstration data; give your own with --shelf FILE.csv.";

std::string Joined(const std::vector<std::string>& words, std::string_view between) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? std::string() : std::string(between)) + word;
  return text;
}

std::string OrderText(const ChainFit& chain, const OrderedFit& order) {
  std::vector<std::string> names;
  for (const std::size_t at : order.order) names.push_back(chain.names[at]);
  return Joined(names, ", then ");
}

std::string WorstText(const ChainFit& chain, const OrderedFit& order) {
  std::vector<std::string> pieces;
  for (const Paired& paired : order.answer.worst) {
    const std::string& name = chain.names[order.order[paired.device]];
    pieces.push_back(name == paired.section ? name : name + ": " + paired.section);
  }
  return Joined(pieces, " beside ");
}

std::string Verdict(const FitAnswer& answer) {
  if (answer.fit == FitClass::kUnknown) return "unknown: " + Joined(answer.why, "; ");
  if (answer.too_close) {
    return fmt::format("too close to call: a lumen of {:.4f} mm certainly holds them, {:.4f} mm certainly does not", answer.smallest.millimetres(),
                       answer.proved.millimetres());
  }
  const double margin = answer.margin.millimetres();
  if (answer.fit == FitClass::kNo) return fmt::format("no, by {:.3f} mm", -margin);
  return fmt::format("{}, {:.3f} mm to spare", WordOf(answer.fit), margin);
}

void PrintHost(const FitHostAnswer& host, bool circles) {
  const OrderedFit& best = host.chain.orders.front();
  const FitAnswer& answer = best.answer;
  Print(fmt::format("In {} ({:.3f} mm): {}", host.chain.host.name, host.chain.host.lumen.millimetres(), Verdict(answer)));
  if (answer.fit == FitClass::kUnknown) return;
  Print(fmt::format("  least lumen       {:.3f} mm", answer.smallest.millimetres()));
  if (!circles) Print("  in this order     " + OrderText(host.chain, best));
  if (!circles) Print("  worst pairing     " + WorstText(host.chain, best));
  if (answer.doubt.sensitive) {
    Print(fmt::format("  label rounding    {:+.3f} to {:+.3f} mm; passes in {:.0f} of 100, fits in {:.0f} of 100", answer.doubt.worst.millimetres(),
                      answer.doubt.best.millimetres(), answer.doubt.odds_passes * 100, answer.doubt.odds_fits * 100));
  }
  if (answer.margin_out) {
    Print(fmt::format("  coming out        {:+.3f} mm: a balloon that was inflated folds wider", answer.margin_out->millimetres()));
  }
  if (host.flow) Print(fmt::format("  flow left         {:.0f} % of the empty lumen", host.flow->share * 100));
  for (const std::string& text : answer.off_label) Print("  off label         " + text);
  for (const std::string& text : answer.why) Print("  note              " + text);
  if (!host.chain.host.remark.empty()) Print("  note              " + host.chain.host.remark);
  const OrderedFit& last = host.chain.orders.back();
  if (last.answer.fit != answer.fit) Print("  not in this order " + OrderText(host.chain, last) + ": " + Verdict(last.answer));
}

// Every combination of the kinds that were named, best first.
void PrintKinds(const KindsReport& report) {
  std::vector<std::vector<std::string>> rows = {{"lumen", "devices, first in first", "to spare mm", "verdict", "decided by"}};
  std::array<int, 4> counts{};
  for (const Combination& each : report.combinations) {
    const ChainFit& chain = each.host.chain;
    const OrderedFit& best = chain.orders.front();
    ++counts[static_cast<std::size_t>(best.answer.fit)];
    const bool known = best.answer.fit != FitClass::kUnknown;
    std::vector<std::string> order;
    for (const std::size_t at : best.order) order.push_back(at < each.items.size() && chain.names.size() == each.items.size() ? each.items[at] : chain.names[at]);
    const bool one_way = chain.orders.back().answer.fit != best.answer.fit;
    rows.push_back({fmt::format("{} ({:.3f})", Joined(each.lumens, " > "), chain.host.lumen.millimetres()), Joined(order, " then "),
                    known ? fmt::format("{:+.3f}", best.answer.margin.millimetres()) : std::string("?"),
                    std::string(best.answer.too_close ? "too close to call" : WordOf(best.answer.fit)) + (one_way ? ", in this order" : "") + (best.answer.off_label.empty() ? "" : ", off label"),
                    known ? WorstText(chain, best) : Joined(best.answer.why, "; ")});
  }
  Print(fmt::format("Of {} combinations on the shelf {} fit, {} are tight, {} do not pass{}", report.combinations.size(), counts[0], counts[1], counts[2],
                    counts[3] > 0 ? fmt::format(", {} are not known", counts[3]) : std::string()));
  Print(Table(rows));
  for (const std::string& remark : report.remarks) Print(remark);
}

}  // namespace

Result<Shelf> ShelfAsked(const Arguments& arguments) {
  if (arguments.kit.shelf.empty()) {
    const auto lab = ReadLab(arguments);
    return lab.ok() ? ShelfOf(*lab) : lab.error();
  }
  auto text = ReadText(arguments.kit.shelf.string());
  if (!text.ok()) return text.error();
  auto import = ImportShelf(*text);
  if (!import.ok()) return Within(arguments.kit.shelf.string(), import.error());
  return std::move(import->shelf);
}

Result<ShelfLeft> LeftAsked(const Arguments& arguments) {
  auto shelf = ShelfAsked(arguments);
  if (!shelf.ok()) return shelf.error();
  std::error_code ignored;
  const bool no_journal = !arguments.kit.shelf.empty() || !std::filesystem::exists(arguments.data / "journal.sqlite", ignored);
  if (no_journal) return ShelfLeft{std::move(*shelf), {}};
  const auto lab = ReadLab(arguments);
  if (!lab.ok()) return lab.error();
  auto journal = ReadJournal(arguments);
  if (!journal.ok()) return journal.error();
  const auto lines = (*journal)->Cases();
  if (!lines.ok()) return lines.error();
  std::vector<RecordedUse> uses;
  for (const CaseLine& line : *lines) {
    auto entries = (*journal)->Entries(line.id);
    if (!entries.ok()) return Within("case " + line.id, entries.error());
    std::ranges::move(UsesOf(Fold(std::move(*entries))), std::back_inserter(uses));
  }
  return ShelfLeftOf(*lab, uses);
}

Result<CalendarDay> DayAsked(const Arguments& arguments) {
  if (!arguments.kit.on.empty()) return ParseCalendarDay(arguments.kit.on);
  using std::chrono::system_clock;
  return DayOf(std::chrono::duration_cast<std::chrono::milliseconds>(system_clock::now().time_since_epoch()).count());
}

int AskFit(const Arguments& arguments) {
  // Sizes alone need no shelf, and so no data folder; a lumen in French asks for the guides of that size.
  const auto sizes = [](const std::vector<std::string>& texts) { return std::ranges::all_of(texts, [](const std::string& text) { return ParseSize(text).ok(); }); };
  const auto french = [](const std::string& text) { const auto size = ParseSize(text); return size.ok() && size->unit == SizeUnit::kFrench; };
  const bool bare = sizes(arguments.kit.lumens) && std::ranges::none_of(arguments.kit.lumens, french) && sizes(arguments.kit.items);
  const auto shelf = bare ? Result<Shelf>(InventedShelf()) : ShelfAsked(arguments);
  if (!shelf.ok()) return Fail(shelf.error());
  FitQuestion question;
  question.lumens = arguments.kit.lumens;
  question.items = arguments.kit.items;
  question.together = arguments.kit.together;
  question.as_given = arguments.kit.as_given;
  if (!arguments.kit.clearance.empty()) {
    const auto clearance = ParseSize(arguments.kit.clearance);
    if (!clearance.ok()) return Fail(clearance.error());
    question.clearance = clearance->value;
  }
  const auto kinds = AnswerKinds(question, *shelf);
  if (!kinds.ok()) return Fail(kinds.error());
  if (*kinds) {
    if (arguments.json) { Print(KindsJson(**kinds)); return 0; }
    PrintKinds(**kinds);
    if (shelf->invented) Print(kInvented);
    Print(kCaution);
    return 0;
  }
  const auto report = AnswerFit(question, *shelf);
  if (!report.ok()) return Fail(report.error());
  if (arguments.json) { Print(FitJson(*report)); return 0; }
  for (const FitHostAnswer& host : report->hosts) PrintHost(host, report->circles);
  if (shelf->invented && !report->circles) Print(kInvented);
  Print(kCaution);
  return 0;
}

namespace {

// The list becomes the lab's shelf, part by part.
Status KeepShelf(const Arguments& arguments, const Shelf& shelf) {
  for (KnowledgeWritten& written : ShelfWritten(shelf, "lab", ToIso(Now()))) {
    auto entry = EntryOf(arguments, std::move(written));
    if (!entry.ok()) return entry.error();
    auto answer = AppendEntry(arguments, std::string(kLabCase), *entry);
    if (!answer.ok()) return answer.error();
  }
  return Done{};
}

}  // namespace

int PreviewImport(const Arguments& arguments) {
  const std::string path = arguments.files.front().string();
  const auto text = ReadText(path);
  if (!text.ok()) return Fail(text.error());
  const auto import = ImportShelf(*text);
  if (!import.ok()) return Fail(Within(path, import.error()));
  const auto day = DayAsked(arguments);
  if (!day.ok()) return Fail(day.error());
  // No line went in: the input is wrong, whatever is printed.
  const int status = import->lines > 0 && import->taken == 0 ? 1 : 0;
  if (arguments.kit.keep && status == 0) {
    const Status kept = KeepShelf(arguments, import->shelf);
    if (!kept.ok()) return Fail(kept.error());
  }
  if (arguments.json) { Print(ImportJson(*import, IsoOf(*day), 100'000)); return status; }
  Print(fmt::format("{} lines read ({}, '{}'): {} taken as {} devices, {} refused, {} to look at", import->lines, import->encoding,
                    import->delimiter == '\t' ? "tab" : std::string(1, import->delimiter), import->taken, import->shelf.devices.size(),
                    import->refused, import->looked_at));
  for (const ImportColumn& column : import->columns) {
    if (column.field.empty()) Print(fmt::format("column '{}' is not understood and left out", column.heading));
  }
  if (!import->missing.empty()) Print("no column gives " + Joined(import->missing, ", ") + ": answers that need them will be unknown");
  for (const ImportProblem& problem : import->problems) {
    Print(fmt::format("line {}{}: {}: {}{}", problem.line, problem.column.empty() ? "" : ", " + problem.column, problem.what, problem.to_do,
                      problem.refused ? "" : " (taken)"));
  }
  return status;
}

int ReadLabel(const Arguments& arguments) {
  const auto day = DayAsked(arguments);
  if (!day.ok()) return Fail(day.error());
  const auto label = ParseLabel(Joined(arguments.kit.items, "\x1d"), *day);
  if (!label.ok()) return Fail(label.error());
  if (arguments.json) { Print(LabelJson(*label)); return 0; }
  std::vector<std::vector<std::string>> rows = {{"AI", "what", "value"}};
  for (const LabelElement& element : label->elements) rows.push_back({element.ai, element.title, element.value});
  Print(Table(rows));
  if (!label->expires.empty()) Print(fmt::format("expires {}{}", label->expires, label->expired ? ": EXPIRED" : ""));
  for (const std::string& doubt : label->doubts) Print("doubt: " + doubt);
  return 0;
}

int SearchShelf(const Arguments& arguments) {
  const auto left = LeftAsked(arguments);
  if (!left.ok()) return Fail(left.error());
  const Shelf* shelf = &left->shelf;
  const auto need = ParseNeed(Joined(arguments.kit.items, " "));
  if (!need.ok()) return Fail(need.error());
  const auto day = DayAsked(arguments);
  if (!day.ok()) return Fail(day.error());
  const auto found = Search(*shelf, *need);
  if (arguments.json) { Print(LeftJson(*left, found, IsoOf(*day))); return 0; }
  const auto size = [](const std::optional<Length>& length, double per) {
    return length ? fmt::format("{:.4g}", length->millimetres() / per) : std::string("-");
  };
  std::vector<std::vector<std::string>> rows = {{"name", "class", "widest mm", "lumen mm", "usable cm", "usable stock", "used", "label"}};
  for (const std::size_t at : found) {
    const Device& device = shelf->devices[at];
    rows.push_back({device.name, std::string(TitleOf(device.kind)), size(Widest(device), 1), size(device.lumen, 1), size(device.usable, 10),
                    fmt::format("{}", UsableCount(device, IsoOf(*day))), device.used == 0 ? std::string("-") : fmt::format("{}", device.used), device.label});
  }
  Print(found.empty() ? std::string("no device of the shelf satisfies this") : Table(rows));
  for (const Provisional& each : left->provisional) Print(fmt::format("provisional: {} was used {} times; no device of the list has this number", each.gtin, each.used));
  if (shelf->invented) Print("Invented demonstration data; keep your own with fairlead kit import FILE.csv --keep.");
  return 0;
}

}  // namespace fairlead
