// SPDX-License-Identifier: Apache-2.0
#include <gtest/gtest.h>

#include <limits>

#include "imaging/dicom/run_json.h"

namespace fairlead {
namespace {

TEST(RunJson, EscapesTextAndReplacesWhatIsNoUtf8) {
  fairlead::Run run;
  run.timing = "a\"b\\c\n\xFF</script>\xC3\xA9";
  const std::string json = RunJson(run);
  EXPECT_NE(json.find("\"timing\":\"a\\\"b\\\\c\\u000a\xEF\xBF\xBD\\u003c/script>\xC3\xA9\""), std::string::npos) << json;
}

TEST(RunJson, HasNoNumberThatJsonLacks) {
  fairlead::Run run;
  run.window = {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity()};
  EXPECT_NE(RunJson(run).find("\"window\":{\"center\":null,\"width\":null}"), std::string::npos);
}

TEST(RunJson, WritesNullForWhatIsNotKnown) {
  const std::string json = RunJson(fairlead::Run{});
  for (const char* key : {"\"view\":null", "\"sid_mm\":null", "\"shutter\":null", "\"pixel_size\":null"}) EXPECT_NE(json.find(key), std::string::npos) << key;
}

}  // namespace
}  // namespace fairlead
