// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/question.h"

#include <fmt/core.h>

#include <algorithm>
#include <numeric>

namespace fairlead {
namespace {

constexpr std::size_t kMostItems = 24;
constexpr std::size_t kMostDevices = 8;

std::string Low(std::string_view text) {
  std::string low(text);
  for (char& c : low) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return low;
}

// Levenshtein's distance, by rows.
std::size_t Apart(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 0; i < a.size(); ++i) {
    std::size_t corner = row[0]++;
    for (std::size_t j = 0; j < b.size(); ++j) {
      const std::size_t changed = corner + (a[i] == b[j] ? 0 : 1);
      corner = row[j + 1];
      row[j + 1] = std::min({changed, row[j] + 1, row[j + 1] + 1});
    }
  }
  return row.back();
}

Error NoSuch(const Shelf& shelf, std::string_view text) {
  std::string names;
  for (const std::string& name : NamesLike(shelf, text)) names += (names.empty() ? "" : ", ") + name;
  return {"this is neither a size nor a device of the shelf", fmt::format("'{}'", text.substr(0, 40)),
          "write a size as 1.80mm, 2.6F or 0.014in, or a name such as " + names};
}

Result<Host> HostNamed(const std::string& text, const Shelf& shelf) {
  if (const Device* device = FindDevice(shelf, text)) {
    if (!device->lumen) return Error{"its lumen is not on the shelf's card", fmt::format("'{}'", device->name), "measure or enter it"};
    return HostOf(*device);
  }
  const auto size = ParseSize(text);
  if (!size.ok()) return text.find_first_of("0123456789") == 0 ? size.error() : NoSuch(shelf, text);
  Host host{text, size->value, size->resolution * 0.5, false, {}};
  if (size->unit == SizeUnit::kFrench) {
    host.remark = fmt::format("{} is taken as the lumen, as on a sheath: a guide's French size is its outer diameter, give its lumen in inch or mm", text);
  }
  return host;
}

struct Items {
  std::vector<Device> devices;
  std::vector<PrintedSize> circles;  // as many as devices if all are sizes
};

Result<Items> ReadItems(const std::vector<std::string>& texts, const Shelf& shelf) {
  Items items;
  for (const std::string& text : texts) {
    if (const Device* device = FindDevice(shelf, text)) { items.devices.push_back(*device); continue; }
    const auto size = ParseSize(text);
    if (!size.ok() && (text.empty() || text.find_first_of("0123456789.,-") != 0)) return NoSuch(shelf, text);
    if (!size.ok()) return size.error();
    Device circle;
    circle.name = text;
    circle.od_prox = size->value;
    circle.rounding = size->resolution * 0.5;
    items.devices.push_back(std::move(circle));
    items.circles.push_back(*size);
  }
  return items;
}

void AddFlow(FitHostAnswer& host) {
  const FitAnswer& best = host.chain.orders.front().answer;
  if (best.fit != FitClass::kFits && best.fit != FitClass::kTight) return;
  // A tunnel carries its flow inside.
  if (std::ranges::any_of(best.worst, [](const Paired& paired) { return paired.section == "tunnel"; })) return;
  std::vector<Length> shafts;
  for (const Place& place : best.places) shafts.push_back(place.diameter);
  auto resting = Rest(shafts, host.chain.host.lumen);
  if (!resting) return;
  host.flow = FlowBeside(*resting, host.chain.host.lumen);
  host.resting = std::move(*resting);
}

std::vector<ChainFit> Chain(const std::vector<Host>& hosts, const Items& items, const FitQuestion& question, const FitRules& rules) {
  const bool circles = items.circles.size() == items.devices.size();
  if (!circles && !question.together && !question.as_given && items.devices.size() <= kMostDevices) {
    return FitChain(hosts, items.devices, rules);
  }
  std::vector<std::size_t> order(items.devices.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::vector<ChainFit> chain;
  for (const Host& host : hosts) {
    FitAnswer answer = circles ? FitCircles(host, items.circles, rules)
                               : Fit(host, items.devices, question.together ? FitMode::kTogether : FitMode::kInOrder, rules);
    ChainFit link{host, {{order, std::move(answer)}}, {}};
    for (const Device& device : items.devices) link.names.push_back(device.name);
    chain.push_back(std::move(link));
  }
  return chain;
}

}  // namespace

std::vector<std::string> NamesLike(const Shelf& shelf, std::string_view name) {
  const std::string low = Low(name);
  std::vector<std::pair<std::size_t, std::string>> ranked;
  for (const Device& device : shelf.devices) ranked.emplace_back(Apart(low, Low(device.name)), device.name);
  std::ranges::sort(ranked);
  std::vector<std::string> names;
  for (std::size_t i = 0; i < std::min<std::size_t>(3, ranked.size()); ++i) names.push_back(ranked[i].second);
  return names;
}

Result<FitReport> AnswerFit(const FitQuestion& question, const Shelf& shelf) {
  if (question.lumens.empty()) return Error{"no lumen is given", "", "give one, as in --lumen 1.80mm"};
  if (question.items.empty()) return Error{"no device is given", "", "name devices or sizes, as in 2.6F 0.014in"};
  if (question.items.size() > kMostItems || question.lumens.size() > 8) {
    return Error{fmt::format("more than {} devices or 8 lumens", kMostItems), "", "ask for those that lie side by side"};
  }
  auto items = ReadItems(question.items, shelf);
  if (!items.ok()) return items.error();
  std::vector<Host> hosts;
  for (const std::string& lumen : question.lumens) {
    auto host = HostNamed(lumen, shelf);
    if (!host.ok()) return host.error();
    hosts.push_back(std::move(*host));
  }
  FitReport report;
  report.circles = items->circles.size() == items->devices.size();
  if (!report.circles && items->devices.size() > kMostDevices) {
    return Error{fmt::format("more than {} devices of the shelf", kMostDevices), "", "ask for those that lie side by side"};
  }
  if (question.clearance) report.rules.clearance = *question.clearance;
  report.names = question.items;
  for (ChainFit& link : Chain(hosts, *items, question, report.rules)) {
    report.hosts.push_back({std::move(link), std::nullopt, {}});
    if (question.with_flow) AddFlow(report.hosts.back());
  }
  for (std::size_t i = 1; i < report.hosts.size(); ++i) {
    const FitAnswer& best = report.hosts[report.narrowest].chain.orders.front().answer;
    const FitAnswer& here = report.hosts[i].chain.orders.front().answer;
    if (here.fit > best.fit || (here.fit == best.fit && here.margin < best.margin)) report.narrowest = i;
  }
  return report;
}

}  // namespace fairlead
