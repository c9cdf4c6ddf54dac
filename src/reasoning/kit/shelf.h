// SPDX-License-Identifier: Apache-2.0
// The lab's shelf: its devices with their stock, under names that the lab chose. Search by what is needed.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "measure/result.h"
#include "reasoning/kit/device.h"

namespace fairlead {

struct Shelf {
  std::vector<Device> devices;
  bool invented = false;        // demonstration data, never a real lab's
};

// Plausible for their classes, belonging to no product: shown under a mark that says so.
const Shelf& InventedShelf();

// By name or id, case-blind. Null if there is none.
// The numbers of its packages as 14 digits: one device may have several, apart by a blank, comma, semicolon or slash.
std::vector<std::string> NumbersOf(const Device& device);
bool HasNumber(const Device& device, std::string_view gtin14);

const Device* FindDevice(const Shelf& shelf, std::string_view name);

// What a device must be. Absent = no demand.
struct Need {
  std::optional<DeviceClass> kind;
  std::optional<Length> lumen_from;       // inner lumen of at least
  std::optional<Length> outer_to;         // every outer size of at most
  std::optional<Length> usable_from, usable_to;
  std::optional<Length> nominal_from, nominal_to;
  std::optional<Length> offset_to;
  std::optional<double> tip_load_from, tip_load_to;
  std::optional<Length> tip_to;
  std::vector<std::string> words;         // each in name, label, note or coating
  std::vector<std::string> without;       // none of these there
  bool in_stock = false;
};

// "microcatheter lumen>=0.45mm usable>=150cm stock !trap": the names of the fields, >= <= =, a size with its unit (mm, or
// cm for lengths, if there is none); words that must stand there, or with ! must not. As people write it, too: "inner
// lumen ≥ 0,45 mm, ≥ 150 cm". Errors: a field or a size that is not understood; more than 8 words.
Result<Need> ParseNeed(std::string_view text);

bool Satisfies(const Device& device, const Need& need);

// Indices, best first: in stock before not, slimmer before wider, longer before shorter, then by name.
std::vector<std::size_t> Search(const Shelf& shelf, const Need& need);

// The widest of its outer sizes; 0 if none is known.
Length Widest(const Device& device);

// "2026-11-25": expired if the date is after the last day.
int UsableCount(const Device& device, std::string_view today);
int ExpiredCount(const Device& device, std::string_view today);

// What cannot be true of a real device, one sentence each: a lumen wider than its shaft, a wire that does not pass.
std::vector<std::string> Contradictions(const Device& device);

}  // namespace fairlead
