// SPDX-License-Identifier: Apache-2.0
// The bodies of requests, from JSON to structs. Each is one object; a member that is unknown or given twice is refused
// (with the nearest known name), and so is nesting deeper than 32.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "casebook/entry.h"
#include "imaging/ruler/ruler.h"
#include "measure/result.h"

namespace fairlead {

// --- A JSON document in slices: each value as the bytes that it was written in, so that they can be kept as they came.
using JsonMembers = std::vector<std::pair<std::string, std::string_view>>;
Result<JsonMembers> MembersOf(std::string_view object);
Result<std::vector<std::string_view>> ElementsOf(std::string_view list);

// --- Bodies, named after their paths in docs/wire.md.
struct NewCaseBody {
  std::string title, room;
};
Result<NewCaseBody> ParseNewCase(std::string_view json);

// {"entries": [Entry]}: the entries as they were written.
Result<std::vector<std::string_view>> ParseEntriesBody(std::string_view json);

struct LogInBody {
  std::string name, password;
};
Result<LogInBody> ParseLogIn(std::string_view json);

struct AssessBody {
  std::string case_id;       // empty if none
  std::string_view facts;    // the object, for ParseFacts
};
Result<AssessBody> ParseAssess(std::string_view json);

struct PixelSizeBody {
  std::string image;
  bool by_geometry = false;  // the image alone was given
  int frame = 0;
  PixelPoint a, b;
  double french = 0.0;
  bool along = false;
};
Result<PixelSizeBody> ParsePixelSize(std::string_view json);

struct LengthBody {
  std::string image;
  int frame = 0;
  std::vector<PixelPoint> points;
  PixelSize pixel_size;
};
Result<LengthBody> ParseLength(std::string_view json);

// --- Answers of the server, as a command reads them back.
Result<std::string> ParseText(std::string_view json);
Result<double> ParseNumber(std::string_view json);
// The sentence of {"error": {what, where, to_do}}; an Error without text if it is something else.
Error ParseErrorAnswer(int status, std::string_view json);

}  // namespace fairlead
