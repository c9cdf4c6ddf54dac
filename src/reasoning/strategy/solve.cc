// SPDX-License-Identifier: Apache-2.0
// Branch and bound over plans, one block after another. A child is looked at only if the tables of UpperBound leave it a
// chance; two orders of the same blocks leave the same case behind, so only the better of them goes on.
#include "reasoning/strategy/solve.h"

#include <algorithm>
#include <array>
#include <unordered_map>

#include "reasoning/strategy/bound.h"
#include "reasoning/strategy/improve.h"

namespace fairlead {
namespace {

constexpr double kBetter = 1e-11;  // a plan must be better by this much to displace another
constexpr double kSwapped = 1e-13;  // above rounding: of two orders at most one is left out

constexpr std::int64_t kFirstLooks = 400'000;  // chosen: by then the coarse tables have failed
constexpr int kFiner = 12;
constexpr std::int64_t kLooksBetween = 1024;  // between two looks at whether anybody still waits: well under a millisecond

constexpr int kMostMixes = 3;
constexpr std::size_t kMostTables = 3 + kMostMixes;  // one for each budget, and the mixes

struct Node {
  unsigned left = 0;  // strategies unused
  std::vector<Rung> plan;
  std::array<double, kMostClasses> alive{};
  double value = 0.0;  // of the blocks so far, without the worth of stopping
  std::array<double, kMostClasses> alive_before{};  // the last block
  Spending taken{};
};

using UsedMinutes = std::array<std::uint16_t, kMostStrategies>;
struct HashOfMinutes {
  std::size_t operator()(const UsedMinutes& minutes) const {
    std::uint64_t hash = 1469598103934665603ULL;  // FNV-1a, 64 bit
    for (const std::uint16_t m : minutes) hash = (hash ^ m) * 1099511628211ULL;
    return hash;
  }
};

class Search {
 public:
  Search(const Blocks& blocks, const SolveSettings& settings)
      : blocks_(blocks), settings_(settings), grid_(blocks.classes(), Divisions()) {}

  Solution Run() {
    root_.left = (1U << blocks_.strategies()) - 1U;
    for (std::size_t c = 0; c < blocks_.classes(); ++c) root_.alive[c] = blocks_.model().class_weights[c];
    Consider({});
    // Most problems are proven at once by coarse tables. One that is not gets finer ones, and starts from the plan found.
    double ceiling = Pass(1, std::min(kFirstLooks, settings_.most_looks));
    if (looks_ > std::min(kFirstLooks, settings_.most_looks) && settings_.most_looks > kFirstLooks && !NobodyWaits(settings_.gone)) {
      best_.looks = looks_;
      ceiling = std::min(ceiling, Pass(kFiner, settings_.most_looks - kFirstLooks));
    }
    best_.proven = looks_ <= most_looks_ && !NobodyWaits(settings_.gone);
    best_.looks += looks_;
    best_.gap = best_.proven ? 0.0 : std::max(0.0, ceiling - best_.value.utility);
    return best_;
  }

 private:
  // What no plan is worth more than; the best found so far is in `best_`. Proven if no more than `most_looks` were needed.
  double Pass(int finer, std::int64_t most_looks) {
    tables_.clear();
    seen_.clear();
    looks_ = 0;
    most_looks_ = most_looks;
    finer_ = finer;
    grid_ = BeliefGrid(blocks_.classes(), finer == 1 || blocks_.classes() > 2 ? Divisions() : 2 * Divisions());
    AddTables();
    const double ceiling = Ceiling(root_);
    if (ceiling > best_.value.utility + kBetter) Expand(root_);
    return ceiling;
  }

  int Divisions() const {
    if (settings_.divisions > 0) return settings_.divisions;
    switch (blocks_.classes()) {  // chosen: the bound's tables take most of the time, and a coarse grid proves as well
      case 2: return 6;
      case 3: return 5;
      case 4: return 3;
      default: return 1;
    }
  }

  void Consider(const std::vector<Rung>& plan) {
    const PlanValue value = Evaluate(blocks_, plan);
    if (!begun_ || value.utility > best_.value.utility + kBetter) {
      best_.plan = plan;
      best_.value = value;
      begun_ = true;
    }
  }

  double Ceiling(const Node& node) const {
    double least = 1e300;
    for (const UpperBound& table : tables_) {
      least = std::min(least, table.At(node.left, node.taken, node.alive.data()));
      if (node.value + least <= best_.value.utility + kBetter) break;  // hopeless, whatever the others say
    }
    return node.value + least;
  }

  // Of a block, for one who is alive and of class c when it begins.
  double WorthOf(std::size_t k, std::size_t c, int minutes) const {
    const BlockOdds& block = blocks_.At(k, c, minutes);
    const Objective& aim = blocks_.model().objective;
    return block.cross - aim.complication_weight * block.complication - aim.minute_cost * block.minutes;
  }

  // Whether the same two blocks the other way round are worth more. They leave the same case behind at the same cost, so
  // that nothing best begins with this order.
  bool BetterSwapped(const Node& node, std::size_t k, int minutes) const {
    const Rung& last = node.plan.back();
    double as_is = 0.0, swapped = 0.0;
    for (std::size_t c = 0; c < blocks_.classes(); ++c) {
      const double first = WorthOf(last.strategy, c, last.minutes), second = WorthOf(k, c, minutes);
      as_is += node.alive_before[c] * (first + blocks_.At(last.strategy, c, last.minutes).alive * second);
      swapped += node.alive_before[c] * (second + blocks_.At(k, c, minutes).alive * first);
    }
    return swapped > as_is + kSwapped;
  }

  Node Child(const Node& node, std::size_t k, int minutes) const {
    const LadderModel& model = blocks_.model();
    Node child{node.left & ~(1U << k), {}, {}, node.value, node.alive, node.taken};
    for (std::size_t c = 0; c < blocks_.classes(); ++c) {
      child.value += node.alive[c] * WorthOf(k, c, minutes);
      child.alive[c] = node.alive[c] * blocks_.At(k, c, minutes).alive;
    }
    const Spending taken = TakenBy(model.strategies[k], minutes);
    for (std::size_t r = 0; r < taken.size(); ++r) child.taken[r] += taken[r];
    return child;
  }

  // The plan that a table alone would choose; `within` all budgets, or only that of the table.
  std::vector<Rung> Greedy(const UpperBound& table, bool within) const {
    Node node = root_;
    while (node.left != 0) {
      double best = node.value + StopWorth(node) + kBetter;
      Node chosen;
      for (std::size_t k = 0; k < blocks_.strategies(); ++k) {
        if ((node.left >> k & 1U) == 0) continue;
        for (int d = 1; d <= blocks_.most(k); ++d) {
          Node child = Child(node, k, d);
          if (within && !Affordable(blocks_.model(), child.taken)) break;
          const double worth = child.value + table.At(child.left, child.taken, child.alive.data());
          if (!table.Holds(child.taken) || worth <= best) continue;
          best = worth;
          child.plan = node.plan;
          child.plan.push_back({k, d});
          chosen = std::move(child);
        }
      }
      if (chosen.plan.empty()) break;
      node = std::move(chosen);
    }
    return node.plan;
  }

  double StopWorth(const Node& node) const {
    double alive = 0.0;
    for (std::size_t c = 0; c < blocks_.classes(); ++c) alive += node.alive[c];
    return alive * blocks_.model().objective.stop_value;
  }

  // A table for each budget; where more than one of them binds, sums of them, leaning step by step towards the one that
  // the relaxed plan breaks most.
  void AddTables() {
    Spending best_mix{};
    double lowest = 1e300;
    std::size_t tightest = 0;
    const auto add = [&](const Spending& mix) {
      tables_.emplace_back(blocks_, grid_, mix, finer_);
      Consider(Improve(blocks_, Greedy(tables_.back(), true)));
      const double top = tables_.back().At(root_.left, {}, root_.alive.data());
      if (top >= lowest) return false;
      lowest = top;
      best_mix = mix;
      tightest = tables_.size() - 1;
      return true;
    };
    tables_.reserve(kMostTables);
    for (std::size_t r = 0; r < best_mix.size(); ++r) {
      if (!MayBind(r)) continue;
      Spending mix{};
      mix[r] = 1.0;
      add(mix);
      if (lowest <= best_.value.utility + kBetter || NobodyWaits(settings_.gone)) return;
    }
    if (tables_.empty()) add({});
    double lean = 0.5;
    for (int round = 0; round < kMostMixes && tables_.size() > 1 && lowest > best_.value.utility + 1e-6 && !NobodyWaits(settings_.gone); ++round) {
      const auto broken = MostBroken(Evaluate(blocks_, Greedy(tables_[tightest], false)).most);
      if (!broken) break;
      Spending mix = best_mix;
      for (double& share : mix) share *= 1.0 - lean;
      mix[*broken] += lean;
      if (!add(mix)) lean *= 0.5;
    }
  }

  // Whether any plan within the time could use the whole of a budget.
  bool MayBind(std::size_t r) const {
    const LadderModel& model = blocks_.model();
    if (!model.budget[r] || *model.budget[r] <= 0.0) return false;
    if (r == kMinutes || !model.budget[kMinutes]) return true;
    double setups = 0.0, fastest = 0.0;
    for (std::size_t k = 0; k < blocks_.strategies(); ++k) {
      if (blocks_.most(k) == 0) continue;
      setups += model.strategies[k].setup[r];
      fastest = std::max(fastest, model.strategies[k].per_min[r]);
    }
    return setups + fastest * *model.budget[kMinutes] > *model.budget[r];
  }

  std::optional<std::size_t> MostBroken(const Spending& taken) const {
    std::optional<std::size_t> which;
    double most = 1.0 + 1e-9;
    for (std::size_t r = 0; r < taken.size(); ++r) {
      const auto& limit = blocks_.model().budget[r];
      if (!limit || *limit <= 0.0 || taken[r] / *limit <= most) continue;
      most = taken[r] / *limit;
      which = r;
    }
    return which;
  }

  // False: another order of the same blocks got here with at least the same value.
  bool Fresh(const Node& node) {
    UsedMinutes minutes{};
    for (const Rung& rung : node.plan) minutes[rung.strategy] = static_cast<std::uint16_t>(rung.minutes);
    const auto [place, fresh] = seen_.try_emplace(minutes, node.value);
    if (fresh) return true;
    if (node.value <= place->second + 1e-15) return false;
    place->second = node.value;
    return true;
  }

  void Expand(const Node& node) {
    std::vector<std::pair<double, Rung>> children;
    for (std::size_t k = 0; k < blocks_.strategies(); ++k) {
      if ((node.left >> k & 1U) == 0) continue;
      for (int d = 1; d <= blocks_.most(k); ++d) {
        const Node child = Child(node, k, d);
        if (!Affordable(blocks_.model(), child.taken)) break;
        if (!node.plan.empty() && BetterSwapped(node, k, d)) continue;
        if (++looks_ % kLooksBetween == 0 && NobodyWaits(settings_.gone)) looks_ = std::max(looks_, settings_.most_looks + 1);  // given up: no second pass
        if (looks_ > most_looks_) break;
        const double ceiling = Ceiling(child);
        if (ceiling > best_.value.utility + kBetter) children.push_back({ceiling, {k, d}});
      }
    }
    std::ranges::stable_sort(children, [](const auto& a, const auto& b) { return a.first > b.first; });
    for (const auto& [ceiling, rung] : children) {
      if (ceiling <= best_.value.utility + kBetter || looks_ > most_looks_) return;
      Node child = Child(node, rung.strategy, rung.minutes);
      child.plan = node.plan;
      child.plan.push_back(rung);
      if (!Fresh(child)) continue;
      if (child.value + StopWorth(child) > best_.value.utility + kBetter) Consider(child.plan);
      Expand(child);
    }
  }

  const Blocks& blocks_;
  SolveSettings settings_;
  BeliefGrid grid_;
  Node root_;
  std::vector<UpperBound> tables_;
  std::unordered_map<UsedMinutes, double, HashOfMinutes> seen_;
  Solution best_;
  bool begun_ = false;
  std::int64_t looks_ = 0, most_looks_ = 0;
  int finer_ = 1;
};

}  // namespace

Solution Solve(const Blocks& blocks, const SolveSettings& settings) { return Search(blocks, settings).Run(); }

Solution Solve(const LadderModel& model, const SolveSettings& settings) { return Solve(Blocks(model), settings); }

}  // namespace fairlead
