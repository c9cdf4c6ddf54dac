// SPDX-License-Identifier: Apache-2.0
// A label in a line of the log: sent by a scanner that types, or typed.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace fairlead {

// "wire a in (01)09520123456788(10)A1 @10:42": what stands before, the label, and what stands behind.
struct ScannedLine {
  std::string before, label, behind;
};

// A word that begins as a label does: a scanner's mark, "(01)", or 01 and fourteen digits. Nothing else is taken for one.
std::optional<ScannedLine> FindScan(std::string_view line);

}  // namespace fairlead
