// SPDX-License-Identifier: Apache-2.0
#include "keeping/registry/outbox.h"

#include <algorithm>

namespace fairlead {

Status CheckLabName(const std::string& lab) {
  const auto fits = [](char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-'; };
  if (!lab.empty() && lab.size() <= 40 && std::all_of(lab.begin(), lab.end(), fits)) return Done{};
  return Error{"this is no name of a lab", lab.substr(0, 40), "use 1 to 40 small letters, digits and -"};
}

Result<Delivery> SendWaiting(RegistryStore& own, RegistryStore& shared, const std::string& lab, Leaves leaves, std::size_t batch) {
  if (auto named = CheckLabName(lab); !named.ok()) return named.error();
  Delivery delivery;
  while (true) {
    auto waiting = own.Waiting(batch);
    if (!waiting.ok()) return waiting.error();
    if (waiting->empty()) break;
    std::vector<KeptRow> rows;
    for (const Outgoing& each : *waiting) {
      rows.push_back(leaves == nullptr ? each.row : leaves(each.row));
      rows.back().lab = lab;
    }
    auto put = shared.Put(rows);
    if (!put.ok()) return put.error();
    if (auto sent = own.Sent(waiting->back().number); !sent.ok()) return sent.error();
    delivery.sent += rows.size();
  }
  auto left = own.CountWaiting();
  if (!left.ok()) return left.error();
  delivery.left = *left;
  return delivery;
}

}  // namespace fairlead
