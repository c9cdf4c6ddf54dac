// SPDX-License-Identifier: Apache-2.0
#include "measure/result.h"

namespace fairlead {

std::string Sentence(const Error& error) {
  std::string text = error.what;
  if (!error.where.empty()) text += " (" + error.where + ")";
  if (!error.to_do.empty()) text += ": " + error.to_do;
  return text;
}

Error Within(std::string_view outer, Error error) {
  error.where = error.where.empty() ? std::string(outer) : std::string(outer) + ": " + error.where;
  return error;
}

}  // namespace fairlead
