// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/fit.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "reasoning/kit/pairing.h"

namespace fairlead {
namespace {

// Between a placement and a proof: the answer for one lumen.
void Judge(FitAnswer& answer, const Host& host, const std::vector<Length>& circles, Length clearance) {
  answer.margin = host.lumen - answer.smallest;
  answer.fit = ClassOf(answer.margin, clearance);
  if (answer.fit != FitClass::kNo || host.lumen <= answer.proved) return;
  if (ProvedTooSmall(circles, host.lumen)) {
    answer.proved = host.lumen;
    return;
  }
  answer.too_close = true;
  answer.fit = FitClass::kTight;
}

Length ClearanceIn(const Host& host, const FitRules& rules) {
  return host.microcatheter ? rules.clearance_inside : rules.clearance;
}

void Demands(FitAnswer& answer, const Host& host, const std::vector<Device>& devices) {
  for (const Device& device : devices) {
    // Both sides are rounded: a demand of 0.056 in must not refuse a lumen printed 1.42 mm.
    if (device.need_lumen && *device.need_lumen > host.lumen + host.rounding + device.rounding) {
      answer.off_label.push_back(fmt::format("the label of {} wants a lumen of {:.3f} mm, this one is {:.3f} mm", device.name,
                                             device.need_lumen->millimetres(), host.lumen.millimetres()));
    }
  }
}

// Reads the winner back into words and places.
void Tell(FitAnswer& answer, const Pairing& worst, const Packing& packing) {
  answer.smallest = packing.smallest;
  answer.proved = packing.proved;
  answer.worst.clear();
  for (std::size_t k = 0; k < worst.sections.size(); ++k) {
    if (worst.sections[k] != nullptr) answer.worst.push_back({k, worst.sections[k]->name, k == worst.moving});
  }
}

// Places come back in the order of the circles; packings are kept largest first.
std::vector<Place> InOrder(const std::vector<Place>& places, const std::vector<Length>& circles) {
  std::vector<Place> sorted;
  std::vector<bool> used(places.size(), false);
  for (const Length circle : circles) {
    for (std::size_t i = 0; i < places.size(); ++i) {
      if (used[i] || places[i].diameter != circle) continue;
      used[i] = true;
      sorted.push_back(places[i]);
      break;
    }
  }
  return sorted;
}

std::vector<Length> RoundingOf(const Pairing& pairing, const std::vector<Device>& devices) {
  std::vector<Length> rounding;
  for (std::size_t k = 0; k < pairing.sections.size(); ++k) {
    for (std::size_t c = 0; c < pairing.sections[k]->circles.size(); ++c) {
      // A loose wire's own rounding: half of 0.001 in.
      rounding.push_back(c == 0 ? devices[k].rounding : Length::Inches(0.0005));
    }
  }
  return rounding;
}

FitAnswer Unknown(const std::vector<Device>& devices, const std::vector<std::vector<Section>>& sections) {
  FitAnswer answer;
  for (std::size_t k = 0; k < devices.size(); ++k) {
    if (sections[k].empty()) {
      answer.why.push_back(fmt::format("the shafts or profile of {} are not on the shelf's card: measure or enter them",
                                       devices[k].name.empty() ? "a device" : devices[k].name));
    }
  }
  return answer;
}

FitAnswer FitWith(const Host& host, const std::vector<Device>& devices, FitMode mode, const FitRules& rules,
                  PackingMemory& memory) {
  std::vector<std::vector<Section>> sections;
  for (const Device& device : devices) sections.push_back(SectionsOf(device, rules));
  if (!Unknown(devices, sections).why.empty()) return Unknown(devices, sections);
  FitAnswer answer;
  const auto pairings = Pairings(sections, mode);
  const Pairing* worst = nullptr;
  for (const Pairing& pairing : pairings) {
    const Packing& packing = memory.Of(pairing.Circles());
    if (worst != nullptr && packing.smallest <= answer.smallest) continue;
    worst = &pairing;
    answer.smallest = packing.smallest;
  }
  if (worst == nullptr) return answer;
  const auto circles = worst->Circles();
  const Length clearance = ClearanceIn(host, rules);
  Tell(answer, *worst, memory.Of(circles));
  answer.places = InOrder(memory.Of(circles).places, circles);
  Judge(answer, host, circles, clearance);
  answer.doubt = DoubtOf(host, circles, RoundingOf(*worst, devices), clearance);
  Demands(answer, host, devices);
  return answer;
}

// An oval that must turn to pass: the other pairings govern then, and the answer is tight at best.
void Turn(FitAnswer& answer, const Host& host, const std::vector<Device>& devices, FitMode mode, const FitRules& rules,
          PackingMemory& memory) {
  std::vector<std::vector<Section>> sections;
  for (const Device& device : devices) sections.push_back(SectionsOf(device, rules));
  Length turned{};
  bool any = false;
  for (const Pairing& pairing : Pairings(sections, mode)) {
    const auto kind = TurnedKindly(pairing);
    any = any || kind;
    turned = std::max(turned, kind ? *kind : memory.Of(pairing.Circles()).smallest);
  }
  if (!any || turned >= answer.smallest) return;
  answer.margin_turned = host.lumen - turned;
  if (answer.fit == FitClass::kNo && ClassOf(*answer.margin_turned, rules.clearance) != FitClass::kNo) {
    answer.fit = FitClass::kTight;
    answer.why.emplace_back("passes only if the oval part turns its short side");
  }
}

// The way out is the way in backwards, with the balloons as they fold after inflation.
void ComeOut(FitAnswer& answer, const Host& host, const std::vector<Device>& devices, FitMode mode, const FitRules& rules,
             PackingMemory& memory) {
  std::vector<std::vector<Section>> sections;
  bool any = false;
  for (Device device : devices) {
    const bool folds = device.kind == DeviceClass::kBalloon || device.kind == DeviceClass::kReentry;
    if (folds && device.profile) device.profile = *device.profile * rules.withdrawn;
    any = any || (folds && device.profile);
    sections.push_back(SectionsOf(device, rules));
  }
  if (!any) return;
  Length widest = answer.smallest;
  for (const Pairing& pairing : Pairings(sections, mode)) widest = std::max(widest, memory.Of(pairing.Circles()).smallest);
  if (widest > answer.smallest) answer.margin_out = host.lumen - widest;
}

FitAnswer FitWhole(const Host& host, const std::vector<Device>& devices, FitMode mode, const FitRules& rules,
                   PackingMemory& memory) {
  FitAnswer answer = FitWith(host, devices, mode, rules, memory);
  const bool oval = std::ranges::any_of(devices, [](const Device& device) { return device.minor.has_value(); });
  if (answer.fit == FitClass::kUnknown) return answer;
  if (oval) Turn(answer, host, devices, mode, rules, memory);
  ComeOut(answer, host, devices, mode, rules, memory);
  return answer;
}

}  // namespace

FitClass ClassOf(Length margin, Length clearance) {
  const double shown = std::round(margin.millimetres() * 1e6);
  if (shown < 0.0) return FitClass::kNo;
  return shown >= std::round(clearance.millimetres() * 1e6) ? FitClass::kFits : FitClass::kTight;
}

FitAnswer Fit(const Host& host, const std::vector<Device>& devices, FitMode mode, const FitRules& rules) {
  PackingMemory memory;
  return FitWhole(host, devices, mode, rules, memory);
}

FitAnswer FitCircles(const Host& host, const std::vector<PrintedSize>& circles, const FitRules& rules) {
  std::vector<Length> diameters, rounding;
  for (const PrintedSize& size : circles) {
    diameters.push_back(size.value);
    rounding.push_back(size.resolution * 0.5);
  }
  FitAnswer answer;
  const Packing packing = Pack(diameters);
  answer.smallest = packing.smallest;
  answer.proved = packing.proved;
  answer.places = packing.places;
  for (std::size_t k = 0; k < circles.size(); ++k) answer.worst.push_back({k, circles[k].text, false});
  Judge(answer, host, diameters, ClearanceIn(host, rules));
  answer.doubt = DoubtOf(host, diameters, rounding, ClearanceIn(host, rules));
  return answer;
}

std::vector<OrderedFit> FitOrders(const Host& host, const std::vector<Device>& devices, const FitRules& rules) {
  PackingMemory memory;
  std::vector<std::size_t> order(devices.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::vector<OrderedFit> orders;
  do {
    std::vector<Device> sequence;
    for (const std::size_t at : order) sequence.push_back(devices[at]);
    orders.push_back({order, FitWhole(host, sequence, FitMode::kInOrder, rules, memory)});
  } while (devices.size() <= kMostOrders && std::next_permutation(order.begin(), order.end()));
  std::ranges::stable_sort(orders, [](const OrderedFit& a, const OrderedFit& b) {
    if (a.answer.fit != b.answer.fit) return a.answer.fit < b.answer.fit;
    return std::round(a.answer.margin.millimetres() * 1e6) > std::round(b.answer.margin.millimetres() * 1e6);
  });
  return orders;
}

std::vector<ChainFit> FitChain(const std::vector<Host>& hosts, const std::vector<Device>& devices, const FitRules& rules) {
  std::vector<ChainFit> chain;
  const auto add = [&](const Host& host, const std::vector<Device>& in) {
    ChainFit link{host, FitOrders(host, in, rules), {}};
    for (const Device& device : in) link.names.push_back(device.name);
    chain.push_back(std::move(link));
  };
  std::vector<Device> others;
  std::vector<Device> extensions;
  for (const Device& device : devices) (device.kind == DeviceClass::kGuideExtension ? extensions : others).push_back(device);
  for (const Host& host : hosts) {
    if (extensions.empty()) { add(host, others); continue; }
    for (const Device& extension : extensions) add(host, {extension});  // its tunnel holds the others within
    std::vector<Device> behind = others;                                // behind the collar its pushrod lies beside them
    for (Device rod : extensions) {
      rod.kind = DeviceClass::kOther;
      rod.need_lumen.reset();
      rod.name += ", pushrod";
      behind.push_back(std::move(rod));
    }
    if (!others.empty()) add(host, behind);
  }
  for (const Device& extension : extensions) {
    if (!others.empty() && extension.lumen) add(HostOf(extension), others);
  }
  return chain;
}

}  // namespace fairlead
