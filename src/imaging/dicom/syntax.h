// SPDX-License-Identifier: Apache-2.0
// Transfer syntaxes (DICOM PS3.5 annex A, PS3.6 table A-1): which are read, and by which codec.
#pragma once

#include <string>
#include <string_view>

namespace fairlead {

enum class Codec { kNone, kRle, kJpeg, kJpegLs, kJpeg2000 };

// False for an unknown or unread syntax.
bool IsRead(std::string_view uid);

// Of a syntax that is read; kNone for uncompressed.
Codec CodecOf(std::string_view uid);

bool IsLossy(std::string_view uid);

// A name for people; "unknown" for a syntax that is not in the table.
std::string SyntaxName(std::string_view uid);

}  // namespace fairlead
