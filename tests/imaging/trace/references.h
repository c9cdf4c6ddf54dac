// SPDX-License-Identifier: Apache-2.0
// Values that record_references.py made with SciPy, scikit-image and NumPy.
#pragma once

#include <fstream>
#include <sstream>
#include <string>
#include <vector>

namespace fairlead {

inline std::vector<std::vector<double>> References(const std::string& kind) {
  std::ifstream file(FAIRLEAD_TESTS_DIR "/imaging/trace/references.tsv");
  std::vector<std::vector<double>> rows;
  for (std::string line; std::getline(file, line);) {
    std::istringstream words(line);
    std::string name;
    words >> name;
    if (name != kind) continue;
    rows.emplace_back();
    for (double v = 0.0; words >> v;) rows.back().push_back(v);
  }
  return rows;
}

}  // namespace fairlead
