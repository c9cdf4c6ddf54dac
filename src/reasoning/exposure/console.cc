// SPDX-License-Identifier: Apache-2.0
#include "reasoning/exposure/console.h"

#include <algorithm>
#include <utility>

#include "geometry/gantry.h"

namespace fairlead {
namespace {

struct Standing {
  Instant since;
  std::optional<GantryAngles> angles;
};

// The views in the order of time; before the first nobody knows.
std::vector<Standing> ViewsOf(const RunState& run, Instant begin) {
  std::vector<Standing> views{{begin, std::nullopt}};
  for (const auto& typed : run.views) {
    const auto primary = NumberOf(typed.value, RunField::kPrimary);
    if (!primary) continue;
    views.push_back({typed.at, GantryAngles{Angle::Degrees(*primary), Angle::Degrees(NumberOf(typed.value, RunField::kSecondary).value_or(0.0))}});
  }
  std::ranges::stable_sort(views, {}, [](const Standing& each) { return each.since.ms; });
  return views;
}

void Add(std::vector<ConsoleShare>& shares, const std::optional<GantryAngles>& angles, double kerma_gy, bool by_time) {
  auto found = std::ranges::find(shares, angles, &ConsoleShare::angles);
  if (found == shares.end()) found = shares.insert(shares.end(), ConsoleShare{angles, 0.0, false});
  found->kerma_gy += kerma_gy;
  found->by_time = found->by_time || by_time;
}

// The rise between two moments, shared among the views that stood.
void Share(const std::vector<Standing>& views, Instant from, Instant to, double rise_gy, const ConsoleSharing& sharing, std::vector<ConsoleShare>& shares) {
  std::vector<std::pair<std::optional<GantryAngles>, double>> stood;  // view, milliseconds times its rate
  for (std::size_t i = 0; i < views.size(); ++i) {
    const auto begin = std::max(views[i].since.ms, from.ms), end = i + 1 < views.size() ? std::min(views[i + 1].since.ms, to.ms) : to.ms;
    const double rate = sharing.rate && views[i].angles ? sharing.rate(*views[i].angles) : 1.0;
    if (end > begin) stood.emplace_back(views[i].angles, static_cast<double>(end - begin) * rate);
  }
  if (sharing.all_to && std::ranges::any_of(stood, [&](const auto& each) { return each.first == sharing.all_to; })) {
    Add(shares, sharing.all_to, rise_gy, stood.size() > 1);
    return;
  }
  double whole = 0.0;
  for (const auto& each : stood) whole += each.second;
  if (!(whole > 0.0)) {  // both in one moment: the view that stood then
    std::optional<GantryAngles> last;
    for (const Standing& view : views) {
      if (view.since.ms <= to.ms) last = view.angles;
    }
    Add(shares, last, rise_gy, false);
    return;
  }
  for (const auto& each : stood) Add(shares, each.first, rise_gy * each.second / whole, stood.size() > 1);
}

}  // namespace

std::vector<ConsoleShare> ConsoleByView(const RunState& run, const ConsoleSharing& sharing) {
  const auto& sums = run.air_kerma.sums;
  std::vector<ConsoleShare> shares;
  if (sums.empty()) return shares;
  Instant from = sums.front().at;
  if (!run.sessions.empty() && run.sessions.back().access) from = *run.sessions.back().access;
  else if (!run.views.empty()) from = run.views.front().at;
  from.ms = std::min(from.ms, sums.front().at.ms);
  const std::vector<Standing> views = ViewsOf(run, from);
  double held = 0.0, given = 0.0;
  for (const auto& sum : sums) {
    if (sum.value > held) {
      Share(views, from, sum.at, sum.value - held, sharing, shares);
      given += sum.value - held;
    }
    held = sum.value;
    from = sum.at;
  }
  for (ConsoleShare& share : shares) share.kerma_gy *= given > 0.0 ? sums.back().value / given : 0.0;
  return shares;
}

std::vector<IrradiationEvent> EventsOfConsole(const std::vector<ConsoleShare>& shares, double kerma_gy) {
  double whole = 0.0;
  for (const ConsoleShare& share : shares) whole += share.kerma_gy;
  std::vector<IrradiationEvent> events;
  for (const ConsoleShare& share : shares) {
    if (!(share.kerma_gy > 0.0)) continue;
    IrradiationEvent event;
    event.id = share.angles ? "console, " + GantryText(*share.angles) : "console";
    event.angles = share.angles;
    event.kerma = Kerma::Gray(kerma_gy * share.kerma_gy / whole);
    events.push_back(std::move(event));
  }
  return events;
}

}  // namespace fairlead
