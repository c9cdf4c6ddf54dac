// SPDX-License-Identifier: Apache-2.0
// Words that every form of the report shares, and text made safe for a page.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "record/report/report.h"

namespace fairlead {

// For element content and quoted attributes; control characters are dropped.
std::string HtmlText(std::string_view text);

std::string MissingText(const KeyPicture& picture);  // why there is nothing to see
std::string HeadLine(const Report& report);     // "Visit 1 · case ... · 7 items not recorded"
std::string JournalLine(const Report& report);  // what the report rests on, with the chain's hash
std::string SealLine(const Report& report, const ReportSeal& seal);
// What has changed since the last seal, in lines; empty where nothing is signed.
std::vector<std::string> ChangesSince(const Report& report);
// Citations of the sources that lines name, sorted, each once.
std::vector<std::string> SourcesOf(const Report& report);

}  // namespace fairlead
