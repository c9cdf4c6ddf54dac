// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/label_elements.h"

#include <algorithm>
#include <array>

#include "measure/source.h"

namespace fairlead {
namespace {

// GS1 Syntax Dictionary; the identifiers that can stand on a device or its carton.
[[maybe_unused]] constexpr SourceId kSource = "gs1-general"_source;

constexpr auto kIdentifiers = std::to_array<Identifier>({
    {"00", 2, "SSCC", true, 18, 18, true, true},
    {"01", 2, "GTIN", true, 14, 14, true, true},
    {"02", 2, "content", true, 14, 14, true, true},
    {"03", 2, "made-to-order GTIN", true, 14, 14, true, true},
    {"10", 2, "lot", false, 1, 20},
    {"11", 2, "production date", true, 6, 6, true, false, true},
    {"12", 2, "due date", true, 6, 6, true, false, true},
    {"13", 2, "packaging date", true, 6, 6, true, false, true},
    {"15", 2, "best before", true, 6, 6, true, false, true},
    {"16", 2, "sell by", true, 6, 6, true, false, true},
    {"17", 2, "expiry date", true, 6, 6, true, false, true},
    {"20", 2, "internal variant", true, 2, 2, true},
    {"21", 2, "serial", false, 1, 20},
    {"22", 2, "consumer variant", false, 1, 20},
    {"235", 3, "third-party serial", false, 1, 28},
    {"240", 3, "additional id", false, 1, 30},
    {"241", 3, "customer part", false, 1, 30},
    {"242", 3, "made-to-order variation", true, 1, 6},
    {"243", 3, "packaging component", false, 1, 20},
    {"250", 3, "secondary serial", false, 1, 30},
    {"251", 3, "reference to source", false, 1, 30},
    {"253", 3, "document type", false, 13, 30},
    {"254", 3, "location extension", false, 1, 20},
    {"255", 3, "coupon", true, 13, 25},
    {"30", 2, "variable count", true, 1, 8},
    {"31", 4, "measure", true, 6, 6, true},
    {"32", 4, "measure", true, 6, 6, true},
    {"33", 4, "measure", true, 6, 6, true},
    {"34", 4, "measure", true, 6, 6, true},
    {"35", 4, "measure", true, 6, 6, true},
    {"36", 4, "measure", true, 6, 6, true},
    {"37", 2, "count", true, 1, 8},
    {"39", 4, "amount", true, 1, 18},
    {"400", 3, "order number", false, 1, 30},
    {"401", 3, "consignment", false, 1, 30},
    {"402", 3, "shipment", true, 17, 17, false, true},
    {"403", 3, "route", false, 1, 30},
    {"41", 3, "location number", true, 13, 13, true, true},
    {"420", 3, "ship to postal code", false, 1, 20},
    {"421", 3, "ship to postal code", false, 4, 12},
    {"422", 3, "country of origin", true, 3, 3},
    {"423", 3, "country of processing", true, 3, 15},
    {"424", 3, "country of processing", true, 3, 3},
    {"425", 3, "country of disassembly", true, 3, 15},
    {"426", 3, "country of full process", true, 3, 3},
    {"7001", 4, "NATO stock number", true, 13, 13},
    {"7003", 4, "expiry date and time", true, 10, 10},
    {"7004", 4, "active potency", true, 1, 4},
    {"7006", 4, "first freeze date", true, 6, 6},
    {"7007", 4, "harvest date", true, 6, 12},
    {"7011", 4, "test by date", true, 6, 10},
    {"7020", 4, "refurbishment lot", false, 1, 20},
    {"7021", 4, "functional status", false, 1, 20},
    {"7022", 4, "revision status", false, 1, 20},
    {"7023", 4, "assembly id", false, 1, 30},
    {"7240", 4, "protocol id", false, 1, 20},
    {"71", 3, "national reimbursement number", false, 1, 20},
    {"8003", 4, "returnable asset", false, 14, 30},
    {"8004", 4, "individual asset", false, 1, 30},
    {"8005", 4, "price per unit", true, 6, 6},
    {"8006", 4, "trade item component", true, 18, 18},
    {"8008", 4, "production date and time", true, 8, 12},
    {"8010", 4, "component part", false, 1, 30},
    {"8011", 4, "component part serial", true, 1, 12},
    {"8012", 4, "software version", false, 1, 20},
    {"8013", 4, "global model number", false, 1, 25},
    {"8017", 4, "service relation", true, 18, 18, false, true},
    {"8018", 4, "service relation", true, 18, 18, false, true},
    {"8019", 4, "service instance", true, 1, 10},
    {"8020", 4, "payment slip", false, 1, 25},
    {"8026", 4, "content component", true, 18, 18},
    {"8200", 4, "extended packaging", false, 1, 70},
    {"90", 2, "mutually agreed", false, 1, 30},
    {"9", 2, "company internal", false, 1, 90},
});

}  // namespace

const Identifier* FindIdentifier(std::string_view text) {
  const auto found = std::ranges::find_if(kIdentifiers, [&](const Identifier& each) {
    return text.size() >= each.key && text.starts_with(each.prefix) &&
           std::ranges::all_of(text.substr(0, each.key), [](char c) { return c >= '0' && c <= '9'; });
  });
  return found == kIdentifiers.end() ? nullptr : &*found;
}

}  // namespace fairlead
