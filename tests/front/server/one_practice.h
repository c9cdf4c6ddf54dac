// SPDX-License-Identifier: Apache-2.0
// A practice of its own for each test, with one case.
#pragma once

#include <gtest/gtest.h>

#include <filesystem>
#include <memory>
#include <string>

#include "front/server/practice.h"
#include "front/server/random.h"

namespace fairlead {

class OnePractice : public ::testing::Test {
 protected:
  void SetUp() override {
    folder_ = std::filesystem::temp_directory_path() / ("fairlead-test-" + RandomHex(8));
    auto practice = Practice::Open(folder_, {});
    ASSERT_TRUE(practice.ok()) << Sentence(practice.error());
    practice_ = std::move(*practice);
    case_ = *practice_->NewCase("a test", "1", "test");
  }
  void TearDown() override {
    practice_.reset();
    std::filesystem::remove_all(folder_);
  }

  std::filesystem::path folder_;
  std::unique_ptr<Practice> practice_;
  std::string case_;
};

}  // namespace fairlead
