// SPDX-License-Identifier: Apache-2.0
#include "front/cli/command.h"

int main(int argc, char** argv) { return fairlead::RunCommandLine(argc, argv); }
