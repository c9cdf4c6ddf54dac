// SPDX-License-Identifier: Apache-2.0
// The bodies of the paths that trace vessels; bounded as in body.h.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "imaging/trace/trace.h"
#include "measure/result.h"

namespace fairlead {

struct TreeBody {
  std::string image;
  int frame = 0;
  PixelPoint from;
  bool turns = false;  // the tree that prices corners
};
Result<TreeBody> ParseTreeBody(std::string_view json);

struct TraceBody {
  std::string image;
  int frame = 0;
  TraceRequest request;
};
Result<TraceBody> ParseTrace(std::string_view json);

}  // namespace fairlead
