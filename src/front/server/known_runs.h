// SPDX-License-Identifier: Apache-2.0
// Runs by their hash, for one answer: each is read once and stays until the answer is made.
#pragma once

#include <map>
#include <memory>
#include <string>

#include "front/server/practice.h"

namespace fairlead {

class KnownRuns {
 public:
  explicit KnownRuns(Practice& practice) : practice_(practice) {}
  // Errors: what Practice::ImageOf says.
  Result<const Run*> operator()(const std::string& hash) {
    auto image = practice_.ImageOf(hash);
    if (!image.ok()) return image.error();
    held_[hash] = *image;
    return &held_[hash]->run;
  }

 private:
  Practice& practice_;
  std::map<std::string, std::shared_ptr<const Practice::Image>> held_;
};

}  // namespace fairlead
