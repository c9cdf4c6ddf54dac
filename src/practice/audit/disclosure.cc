// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/disclosure.h"

#include "measure/source.h"

namespace fairlead {
namespace {
[[maybe_unused]] constexpr SourceId kRuleSource = "small-numbers-hes"_source;
}  // namespace

std::optional<std::int64_t> DisclosedCount(std::int64_t count, const DisclosureRule& rule) {
  if (count == 0) return 0;
  if (count < rule.least) return std::nullopt;
  return (count + rule.round_to / 2) / rule.round_to * rule.round_to;
}

DisclosedShare Disclose(std::int64_t events, std::int64_t cases, const DisclosureRule& rule) {
  DisclosedShare shown;
  shown.cases = DisclosedCount(cases, rule);
  // Few that did not have the event tell as much as few that had it.
  const bool few = cases - events > 0 && cases - events < rule.least;
  if (shown.cases && !few) shown.events = DisclosedCount(events, rule);
  if (shown.events && *shown.cases > 0) shown.share = static_cast<double>(*shown.events) / static_cast<double>(*shown.cases);
  return shown;
}

}  // namespace fairlead
