// SPDX-License-Identifier: Apache-2.0
// The report as a PDF: Cairo draws, Pango sets the text. The same report gives the same bytes: dates in the file are those
// of the journal, and the only fonts looked at are the three files of the package fonts-dejavu-core.
#pragma once

#include <filesystem>
#include <string>

#include "measure/result.h"
#include "record/report/letter.h"
#include "record/report/report.h"

namespace fairlead {

enum class PaperSize { kA4, kLetter };

inline constexpr const char* kReportFonts = "/usr/share/fonts/truetype/dejavu";

// The bytes of the file. Text can be selected; sections are headings of the structure tree and bookmarks. Errors: the
// fonts are not there.
Result<std::string> ReportPdf(const Report& report, PaperSize size, const std::filesystem::path& fonts = kReportFonts);

// One page. Errors: the fonts are not there.
Result<std::string> LetterPdf(const Letter& letter, PaperSize size, const std::filesystem::path& fonts = kReportFonts);

}  // namespace fairlead
