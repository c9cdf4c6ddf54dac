// SPDX-License-Identifier: Apache-2.0
#include "measure/source.h"

#include <algorithm>
#include <array>

namespace fairlead {
namespace {

using enum SourceKind;
using enum Checked;

// Sorted by id, so that a double entry shows.
constexpr auto kSources = std::to_array<Source>({
    {"ccd-1994-catheter-filling", kArticle, "Cathet Cardiovasc Diagn 1994;33:55-60", "10.1002/ccd.1810330115", kSeen,
     "57 guide catheters read -8.9 to +4 % with water and -15.5 to -3.9 % with contrast: calibrate empty"},
    {"ccd-1994-catheter-label", kArticle, "Cathet Cardiovasc Diagn 1994;33:153-155", "10.1002/ccd.1810330214", kSeen,
     "measured outer diameters of catheters of one labelled size differ by 0.02 to 0.03 mm and lie below the label"},
    {"invest-radiol-2001-catheter", kArticle, "Invest Radiol 2001;36:705-712", "10.1097/00004424-200112000-00005", kSeen,
     "low-opacity catheters read +0.4 to +1.0 % with contrast and -9.9 to -12.4 % without: calibrate filled"},
    {"practice", kPractice, "practice, no source", "", kMemory, "a habit of the trade, kept as a setting"},
});

}  // namespace

std::span<const Source> AllSources() { return kSources; }

const Source* FindSource(std::string_view id) {
  const auto found = std::ranges::find(kSources, id, &Source::id);
  return found == kSources.end() ? nullptr : &*found;
}

}  // namespace fairlead
