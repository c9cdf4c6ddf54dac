// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/kinds.h"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "reasoning/kit/plain_word.h"

namespace fairlead {
namespace {

constexpr std::size_t kMostCombinations = 400;  // chosen: more is no answer to read

bool Digit(char c) { return c >= '0' && c <= '9'; }
bool Letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

std::vector<std::string> WordsOf(std::string_view text) {
  std::vector<std::string> words;
  while (!text.empty()) {
    const auto end = std::min(text.find_first_of(" \t"), text.size());
    if (end > 0) words.emplace_back(text.substr(0, end));
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return words;
}

std::string Joined(const std::vector<std::string>& words, std::string_view between) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? std::string() : std::string(between)) + word;
  return text;
}

// Every French size that a text prints: "1.8/2.6 Fr" has two, "for 6 Fr" one, "SC RX" none.
std::vector<double> FrenchIn(std::string_view text) {
  std::vector<double> all, pending;
  for (std::size_t at = 0; at < text.size();) {
    if (!Digit(text[at])) {
      const bool sign = Letter(text[at]) && (at == 0 || !Letter(text[at - 1]));
      if (sign && !pending.empty()) {
        const auto size = ParseSize("1 " + std::string(text.substr(at, text.find_first_not_of("FfRrEeNnCcHh", at) - at)));
        if (size.ok() && size->unit == SizeUnit::kFrench) all.insert(all.end(), pending.begin(), pending.end());
        pending.clear();
      }
      ++at;
      continue;
    }
    const auto end = std::min(text.find_first_not_of("0123456789.", at), text.size());
    pending.push_back(std::strtod(std::string(text.substr(at, end - at)).c_str(), nullptr));
    at = end;
  }
  return all;
}

bool HasFrench(const Device& device, double french) {
  const auto same = [&](double each) { return std::abs(each - french) < 0.05; };
  const auto printed = FrenchIn(device.label);
  if (!printed.empty()) return std::ranges::any_of(printed, same);
  return device.od_prox && same(std::round(device.od_prox->millimetres() * 6.0) / 2.0);  // to half a French
}

struct Wanted {
  std::optional<double> french;
  std::optional<DeviceClass> kind;
  std::string need;  // what else is asked, as ParseNeed takes it
};

// "the 7 French guides" -> 7, "guide".
std::optional<double> TakeFrench(std::vector<std::string>& words) {
  for (std::size_t at = 0; at < words.size(); ++at) {
    if (words[at].find_first_of("<>=") != std::string::npos) continue;
    for (const std::size_t take : {std::size_t{2}, std::size_t{1}}) {  // "7 French", "7F"
      if (at + take > words.size()) continue;
      const auto size = ParseSize(take == 2 ? words[at] + " " + words[at + 1] : words[at]);
      if (!size.ok() || size->unit != SizeUnit::kFrench) continue;
      words.erase(words.begin() + static_cast<std::ptrdiff_t>(at), words.begin() + static_cast<std::ptrdiff_t>(at + take));
      return size->value.millimetres() * 3.0;
    }
  }
  return std::nullopt;
}

std::optional<DeviceClass> ClassSaid(std::string_view text) {
  std::string plain = PlainWord(text);
  for (const std::string_view tail : {"", "s", "_catheter", "_catheters"}) {
    if (!plain.ends_with(tail)) continue;
    if (const auto kind = ClassOf(std::string_view(plain).substr(0, plain.size() - tail.size()))) return kind;
  }
  return std::nullopt;
}

Wanted Understood(std::string_view text) {
  constexpr auto kArticles = std::to_array<std::string_view>({"a", "an", "the", "this", "that", "any", "each", "my", "our"});
  auto words = WordsOf(text);
  std::erase_if(words, [&](const std::string& word) { return std::ranges::find(kArticles, std::string_view(PlainWord(word))) != kArticles.end(); });
  Wanted wanted;
  wanted.french = TakeFrench(words);
  // The longest beginning that names a class; the rest narrows it.
  for (std::size_t count = words.size(); count > 0 && !wanted.kind; --count) {
    const std::vector<std::string> head(words.begin(), words.begin() + static_cast<std::ptrdiff_t>(count));
    wanted.kind = ClassSaid(Joined(head, " "));
    if (wanted.kind) words.erase(words.begin(), words.begin() + static_cast<std::ptrdiff_t>(count));
  }
  wanted.need = Joined(words, " ");
  return wanted;
}

// Devices that no answer about a fit can tell apart.
bool SameGeometry(const Device& a, const Device& b) {
  const FitRules rules;
  const auto one = SectionsOf(a, rules), other = SectionsOf(b, rules);
  const auto same = [](const Section& x, const Section& y) { return x.name == y.name && x.circles == y.circles && x.short_axis == y.short_axis && x.working == y.working; };
  return a.kind == b.kind && a.need_lumen == b.need_lumen && a.rounding == b.rounding && a.lumen == b.lumen && a.collar == b.collar &&
         std::ranges::equal(one, other, same);
}

void Add(const Shelf& shelf, std::size_t device, Kind& kind) {
  const auto same = std::ranges::find_if(kind.devices, [&](std::size_t each) { return SameGeometry(shelf.devices[each], shelf.devices[device]); });
  if (same != kind.devices.end()) {
    kind.names[static_cast<std::size_t>(same - kind.devices.begin())].push_back(shelf.devices[device].name);
    return;
  }
  kind.devices.push_back(device);
  kind.names.push_back({shelf.devices[device].name});
}

struct Choice {
  std::string text;   // a name or a size, as AnswerFit takes it
  std::string shown;  // with all that share its geometry
};
using Choices = std::vector<std::vector<Choice>>;  // by place in the question

Status AddChoices(const std::vector<std::string>& texts, bool lumens, const Shelf& shelf, Choices& choices, bool& any, std::vector<std::string>& remarks) {
  for (const std::string& text : texts) {
    const auto kind = KindOf(shelf, text, lumens);
    if (!kind) {
      choices.push_back({{text, text}});
      continue;
    }
    any = true;
    if (kind->devices.empty()) return Error{"the shelf has no device of this kind", fmt::format("'{}'", text.substr(0, 40)), "name a device of the shelf, or a printed size with its unit"};
    std::vector<Choice> found;
    for (std::size_t i = 0; i < kind->devices.size(); ++i) found.push_back({shelf.devices[kind->devices[i]].name, Joined(kind->names[i], ", ")});
    choices.push_back(std::move(found));
    if (lumens && ParseSize(text).ok()) {
      remarks.push_back(fmt::format("{} is a guide's outer size and leaves its lumen open: these are the shelf's guides of that size; for a sheath write \"{} sheath\"", text, text));
    }
  }
  return Done{};
}

std::vector<std::vector<const Choice*>> Product(const Choices& choices) {
  std::vector<std::vector<const Choice*>> all{{}};
  for (const auto& each : choices) {
    std::vector<std::vector<const Choice*>> longer;
    for (const auto& begun : all) {
      for (const Choice& choice : each) {
        longer.push_back(begun);
        longer.back().push_back(&choice);
      }
    }
    all = std::move(longer);
  }
  return all;
}

}  // namespace

std::optional<Kind> KindOf(const Shelf& shelf, std::string_view text, bool as_lumen) {
  if (FindDevice(shelf, text) != nullptr) return std::nullopt;
  const auto size = ParseSize(text);
  const bool bare = size.ok();
  if (bare && (!as_lumen || size->unit != SizeUnit::kFrench)) return std::nullopt;
  Wanted wanted = Understood(text);
  if (bare) wanted.kind = DeviceClass::kGuide;
  if (!wanted.kind) return std::nullopt;
  const auto need = ParseNeed(wanted.need);
  if (!need.ok()) return std::nullopt;
  Kind kind{std::string(text), {}, {}};
  for (const std::size_t at : Search(shelf, *need)) {
    const Device& device = shelf.devices[at];
    if (device.kind != *wanted.kind || (wanted.french && !HasFrench(device, *wanted.french))) continue;
    if (as_lumen && !device.lumen) continue;
    Add(shelf, at, kind);
  }
  if (bare && kind.devices.empty()) return std::nullopt;
  return kind;
}

Result<std::optional<KindsReport>> AnswerKinds(const FitQuestion& question, const Shelf& shelf) {
  Choices choices;
  bool any = false;
  KindsReport report;
  if (const Status added = AddChoices(question.lumens, true, shelf, choices, any, report.remarks); !added.ok()) return added.error();
  if (const Status added = AddChoices(question.items, false, shelf, choices, any, report.remarks); !added.ok()) return added.error();
  if (!any) return std::optional<KindsReport>();
  std::size_t count = 1;
  for (const auto& each : choices) {
    count *= each.size();
    if (count > kMostCombinations) {
      return Error{fmt::format("that is more than {} combinations", kMostCombinations), "", "name one of the devices, or narrow a kind: microcatheter usable>=150cm stock"};
    }
  }
  for (const auto& chosen : Product(choices)) {
    Combination each;
    each.question = question;
    each.question.with_flow = false;
    for (std::size_t i = 0; i < chosen.size(); ++i) {
      const bool lumen = i < question.lumens.size();
      const std::size_t at = lumen ? i : i - question.lumens.size();
      (lumen ? each.question.lumens : each.question.items)[at] = chosen[i]->text;
      (lumen ? each.lumens : each.items).push_back(chosen[i]->shown);
    }
    auto answer = AnswerFit(each.question, shelf);
    if (!answer.ok()) return answer.error();
    report.rules = answer->rules;
    for (const FitHostAnswer& host : answer->hosts) {
      const std::string& remark = host.chain.host.remark;
      if (!remark.empty() && std::ranges::find(report.remarks, remark) == report.remarks.end()) report.remarks.push_back(remark);
    }
    each.question.with_flow = question.with_flow;
    each.host = std::move(answer->hosts[answer->narrowest]);
    report.combinations.push_back(std::move(each));
  }
  std::ranges::stable_sort(report.combinations, [](const Combination& a, const Combination& b) {
    const FitAnswer &one = a.host.chain.orders.front().answer, &other = b.host.chain.orders.front().answer;
    return one.fit != other.fit ? one.fit < other.fit : one.margin > other.margin;
  });
  return std::optional(std::move(report));
}

}  // namespace fairlead
