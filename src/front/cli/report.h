// SPDX-License-Identifier: Apache-2.0
// What `report` takes.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace fairlead {

struct ReportArguments {
  std::filesystem::path out;    // .pdf, .html, .txt or .json; none: the words on standard output
  std::filesystem::path letter; // .pdf or .html: the letter in plain words instead
  std::string paper = "a4";
  int zone_min = 0;
  bool sign = false;
  bool fhir = false, dicom = false, sr = false;  // of the exchange
  std::vector<std::string> mask, keep;  // of the lesson: words that must not appear; that may be names and stay
};

}  // namespace fairlead
