// SPDX-License-Identifier: Apache-2.0
// registry rebuild, send, shared, backup, restore: the rows as they are kept, and the registry that labs share.
#include <fmt/core.h>

#include <map>

#include "front/cli/commands.h"
#include "front/cli/past_rows.h"
#include "front/cli/terminal.h"
#include "front/server/json_text.h"
#include "front/server/random.h"
#include "front/server/registry_kept.h"
#include "keeping/registry/outbox.h"
#include "practice/audit/disclosure.h"

namespace fairlead {
namespace {

// Of one lab: its sums added up.
struct LabFigures {
  std::int64_t cases = 0, outcomes = 0, successes = 0, complication_entries = 0, complications = 0;
};

std::map<std::string, LabFigures> FiguresOf(const std::vector<KeptSum>& sums) {
  std::map<std::string, LabFigures> labs;
  for (const KeptSum& sum : sums) {
    LabFigures& lab = labs[sum.lab];
    lab.cases += sum.cases, lab.outcomes += sum.outcomes, lab.successes += sum.successes;
    lab.complication_entries += sum.complication_entries, lab.complications += sum.complications;
  }
  return labs;
}

// One's own counts as they are, others' under the rule.
DisclosedShare ShownShare(bool own, std::int64_t events, std::int64_t cases) {
  if (!own) return Disclose(events, cases);
  DisclosedShare share{events, cases, std::nullopt};
  if (cases > 0) share.share = static_cast<double>(events) / static_cast<double>(cases);
  return share;
}

std::string Starred(const std::optional<std::int64_t>& count) { return count ? std::to_string(*count) : "*"; }
std::string ShareText(const DisclosedShare& share) { return Starred(share.events) + " of " + Starred(share.cases) + (share.share ? fmt::format(" ({:.0f} %)", 100 * *share.share) : ""); }

void ShareMember(JsonText& json, const char* name, const DisclosedShare& share) {
  json.Key(name).Open('{').Key("events");
  share.events ? json.Whole(*share.events) : json.Null();
  json.Key("cases");
  share.cases ? json.Whole(*share.cases) : json.Null();
  json.Close('}');
}

}  // namespace

int RebuildKept(const Arguments& arguments) {
  auto registry = ReadRegistry(arguments);
  if (!registry.ok()) return Fail(registry.error());
  auto own = OpenOwnRegistry(arguments.data);
  if (!own.ok()) return Fail(own.error());
  auto written = KeepRegistry(**own, *registry);
  if (!written.ok()) return Fail(written.error());
  if (auto sums = (*own)->RebuildSums(); !sums.ok()) return Fail(sums.error());
  if (HasPast(arguments.data)) {
    auto past = OpenPast(arguments.data);
    if (!past.ok()) return Fail(past.error());
    if (auto sums = (*past)->RebuildSums(); !sums.ok()) return Fail(sums.error());
  }
  auto waiting = (*own)->CountWaiting();
  if (!waiting.ok()) return Fail(waiting.error());
  if (arguments.json) Print(JsonText().Open('{').Member("visits", registry->visits.size()).Member("written", *written).Member("waiting", *waiting).Close('}').Take());
  else Print(fmt::format("visits: {}; rows written anew: {}; waiting to be sent: {}", registry->visits.size(), *written, *waiting));
  return 0;
}

int SendKept(const Arguments& arguments) {
  auto registry = ReadRegistry(arguments);
  if (!registry.ok()) return Fail(registry.error());
  auto own = OpenOwnRegistry(arguments.data);
  if (!own.ok()) return Fail(own.error());
  if (auto kept = KeepRegistry(**own, *registry); !kept.ok()) return Fail(kept.error());
  auto shared = OpenSharedRegistry(arguments.audit.to);
  if (!shared.ok()) return Fail(shared.error());
  auto delivery = SendWaiting(**own, **shared, arguments.audit.as, LeavingRow);
  if (!delivery.ok()) return Fail(delivery.error());
  if (arguments.json) Print(JsonText().Open('{').Member("sent", delivery->sent).Member("waiting", delivery->left).Close('}').Take());
  else Print(fmt::format("rows sent to {1}: {0}; still waiting: {2}", delivery->sent, PlainAddress(arguments.audit.to), delivery->left));
  return 0;
}

namespace {

// One line of the table of labs; nothing is starred.
struct LabLine {
  std::string lab;
  bool own = false;
  std::optional<std::int64_t> cases;
  DisclosedShare success, trouble;
};

// By the database where it keeps labs apart, else by this program.
Result<std::vector<LabLine>> LabLines(RegistryStore& shared, const std::string& own_name) {
  std::vector<LabLine> lines;
  const auto counts = shared.Counts();
  if (!counts.ok()) return counts.error();
  if (*counts) {
    const auto share = [](const std::optional<std::int64_t>& events, const std::optional<std::int64_t>& cases) {
      DisclosedShare shown{events, cases, std::nullopt};
      if (events && cases && *cases > 0) shown.share = static_cast<double>(*events) / static_cast<double>(*cases);
      return shown;
    };
    for (const KeptCounts& lab : **counts) lines.push_back({lab.lab, lab.lab == own_name, lab.cases, share(lab.successes, lab.outcomes), share(lab.complications, lab.complication_entries)});
    return lines;
  }
  auto sums = shared.Sums("");
  if (!sums.ok()) return sums.error();
  for (const auto& [name, lab] : FiguresOf(*sums)) {
    const bool own = name == own_name;
    lines.push_back({name, own, own ? std::optional(lab.cases) : DisclosedCount(lab.cases), ShownShare(own, lab.successes, lab.outcomes), ShownShare(own, lab.complications, lab.complication_entries)});
  }
  return lines;
}

}  // namespace

int ShowShared(const Arguments& arguments) {
  if (auto named = CheckLabName(arguments.audit.as); !named.ok()) return Fail(named.error());
  auto shared = OpenSharedRegistry(arguments.audit.to);
  if (!shared.ok()) return Fail(shared.error());
  auto lines = LabLines(**shared, arguments.audit.as);
  if (!lines.ok()) return Fail(lines.error());
  JsonText json;
  json.Open('{').Key("labs").Open('[');
  std::vector<std::vector<std::string>> rows = {{"lab", "cases", "technical success", "major complication"}};
  for (const LabLine& line : *lines) {
    json.Open('{').Member("lab", line.lab).Member("own", line.own).Key("cases");
    line.cases ? json.Whole(*line.cases) : json.Null();
    ShareMember(json, "success", line.success), ShareMember(json, "complication", line.trouble);
    json.Close('}');
    rows.push_back({line.lab + (line.own ? " (this one)" : ""), Starred(line.cases), ShareText(line.success), ShareText(line.trouble)});
  }
  json.Close(']').Close('}');
  if (arguments.json) return Print(json.Take()), 0;
  Print(Table(rows));
  Print("Of other labs, counts of 1 to 7 are starred and others rounded to 5. Labs differ in their cases: this ranks nobody.");
  return 0;
}

int BackUpKept(const Arguments& arguments) {
  auto copy = BackUpKeptRows(arguments.data, arguments.out.string());
  if (!copy.ok()) return Fail(copy.error());
  if (arguments.json) Print(JsonText().Open('{').Member("rows", copy->rows).Member("sha256", copy->sha256).Close('}').Take());
  else Print(fmt::format("{}: {} rows, read back and checked, SHA-256 {}", arguments.out.string(), copy->rows, copy->sha256));
  return 0;
}

int ImportKept(const Arguments& arguments) {
  std::size_t read = 0, written = 0;
  for (const auto& file : arguments.files) {
    auto text = ReadText(file.string());
    if (!text.ok()) return Fail(text.error());
    auto rows = ParseCaseRows(*text);
    if (!rows.ok()) return Fail(Within(file.string(), rows.error()));
    auto put = ImportPast(arguments.data, *rows, Now());
    if (!put.ok()) return Fail(put.error());
    read += rows->size(), written += *put;
  }
  if (arguments.json) Print(JsonText().Open('{').Member("read", read).Member("written", written).Close('}').Take());
  else Print(fmt::format("past cases read: {}; written: {}", read, written));
  return 0;
}

int RestoreKept(const Arguments& arguments) {
  auto copy = RestoreKeptRows(arguments.data, arguments.files.front().string());
  if (!copy.ok()) return Fail(copy.error());
  if (arguments.json) Print(JsonText().Open('{').Member("rows", copy->rows).Member("sha256", copy->sha256).Close('}').Take());
  else Print(fmt::format("{} rows of a checked copy are back; newer ones stayed", copy->rows));
  return 0;
}

}  // namespace fairlead
