// SPDX-License-Identifier: Apache-2.0
// The test program is its own child, as the real program is.
#include <gtest/gtest.h>

#include <string_view>

#include "imaging/child/decode.h"

int main(int argc, char** argv) {
  if (argc > 1 && std::string_view(argv[1]) == "_decode") return fairlead::DecodeMain();
  testing::InitGoogleTest(&argc, argv);
  return RUN_ALL_TESTS();
}
